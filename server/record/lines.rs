//! What a record is drawn from: words, and nothing but words.

use crate::specs::shown::ShownValue;

/// A picture on the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    pub sha256: String,
    /// Shown over the whole width, from the large copy.
    pub large: bool,
    pub alt: String,
    /// May be empty.
    pub caption: String,
    pub day: String,
}

/// Cards of one part of the car.
pub struct Area {
    pub label: String,
    pub jobs: Vec<Job>,
}

/// What was done for one card.
pub struct Job {
    pub title: String,
    /// How the card stands now; empty where it was taken away.
    pub condition: String,
    /// `3 Oct 2026 to 5 Oct 2026`, with the time worked and, unless left out, the devices.
    pub when: String,
    pub entries: Vec<Entry>,
    pub photos: Vec<PhotoGroup>,
}

/// Photos of a job by when they were taken.
pub struct PhotoGroup {
    pub label: &'static str,
    pub photos: Vec<Photo>,
}

/// A line of the logbook.
pub struct Entry {
    /// Empty where it is that of the line before.
    pub day: String,
    pub what: String,
    pub more: String,
    pub since: String,
}

/// Specs of one part of the car.
pub struct Chapter {
    pub label: &'static str,
    pub specs: Vec<SpecLine>,
}

pub struct SpecLine {
    pub item: String,
    pub place: String,
    /// Each of them, where sources disagree; none where nobody says anything.
    pub values: Vec<ShownValue>,
    pub trust: String,
    /// Stages, fastener, variant and note, each on a line of its own.
    pub more: Vec<String>,
    pub sources: Vec<String>,
}

pub struct ReadingLine {
    pub what: String,
    pub latest: String,
    pub day: String,
    /// The readings before it, oldest first: `12.3 V on 3 Oct 2026`.
    pub before: Vec<String>,
    pub limit: String,
    pub source: String,
    /// The verdict in a word and in a sentence; empty where there is no limit.
    pub verdict: String,
    pub says: String,
}

pub struct FindingLine {
    pub what: String,
    pub weight: String,
    pub more: String,
    /// What became of it.
    pub became: String,
    pub photos: Vec<Photo>,
}

/// Something that was noted on a day.
pub struct Noted {
    pub what: String,
    pub more: String,
}

pub struct PartLine {
    pub name: String,
    pub more: String,
    pub price: String,
}
