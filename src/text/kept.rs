//! What was read on one file, kept as a file of its own, so that many machines may read and one makes the book.

use super::Reading;
use crate::format::Format;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use sha2::{Digest, Sha256};

/// The readings of one file, one for each picture in it: a photograph has one, a scanned PDF one for each page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Readings {
    /// Base name of the file.
    pub file: String,
    /// SHA-256 of its content (FIPS 180-4), 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// What was read, in the order of the pictures.
    pub readings: Vec<Reading>,
}

impl Format for Readings {
    const NAME: &'static str = "vitta readings";
    const VERSION: u32 = 2;

    /// Version 1 said in which language a file was said to be printed; the eyes read all of them alike.
    fn migrate(_version: u32, mut fields: Map<String, Value>) -> Map<String, Value> {
        fields.shift_remove("printed");
        fields
    }
}

impl Readings {
    /// What tells a file's content from another's, as [`Readings::sha256`] has it.
    pub fn digest(content: &[u8]) -> String {
        Sha256::digest(content).iter().map(|byte| format!("{byte:02x}")).collect()
    }
}
