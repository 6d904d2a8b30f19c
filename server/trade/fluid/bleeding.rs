//! How much fluid a brake or clutch bleed takes: from the bores and lengths of its pipes.

use rust_decimal::Decimal;
use thiserror::Error;

use crate::trade::citation::Citation;
use crate::trade::quantity::{Length, LengthUnit, ParseError, SizeError, Volume, VolumeUnit};

/// A pipe or hose of one bore.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pipe {
    bore: Length,
    length: Length,
}

/// Why a pipe or a bleed was not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PipeError {
    #[error("A pipe needs a bore and a length above zero: the bore is the hole, often about 3 mm, not the outside.")]
    Nothing,

    #[error(
        "A bore of {0} is no brake pipe: the hole of one measures a few millimetres. Is the outside diameter or the unit meant?"
    )]
    TooWide(String),

    #[error("List at least one pipe, with its bore and its length.")]
    NoPipes,

    #[error(transparent)]
    Unreadable(#[from] ParseError),

    #[error(transparent)]
    Size(#[from] SizeError),
}

/// What a bleed takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bleed {
    /// What the pipes hold.
    pub in_pipes: Volume,
    /// New fluid to have at hand.
    pub have_ready: Volume,
    pub says: &'static str,
    pub source: Citation,
}

const WIDEST_BORE_MM: Decimal = Decimal::from_parts(15, 0, 0, false, 0);

/// π to 28 digits.
const PI: Decimal = Decimal::from_parts(1_102_470_953, 185_874_565, 1_703_060_790, false, 28);

/// Times the contents of the pipes that are pushed through until no old fluid comes. Common practice, no source.
const PUSHED_THROUGH: Decimal = Decimal::from_parts(3, 0, 0, false, 0);

impl Pipe {
    /// Errors if either is zero, or the bore is wider than any brake pipe's.
    pub fn new(bore: Length, length: Length) -> Result<Self, PipeError> {
        if bore.number().is_zero() || length.number().is_zero() {
            return Err(PipeError::Nothing);
        }
        if bore.to(LengthUnit::Millimetre) > WIDEST_BORE_MM {
            return Err(PipeError::TooWide(bore.to_string()));
        }
        Ok(Self { bore, length })
    }

    pub fn parse(bore: &str, length: &str) -> Result<Self, PipeError> {
        Self::new(Length::parse(bore)?, Length::parse(length)?)
    }

    /// In millilitres: π/4 · bore² · length.
    fn holds(&self) -> Decimal {
        let bore = self.bore.to(LengthUnit::Centimetre);
        PI / Decimal::from(4) * bore * bore * self.length.to(LengthUnit::Centimetre)
    }
}

/// What bleeding through `pipes` takes, with a reservoir of `reservoir` kept full. Calipers, wheel cylinders and spills are
/// not in it: the sentence says so.
pub fn bleed(pipes: &[Pipe], reservoir: &Volume) -> Result<Bleed, PipeError> {
    if pipes.is_empty() {
        return Err(PipeError::NoPipes);
    }
    let content: Decimal = pipes.iter().map(Pipe::holds).sum();
    let in_pipes = Volume::computed(content, VolumeUnit::Millilitre)?;
    let have_ready = in_pipes.checked_mul(PUSHED_THROUGH)?.checked_add(reservoir)?;
    Ok(Bleed {
        in_pipes,
        have_ready,
        says: "Three times what the pipes hold, and one reservoir. Calipers, wheel cylinders and spills come on top: buy twice \
               as much rather than stop half way, and never let the reservoir run empty.",
        source: Citation::PRACTICE,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pipe_holds_what_its_cylinder_holds() {
        let pipes = [Pipe::parse("3 mm", "4 m").unwrap()];
        let bleed = bleed(&pipes, &Volume::parse("100 ml").unwrap()).unwrap();
        assert_eq!(bleed.in_pipes.number().round_dp(3), "28.274".parse().unwrap());
        assert_eq!(bleed.have_ready.number().round_dp(2), "184.82".parse().unwrap());
    }

    #[test]
    fn inches_and_millimetres_may_stand_side_by_side() {
        let inch = Pipe::parse("0.125 in", "10 ft").unwrap();
        let metric = Pipe::parse("3.175 mm", "3048 mm").unwrap();
        assert_eq!(inch.holds(), metric.holds());
    }

    #[test]
    fn impossible_pipes_are_refused() {
        assert_eq!(Pipe::parse("0 mm", "1 m"), Err(PipeError::Nothing));
        assert_eq!(Pipe::parse("3 mm", "0 m"), Err(PipeError::Nothing));
        assert!(matches!(Pipe::parse("3 cm", "1 m"), Err(PipeError::TooWide(_))));
        assert_eq!(bleed(&[], &Volume::parse("0 ml").unwrap()), Err(PipeError::NoPipes));
        let endless = [Pipe::parse("15 mm", "100 m").unwrap()];
        assert!(bleed(&endless, &Volume::parse("9999 l").unwrap()).is_err());
    }
}
