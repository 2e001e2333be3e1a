//! Bytes and their digests in hexadecimal.

pub use diary::digest::{hex, sha256};
