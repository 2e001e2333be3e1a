//! Where results are kept in the garden folder, under a name that stands for all they were made from.

use std::path::{Path, PathBuf};

/// A file of kept results.
pub struct Place {
    /// Its path.
    pub path: PathBuf,
    /// The name of the inputs.
    pub key: String,
}

impl Place {
    /// A file in this folder beside the garden's, named after these inputs.
    pub fn new(garden_file: &Path, folder: &str, inputs: &[&[u8]]) -> Self {
        let key = key(inputs);
        let folder = garden_file.parent().unwrap_or(Path::new(".")).join(folder);
        Self { path: folder.join(format!("{key}.txt")), key }
    }
}

/// A name for these inputs: FNV-1a, 64 bits, over each part and its length.
pub fn key(parts: &[&[u8]]) -> String {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut take = |byte: u8| hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    for part in parts {
        (part.len() as u64).to_le_bytes().into_iter().for_each(&mut take);
        part.iter().copied().for_each(&mut take);
    }
    format!("{hash:016x}")
}
