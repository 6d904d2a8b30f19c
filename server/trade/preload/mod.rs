//! From torque to the pull in the bolt, always as a range.
//!
//! Relation of VDI 2230 (after Motosh): `M = F·(P/2π + 0.577·d2·µ + Dkm/2·µ)`, for a solid steel bolt with a parallel
//! 60° thread and a flat hexagon head. Friction is never known better than within a factor of two, so the result is a
//! range of preloads, told as a share of the proof load. It goes one way only: nothing here makes a torque out of a
//! preload.
//!
//! Binary floating point throughout, as `mechanics` says.
//!
//! | file | holds |
//! |---|---|
//! | `friction.rs` | lubrication in words, and the range of friction each stands for, with its source |
//! | `relation.rs` | the relation itself, and how near yield the bolt comes |

mod friction;
mod relation;

use std::fmt;

use serde::Serialize;

use super::fastener_strength::Bolt;
use super::mechanics::Force;
use super::quantity::{Span, Torque, TorqueUnit};

pub use friction::{Friction, Lubrication};
pub use relation::{preload_at, share_of_yield};

/// What a torque does to a bolt, over the whole range of its friction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PreloadRange {
    pub bolt: Bolt,
    pub friction: Friction,
    /// With the lowest torque and the greatest friction.
    pub least: Force,
    /// With the highest torque and the least friction.
    pub most: Force,
}

/// One point of the chart: what share of the proof load the torque reaches at a friction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ChartPoint {
    pub friction: f64,
    /// 1 is the whole proof load.
    pub share: f64,
    /// Whether that friction is within the range judged by.
    pub possible: bool,
}

impl PreloadRange {
    pub fn of(bolt: Bolt, torque: &Span<TorqueUnit>, friction: Friction) -> Self {
        let least = preload_at(bolt, torque.low(), friction.high());
        let most = preload_at(bolt, torque.high(), friction.low());
        Self { bolt, friction, least, most }
    }

    /// Least and most as shares of the proof load; 1 is all of it.
    pub fn shares(self) -> (f64, f64) {
        let proof = self.bolt.proof_load();
        (self.least.share_of(proof), self.most.share_of(proof))
    }
}

/// In whole percent, as after the words 'it pulls the bolt to': `between 48 % and 91 % of its proof load, with friction
/// anywhere from 0.07 to 0.18`. What lies past the proof load is only said to, because the relation ends there.
impl fmt::Display for PreloadRange {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, most) = self.shares();
        match (least > 1.0, most > 1.0) {
            (true, _) => out.write_str("more than its proof load")?,
            (false, true) => write!(out, "between {:.0} % of its proof load and more than all of it", least * 100.0)?,
            (false, false) => {
                write!(out, "between {:.0} % and {:.0} % of its proof load", least * 100.0, most * 100.0)?;
            }
        }
        write!(out, ", with friction anywhere from {:.2} to {:.2}", self.friction.low(), self.friction.high())
    }
}

/// For a small chart: friction from 0.04 to 0.30 in steps of 0.01, and the share of proof load at each.
pub fn chart(bolt: Bolt, torque: &Torque, friction: Friction) -> Vec<ChartPoint> {
    let proof = bolt.proof_load();
    (4..=30)
        .map(|hundredths| {
            let at = f64::from(hundredths) / 100.0;
            let share = preload_at(bolt, torque, at).share_of(proof);
            ChartPoint { friction: at, share, possible: friction.holds(at) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::fastener_strength::{Class, PropertyClass};
    use crate::trade::thread::Thread;

    fn bolt() -> Bolt {
        Bolt::new(Thread::parse("M10").unwrap(), Class::Metric(PropertyClass::C8_8)).unwrap()
    }

    #[test]
    fn more_friction_always_means_less_preload() {
        let torque = Torque::parse("45 Nm").unwrap();
        let points = chart(bolt(), &torque, Friction::of(&[Lubrication::Oiled]));
        assert_eq!(points.len(), 27);
        assert!(points.windows(2).all(|pair| pair[0].share > pair[1].share));
        assert!(points.iter().any(|point| point.possible) && points.iter().any(|point| !point.possible));
    }

    #[test]
    fn a_range_of_torques_widens_the_range_of_preload() {
        let reckoned = |text| PreloadRange::of(bolt(), &Span::parse(text).unwrap(), Friction::of(&[]));
        let (one, several) = (reckoned("45 Nm"), reckoned("40-50 Nm"));
        assert!(several.least < one.least && several.most > one.most);
        assert!(one.least < one.most);
    }

    #[test]
    fn the_result_is_told_in_whole_percent() {
        let told = PreloadRange::of(bolt(), &Span::parse("45 Nm").unwrap(), Friction::of(&[Lubrication::Oiled]));
        let words = told.to_string();
        assert!(words.starts_with("between ") && words.ends_with("from 0.07 to 0.18"), "{words}");
        let far = PreloadRange::of(bolt(), &Span::parse("450 Nm").unwrap(), Friction::of(&[Lubrication::Oiled]));
        assert!(far.to_string().starts_with("more than its proof load"), "{far}");
    }
}
