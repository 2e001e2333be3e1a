//! One test binary: programs worked by hand or known from textbooks, and every small case.

mod integers;
mod linear;
