//! Whether the chest holds what a step asks for.

use super::kind::ToolKind;
use super::size::Size;
use super::tool::Tool;
use super::wanted::{Reach, Wanted};
use crate::trade::quantity::{Length, LengthUnit};
use rust_decimal::Decimal;

/// A tool whose size is not that of the head goes onto it up to this play, and rounds its corners; in millimetres.
/// Common practice, no source.
const GOES_ON: Decimal = Decimal::from_parts(6, 0, 0, false, 1);
/// A tool that is smaller by no more than this may still be pressed on. Common practice, no source.
const PRESSED_ON: Decimal = Decimal::from_parts(6, 0, 0, false, 2);

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// It lies there.
    Here,
    /// It lies there on another square, and an adapter does too.
    ByAdapter {
        has: &'static str,
    },
    /// It lies there, but nobody wrote its length, and the step asks for one.
    Unmeasured,
    /// Only one that is too long.
    TooLong(Option<Length>),
    /// Only one that is too short.
    TooShort(Option<Length>),
    /// Only one on another square.
    OtherDrive {
        has: &'static str,
    },
    /// Only one of nearly the size, which rounds the head.
    Near(Near),
    Missing,
}

/// A size that nearly fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Near {
    pub tool: Size,
    pub head: Size,
    /// How much wider the tool is, in millimetres; negative where it is narrower.
    pub play: Decimal,
}

impl Near {
    /// `None` where the one has nothing to do with the other, or is the same size.
    fn between(tool: Size, head: Size) -> Option<Near> {
        let play = (tool.across_flats()? - head.across_flats()?).normalize();
        (tool != head && !play.is_zero() && (-PRESSED_ON..=GOES_ON).contains(&play)).then_some(Near {
            tool,
            head,
            play,
        })
    }

    /// What that does to the head.
    pub fn sentence(self) -> String {
        let Near { tool, head, play } = self;
        if play.is_sign_negative() {
            return format!("{tool} is {} mm too narrow for {head}: it goes on by force or not at all.", -play);
        }
        format!("{tool} goes onto {head} with {play} mm of play: it turns an easy nut and rounds a tight one.")
    }
}

impl Found {
    /// Whether the step cannot be done with what lies there.
    pub const fn is_missing(&self) -> bool {
        match self {
            Self::Here | Self::ByAdapter { .. } | Self::Unmeasured => false,
            Self::TooLong(_) | Self::TooShort(_) | Self::OtherDrive { .. } | Self::Near(_) | Self::Missing => true,
        }
    }

    /// In words, to stand behind the tool's name.
    pub fn sentence(&self) -> String {
        let length = |length: &Option<Length>| length.as_ref().map(|length| format!(" ({length})")).unwrap_or_default();
        match self {
            Self::Here => "in the chest".into(),
            Self::ByAdapter { has } => format!("in the chest with the {has}, by the drive adapter"),
            Self::Unmeasured => "in the chest, but its length is not written: measure it first".into(),
            Self::TooLong(long) => format!("only a long one{}, it will not go in there", length(long)),
            Self::TooShort(short) => format!("only a short one{}, it does not reach", length(short)),
            Self::OtherDrive { has } => format!("only with the {has}, and no drive adapter for it"),
            Self::Near(near) => format!("not in the chest. {}", near.sentence()),
            Self::Missing => "not in the chest".into(),
        }
    }
}

/// Looks for what is wanted among all that lies in the chest.
pub fn find(wanted: &Wanted, chest: &[Tool]) -> Found {
    let serves = |tool: &&Tool| wanted.kinds.iter().any(|kind| tool.kind.serves_as(*kind));
    let of_kind: Vec<&Tool> = chest.iter().filter(serves).collect();
    let of_size: Vec<&Tool> = of_kind.iter().copied().filter(|tool| tool.size == wanted.size).collect();
    if of_size.is_empty() {
        let near = |tool: &&Tool| Near::between(tool.size?, wanted.size?);
        return of_kind.iter().filter_map(near).min_by_key(|near| near.play.abs()).map_or(Found::Missing, Found::Near);
    }
    // The best of them counts: each is judged by itself.
    let judged = of_size.iter().map(|tool| judge(wanted, tool, chest));
    judged.min_by_key(rank).unwrap_or(Found::Missing)
}

const fn rank(found: &Found) -> u8 {
    match found {
        Found::Here => 0,
        Found::ByAdapter { .. } => 1,
        Found::Unmeasured => 2,
        Found::OtherDrive { .. } => 3,
        Found::TooLong(_) => 4,
        Found::TooShort(_) => 5,
        Found::Near(_) => 6,
        Found::Missing => 7,
    }
}

fn judge(wanted: &Wanted, tool: &Tool, chest: &[Tool]) -> Found {
    match by_reach(wanted, tool) {
        Found::Here => by_drive(wanted, tool, chest),
        other => other,
    }
}

fn by_reach(wanted: &Wanted, tool: &Tool) -> Found {
    let limit = |length: &Length| length.to(LengthUnit::Millimetre);
    let is_long = tool.kind == ToolKind::LongSocket;
    match (&wanted.reach, tool.millimetres()) {
        (Reach::Any, _) => Found::Here,
        (Reach::Short, _) if is_long => Found::TooLong(tool.reach.clone()),
        (Reach::Short, _) => Found::Here,
        (Reach::Long, _) if is_long || !is_socket(wanted) => Found::Here,
        (Reach::Long, _) => Found::TooShort(tool.reach.clone()),
        (Reach::AtMost(most), Some(length)) if length > limit(most) => Found::TooLong(tool.reach.clone()),
        (Reach::AtLeast(least), Some(length)) if length < limit(least) => Found::TooShort(tool.reach.clone()),
        (Reach::AtMost(_) | Reach::AtLeast(_), Some(_)) => Found::Here,
        (Reach::AtMost(_) | Reach::AtLeast(_), None) => Found::Unmeasured,
    }
}

fn is_socket(wanted: &Wanted) -> bool {
    wanted.kinds.iter().any(|kind| matches!(kind, ToolKind::Socket | ToolKind::LongSocket))
}

/// A square that nobody wrote, at the step or in the chest, is no reason to doubt.
fn by_drive(wanted: &Wanted, tool: &Tool, chest: &[Tool]) -> Found {
    let (Some(asked), Some(has)) = (wanted.drive, tool.drive) else {
        return Found::Here;
    };
    if asked == has || tool.kind == ToolKind::DriveAdapter {
        return Found::Here;
    }
    let adapter =
        |other: &Tool| other.kind == ToolKind::DriveAdapter && other.drive == Some(asked) && other.onto == Some(has);
    if chest.iter().any(adapter) {
        return Found::ByAdapter { has: has.label() };
    }
    Found::OtherDrive { has: has.label() }
}

/// Which tools of the chest grip a head of another one's size badly, each pair once: a metric one beside an inch one.
pub fn near_pairs(chest: &[Tool]) -> Vec<Near> {
    let mut pairs: Vec<Near> = Vec::new();
    let sizes: Vec<Size> = chest.iter().filter(|tool| tool.kind.grips_hexagon()).filter_map(|tool| tool.size).collect();
    for tool in &sizes {
        for head in &sizes {
            let mixed =
                matches!((tool, head), (Size::Metric(_), Size::Inch { .. }) | (Size::Inch { .. }, Size::Metric(_)));
            let near = Near::between(*tool, *head).filter(|near| mixed && near.play.is_sign_positive());
            if let Some(near) = near.filter(|near| !pairs.contains(near)) {
                pairs.push(near);
            }
        }
    }
    pairs.sort_by_key(|near| (near.head.across_flats(), near.play));
    pairs
}
