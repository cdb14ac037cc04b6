//! A file that is written while its later bytes are still being made.

use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{self, Write};

/// What is written of it so far, hashed on the way.
#[derive(Debug)]
pub(super) struct Growing {
    file: File,
    hash: Sha256,
    pub(super) size: u64,
}

impl Growing {
    pub(super) fn begin(file: File) -> Self {
        Self { file, hash: Sha256::new(), size: 0 }
    }

    pub(super) fn push(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.hash.update(bytes);
        self.size += bytes.len() as u64;
        self.file.write_all(bytes)
    }

    /// The SHA-256 of all that was written.
    pub(super) fn digest(self) -> [u8; 32] {
        self.hash.finalize().into()
    }
}
