//! Chance from the operating system.

use rand::TryRng as _;
use rand::rngs::SysRng;

use crate::exit::Failure;

/// Sixteen random bytes.
///
/// # Errors
/// The system gives none.
pub fn sixteen_bytes() -> Result<[u8; 16], Failure> {
    let mut bytes = [0; 16];
    SysRng.try_fill_bytes(&mut bytes).map_err(Failure::bug)?;
    Ok(bytes)
}
