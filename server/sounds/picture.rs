//! A clip's levels over time as a PNG: the louder, the less of the page shows through.

use crate::error::AppError;
use crate::trade::sound::{Clip, Spectrogram};
use image::{ImageFormat, LumaA};
use std::io::Cursor;

const COLUMNS: u32 = 480;
const ROWS: u32 = 320;

/// From 0 Hz at the bottom to `top` hertz.
pub fn draw(clip: &Clip, top: f64) -> Result<Vec<u8>, AppError> {
    let levels = Spectrogram::of(clip, top, COLUMNS as usize, ROWS as usize);
    let level = |x: u32, y: u32| {
        let column = levels.columns().get(x as usize);
        column.and_then(|column| column.get((ROWS - 1 - y) as usize)).copied().unwrap_or_default()
    };
    let picture = image::ImageBuffer::from_fn(COLUMNS, ROWS, |x, y| LumaA([0, level(x, y)]));
    let mut png = Cursor::new(Vec::new());
    picture.write_to(&mut png, ImageFormat::Png).map_err(AppError::internal)?;
    Ok(png.into_inner())
}
