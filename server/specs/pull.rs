//! How far a torque pulls its bolt, drawn over friction: a chart of a few strokes, made here so that no script is needed.
//! The template puts it into an SVG of [`WIDTH`] by [`HEIGHT`] units; all numbers here are such units.

use crate::trade::preload::{ChartPoint, PreloadRange, chart};
use crate::trade::quantity::{Span, TorqueUnit};

pub const WIDTH: f64 = 400.0;
pub const HEIGHT: f64 = 250.0;
/// The field inside the axes.
const LEFT: f64 = 62.0;
const RIGHT: f64 = 390.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 190.0;
/// Friction at both ends, as `preload::chart` has it.
const SLIPPERY: f64 = 0.04;
const ROUGH: f64 = 0.30;
/// No chart is drawn of a bolt that is pulled further than this share of its proof load in any case: the words say it.
const FURTHEST: f64 = 2.0;

/// A tick on an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    pub at: String,
    pub words: String,
}

/// The strokes of the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// Where the friction may be, from left to right.
    pub from: Tick,
    pub to: Tick,
    /// The curves over all frictions, thin, and over the possible ones, bold: one for a torque, two for a range of it.
    pub thin: Vec<String>,
    pub bold: Vec<String>,
    /// Height of the proof load.
    pub proof: String,
    /// The pull that is possible, as a bar on the upright axis.
    pub most: String,
    pub least: String,
    pub shares: Vec<Tick>,
}

impl Pull {
    /// `None` where even the least possible pull runs off the paper.
    pub fn new(range: PreloadRange, torque: &Span<TorqueUnit>) -> Option<Pull> {
        let (least, most) = range.shares();
        if least > FURTHEST {
            return None;
        }
        let top = ((most * 10.0).ceil() / 10.0 + 0.1).clamp(1.2, FURTHEST);
        let ends = if torque.is_single() { vec![torque.high()] } else { vec![torque.low(), torque.high()] };
        let curves: Vec<Vec<ChartPoint>> = ends.into_iter().map(|end| chart(range.bolt, end, range.friction)).collect();
        let possible = |curve: &Vec<ChartPoint>| curve.iter().copied().filter(|point| point.possible).collect();
        let bold: Vec<Vec<ChartPoint>> = curves.iter().map(possible).collect();
        let friction = |at: f64| Tick { at: number(across(at)), words: format!("{at:.2}") };
        let share = |at: f64| Tick { at: number(up(at, top)), words: format!("{:.0} %", at * 100.0) };
        Some(Pull {
            from: friction(range.friction.low()),
            to: friction(range.friction.high()),
            thin: curves.iter().map(|curve| stroke(curve, top)).collect(),
            bold: bold.iter().map(|curve| stroke(curve, top)).collect(),
            proof: number(up(1.0, top)),
            most: number(up(most.min(top), top)),
            least: number(up(least.min(top), top)),
            shares: [0.0, 0.5, 1.0, 1.5].into_iter().filter(|at| *at < top).map(share).collect(),
        })
    }

    pub fn band(&self) -> String {
        format!("M{0} {TOP}V{BOTTOM}H{1}V{TOP}Z", self.from.at, self.to.at)
    }
}

fn across(friction: f64) -> f64 {
    LEFT + (friction - SLIPPERY) / (ROUGH - SLIPPERY) * (RIGHT - LEFT)
}

fn up(share: f64, top: f64) -> f64 {
    BOTTOM - share / top * (BOTTOM - TOP)
}

fn number(at: f64) -> String {
    format!("{at:.1}")
}

/// A falling curve as a path; what runs over the top is cut off there.
fn stroke(curve: &[ChartPoint], top: f64) -> String {
    let Some(first) = curve.iter().position(|point| point.share <= top) else {
        return String::new();
    };
    let crossing = first.checked_sub(1).map(|before| {
        let (over, under) = (curve[before], curve[first]);
        let part = (over.share - top) / (over.share - under.share);
        (over.friction + part * (under.friction - over.friction), top)
    });
    let rest = curve[first..].iter().map(|point| (point.friction, point.share));
    let points: Vec<String> = crossing
        .into_iter()
        .chain(rest)
        .map(|(friction, share)| format!("{} {}", number(across(friction)), number(up(share, top))))
        .collect();
    format!("M{}", points.join("L"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::fastener_strength::{Bolt, Class};
    use crate::trade::preload::{Friction, Lubrication};
    use crate::trade::thread::Thread;

    fn pull(torque: &str) -> Option<Pull> {
        let thread = Thread::parse("M10").unwrap();
        let bolt = Bolt::new(thread, Class::read("8.8", Some(thread)).unwrap().class).unwrap();
        let torque = Span::parse(torque).unwrap();
        let friction = Friction::of(&[Lubrication::Oiled]);
        Pull::new(PreloadRange::of(bolt, &torque, friction), &torque)
    }

    /// Every number in a path.
    fn numbers(path: &str) -> Vec<f64> {
        path.split(|letter: char| !letter.is_ascii_digit() && letter != '.')
            .filter_map(|one| one.parse().ok())
            .collect()
    }

    #[test]
    fn a_torque_is_one_curve_and_a_range_is_two() {
        assert_eq!(pull("45 Nm").unwrap().bold.len(), 1);
        assert_eq!(pull("40-50 Nm").unwrap().bold.len(), 2);
    }

    #[test]
    fn no_stroke_leaves_the_paper_however_high_the_torque() {
        for torque in ["3 Nm", "45 Nm", "70 Nm", "110 Nm", "40-140 Nm"] {
            let drawn = pull(torque).unwrap();
            for path in drawn.thin.iter().chain(&drawn.bold) {
                let points = numbers(path);
                for point in points.chunks(2) {
                    let inside = (LEFT..=RIGHT).contains(&point[0]) && (TOP..=BOTTOM).contains(&point[1]);
                    assert!(inside, "{torque}: {point:?}");
                }
            }
        }
        assert_eq!(pull("900 Nm"), None);
    }

    #[test]
    fn the_bar_runs_between_the_ends_of_the_bold_curve() {
        let drawn = pull("45 Nm").unwrap();
        let points = numbers(&drawn.bold[0]);
        assert_eq!(number(points[1]), drawn.most);
        assert_eq!(number(points[points.len() - 1]), drawn.least);
        assert_eq!(number(points[0]), drawn.from.at);
    }
}
