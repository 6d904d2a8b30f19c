//! Who says so, and how we know that they do. Shown beside every rule, so that nobody takes hearsay for a standard.

use super::closed_set::closed_set;

closed_set! {
    /// How a published figure or rule came to stand here, the firmest first.
    pub enum Standing {
        Read = "read", "read in the source";
        WorkedOut = "worked-out", "worked out from definitions";
        Quoted = "quoted", "as others quote it; not read in the source";
        Memory = "memory", "from memory";
        Practice = "practice", "common practice, no source";
    }
}

/// The document behind a rule or figure, and how far its words were followed back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Citation {
    /// The document and clause; empty for what nobody published.
    pub document: &'static str,
    pub standing: Standing,
}

impl Citation {
    /// What mechanics do and nobody published.
    pub const PRACTICE: Self = Self { document: "", standing: Standing::Practice };

    pub const fn read(document: &'static str) -> Self {
        Self { document, standing: Standing::Read }
    }

    pub const fn worked_out(document: &'static str) -> Self {
        Self { document, standing: Standing::WorkedOut }
    }

    pub const fn quoted(document: &'static str) -> Self {
        Self { document, standing: Standing::Quoted }
    }

    pub const fn memory(document: &'static str) -> Self {
        Self { document, standing: Standing::Memory }
    }
}

/// As in `49 CFR 565.15(c)` or `SAE J306 (from memory)`.
impl std::fmt::Display for Citation {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.standing {
            Standing::Practice => out.write_str(Standing::Practice.label()),
            Standing::Read => out.write_str(self.document),
            Standing::WorkedOut | Standing::Quoted | Standing::Memory => {
                write!(out, "{} ({})", self.document, self.standing.label())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_citation_says_how_far_it_was_followed() {
        assert_eq!(Citation::read("49 CFR 565.15(c)").to_string(), "49 CFR 565.15(c)");
        assert_eq!(Citation::memory("DIN 72552").to_string(), "DIN 72552 (from memory)");
        assert_eq!(Citation::PRACTICE.to_string(), "common practice, no source");
    }
}
