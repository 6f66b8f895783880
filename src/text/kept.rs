//! What was read on one file, kept as a file of its own, so that many machines may read and one makes the book.

use super::Reading;
use crate::format::Format;
use crate::language::Language;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// The readings of one file, one for each picture in it: a photograph has one, a scanned PDF one for each page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Readings {
    /// Base name of the file.
    pub file: String,
    /// SHA-256 of its content (FIPS 180-4), 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// The language it was said to be printed in; none where that was guessed.
    pub printed: Option<Language>,
    /// What was read, in the order of the pictures.
    pub readings: Vec<Reading>,
}

impl Format for Readings {
    const NAME: &'static str = "vitta readings";
    const VERSION: u32 = 1;
}

impl Readings {
    /// What tells a file's content from another's, as [`Readings::sha256`] has it.
    pub fn digest(content: &[u8]) -> String {
        Sha256::digest(content).iter().map(|byte| format!("{byte:02x}")).collect()
    }
}
