//! Tyre sizes, load indices and speed symbols.

use rust_decimal::Decimal;

use super::{Reading, Subject};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Length, LengthUnit};

closed_set! {
    /// How the carcass is laid.
    pub enum Build {
        Radial = "radial", "radial";
        CrossPly = "cross-ply", "cross-ply";
        Belted = "belted", "bias-belted";
    }
}

closed_set! {
    /// The highest speed a tyre was made for.
    pub enum SpeedSymbol {
        J = "J", "J";
        K = "K", "K";
        L = "L", "L";
        M = "M", "M";
        N = "N", "N";
        P = "P", "P";
        Q = "Q", "Q";
        R = "R", "R";
        S = "S", "S";
        T = "T", "T";
        U = "U", "U";
        H = "H", "H";
        V = "V", "V";
        W = "W", "W";
        Y = "Y", "Y";
    }
}

impl SpeedSymbol {
    /// In km/h, for a sound tyre at its rated load.
    pub fn up_to(self) -> u32 {
        match self {
            Self::J => 100,
            Self::K => 110,
            Self::L => 120,
            Self::M => 130,
            Self::N => 140,
            Self::P => 150,
            Self::Q => 160,
            Self::R => 170,
            Self::S => 180,
            Self::T => 190,
            Self::U => 200,
            Self::H => 210,
            Self::V => 240,
            Self::W => 270,
            Self::Y => 300,
        }
    }
}

const SIZES: Citation = Citation::memory("ISO 4000-1; UN Regulation 30");

/// Section width as it is written: whole millimetres, or inches in sizes such as 6.00-16.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    Millimetres(u32),
    Inches(Decimal),
}

/// A size as it stands on a sidewall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TyreSize {
    pub width: Width,
    /// Height of the sidewall in percent of the width; not written on older tyres.
    pub aspect: Option<u32>,
    pub build: Build,
    /// Rim diameter in inches.
    pub rim: Decimal,
    /// Single fitment first.
    pub load_index: Option<u32>,
    pub speed: Option<SpeedSymbol>,
}

/// Kilograms a tyre carries at its rated pressure, for the load indices of cars and vans, 60 to 121.
pub fn load_of_index(index: u32) -> Option<u32> {
    const FIRST: u32 = 60;
    const KILOGRAMS: [u32; 62] = [
        250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345, 355, 365, 375, 387, 400, 412, 425, 437, 450, 462,
        475, 487, 500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690, 710, 730, 750, 775, 800, 825, 850, 875,
        900, 925, 950, 975, 1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, 1400, 1450,
    ];
    let at = usize::try_from(index.checked_sub(FIRST)?).ok()?;
    KILOGRAMS.get(at).copied()
}

impl TyreSize {
    /// Reads `185/65 R14 86T`, `165 SR 13`, `165 R 13 78S`, `6.00-16`; none if it is no tyre size of a car or van.
    pub fn parse(text: &str) -> Option<Self> {
        let upper = text.to_uppercase().replace(',', ".");
        let mut rest = Cursor(upper.trim());
        rest.skip("P");
        let first = rest.number()?;
        let aspect = if rest.skip("/") { Some(rest.whole()?) } else { None };
        let (build, letter) = rest.build()?;
        let rim = rest.number()?;
        rest.skip("C");
        let service = rest.service();
        let size = Self {
            width: width(first)?,
            aspect,
            build,
            rim,
            load_index: service.map(|(load, _)| load),
            speed: service.map(|(_, speed)| speed).or(letter),
        };
        (rest.is_done() && size.is_plausible()).then_some(size)
    }

    fn is_plausible(&self) -> bool {
        let rim = (Decimal::from(8)..=Decimal::from(26)).contains(&self.rim);
        let width = match self.width {
            Width::Millimetres(width) => (115..=395).contains(&width),
            Width::Inches(_) => self.aspect.is_none() && self.build != Build::Belted,
        };
        let aspect = self.aspect.is_none_or(|aspect| (20..=95).contains(&aspect));
        rim && width && aspect
    }

    /// Outside diameter as the size has it, in millimetres; none where the height of the sidewall is not written.
    pub fn diameter(&self) -> Option<Length> {
        let (Width::Millimetres(width), Some(aspect)) = (self.width, self.aspect) else {
            return None;
        };
        let wall = Decimal::from(width) * Decimal::from(aspect) / Decimal::ONE_HUNDRED;
        let diameter = self.rim * Decimal::new(254, 1) + wall * Decimal::TWO;
        Length::computed(diameter, LengthUnit::Millimetre).ok()
    }
}

fn width(number: Decimal) -> Option<Width> {
    if number >= Decimal::from(100) {
        return (number.scale() == 0).then(|| u32::try_from(number).ok().map(Width::Millimetres)).flatten();
    }
    (Decimal::from(4)..=Decimal::from(12)).contains(&number).then_some(Width::Inches(number))
}

/// What is left of a size while it is read from the left, gaps passed over.
struct Cursor<'a>(&'a str);

impl Cursor<'_> {
    fn skip(&mut self, mark: &str) -> bool {
        self.0 = self.0.trim_start();
        let rest = self.0.strip_prefix(mark);
        self.0 = rest.unwrap_or(self.0);
        rest.is_some()
    }

    fn number(&mut self) -> Option<Decimal> {
        self.0 = self.0.trim_start();
        let end = self.0.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(self.0.len());
        let (digits, rest) = self.0.split_at(end);
        let number = digits.parse().ok()?;
        self.0 = rest;
        Some(number)
    }

    fn whole(&mut self) -> Option<u32> {
        u32::try_from(self.number().filter(|number| number.scale() == 0)?).ok()
    }

    /// `R`, `SR`, `HR`, `VR`, `ZR`, `-`, `D`, `B`.
    fn build(&mut self) -> Option<(Build, Option<SpeedSymbol>)> {
        for (mark, letter) in [
            ("SR", Some(SpeedSymbol::S)),
            ("TR", Some(SpeedSymbol::T)),
            ("HR", Some(SpeedSymbol::H)),
            ("VR", None),
            ("ZR", None),
            ("R", None),
        ] {
            if self.skip(mark) {
                return Some((Build::Radial, letter));
            }
        }
        if self.skip("-") || self.skip("–") || self.skip("D") {
            return Some((Build::CrossPly, None));
        }
        self.skip("B").then_some((Build::Belted, None))
    }

    /// `86T` or `102/100Q`.
    fn service(&mut self) -> Option<(u32, SpeedSymbol)> {
        let before = self.0;
        let read = self.load_and_speed();
        if read.is_none() {
            self.0 = before;
        }
        read
    }

    fn load_and_speed(&mut self) -> Option<(u32, SpeedSymbol)> {
        let load = self.whole().filter(|index| load_of_index(*index).is_some())?;
        if self.skip("/") {
            self.whole()?;
        }
        let speed = SpeedSymbol::from_name(self.0.trim_start().get(..1)?)?;
        self.skip(speed.name());
        Some((load, speed))
    }

    fn is_done(&mut self) -> bool {
        self.0 = self.0.trim_start();
        let ply = self.0.strip_suffix("PR").is_some_and(|plies| plies.trim().parse::<u32>().is_ok());
        self.0.is_empty()
            || ply
            || matches!(self.0, "TL" | "TT" | "TUBELESS" | "TUBE TYPE" | "M+S" | "REINFORCED" | "XL")
    }
}

pub(super) fn reading(text: &str) -> Option<Reading> {
    let size = TyreSize::parse(text)?;
    let mut means = match size.width {
        Width::Millimetres(width) => {
            format!("{} mm wide, {} carcass, for a rim of {} in", width, size.build, size.rim.normalize())
        }
        Width::Inches(width) => {
            format!("{} in wide, {} carcass, for a rim of {} in", width, size.build, size.rim.normalize())
        }
    };
    means = format!("Tyre {means}.");
    if let Some(aspect) = size.aspect {
        means.push_str(&format!(" The sidewall is {aspect} % of the width high."));
    }
    if let Some((index, load)) = size.load_index.and_then(|index| Some((index, load_of_index(index)?))) {
        means.push_str(&format!(" Load index {index}: {load} kg."));
    }
    if let Some(speed) = size.speed {
        let miles = speed.up_to() * 1000 / 1609;
        means.push_str(&format!(" Speed symbol {speed}: up to {} km/h (about {miles} mph).", speed.up_to()));
    }
    Some(Reading { subject: Subject::TyreSize, read: text.to_owned(), means, notes: notes(&size), source: SIZES })
}

fn notes(size: &TyreSize) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(diameter) = size.diameter() {
        notes.push(format!("Outside diameter by the size: {}.", diameter.in_unit(LengthUnit::Millimetre)));
    }
    if size.aspect.is_none() && size.build == Build::Radial {
        notes.push("No height is written: on old radials the sidewall is about 80 to 82 % of the width (common practice, no source).".to_owned());
    }
    if size.build != Build::Radial {
        notes.push("Cross-ply and radial tyres steer differently: never mix the two on one axle, and ask the manual before mixing at all.".to_owned());
    }
    if size.load_index.is_none() {
        notes.push("No load index is written: find what the car needs in the manual.".to_owned());
    }
    notes.push("Look at the date code too: rubber ages however deep the tread is.".to_owned());
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_of_all_ages_are_read() {
        for (text, width, aspect, build, rim, load, speed) in [
            ("185/65 R14 86T", 185, Some(65), Build::Radial, "14", Some(86), Some(SpeedSymbol::T)),
            ("P205/75R15", 205, Some(75), Build::Radial, "15", None, None),
            ("165 SR 13", 165, None, Build::Radial, "13", None, Some(SpeedSymbol::S)),
            ("165 R13 78S", 165, None, Build::Radial, "13", Some(78), Some(SpeedSymbol::S)),
            ("185 R14C 102/100Q", 185, None, Build::Radial, "14", Some(102), Some(SpeedSymbol::Q)),
            ("175/70 HR 13", 175, Some(70), Build::Radial, "13", None, Some(SpeedSymbol::H)),
        ] {
            let expected = TyreSize {
                width: Width::Millimetres(width),
                aspect,
                build,
                rim: rim.parse().unwrap(),
                load_index: load,
                speed,
            };
            assert_eq!(TyreSize::parse(text), Some(expected), "{text}");
        }
        for (text, width) in [("6.00-16", "6.00"), ("5.20 - 10 4PR", "5.20"), ("7,50-16", "7.50")] {
            let size = TyreSize::parse(text).unwrap();
            assert_eq!((size.width, size.build), (Width::Inches(width.parse().unwrap()), Build::CrossPly), "{text}");
        }
    }

    #[test]
    fn what_no_car_rolls_on_is_no_size() {
        for text in [
            "",
            "185",
            "999/65 R14",
            "185/5 R14",
            "185/65 R99",
            "185/65 R14 400T",
            "20W-50",
            "8.8",
            "185/65 R14 hello",
            "1/0 R14",
            "🛞",
        ] {
            assert_eq!(TyreSize::parse(text), None, "{text}");
        }
    }
}
