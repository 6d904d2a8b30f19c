//! How long a car stands, and which lists go with it. Common practice, no source: the lengths, and what is done for each.

use crate::trade::calendar::Date;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// How long the car stands.
    pub enum Stay {
        Weeks = "weeks", "a few weeks, up to three months";
        Season = "season", "a winter, up to a year";
        Years = "years", "longer than a year";
    }
}

impl Stay {
    /// From a day on which it was put away to another.
    pub fn between(since: Date, day: Date) -> Stay {
        match (since.plus_months(3), since.plus_months(12)) {
            (Ok(weeks), _) if day <= weeks => Stay::Weeks,
            (_, Ok(season)) if day <= season => Stay::Season,
            (_, Ok(_) | Err(_)) => Stay::Years,
        }
    }

    /// The pattern for putting it away.
    pub fn putting_away(self) -> &'static str {
        match self {
            Stay::Weeks => "lay-up-weeks",
            Stay::Season => "lay-up-winter",
            Stay::Years => "lay-up-years",
        }
    }

    /// The pattern for fetching it out.
    pub fn fetching_out(self) -> &'static str {
        match self {
            Stay::Weeks => "return-weeks",
            Stay::Season => "return-winter",
            Stay::Years => "recommissioning",
        }
    }
}
