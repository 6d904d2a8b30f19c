//! The bolt picture of a torque spec: how the bolts lie, in which order they are tightened, and how many joints alike
//! there are of them. How many bolts there are is the fastener's to say.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::{OrderError, Pattern, PatternError, Shape};
use crate::trade::place::{Zone, zone_of};

/// As it is kept with a spec.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Picture {
    pub shape: Shape,
    /// An own order as it was typed; empty: that of the shape's rule.
    #[serde(default)]
    pub order: String,
    /// How many joints alike share the fasteners: 4 for the nuts of four wheels.
    #[serde(default = "one")]
    pub joints: usize,
}

const fn one() -> usize {
    1
}

/// Why there is no such picture.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PictureError {
    #[error("{bolts} of them cannot be shared evenly by {joints} joints: look at how many there are of each.")]
    Joints { bolts: usize, joints: usize },
    #[error("The order names {named} bolts, but there are {count}: write each number from 1 to {count} once.")]
    Named { named: usize, count: usize },
    #[error(transparent)]
    Order(#[from] OrderError),
    #[error(transparent)]
    Pattern(#[from] PatternError),
}

impl Picture {
    /// Whether somebody typed the order.
    pub fn is_own(&self) -> bool {
        !self.order.trim().is_empty()
    }

    /// The pattern of one joint, where there are `bolts` in all. Errors when they cannot be shared by the joints, an own
    /// order does not name each once, or the shape cannot have that many.
    pub fn pattern(&self, bolts: usize) -> Result<Pattern, PictureError> {
        if self.joints == 0 || bolts == 0 || !bolts.is_multiple_of(self.joints) {
            return Err(PictureError::Joints { bolts, joints: self.joints });
        }
        let count = bolts / self.joints;
        if !self.is_own() {
            return Ok(Pattern::by_rule(self.shape, count)?);
        }
        let named = super::own::read(&self.order)?.len();
        if named != count {
            return Err(PictureError::Named { named, count });
        }
        Ok(Pattern::own(self.shape, &self.order)?)
    }

    /// How many of the joints a step means, by the name of what it tightens: of four, one at each corner of the car, ‘front
    /// left’ is one and ‘front’ is two; of two, one on each side, ‘left’ is one. All of them where the name does not say.
    pub fn joints_of(&self, object: &str) -> usize {
        let (corner, side, end) = match zone_of(object, None) {
            Zone::FrontLeft | Zone::FrontRight | Zone::RearLeft | Zone::RearRight => (true, false, false),
            Zone::Left | Zone::Right => (false, true, false),
            Zone::Front | Zone::Rear => (false, false, true),
            Zone::EngineBay | Zone::Middle | Zone::Inside | Zone::Car => (false, false, false),
        };
        match self.joints {
            4 if corner => 1,
            4 if side || end => 2,
            2 if corner || side => 1,
            all => all,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(shape: Shape, order: &str, joints: usize) -> Picture {
        Picture { shape, order: order.into(), joints }
    }

    fn refused(picture: &Picture, bolts: usize) -> String {
        picture.pattern(bolts).unwrap_err().to_string()
    }

    #[test]
    fn the_count_is_the_fasteners_and_is_shared_by_joints_alike() {
        let wheels = picture(Shape::Ring, "", 4);
        assert_eq!(wheels.pattern(20).unwrap().written(), "1 3 5 2 4");
        assert_eq!(
            refused(&wheels, 18),
            "18 of them cannot be shared evenly by 4 joints: look at how many there are of each."
        );
        assert!(refused(&picture(Shape::Ring, "", 0), 5).contains("by 0 joints"));
        assert_eq!(refused(&wheels, 8), "Bolts in a ring number from 3 to 40 here, not 2.");
    }

    #[test]
    fn an_own_order_names_each_bolt_of_a_joint_once() {
        let own = |order| picture(Shape::TwoRows, order, 1);
        assert_eq!(own("3, 1, 2, 4").pattern(4).unwrap().order(), [3, 1, 2, 4]);
        let named = "The order names 4 bolts, but there are 6: write each number from 1 to 6 once.";
        assert_eq!(refused(&own("1 2 3 4"), 6), named);
        assert!(refused(&own("1 2 2 4"), 4).contains("Bolt 2 comes twice"));
        assert!(refused(&own("1 2 4 5"), 4).contains("Bolt 3 is missing"));
        assert!(matches!(own("").pattern(2), Err(PictureError::Pattern(_))));
    }

    #[test]
    fn a_step_means_the_joints_that_its_name_names() {
        let four = picture(Shape::Ring, "", 4);
        for (object, joints) in
            [("front wheel nuts", 2), ("rear left wheel nuts", 1), ("left wheel nuts", 2), ("wheel nuts", 4)]
        {
            assert_eq!(four.joints_of(object), joints, "{object}");
        }
        let two = picture(Shape::Ring, "", 2);
        assert_eq!([two.joints_of("front left hub"), two.joints_of("front hubs")], [1, 2]);
        assert_eq!(picture(Shape::Row, "", 1).joints_of("front cover"), 1);
    }
}
