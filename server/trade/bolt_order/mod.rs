//! In which order the bolts of a joint are tightened, and where they are.
//!
//! A [`Pattern`] always visits every bolt exactly once. Rules, common practice unless said otherwise:
//!
//! * a ring or an oval crosswise, so that it comes down level: any two bolts tightened one after the other lie at least
//!   90° apart (three bolts: 120°), see `ring.rs`;
//! * a row from the middle outwards, to alternate sides, so that what is clamped can spread, see `rows.rs`;
//! * two rows likewise, and crosswise.
//!
//! An order that the maker gives goes before all of them: [`Pattern::own`]. A spec keeps a [`Picture`], and [`Counted`]
//! counts the bolts while they are tightened.

mod count;
mod own;
mod picture;
mod ring;
mod rows;
mod stages;

#[cfg(test)]
mod properties;

use serde::Serialize;
use thiserror::Error;

use super::closed_set::closed_set;

pub use count::{At, Count, Counted};
pub use own::OrderError;
pub use picture::{Picture, PictureError};
pub use stages::{Round, Stage, StageError, Turn, doubts, rounds};

closed_set! {
    /// How the bolts lie.
    pub enum Shape {
        Ring = "ring", "in a ring";
        Oval = "oval", "in an oval";
        Row = "row", "in one row";
        TwoRows = "two-rows", "in two rows";
    }
}

/// One bolt in a square of side 1, x to the right and y downwards as on a screen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// From 1: clockwise from the top in a ring or oval, from the left in a row, the upper row first in two.
    pub bolt: usize,
    pub x: f64,
    pub y: f64,
    /// When it is tightened in each round, from 1.
    pub turn: usize,
}

/// Bolts, and the order in which they are tightened.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pattern {
    shape: Shape,
    /// In the order of their numbers.
    places: Vec<Place>,
    /// Numbers of the bolts, each once.
    order: Vec<usize>,
}

/// Why there is no such pattern.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PatternError {
    #[error("Bolts {} number from {least} to {most} here, not {count}.", .shape.label())]
    Count { shape: Shape, count: usize, least: usize, most: usize },
    #[error(transparent)]
    Order(#[from] OrderError),
}

/// The most bolts of any pattern.
const MOST: usize = 40;

impl Shape {
    /// The fewest bolts that make such a shape.
    pub const fn least(self) -> usize {
        match self {
            Self::Ring | Self::Oval => 3,
            Self::Row => 2,
            Self::TwoRows => 4,
        }
    }

    fn positions(self, count: usize) -> Vec<(f64, f64)> {
        match self {
            Self::Ring => ring::positions(count, 0.5),
            // Two thirds as high as it is wide.
            Self::Oval => ring::positions(count, 0.5 * 2.0 / 3.0),
            Self::Row => rows::one(count),
            Self::TwoRows => rows::two(count),
        }
    }

    /// Numbers of the bolts from 0, in the order of the rule.
    fn by_rule(self, count: usize) -> Vec<usize> {
        match self {
            Self::Ring | Self::Oval => ring::crosswise(count),
            Self::Row | Self::TwoRows => rows::outwards(&self.positions(count)),
        }
    }
}

impl Pattern {
    /// The pattern by the rule of its shape. Errors when the shape cannot have that many bolts.
    pub fn by_rule(shape: Shape, count: usize) -> Result<Self, PatternError> {
        Self::checked(shape, count)?;
        Ok(Self::laid_out(shape, &shape.by_rule(count)))
    }

    /// A pattern with the order that somebody typed, such as `1 5 3 7 2 6 4 8`; it says how many bolts there are.
    /// Errors when it does not name every bolt exactly once, or the shape cannot have that many.
    pub fn own(shape: Shape, order: &str) -> Result<Self, PatternError> {
        let order = own::read(order)?;
        Self::checked(shape, order.len())?;
        Ok(Self::laid_out(shape, &order))
    }

    fn checked(shape: Shape, count: usize) -> Result<(), PatternError> {
        let least = shape.least();
        if (least..=MOST).contains(&count) {
            return Ok(());
        }
        Err(PatternError::Count { shape, count, least, most: MOST })
    }

    /// `order` holds every number below its length once.
    fn laid_out(shape: Shape, order: &[usize]) -> Self {
        let positions = shape.positions(order.len());
        let turn = |bolt: usize| order.iter().position(|one| *one == bolt).map_or(0, |turn| turn + 1);
        let places = positions.into_iter().enumerate();
        Self {
            shape,
            places: places.map(|(bolt, (x, y))| Place { bolt: bolt + 1, x, y, turn: turn(bolt) }).collect(),
            order: order.iter().map(|bolt| bolt + 1).collect(),
        }
    }

    pub const fn shape(&self) -> Shape {
        self.shape
    }

    /// In the order of the bolts' numbers.
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// Numbers of the bolts from 1, in the order of tightening.
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// `1 5 3 7 2 6 4 8`, as it can be typed again.
    pub fn written(&self) -> String {
        self.order.iter().map(usize::to_string).collect::<Vec<_>>().join(" ")
    }

    /// Why this order, for whoever wonders.
    pub fn sentence(&self) -> &'static str {
        match self.shape {
            Shape::Ring | Shape::Oval => "Crosswise, each bolt far from the last, so that the joint comes down level.",
            Shape::Row => "From the middle outwards, to alternate sides, so that what is clamped can spread.",
            Shape::TwoRows => {
                "From the middle outwards and crosswise, so that what is clamped can spread and comes down level."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(shape: Shape, count: usize) -> String {
        Pattern::by_rule(shape, count).unwrap().written()
    }

    /// Source for 4, 8 and 12: ASME PCC-1, the star pattern of its older editions, from memory.
    #[test]
    fn rings_are_tightened_crosswise() {
        for (count, expected) in [
            (3, "1 2 3"),
            (4, "1 3 2 4"),
            (5, "1 3 5 2 4"),
            (6, "1 4 2 5 3 6"),
            (7, "1 4 7 3 6 2 5"),
            (8, "1 5 3 7 2 6 4 8"),
            (12, "1 7 4 10 2 8 5 11 3 9 6 12"),
        ] {
            assert_eq!(order(Shape::Ring, count), expected, "{count}");
            assert_eq!(order(Shape::Oval, count), expected, "{count}");
        }
    }

    #[test]
    fn rows_are_tightened_from_the_middle_outwards() {
        assert_eq!(order(Shape::Row, 2), "1 2");
        assert_eq!(order(Shape::Row, 5), "3 2 4 1 5");
        assert_eq!(order(Shape::Row, 6), "3 4 2 5 1 6");
    }

    /// Common practice, no source: a four-cylinder head with ten bolts, 1 to 5 above, 6 to 10 below.
    #[test]
    fn a_head_of_two_rows_is_tightened_outwards_and_crosswise() {
        assert_eq!(order(Shape::TwoRows, 10), "3 8 2 9 7 4 1 10 6 5");
        assert_eq!(order(Shape::TwoRows, 8), "2 7 6 3 1 8 5 4");
    }

    #[test]
    fn counts_beyond_a_shape_are_refused_with_a_sentence() {
        let refused = |shape, count| Pattern::by_rule(shape, count).unwrap_err().to_string();
        assert_eq!(refused(Shape::Ring, 2), "Bolts in a ring number from 3 to 40 here, not 2.");
        assert_eq!(refused(Shape::TwoRows, 41), "Bolts in two rows number from 4 to 40 here, not 41.");
        assert_eq!(refused(Shape::Row, 0), "Bolts in one row number from 2 to 40 here, not 0.");
    }

    #[test]
    fn the_makers_own_order_is_kept() {
        let own = Pattern::own(Shape::Ring, "1, 4, 2, 3").unwrap();
        assert_eq!(own.written(), "1 4 2 3");
        let turns: Vec<usize> = own.places().iter().map(|place| place.turn).collect();
        assert_eq!(turns, [1, 3, 4, 2]);
        assert!(matches!(Pattern::own(Shape::Ring, "1 2"), Err(PatternError::Count { .. })));
        assert!(matches!(Pattern::own(Shape::Ring, "1 2 2"), Err(PatternError::Order(_))));
    }

    #[test]
    fn bolt_one_of_a_ring_is_at_the_top_and_the_next_to_its_right() {
        let ring = Pattern::by_rule(Shape::Ring, 4).unwrap();
        let near = |place: Place, x: f64, y: f64| (place.x - x).abs() < 1e-9 && (place.y - y).abs() < 1e-9;
        assert!(near(ring.places()[0], 0.5, 0.0) && near(ring.places()[1], 1.0, 0.5));
    }
}
