//! What the marking reader shows.

use crate::specs::from_car::FromCar;
use crate::trade::citation::Standing;
use crate::trade::head_size;
use crate::trade::marking::{self, Reading, Subject};
use crate::trade::quantity::Length;
use crate::trade::thread::{Fit, MeasuredPitch, Sureness, from_measured};
use crate::web::form::Slips;
use crate::web::page::Page;
use crate::web::words::capital;
use askama::Template;
use serde::Deserialize;

const LONGEST: usize = 120;

/// Markings that may be tapped, each with where it stands. Of public standards only.
const EXAMPLES: &[(&str, &str)] = &[
    ("DOT 4", "on a reservoir cap"),
    ("8.8", "on a bolt head"),
    ("3 lines", "on a bolt head"),
    ("185/65 R14 86T", "on a tyre"),
    ("2319", "on a tyre, in an oval"),
    ("SAE 20W-50 API SF", "on a bottle"),
    ("NLGI 2 GC-LB", "on a tin of grease"),
    ("15 A", "on a fuse"),
    ("1.5 rt/sw", "on a wiring diagram"),
    ("87a", "beside a terminal"),
    ("P21/5W", "on a bulb"),
];

/// What is typed: a marking, or the measurements of a thread.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MarkingForm {
    #[serde(default)]
    marking: Option<String>,
    #[serde(default)]
    outside: Option<String>,
    #[serde(default)]
    pitch: Option<String>,
}

/// One meaning of a marking.
pub struct ShownReading {
    pub subject: &'static str,
    pub read: String,
    pub known: bool,
    pub means: String,
    pub notes: Vec<String>,
    /// The document; empty for what nobody published.
    pub document: &'static str,
    /// How far it was followed back: the code of its mark, and the words.
    pub standing: (&'static str, &'static str),
}

/// The firmer the standing, the more solid its mark, as with the sources of specs.
fn standing_code(standing: Standing) -> &'static str {
    match standing {
        Standing::Read => "manual",
        Standing::WorkedOut => "agree",
        Standing::Quoted => "hearsay",
        Standing::Memory | Standing::Practice => "guess",
    }
}

impl From<Reading> for ShownReading {
    fn from(reading: Reading) -> ShownReading {
        let standing = reading.source.standing;
        ShownReading {
            subject: reading.subject.label(),
            known: reading.subject != Subject::NotKnown,
            read: reading.read,
            means: reading.means,
            notes: reading.notes,
            document: reading.source.document,
            standing: (standing_code(standing), standing.label()),
        }
    }
}

/// A thread that the measurements fit.
pub struct ShownThread {
    pub name: String,
    pub series: &'static str,
    pub sureness: (&'static str, String),
    pub doubts: Vec<String>,
    pub head: String,
}

impl From<Fit> for ShownThread {
    fn from(fit: Fit) -> ShownThread {
        let code = match fit.sureness {
            Sureness::Sure => "fine",
            Sureness::Likely => "watch",
            Sureness::Possible => "unknown",
        };
        ShownThread {
            name: fit.thread.to_string(),
            series: fit.thread.series().label(),
            sureness: (code, capital(fit.sureness.label())),
            doubts: fit.doubts,
            head: head_size::of_thread(fit.thread),
        }
    }
}

/// What was asked, and what was found.
#[derive(Default)]
pub struct Answer {
    pub marking: String,
    pub readings: Vec<ShownReading>,
    pub outside: String,
    pub pitch: String,
    /// `None` where no thread was asked for.
    pub threads: Option<Vec<ShownThread>>,
    pub slips: Slips,
}

impl Answer {
    fn asked(typed: MarkingForm) -> Answer {
        Answer {
            marking: typed.marking.unwrap_or_default(),
            readings: Vec::new(),
            outside: typed.outside.unwrap_or_default(),
            pitch: typed.pitch.unwrap_or_default(),
            threads: None,
            slips: Slips::default(),
        }
    }

    /// What was asked with its answer: of the two forms, the one that was sent.
    pub fn of(typed: MarkingForm) -> Answer {
        let wants_thread = typed.marking.is_none();
        let mut read = Answer::asked(typed);
        if wants_thread {
            read.read_thread()
        } else {
            read.read_marking()
        }
        read
    }

    fn read_marking(&mut self) {
        let say = "Write what stands there, letter for letter.";
        let marking = self.slips.needed("marking", &self.marking, LONGEST, say);
        if self.slips.is_empty() {
            self.readings = marking::read(&marking).into_iter().map(ShownReading::from).collect();
        }
    }

    fn read_thread(&mut self) {
        let outside = Length::parse(&self.outside).map_err(|why| self.slips.say("outside", why.to_string()));
        let pitch = MeasuredPitch::parse(&self.pitch).map_err(|why| self.slips.say("pitch", why.to_string()));
        if let (Ok(outside), Ok(pitch)) = (outside, pitch) {
            self.threads = Some(from_measured(&outside, pitch).into_iter().map(ShownThread::from).collect());
        }
    }
}

#[derive(Template)]
#[template(path = "markings/markings.html")]
pub struct MarkingsPage {
    page: Page,
    from: FromCar,
    answer: Answer,
}

impl MarkingsPage {
    pub fn new(page: Page, from: FromCar, answer: Answer) -> MarkingsPage {
        MarkingsPage { page, from, answer }
    }

    pub fn has_slips(&self) -> bool {
        !self.answer.slips.is_empty()
    }

    fn examples(&self) -> &'static [(&'static str, &'static str)] {
        EXAMPLES
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_is_known() {
        for (text, place) in EXAMPLES {
            assert!(marking::read(text).iter().all(|one| one.subject != Subject::NotKnown), "{text} {place}");
        }
    }

    #[test]
    fn what_comes_from_memory_never_looks_as_firm_as_what_was_read() {
        let firm = standing_code(Standing::Read);
        for standing in Standing::ALL.iter().filter(|standing| **standing != Standing::Read) {
            assert_ne!(standing_code(*standing), firm, "{standing}");
        }
    }
}
