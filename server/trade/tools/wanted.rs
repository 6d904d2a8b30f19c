//! What a step's line of tools asks for, such as `19 mm socket, short` or `10 mm flare-nut key, 1/2 drive`.

use super::kind::{Drive, ToolKind};
use super::size::Size;
use super::words::{Named, Words};
use crate::trade::quantity::Length;

/// How long a tool may or must be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reach {
    Any,
    /// A common socket: a long one will not go in there.
    Short,
    Long,
    AtMost(Length),
    AtLeast(Length),
}

/// A tool that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Any of these kinds serves.
    pub kinds: Vec<ToolKind>,
    /// `None` only for what has no size.
    pub size: Option<Size>,
    pub drive: Option<Drive>,
    pub reach: Reach,
}

/// Words that belong to other tools, although `wrench` or `key` stands beside them: torque wrenches have a page of their
/// own, and the rest is no socket.
const OTHERS: [&str; 5] = ["torque", "strap", "chain", "filter", "pipe"];

/// Reads a line of a step's tools. `None` where it is about something else, such as a jack or rags. Errors, as a
/// sentence, where it is about a socket or a key and cannot be read.
pub fn read(line: &str) -> Option<Result<Wanted, String>> {
    let plain = line.to_lowercase();
    if plain.split(|letter: char| !letter.is_alphanumeric()).any(|word| OTHERS.contains(&word)) {
        return None;
    }
    let words = Words::of(line);
    words.named.map(|named| wanted(named, &words))
}

fn wanted(named: Named, words: &Words) -> Result<Wanted, String> {
    if words.joined {
        return Err("More than one tool stands on this line: write each on a line of its own.".into());
    }
    if let Some(why) = &words.unreadable {
        return Err(why.to_string());
    }
    let sizes = if let Named::One(kind) = named
        && !kind.has_size()
    {
        Vec::new()
    } else {
        words.sizes().map_err(|why| why.to_string())?
    };
    if sizes.len() > 1 {
        return Err("Several sizes stand on this line: write each on a line of its own.".into());
    }
    let size = sizes.first().copied();
    let kinds = kinds(named, size, words.long);
    if size.is_none() && kinds.iter().any(|kind| kind.has_size()) {
        return Err("No size is written.".into());
    }
    if let Some(word) = &words.unknown {
        return Err(format!("‘{word}’ is not read here."));
    }
    Ok(Wanted { kinds, size, drive: words.drive, reach: reach(words)? })
}

fn kinds(named: Named, size: Option<Size>, long: bool) -> Vec<ToolKind> {
    match named {
        Named::AnyKey => vec![ToolKind::OpenKey, ToolKind::RingKey],
        Named::Bit if matches!(size, Some(Size::Inside(_))) => vec![ToolKind::LobeBit],
        Named::Bit => vec![ToolKind::HexKey],
        Named::One(ToolKind::Socket) if long => vec![ToolKind::LongSocket],
        Named::One(kind) => vec![kind],
    }
}

fn reach(words: &Words) -> Result<Reach, String> {
    match (&words.at_most, &words.at_least, words.short, words.long) {
        (Some(_), Some(_), _, _) => Err("It asks for a least and a greatest length at once: write one of them.".into()),
        (Some(most), None, _, false) => Ok(Reach::AtMost(most.clone())),
        (None, Some(least), false, _) => Ok(Reach::AtLeast(least.clone())),
        (None, None, true, false) => Ok(Reach::Short),
        (None, None, false, true) => Ok(Reach::Long),
        (None, None, false, false) => Ok(Reach::Any),
        (_, _, true, _) | (_, _, _, true) => Err("It asks for short and long at once: write one of them.".into()),
    }
}
