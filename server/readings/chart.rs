//! Readings over time as a small drawing: points, the limit as a line, and the straight line through the points.

use super::series::{Taken, Thing};
use crate::trade::limits::{Outcome, Plan};
use crate::trade::quantity::Unit;
use rust_decimal::Decimal;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 240.0;
const LEFT: f64 = 96.0;
const RIGHT: f64 = 620.0;
const TOP: f64 = 24.0;
const BOTTOM: f64 = 200.0;

/// A reading on the drawing. `mark` is the shape: `pass`, `watch`, `fail`, or `plain` where there is no verdict.
pub struct Point {
    pub x: String,
    pub y: String,
    pub mark: &'static str,
    /// Corners of a triangle or a diamond around the point.
    pub corners: String,
}

pub struct Line {
    pub y: String,
    pub words: String,
}

pub struct Chart {
    pub width: f64,
    pub height: f64,
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
    pub points: Vec<Point>,
    /// Through the points in the order of time.
    pub path: String,
    pub limits: Vec<Line>,
    /// At the ends of the upright axis: place and figure.
    pub scale: Vec<Line>,
    pub from: String,
    pub to: String,
    /// For those who do not see it.
    pub alt: String,
}

impl Chart {
    /// Nothing where there are fewer than two readings in one kind of unit, or all at one moment.
    pub fn of(thing: &Thing<'_>) -> Option<Chart> {
        let unit = Unit::from_code(&thing.latest()?.body.unit);
        let read = |one: &Taken<'_>| Some((one.at.0 as f64, number(one, unit)?, mark(one)));
        let read: Vec<(f64, f64, &'static str)> = thing.points().into_iter().filter_map(read).collect();
        let (first, last) = (read.first()?.0, read.last()?.0);
        if read.len() < 2 || last <= first {
            return None;
        }
        let limits = limits(thing, unit);
        let values = || read.iter().map(|(_, value, _)| *value).chain(limits.iter().map(|(value, _)| *value));
        let (low, high) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        let room = if high > low { (high - low) * 0.12 } else { high.abs().max(1.0) * 0.1 };
        let (low, high) = (low - room, high + room);
        let x = |at: f64| LEFT + (at - first) / (last - first) * (RIGHT - LEFT);
        let y = |value: f64| BOTTOM - (value - low) / (high - low) * (BOTTOM - TOP);
        let name = unit.map_or("", Unit::name);
        let points: Vec<Point> = read.iter().map(|(at, value, mark)| point(x(*at), y(*value), mark)).collect();
        let path = points.iter().map(|point| format!("{},{}", point.x, point.y)).collect::<Vec<_>>().join(" ");
        let end =
            |value: f64| Line { y: place(y(value)), words: format!("{} {name}", short(value)).trim_end().to_owned() };
        let smallest = read.iter().map(|(_, value, _)| *value).fold(f64::INFINITY, f64::min);
        let largest = read.iter().map(|(_, value, _)| *value).fold(f64::NEG_INFINITY, f64::max);
        let day = |at: f64| crate::web::words::day(crate::clock::Moment(at as i64));
        Some(Chart {
            width: WIDTH,
            height: HEIGHT,
            left: LEFT,
            right: RIGHT,
            bottom: BOTTOM,
            alt: format!(
                "{}: {} readings from {} to {}, between {} and {} {name}.",
                thing.what,
                read.len(),
                day(first),
                day(last),
                short(smallest),
                short(largest)
            ),
            scale: vec![end(largest), end(smallest)],
            limits: limits.into_iter().map(|(value, words)| Line { y: place(y(value)), words }).collect(),
            from: day(first),
            to: day(last),
            points,
            path,
        })
    }
}

fn limits(thing: &Thing<'_>, unit: Option<Unit>) -> Vec<(f64, String)> {
    let (Some(Ok(Plan::Sides(sides))), Some(unit)) = (thing.limit.map(|limit| &limit.plan), unit) else {
        return Vec::new();
    };
    let here = |base: Decimal| {
        let [zero, top, bottom] = unit.scale();
        f64::try_from(base.checked_mul(bottom)?.checked_div(top)?.checked_sub(zero)?).ok()
    };
    let is_same = unit.dimension() == sides.dimension;
    sides.sides.iter().filter(|_| is_same).filter_map(|side| Some((here(side.limit)?, side.words()))).collect()
}

/// A reading in `unit`; bare numbers where there is none.
fn number(one: &Taken<'_>, unit: Option<Unit>) -> Option<f64> {
    let number: Decimal = one.body.number.trim().replace(',', ".").parse().ok()?;
    let own = Unit::from_code(&one.body.unit);
    match (own, unit) {
        (None, None) => f64::try_from(number).ok(),
        (Some(own), Some(unit)) if own.dimension() == unit.dimension() => {
            let [zero, top, bottom] = unit.scale();
            f64::try_from(own.to_base(number)?.checked_mul(bottom)?.checked_div(top)?.checked_sub(zero)?).ok()
        }
        (None | Some(_), None | Some(_)) => None,
    }
}

fn mark(one: &Taken<'_>) -> &'static str {
    match &one.verdict {
        Some(Ok((Outcome::Pass, _))) => "pass",
        Some(Ok((Outcome::Watch, _))) => "watch",
        Some(Ok((Outcome::Fail, _))) => "fail",
        Some(Err(_)) | None => "plain",
    }
}

fn point(x: f64, y: f64, mark: &'static str) -> Point {
    let corner = |(dx, dy): (f64, f64)| format!("{},{}", place(x + dx), place(y + dy));
    let shape: &[(f64, f64)] = match mark {
        "watch" => &[(0.0, -9.0), (9.0, 7.0), (-9.0, 7.0)],
        "fail" => &[(0.0, -10.0), (10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)],
        _ => &[],
    };
    let corners = shape.iter().copied().map(corner).collect::<Vec<_>>().join(" ");
    Point { x: place(x), y: place(y), mark, corners }
}

fn place(at: f64) -> String {
    format!("{at:.1}")
}

/// To four figures, without noughts at its end.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
