//! JPEG is walked here because `img-parts` keeps everything after the first scan header as one lump,
//! with the comments between later scans and whatever follows the end marker.

use super::{Orientation, Refusal, orientation_of, orientation_tag};

const END_OF_IMAGE: u8 = 0xD9;
const START_OF_SCAN: u8 = 0xDA;
const APP0: u8 = 0xE0;
const APP1: u8 = 0xE1;
const APP2: u8 = 0xE2;
const APP14: u8 = 0xEE;
const EXIF: &[u8] = b"Exif\0\0";
/// Version, density unit and densities end here; the size of an embedded thumbnail follows.
const JFIF_WITHOUT_THUMBNAIL: usize = 12;
/// "Adobe", version, two flag words and the colour transform.
const ADOBE_LENGTH: usize = 12;

/// Copies the segments that a decoder needs, up to and including the first end marker.
pub(super) fn clean(sent: &[u8]) -> Result<(Vec<u8>, Orientation), Refusal> {
    let mut jfif = Vec::new();
    let mut rest = Vec::with_capacity(sent.len());
    let mut orientation = None;
    let mut at = 2;
    loop {
        let (marker, body) = next_marker(sent, at)?;
        at = body;
        if marker == END_OF_IMAGE {
            break;
        }
        if !has_length(marker) {
            continue;
        }
        let contents = contents(sent, body)?;
        at = body + 2 + contents.len();
        match wanted(marker, contents) {
            Wanted::Whole => push(&mut rest, marker, contents),
            Wanted::Jfif(head) => {
                jfif.clear();
                push(&mut jfif, marker, &[head, &[0, 0]].concat());
            }
            Wanted::Adobe(head) => push(&mut rest, marker, head),
            Wanted::Exif(tiff) => orientation = orientation.or(Some(orientation_of(tiff))),
            Wanted::Nothing => {}
        }
        if marker == START_OF_SCAN {
            let end = end_of_scan(sent, at)?;
            rest.extend_from_slice(&sent[at..end]);
            at = end;
        }
    }
    let orientation = orientation.unwrap_or(Orientation::NoTransforms);
    Ok((assemble(&jfif, orientation, &rest), orientation))
}

fn assemble(jfif: &[u8], orientation: Orientation, rest: &[u8]) -> Vec<u8> {
    let mut whole = vec![0xFF, 0xD8];
    whole.extend_from_slice(jfif);
    if let Some(tiff) = orientation_tag(orientation) {
        push(&mut whole, APP1, &[EXIF, &tiff].concat());
    }
    whole.extend_from_slice(rest);
    whole.extend_from_slice(&[0xFF, END_OF_IMAGE]);
    whole
}

enum Wanted<'a> {
    Whole,
    Jfif(&'a [u8]),
    Adobe(&'a [u8]),
    Exif(&'a [u8]),
    Nothing,
}

fn wanted(marker: u8, contents: &[u8]) -> Wanted<'_> {
    match marker {
        // Frames, tables, restart interval, scans: all of C0 to DF that carries a length.
        0xC0..=0xDF => Wanted::Whole,
        APP0 if contents.starts_with(b"JFIF\0") => {
            contents.get(..JFIF_WITHOUT_THUMBNAIL).map_or(Wanted::Nothing, Wanted::Jfif)
        }
        APP1 => contents.strip_prefix(EXIF).map_or(Wanted::Nothing, Wanted::Exif),
        APP2 if contents.starts_with(b"ICC_PROFILE\0") => Wanted::Whole,
        APP14 if contents.starts_with(b"Adobe") => contents.get(..ADOBE_LENGTH).map_or(Wanted::Nothing, Wanted::Adobe),
        _ => Wanted::Nothing,
    }
}

/// Appends a segment. `contents` came from a segment or is a few bytes long, so it fits 16 bits.
fn push(out: &mut Vec<u8>, marker: u8, contents: &[u8]) {
    let length = (contents.len() + 2) as u16;
    out.extend_from_slice(&[0xFF, marker]);
    out.extend_from_slice(&length.to_be_bytes());
    out.extend_from_slice(contents);
}

/// The next marker and where its length starts. Skips fill bytes and junk between segments.
fn next_marker(sent: &[u8], from: usize) -> Result<(u8, usize), Refusal> {
    let mut at = from;
    loop {
        at = next_ff(sent, at)? + 1;
        match sent.get(at) {
            None => return Err(Refusal::Truncated),
            Some(0x00) => at += 1,
            Some(0xFF) => {}
            Some(marker) => return Ok((*marker, at + 1)),
        }
    }
}

fn contents(sent: &[u8], at: usize) -> Result<&[u8], Refusal> {
    let Some([high, low, after @ ..]) = sent.get(at..) else {
        return Err(Refusal::Truncated);
    };
    let length = usize::from(u16::from_be_bytes([*high, *low]));
    let contents = length.checked_sub(2).ok_or(Refusal::Damaged)?;
    after.get(..contents).ok_or(Refusal::Truncated)
}

fn has_length(marker: u8) -> bool {
    matches!(marker, 0xC0..=0xCF | 0xDA..=0xFE)
}

/// Where the entropy-coded data ends: at the first marker that is neither a stuffed zero nor a restart.
/// Reserved codes are left in the data, so that a decoder sees exactly what was sent.
fn end_of_scan(sent: &[u8], from: usize) -> Result<usize, Refusal> {
    let mut at = from;
    loop {
        at = next_ff(sent, at)?;
        match sent.get(at + 1) {
            None => return Err(Refusal::Truncated),
            Some(0x00..=0xBF | 0xD0..=0xD8 | 0xF0..=0xFD) => at += 2,
            Some(0xFF) => at += 1,
            Some(0xC0..=0xCF | 0xD9..=0xEF | 0xFE) => return Ok(at),
        }
    }
}

fn next_ff(sent: &[u8], from: usize) -> Result<usize, Refusal> {
    let ahead = sent.get(from..).ok_or(Refusal::Truncated)?;
    let found = ahead.iter().position(|byte| *byte == 0xFF);
    found.map(|offset| from + offset).ok_or(Refusal::Truncated)
}
