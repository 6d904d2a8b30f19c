//! A tool as its owner describes it, and a whole set in one line.

use super::kind::{Drive, ToolKind};
use super::size::{Size, SizeError};
use super::words::{Named, Words};
use crate::trade::quantity::{Length, LengthUnit, ParseError};
use rust_decimal::Decimal;
use thiserror::Error;

/// Longer than any that is carried in a chest.
const LONGEST: Decimal = Decimal::from_parts(1500, 0, 0, false, 0);
/// More than any set that one line should add: a slip adds no hundred rows.
const MOST_IN_A_SET: usize = 40;

/// What is typed; all but the kind may be empty.
#[derive(Clone, Copy, Debug, Default)]
pub struct Typed<'a> {
    /// As it stands on the tool: `19 mm`, `3/4"`, `T40`.
    pub size: &'a str,
    /// `1/2`, or by its metric name `12.5`.
    pub drive: &'a str,
    /// Of a drive adapter, the square that it makes of it.
    pub onto: &'a str,
    /// Overall length, such as `63 mm`.
    pub reach: &'a str,
    pub outer: &'a str,
}

/// A tool that makes sense.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tool {
    pub kind: ToolKind,
    pub size: Option<Size>,
    pub drive: Option<Drive>,
    pub onto: Option<Drive>,
    /// Overall length.
    pub reach: Option<Length>,
    pub outer: Option<Length>,
}

/// Why something typed is no tool.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ToolError {
    #[error(transparent)]
    Size(#[from] SizeError),
    #[error("{} has six lobes, and {} has none: choose the kind that it is.", .0, .1.label())]
    NotOfKind(Size, ToolKind),
    #[error("{0} has no size of its own: write its length and its square.")]
    HasNoSize(&'static str),
    #[error(
        "‘{0}’ is no driving square: they are 1/4, 3/8, 1/2, 3/4 and 1 inch, by ISO 1174-1 6.3, 10, 12.5, 20 and 25."
    )]
    Drive(String),
    #[error("A drive adapter goes from one square to another: write both, and not the same twice.")]
    Squares,
    #[error("Length: {0}")]
    Reach(ParseError),
    #[error("Outside diameter: {0}")]
    Outer(ParseError),
    #[error("No tool of the chest is {0} long: write its length overall, such as 63 mm.")]
    OutOfRange(String),
    #[error("An outside diameter of {0} is not larger than the size itself: measure across the outside.")]
    TooNarrow(String),
    #[error("No kind of tool is named: write socket, long socket, ring key, flare-nut key, hex key, crowfoot …")]
    NoKind,
    #[error("‘{0}’ means nothing here. Such as: 10 to 19 mm sockets, 1/2 drive, long.")]
    UnknownWord(String),
    #[error("The two ends of the set do not go together: write the smaller one first, both in one kind of size.")]
    NoRun,
    #[error("That would be {0} tools at once: write at most {MOST_IN_A_SET} in a line.")]
    TooMany(usize),
}

impl Tool {
    /// Reads what is typed of one tool. Errors are sentences for its owner.
    pub fn read(kind: ToolKind, typed: Typed<'_>) -> Result<Tool, ToolError> {
        let size = size(kind, typed.size)?;
        let tool = Tool {
            kind,
            size,
            drive: square(typed.drive)?,
            onto: square(typed.onto)?,
            reach: length(typed.reach).map_err(ToolError::Reach)?,
            outer: length(typed.outer).map_err(ToolError::Outer)?,
        };
        tool.checked()
    }

    fn checked(self) -> Result<Tool, ToolError> {
        for length in [&self.reach, &self.outer].into_iter().flatten() {
            if length.number().is_zero() || length.to(LengthUnit::Millimetre) > LONGEST {
                return Err(ToolError::OutOfRange(length.to_string()));
            }
        }
        let wide = |outer: &Length, size: Size| {
            size.across_flats().is_none_or(|flats| outer.to(LengthUnit::Millimetre) > flats)
        };
        if self.kind.grips_hexagon()
            && let (Some(outer), Some(size)) = (&self.outer, self.size)
            && !wide(outer, size)
        {
            return Err(ToolError::TooNarrow(outer.to_string()));
        }
        let adapts = self.drive.is_some() && self.onto.is_some() && self.drive != self.onto;
        if self.kind == ToolKind::DriveAdapter && !adapts {
            return Err(ToolError::Squares);
        }
        let onto = self.onto.filter(|_| self.kind == ToolKind::DriveAdapter);
        Ok(Tool { onto, ..self })
    }

    /// `19 mm long socket`, `1/2 to 3/8 in drive adapter`, `extension 125 mm`.
    pub fn name(&self) -> String {
        match (self.size, self.kind, self.drive, self.onto) {
            (_, ToolKind::DriveAdapter, Some(drive), Some(onto)) => {
                format!("{}, {} to {} in", self.kind.label(), drive.name(), onto.name())
            }
            (Some(size), kind, _, _) => format!("{size} {}", kind.label()),
            (None, kind, _, _) => match &self.reach {
                Some(reach) => format!("{}, {reach}", kind.label()),
                None => kind.label().to_owned(),
            },
        }
    }

    /// Whether its overall length is above that, in millimetres; `None` where nobody measured it.
    pub(super) fn millimetres(&self) -> Option<Decimal> {
        self.reach.as_ref().map(|reach| reach.to(LengthUnit::Millimetre))
    }
}

fn size(kind: ToolKind, typed: &str) -> Result<Option<Size>, ToolError> {
    if !kind.has_size() {
        return if typed.trim().is_empty() { Ok(None) } else { Err(ToolError::HasNoSize(kind.label())) };
    }
    let size = Size::parse(typed)?;
    let goes = match size {
        Size::Metric(_) | Size::Inch { .. } => kind != ToolKind::LobeBit,
        Size::Inside(_) => kind == ToolKind::LobeBit,
        Size::Outside(_) => {
            matches!(kind, ToolKind::Socket | ToolKind::LongSocket | ToolKind::RingKey | ToolKind::BothKey)
        }
    };
    match (goes, size) {
        (true, _) => Ok(Some(size)),
        (false, Size::Metric(_) | Size::Inch { .. }) => Err(SizeError::NoLobe(size.to_string()).into()),
        (false, Size::Inside(_) | Size::Outside(_)) => Err(ToolError::NotOfKind(size, kind)),
    }
}

fn square(typed: &str) -> Result<Option<Drive>, ToolError> {
    let plain = typed.trim();
    let number = plain.trim_end_matches("mm").trim_end_matches("in").trim();
    if plain.is_empty() {
        return Ok(None);
    }
    Drive::read(number).map(Some).ok_or_else(|| ToolError::Drive(plain.chars().take(20).collect()))
}

/// Nothing, or a length; a bare number is in millimetres.
fn length(typed: &str) -> Result<Option<Length>, ParseError> {
    let plain = typed.trim();
    if plain.is_empty() {
        return Ok(None);
    }
    let bare = plain.chars().all(|letter| letter.is_ascii_digit() || letter == '.' || letter == ',');
    Length::parse(&if bare { format!("{plain} mm") } else { plain.to_owned() }).map(Some)
}

/// Every tool of a line such as `10 to 19 mm sockets, 1/2 drive, long`, `10, 11, 13 mm ring keys` or `T20 to T50 bits`.
/// Errors are sentences for its owner; nothing of a line that cannot be read whole is taken.
pub fn whole_set(line: &str) -> Result<Vec<Tool>, ToolError> {
    let words = Words::of(line);
    if let Some(why) = words.unreadable.clone() {
        return Err(ToolError::Reach(why));
    }
    if let Some(word) = words.unknown.clone() {
        return Err(ToolError::UnknownWord(word));
    }
    if words.joined || words.at_most.is_some() || words.at_least.is_some() {
        let word = if words.joined { "and, or" } else { "at least, at most" };
        return Err(ToolError::UnknownWord(word.to_owned()));
    }
    // A line that says no more than sizes and a square is about sockets, as most sets are.
    let named = words.named.or(words.drive.map(|_| Named::One(ToolKind::Socket))).ok_or(ToolError::NoKind)?;
    if let Named::One(kind) = named
        && !kind.has_size()
    {
        return without_size(kind, &words).map(|tool| vec![tool]);
    }
    let sizes = run(&words)?;
    if sizes.len() > MOST_IN_A_SET {
        return Err(ToolError::TooMany(sizes.len()));
    }
    sizes.into_iter().map(|one| of_set(named, one, &words)).collect()
}

fn run(words: &Words) -> Result<Vec<Size>, ToolError> {
    let left_out = words.left_out()?;
    let mut sizes = words.sizes()?;
    if words.is_run {
        sizes = match sizes.as_slice() {
            [low, high] => low.up_to(*high).ok_or(ToolError::NoRun)?,
            _ => return Err(ToolError::NoRun),
        };
    }
    sizes.retain(|size| !left_out.contains(size));
    sizes.dedup();
    if sizes.is_empty() { Err(SizeError::Missing.into()) } else { Ok(sizes) }
}

fn of_set(named: Named, one: Size, words: &Words) -> Result<Tool, ToolError> {
    let kind = match (named, one) {
        (Named::One(ToolKind::Socket), Size::Metric(_) | Size::Inch { .. } | Size::Outside(_)) if words.long => {
            ToolKind::LongSocket
        }
        (Named::Bit, Size::Inside(_)) => ToolKind::LobeBit,
        (Named::Bit, Size::Metric(_) | Size::Inch { .. } | Size::Outside(_)) => ToolKind::HexKey,
        (Named::AnyKey, Size::Metric(_) | Size::Inch { .. } | Size::Inside(_) | Size::Outside(_)) => ToolKind::BothKey,
        (Named::One(kind), Size::Metric(_) | Size::Inch { .. } | Size::Inside(_) | Size::Outside(_)) => kind,
    };
    size(kind, &one.to_string())?;
    let tool = Tool {
        kind,
        size: Some(one),
        drive: words.drive,
        onto: None,
        reach: words.length.clone(),
        outer: words.outer.clone(),
    };
    tool.checked()
}

fn without_size(kind: ToolKind, words: &Words) -> Result<Tool, ToolError> {
    let (drive, onto) = match kind {
        ToolKind::DriveAdapter => {
            words.squares().map(|(from, onto)| (Some(from), Some(onto))).ok_or(ToolError::Squares)?
        }
        _ if words.is_run => return Err(ToolError::HasNoSize(kind.label())),
        _ => (words.drive, None),
    };
    let reach = words.length.clone().or_else(|| words.number_as_length().filter(|_| onto.is_none()));
    Tool { kind, size: None, drive, onto, reach, outer: words.outer.clone() }.checked()
}
