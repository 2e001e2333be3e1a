//! Bytes and their digests in hexadecimal.

use sha2::{Digest as _, Sha256};

/// Bytes in hexadecimal.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// SHA-256 in hexadecimal: tells whether bytes are still those that were seen.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}
