//! How pressing something is, in a few words.

use crate::trade::calendar::Date;
use crate::trade::closed_set::closed_set;

/// Within so many days it is coming up: two months, time for parts to arrive. Common practice, no source.
pub const COMING_DAYS: i32 = 60;

/// Within so many days it is due: two weekends. Common practice, no source.
pub const DUE_DAYS: i32 = 14;

closed_set! {
    /// The most pressing first.
    pub enum Band {
        Overdue = "overdue", "overdue";
        /// Never done as far as anybody knows, or by a distance that nobody knows.
        Nobody = "nobody", "nobody knows when";
        Due = "due", "due";
        Coming = "coming", "coming up";
        InHand = "in-hand", "in hand";
    }
}

impl Band {
    /// `day` is the likely one, `earliest` the first that its range allows.
    pub(super) fn on(today: Date, earliest: Date, day: Date) -> Band {
        let left = day.number() - today.number();
        match left {
            ..0 => Band::Overdue,
            0..=DUE_DAYS => Band::Due,
            _ if earliest <= today => Band::Due,
            _ if left <= COMING_DAYS => Band::Coming,
            _ => Band::InHand,
        }
    }

    /// What the band means, for whoever asks.
    pub fn meaning(self) -> &'static str {
        match self {
            Band::Overdue => "The day is past, or the distance run.",
            Band::Nobody => {
                "Not known when it was done last, or how far the car ran since. Who does not know does it now."
            }
            Band::Due => "Within two weeks, or the earliest day of its range is here.",
            Band::Coming => "Within two months.",
            Band::InHand => "More than two months off, or waiting while the car stands.",
        }
    }
}
