//! The size of a tool as it is written on it.

use crate::trade::citation::Citation;
use rust_decimal::Decimal;
use thiserror::Error;

/// Millimetres in an inch, exactly. Source: the international inch, as in NIST SP 811.
const INCH: Decimal = Decimal::from_parts(254, 0, 0, false, 1);
/// Larger than any hand tool across the flats.
const LARGEST: Decimal = Decimal::from_parts(105, 0, 0, false, 0);
/// Smaller than any.
const SMALLEST: Decimal = Decimal::from_parts(5, 0, 0, false, 1);

/// Widths across flats for which keys and sockets are made, in tenths of a millimetre. Source: a list of metric socket
/// sizes in a public how-to page, 3 to 36 mm, which agrees with DIN 475 and ISO 272 as far as remembered; 41 and 46 from
/// memory. The heads of ISO 4014, ISO 4017, DIN 931 and DIN 933 (`trade::head_size`) are among them.
const METRIC: [u32; 36] = [
    30, 40, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200, 210, 220, 230, 240, 250,
    260, 270, 280, 300, 320, 340, 350, 360, 380, 410, 460, 500,
];
/// Numbers of hexalobular drives inside a screw. Source: ISO 10664 numbers them from 1 to 100 (read second-hand); which
/// numbers there are, from memory.
const INSIDE: [u32; 25] = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20, 25, 27, 30, 40, 45, 50, 55, 60, 70, 80, 90, 95, 100];
/// Numbers of hexalobular heads. From memory; ISO 10664 is about drives inside a screw only.
const OUTSIDE: [u32; 15] = [3, 4, 5, 6, 7, 8, 10, 11, 12, 14, 16, 18, 20, 22, 24];

/// A size that tools are made in, or that may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Across the flats, above zero, in millimetres.
    Metric(Decimal),
    /// Across the flats in inches, as a fraction in its lowest terms.
    Inch { sixty_fourths: u32 },
    /// Six lobes inside the screw: T40.
    Inside(u32),
    /// Six lobes outside, as a head: E10.
    Outside(u32),
}

/// Why a size cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SizeError {
    #[error("No size is written: write it as it stands on the tool, such as 19 mm, 3/4 in, T40 or E10.")]
    Missing,
    #[error(
        "‘{0}’ is no size that is read here: write it as it stands on the tool, such as 19 mm, 3/4 in, T40 or E10."
    )]
    Unreadable(String),
    #[error("‘{0}’ names a thread. Write the size across the flats, as it stands on the tool.")]
    Thread(String),
    #[error("No hand tool is {0} across the flats: sizes from 0.5 to 105 mm are read.")]
    OutOfRange(String),
    #[error(
        "‘{0}’ is no inch size of keys and sockets: write a fraction in halves, quarters … sixty-fourths, such as 9/16 in."
    )]
    NoFraction(String),
    #[error("{0} is no number of a six-lobe drive that is known here: T1 to T100 inside a screw, E3 to E24 as a head.")]
    NoLobe(String),
}

impl Size {
    /// Where the published sizes come from.
    pub const SOURCES: [Citation; 3] = [
        Citation::memory("ISO 272 and DIN 475"),
        Citation::quoted("ISO 10664"),
        Citation::memory("E sizes of six-lobe heads"),
    ];

    /// Reads `19`, `19 mm`, `3/4"`, `3/4 in`, `1 1/8 in`, `T40`, `E10`. A bare whole number is in millimetres, as it is
    /// stamped on tools; a bare fraction in inches.
    pub fn parse(text: &str) -> Result<Self, SizeError> {
        let plain = text.trim().to_lowercase().replace(['″', '”', '“'], "\"");
        if plain.is_empty() {
            return Err(SizeError::Missing);
        }
        let shown = || text.trim().chars().take(30).collect::<String>();
        if let Some(number) = plain.strip_prefix('t') {
            return lobe(number, &INSIDE, Size::Inside).ok_or_else(|| lobe_error(number, shown()));
        }
        if let Some(number) = plain.strip_prefix('e') {
            return lobe(number, &OUTSIDE, Size::Outside).ok_or_else(|| lobe_error(number, shown()));
        }
        if plain.strip_prefix('m').is_some_and(|rest| rest.starts_with(|first: char| first.is_ascii_digit())) {
            return Err(SizeError::Thread(shown()));
        }
        let inches = ["inches", "inch", "in.", "in", "\"", "af"].iter().find_map(|unit| plain.strip_suffix(unit));
        if let Some(number) = inches {
            return inch(number.trim(), shown());
        }
        match plain.strip_suffix("mm").map(str::trim) {
            Some(number) => metric(number, shown()),
            None if plain.contains('/') => inch(&plain, shown()),
            None => metric(&plain, shown()),
        }
    }

    /// Across the flats in millimetres; `None` for lobes, which have no flats.
    pub fn across_flats(self) -> Option<Decimal> {
        match self {
            Self::Metric(size) => Some(size),
            Self::Inch { sixty_fourths } => Some(Decimal::from(sixty_fourths) * INCH / Decimal::from(64)),
            Self::Inside(_) | Self::Outside(_) => None,
        }
    }

    /// Whether keys and sockets of this size are usually made.
    pub fn is_usual(self) -> bool {
        match self {
            Self::Metric(size) => METRIC.iter().any(|tenths| Decimal::new(i64::from(*tenths), 1) == size),
            // By sixteenths; 11/32 and 19/32 are made too (common practice, no source).
            Self::Inch { sixty_fourths } => sixty_fourths % 4 == 0 || matches!(sixty_fourths, 22 | 38),
            Self::Inside(_) | Self::Outside(_) => true,
        }
    }

    /// Every usual size from one to another of the same kind, both ends among them; inch sizes by sixteenths. `None`
    /// where the two are of different kinds, or the second is not the larger.
    pub fn up_to(self, last: Self) -> Option<Vec<Self>> {
        let between: Vec<Self> = match (self, last) {
            (Self::Metric(low), Self::Metric(high)) => METRIC
                .iter()
                .map(|tenths| Decimal::new(i64::from(*tenths), 1).normalize())
                .filter(|size| (low..=high).contains(size))
                .map(Self::Metric)
                .collect(),
            (Self::Inch { sixty_fourths: low }, Self::Inch { sixty_fourths: high }) => {
                (low..=high).filter(|size| size % 4 == 0).map(|sixty_fourths| Self::Inch { sixty_fourths }).collect()
            }
            (Self::Inside(low), Self::Inside(high)) => numbers(&INSIDE, low, high, Self::Inside),
            (Self::Outside(low), Self::Outside(high)) => numbers(&OUTSIDE, low, high, Self::Outside),
            (Self::Metric(_) | Self::Inch { .. } | Self::Inside(_) | Self::Outside(_), _) => return None,
        };
        (between.len() > 1).then_some(between)
    }
}

fn numbers(all: &[u32], low: u32, high: u32, make: fn(u32) -> Size) -> Vec<Size> {
    all.iter().copied().filter(|number| (low..=high).contains(number)).map(make).collect()
}

fn lobe(number: &str, known: &[u32], make: fn(u32) -> Size) -> Option<Size> {
    let number = number.trim().parse().ok()?;
    known.contains(&number).then(|| make(number))
}

/// A word that only begins like a lobe size is no size at all.
fn lobe_error(number: &str, shown: String) -> SizeError {
    let is_number = !number.trim().is_empty() && number.trim().chars().all(|letter| letter.is_ascii_digit());
    if is_number { SizeError::NoLobe(shown) } else { SizeError::Unreadable(shown) }
}

fn metric(number: &str, shown: String) -> Result<Size, SizeError> {
    let is_number = number.starts_with(|first: char| first.is_ascii_digit())
        && number.chars().all(|letter| letter.is_ascii_digit() || letter == '.' || letter == ',');
    if !is_number {
        return Err(SizeError::Unreadable(shown));
    }
    let size: Decimal = number.replace(',', ".").parse().map_err(|_| SizeError::Unreadable(shown.clone()))?;
    if !(SMALLEST..=LARGEST).contains(&size) {
        return Err(SizeError::OutOfRange(shown));
    }
    Ok(Size::Metric(size.normalize()))
}

fn inch(number: &str, shown: String) -> Result<Size, SizeError> {
    let (whole, fraction) = match number.split_once(' ') {
        Some((whole, fraction)) => (whole, fraction.trim()),
        None if number.contains('/') => ("0", number),
        None => (number, "0/1"),
    };
    let unreadable = || SizeError::Unreadable(shown.clone());
    let whole: u32 = whole.trim().parse().map_err(|_| unreadable())?;
    let (top, bottom) = fraction.split_once('/').ok_or_else(unreadable)?;
    let top: u32 = top.trim().parse().map_err(|_| unreadable())?;
    let bottom: u32 = bottom.trim().parse().map_err(|_| unreadable())?;
    if !matches!(bottom, 1 | 2 | 4 | 8 | 16 | 32 | 64) || top >= bottom.max(2) || whole > 4 {
        return Err(SizeError::NoFraction(shown));
    }
    match whole * 64 + top * (64 / bottom) {
        sixty_fourths @ 2..=264 => Ok(Size::Inch { sixty_fourths }),
        _ => Err(SizeError::OutOfRange(shown)),
    }
}

/// As it stands on the tool: `19 mm`, `3/4 in`, `1 1/8 in`, `T40`.
impl std::fmt::Display for Size {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Metric(size) => write!(out, "{size} mm"),
            Self::Inch { sixty_fourths } => {
                let (whole, mut top, mut bottom) = (sixty_fourths / 64, sixty_fourths % 64, 64);
                while top > 0 && top % 2 == 0 {
                    (top, bottom) = (top / 2, bottom / 2);
                }
                match (whole, top) {
                    (whole, 0) => write!(out, "{whole} in"),
                    (0, top) => write!(out, "{top}/{bottom} in"),
                    (whole, top) => write!(out, "{whole} {top}/{bottom} in"),
                }
            }
            Self::Inside(number) => write!(out, "T{number}"),
            Self::Outside(number) => write!(out, "E{number}"),
        }
    }
}
