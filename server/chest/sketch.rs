//! A wrench with its adapter, drawn to scale as an SVG of [`WIDTH`] units; lengths are marked below it.

use crate::trade::torque_wrench::{Drawing, Offset, Point};

pub const WIDTH: f64 = 400.0;
/// Room at the sides for the grip and the nut.
const SIDE: f64 = 24.0;
/// Room above for the words at the adapter.
const ABOVE: f64 = 44.0;
/// Room below for the two lengths.
const BELOW: f64 = 96.0;
/// The tallest that wrench and adapter become; then they are drawn smaller.
const TALLEST: f64 = 220.0;

/// A place on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    pub x: f64,
    pub y: f64,
}

/// The strokes, in units of the SVG; `y` runs downwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    pub height: f64,
    pub grip: At,
    pub drive: At,
    pub bolt: At,
    pub foot: At,
    /// Heights of the two lengths below: the lever itself, and the one that counts.
    pub lever_at: f64,
    pub counts_at: f64,
    /// Where the words of the adapter stand, right up to here.
    pub words: At,
}

impl Sketch {
    pub fn of(offset: &Offset) -> Sketch {
        let drawing = offset.drawing();
        let (wide, tall) = (drawing.high.x - drawing.low.x, drawing.high.y - drawing.low.y);
        let scale = ((WIDTH - 2.0 * SIDE) / wide).min(if tall > 0.0 { TALLEST / tall } else { f64::INFINITY });
        let on_paper = |point: Point| At {
            x: tenth(SIDE + (point.x - drawing.low.x) * scale),
            y: tenth(ABOVE + (drawing.high.y - point.y) * scale),
        };
        let bottom = ABOVE + tall * scale;
        let bolt = on_paper(drawing.bolt);
        Sketch {
            height: tenth(bottom + BELOW),
            grip: on_paper(drawing.grip),
            drive: on_paper(drawing.drive),
            bolt,
            foot: on_paper(drawing.foot),
            lever_at: tenth(bottom + 30.0),
            counts_at: tenth(bottom + 66.0),
            words: At { x: (bolt.x + 16.0).clamp(150.0, WIDTH - 8.0), y: bolt.y - 22.0 },
        }
    }

    /// A hexagon around the bolt.
    pub fn nut(&self) -> String {
        const RADIUS: f64 = 13.0;
        let corner = |sixth: u32| {
            let turn = f64::from(sixth) * std::f64::consts::FRAC_PI_3;
            format!("{:.1} {:.1}", self.bolt.x + RADIUS * turn.cos(), self.bolt.y + RADIUS * turn.sin())
        };
        format!("M{}Z", (0..6).map(corner).collect::<Vec<_>>().join("L"))
    }

    /// A length with a stop at either end, at a height below the drawing.
    pub fn length(&self, to: &At, at: &f64) -> String {
        format!("M{0} {1}v12M{2} {1}v12M{0} {3}H{2}", self.grip.x, at - 6.0, to.x, at)
    }

    /// The middle between the grip and another point.
    pub fn middle(&self, to: &At) -> f64 {
        tenth(f64::midpoint(self.grip.x, to.x))
    }
}

fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// How long the lever is that counts, in millimetres, as words.
pub fn counts(drawing: &Drawing) -> String {
    format!("{:.0} mm", drawing.foot.x - drawing.grip.x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::quantity::{Angle, Length};

    fn sketch(lever: &str, reach: &str, angle: &str) -> Sketch {
        let (lever, reach) = (Length::parse(lever).unwrap(), Length::parse(reach).unwrap());
        Sketch::of(&Offset::new(lever, reach, Angle::parse(angle).unwrap()).unwrap())
    }

    #[test]
    fn lengths_on_the_paper_keep_their_proportion() {
        let drawn = sketch("300 mm", "75 mm", "0°");
        let lever = drawn.drive.x - drawn.grip.x;
        assert!((lever / (drawn.bolt.x - drawn.drive.x) - 4.0).abs() < 0.02, "{drawn:?}");
        let across = sketch("300 mm", "75 mm", "90°");
        assert!(((across.drive.x - across.grip.x) / (across.drive.y - across.bolt.y) - 4.0).abs() < 0.02);
    }

    #[test]
    fn everything_stays_on_the_paper() {
        for (lever, reach, angle) in [
            ("300 mm", "50 mm", "0°"),
            ("300 mm", "250 mm", "90°"),
            ("300 mm", "250 mm", "-90°"),
            ("300 mm", "290 mm", "180°"),
            ("20 mm", "900 mm", "60°"),
        ] {
            let drawn = sketch(lever, reach, angle);
            for at in [drawn.grip, drawn.drive, drawn.bolt, drawn.foot, drawn.words] {
                let inside = (0.0..=WIDTH).contains(&at.x) && (0.0..=drawn.height).contains(&at.y);
                assert!(inside, "{reach} {angle}: {at:?} of {drawn:?}");
            }
            assert!(drawn.height <= ABOVE + TALLEST + BELOW + 0.1);
        }
    }
}
