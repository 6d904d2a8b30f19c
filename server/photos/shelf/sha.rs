//! The name of a photo.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Display;
use thiserror::Error;

/// SHA-256 of the bytes that a phone sent: 64 lower-case hexadecimal digits. Safe as a file name.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Sha256Hex(String);

#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("A photo's name is 64 lower-case hexadecimal digits (its SHA-256).")]
pub struct NotASha256;

impl Sha256Hex {
    /// # Errors
    /// When `text` is anything but 64 lower-case hexadecimal digits.
    pub fn parse(text: &str) -> Result<Self, NotASha256> {
        let digits = text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        if text.len() != 64 || !digits {
            return Err(NotASha256);
        }
        Ok(Self(text.to_owned()))
    }

    pub fn of(bytes: &[u8]) -> Self {
        Self(hex::encode(Sha256::digest(bytes)))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Display for Sha256Hex {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Sha256Hex {
    type Error = NotASha256;

    fn try_from(text: String) -> Result<Self, NotASha256> {
        Self::parse(&text)
    }
}

impl From<Sha256Hex> for String {
    fn from(sha: Sha256Hex) -> Self {
        sha.0
    }
}
