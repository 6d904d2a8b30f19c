//! The demo garage: an invented car with its spec book, job cards, parts and two evenings of work, read
//! from the files under `seed/demo/`, which are embedded in the program.

mod bottles;
pub mod format;
mod load;
mod plan;
mod sounds;
mod survey;
mod upkeep;

pub use load::load_if_empty;

use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "seed/demo/"]
#[include = "*.toml"]
#[include = "*.jpg"]
#[include = "*.wav"]
struct Seed;

/// A seed file as text.
fn text(path: &str) -> Result<String, String> {
    let file = Seed::get(path).ok_or_else(|| format!("seed/demo/{path} is missing"))?;
    String::from_utf8(file.data.into_owned()).map_err(|_| format!("seed/demo/{path} is no UTF-8 text"))
}

/// A seed file read as TOML; an error names the file, and the line within it.
fn read<T: serde::de::DeserializeOwned>(path: &str) -> Result<T, String> {
    toml::from_str(&text(path)?).map_err(|cause| format!("seed/demo/{path}: {cause}"))
}

/// The card files in order.
fn cards() -> Vec<String> {
    let mut paths: Vec<String> =
        Seed::iter().map(|path| path.into_owned()).filter(|path| path.starts_with("cards/")).collect();
    paths.sort();
    paths
}

fn sound(name: &str) -> Result<Vec<u8>, String> {
    let path = format!("sounds/{name}");
    Seed::get(&path).map(|file| file.data.into_owned()).ok_or_else(|| format!("seed/demo/{path} is missing"))
}

fn photo(name: &str) -> Result<Vec<u8>, String> {
    let path = format!("photos/{name}");
    Seed::get(&path).map(|file| file.data.into_owned()).ok_or_else(|| format!("seed/demo/{path} is missing"))
}
