//! The relation between torque and pull, and how near the bolt comes to yield.
//!
//! Source: VDI 2230 (2003), after Motosh, formulas confirmed against a published table of it
//! (`tests/published/preload.rs`).

use crate::trade::fastener_strength::Bolt;
use crate::trade::mechanics::{Force, double};
use crate::trade::quantity::{Torque, TorqueUnit};
use crate::trade::thread::Thread;

/// The pull that a torque brings at a friction above zero.
pub fn preload_at(bolt: Bolt, torque: &Torque, friction: f64) -> Force {
    let newton_millimetres = double(torque.to(TorqueUnit::NewtonMetre)) * 1000.0;
    Force::of_newtons(newton_millimetres / lever(bolt.thread(), friction))
}

/// How near the shank comes to yield while it is pulled and twisted at once; 1 is yield. Takes the twist as plastic
/// across the whole section, which is where the 1.5 comes from, as VDI 2230 does.
pub fn share_of_yield(bolt: Bolt, torque: &Torque, friction: f64) -> f64 {
    let size = bolt.thread().dimensions();
    let stressed = f64::midpoint(size.flank, size.core);
    let twist = 1.5 * (size.flank / stressed) * (size.pitch / (std::f64::consts::PI * size.flank) + 1.155 * friction);
    let at_yield = bolt.figures().yielding.over(bolt.thread().stress_area());
    preload_at(bolt, torque, friction).share_of(at_yield) * (1.0 + 3.0 * twist * twist).sqrt()
}

/// Torque over pull, in millimetres: what the slope of the thread, its friction and the friction under the head each
/// take.
fn lever(thread: Thread, friction: f64) -> f64 {
    let size = thread.dimensions();
    let slope = size.pitch / (2.0 * std::f64::consts::PI);
    slope + 0.577 * size.flank * friction + bearing_diameter(size.outside) / 2.0 * friction
}

/// Nominal diameter, outside of the washer face and clearance hole, in millimetres. Source: ISO 4014 (least washer
/// face, grade A) and ISO 273 medium, from memory; they reproduce the published table.
const HEX_HEADS: [(f64, f64, f64); 13] = [
    (4.0, 5.88, 4.5),
    (5.0, 6.88, 5.5),
    (6.0, 8.88, 6.6),
    (8.0, 11.63, 9.0),
    (10.0, 14.63, 11.0),
    (12.0, 16.63, 13.5),
    (14.0, 19.64, 15.5),
    (16.0, 22.49, 17.5),
    (18.0, 25.34, 20.0),
    (20.0, 28.19, 22.0),
    (22.0, 31.71, 24.0),
    (24.0, 33.61, 26.0),
    (30.0, 42.75, 33.0),
];

/// The mean of those rows, for sizes between them and for inch heads, which come within 10 % of it.
const USUAL_BEARING: f64 = 1.27;

/// The mean diameter at which the head rubs, in millimetres.
fn bearing_diameter(nominal: f64) -> f64 {
    let row = HEX_HEADS.iter().find(|row| (row.0 - nominal).abs() < 0.01);
    row.map_or(USUAL_BEARING * nominal, |(_, face, hole)| f64::midpoint(*face, *hole))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_bearing_diameter_is_that_of_the_table_within_a_few_percent() {
        for (nominal, ..) in HEX_HEADS {
            let share = bearing_diameter(nominal) / (USUAL_BEARING * nominal);
            assert!((0.96..1.04).contains(&share), "{nominal}: {share}");
        }
    }
}
