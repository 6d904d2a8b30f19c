//! Photos as a phone's camera makes them, and what they say about themselves, by way of exiftool (Phil Harvey).

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Writes a JPEG of so many pixels as they lie in the file, taken with the phone upright (Exif orientation 6: to be
/// turned a quarter clockwise), with the place where it was taken in it. Noise keeps it from being small.
pub fn photo(file: &Path, width: u32, height: u32) {
    let mut state = 1_u32;
    let mut noise = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    let pixels: Vec<u8> = (0..width * height * 3).map(|_| noise()).collect();
    let mut jpeg = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut jpeg, 85);
    encoder.write_image(&pixels, width, height, ExtendedColorType::Rgb8).unwrap();
    std::fs::write(file, jpeg).unwrap();
    exiftool(&[
        "-overwrite_original",
        "-n",
        "-Orientation=6",
        "-GPSLatitude=52.5",
        "-GPSLatitudeRef=N",
        "-GPSLongitude=13.4",
        "-GPSLongitudeRef=E",
        "-XMP:GPSLatitude=52.5",
        &file.display().to_string(),
    ]);
    let before = facts(file);
    assert!(has_a_place(&before) && before["EXIF:Orientation"] == 6, "{before}");
}

/// Everything that exiftool finds in a file, by group and name.
pub fn facts(file: &Path) -> Value {
    let said = exiftool(&["-json", "-n", "-G", "-a", &file.display().to_string()]);
    serde_json::from_str::<Value>(&said).unwrap()[0].clone()
}

pub fn has_a_place(facts: &Value) -> bool {
    facts.as_object().unwrap().keys().any(|name| name.contains("GPS"))
}

fn exiftool(args: &[&str]) -> String {
    let done = Command::new("exiftool").args(args).output();
    let done = done.expect("exiftool (Debian: libimage-exiftool-perl)");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}
