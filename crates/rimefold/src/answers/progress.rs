//! How far a long work is, from however many threads.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Parts of a work that are done, told as they get done; told that nothing is left when dropped.
pub struct Progress<'a> {
    done: AtomicUsize,
    of: usize,
    told: &'a (dyn Fn(usize, usize) + Sync),
}

impl<'a> Progress<'a> {
    /// A work of so many parts, none done.
    pub fn new(of: usize, told: &'a (dyn Fn(usize, usize) + Sync)) -> Self {
        told(0, of);
        Self { done: AtomicUsize::new(0), of, told }
    }

    /// One more part is done.
    pub fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        (self.told)(done.min(self.of), self.of);
    }
}

impl Drop for Progress<'_> {
    fn drop(&mut self) {
        (self.told)(self.of, self.of);
    }
}
