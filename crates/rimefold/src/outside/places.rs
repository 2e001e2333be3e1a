//! Who may hold how many connections: strangers must not keep the household out.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Connections at once of those who have shown the password, and where none is asked for.
pub const HOUSEHOLD: usize = 100;
/// Connections at once of strangers, and of one address of theirs.
pub const STRANGERS: usize = 300;
const OF_ONE_ADDRESS: usize = 40;
/// Most addresses that are remembered as the household's.
const REMEMBERED: usize = 256;

/// The address that a request came from.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub IpAddr);

/// Addresses from which a valid visit has come; `None` where everybody is let in.
#[derive(Clone, Debug, Default)]
pub struct Household(Option<Arc<Mutex<Vec<IpAddr>>>>);

impl Household {
    /// One that is known by its password.
    pub fn behind_a_password() -> Self {
        Self(Some(Arc::default()))
    }

    /// Remembers an address from which a valid visit has come.
    pub fn remember(&self, Peer(address): Peer) {
        let Some(known) = &self.0 else { return };
        let mut known = lock(known);
        if !known.contains(&address) {
            if known.len() >= REMEMBERED {
                known.remove(0);
            }
            known.push(address);
        }
    }

    /// Forgets all, as when every visit ends.
    pub fn forget(&self) {
        if let Some(known) = &self.0 {
            lock(known).clear();
        }
    }

    fn knows(&self, address: IpAddr) -> bool {
        self.0.as_ref().is_some_and(|known| lock(known).contains(&address))
    }
}

/// How many connections each address has.
type Counts = Arc<Mutex<HashMap<IpAddr, usize>>>;

/// Every place there is.
pub struct Places {
    household: Household,
    theirs: Arc<Semaphore>,
    strangers: Arc<Semaphore>,
    by_address: Counts,
}

/// A place, free again when dropped.
pub struct Place {
    _permit: OwnedSemaphorePermit,
    counted: Option<(IpAddr, Counts)>,
}

impl Places {
    /// All free.
    pub fn new(household: Household) -> Self {
        // Where nobody is a stranger all places are everybody's.
        let (theirs, strangers) = match household.0 {
            Some(_) => (HOUSEHOLD, STRANGERS),
            None => (HOUSEHOLD + STRANGERS, 0),
        };
        Self {
            household,
            theirs: Arc::new(Semaphore::new(theirs)),
            strangers: Arc::new(Semaphore::new(strangers)),
            by_address: Arc::default(),
        }
    }

    /// Waits for a place where everybody is let in; where strangers come too it must first be seen who it is.
    pub async fn before_anybody(&self) -> Option<Place> {
        if self.household.0.is_some() {
            return None;
        }
        let permit = Arc::clone(&self.theirs).acquire_owned().await.ok()?;
        Some(Place { _permit: permit, counted: None })
    }

    /// A place for somebody from this address; `None` where there is none, and they are hung up on.
    pub fn of(&self, address: IpAddr) -> Option<Place> {
        if self.household.knows(address)
            && let Ok(permit) = Arc::clone(&self.theirs).try_acquire_owned()
        {
            return Some(Place { _permit: permit, counted: None });
        }
        let permit = Arc::clone(&self.strangers).try_acquire_owned().ok()?;
        let mut counts = lock(&self.by_address);
        let count = counts.entry(address).or_default();
        if *count >= OF_ONE_ADDRESS {
            return None;
        }
        *count += 1;
        Some(Place { _permit: permit, counted: Some((address, Arc::clone(&self.by_address))) })
    }

    /// Waits until all are free.
    pub async fn all_free(&self) {
        for (room, count) in [(&self.theirs, HOUSEHOLD), (&self.strangers, STRANGERS)] {
            let count = if self.household.0.is_some() { count } else { 0 };
            let _ = room.acquire_many(count as u32).await;
        }
        if self.household.0.is_none() {
            let _ = self.theirs.acquire_many((HOUSEHOLD + STRANGERS) as u32).await;
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        if let Some((address, counts)) = &self.counted {
            let mut counts = lock(counts);
            if let Some(count) = counts.get_mut(address) {
                *count -= 1;
                if *count == 0 {
                    counts.remove(address);
                }
            }
        }
    }
}

fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flood_of_strangers_leaves_places_for_the_household_and_for_a_guest() {
        let household = Household::behind_a_password();
        let places = Places::new(household.clone());
        let at = |n: u8| IpAddr::from([192, 168, 1, n]);
        let flood: Vec<_> = (0..400).filter_map(|_| places.of(at(66))).collect();
        assert_eq!(flood.len(), OF_ONE_ADDRESS, "one address holds no more");
        let guest = places.of(at(7));
        assert!(guest.is_some(), "another gets in beside it");
        let many = (100..200).flat_map(|n| std::iter::repeat_n(n, 40));
        let more: Vec<_> = many.filter_map(|n| places.of(at(n))).collect();
        assert_eq!(flood.len() + more.len() + 1, STRANGERS);
        assert!(places.of(at(8)).is_none(), "full for strangers");
        household.remember(Peer(at(8)));
        let known: Vec<_> = (0..500).filter_map(|_| places.of(at(8))).collect();
        assert_eq!(known.len(), HOUSEHOLD, "and not for the household");
        drop((flood, more, known));
        assert!(places.of(at(66)).is_some(), "free again");
        assert!(lock(&places.by_address).len() == 1, "nothing is kept of those who left");
        household.forget();
        assert!(!household.knows(at(8)));
    }
}
