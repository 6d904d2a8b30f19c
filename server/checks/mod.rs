//! The check trees there are: those under `seed/checks/`, read once. The rules: `trade::checks`; the pages: `under::checks`.

use crate::trade::checks::{Check, read_check};
use rust_embed::RustEmbed;
use std::sync::LazyLock;

#[derive(RustEmbed)]
#[folder = "seed/checks/"]
#[include = "*.txt"]
struct Seed;

/// None of them is broken: a test reads them all.
static CHECKS: LazyLock<Vec<Check>> = LazyLock::new(|| {
    let mut files: Vec<String> = Seed::iter().map(|file| file.into_owned()).collect();
    files.sort();
    files.iter().filter_map(|file| read(file)).collect()
});

fn read(file: &str) -> Option<Check> {
    let bytes = Seed::get(file)?.data.into_owned();
    let text = String::from_utf8(bytes).ok()?;
    match read_check(&text) {
        Ok(check) => Some(check),
        Err(troubles) => {
            for trouble in troubles {
                tracing::error!("seed/checks/{file}: {trouble}");
            }
            None
        }
    }
}

/// In the order of their files' names.
pub fn all() -> &'static [Check] {
    &CHECKS
}
