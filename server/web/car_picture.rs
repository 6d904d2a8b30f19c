//! The car from above, its nose up: where loose ends are, and what each wheel stands on.
//!
//! For any page: `{% import "web/car_picture.html" as car_from_above %}`, `{{ car_from_above::picture(picture) }}` with a
//! [`CarPicture`], and the style sheet `css/car-picture.css`. Scripts keep it true by `static/js/ui/car-picture.js`.

use crate::trade::checker::{State, thing};
use crate::trade::ledger::LooseEnd;
use crate::trade::nature::nature_of;
use crate::trade::place::{Zone, zone_of, zone_of_hand};
use crate::trade::steps::ObjectKind;

/// What a wheel stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WheelState {
    OnWheels,
    OnJack,
    OnStands,
    /// The wheel is not there, whatever holds the car.
    Off,
}

impl WheelState {
    /// As style sheets and scripts know it.
    pub fn code(self) -> &'static str {
        match self {
            WheelState::OnWheels => "wheels",
            WheelState::OnJack => "jack",
            WheelState::OnStands => "stands",
            WheelState::Off => "off",
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            WheelState::OnWheels => "on its wheel",
            WheelState::OnJack => "on the jack",
            WheelState::OnStands => "on stands",
            WheelState::Off => "wheel off",
        }
    }
}

/// The four wheels' places.
pub const CORNERS: [Zone; 4] = [Zone::FrontLeft, Zone::FrontRight, Zone::RearLeft, Zone::RearRight];

/// The corners which a name that says where speaks of: an end has two, and what names neither end nor side is all of them.
pub fn corners_of(zone: Zone) -> &'static [Zone] {
    match zone {
        Zone::FrontLeft => &[Zone::FrontLeft],
        Zone::FrontRight => &[Zone::FrontRight],
        Zone::RearLeft => &[Zone::RearLeft],
        Zone::RearRight => &[Zone::RearRight],
        Zone::Front | Zone::EngineBay => &[Zone::FrontLeft, Zone::FrontRight],
        Zone::Rear => &[Zone::RearLeft, Zone::RearRight],
        Zone::Left => &[Zone::FrontLeft, Zone::RearLeft],
        Zone::Right => &[Zone::FrontRight, Zone::RearRight],
        Zone::Middle | Zone::Inside | Zone::Car => &CORNERS,
    }
}

/// Facts that say what holds a corner; the later in this list counts before the earlier.
const HELD_BY: [(&str, WheelState); 3] =
    [("jacked", WheelState::OnJack), ("stands", WheelState::OnStands), ("wheel-off", WheelState::Off)];

/// What stands at a corner, by what is true of the car.
pub fn wheel_at(corner: Zone, true_now: &State) -> WheelState {
    let mut found = WheelState::OnWheels;
    for (word, state) in HELD_BY {
        let here = |name: &&str| corners_of(zone_of(name, None)).contains(&corner);
        if true_now.things(&format!("{word}:*")).iter().any(here) {
            found = state;
        }
    }
    found
}

/// Where a loose end is.
pub fn zone_of_end(end: &LooseEnd) -> Zone {
    if end.key.starts_with("hand:") { zone_of_hand(&end.words, &end.place) } else { zone_of_key(&end.key) }
}

/// Where the thing is that a loose end of this key is about, such as `fluid:engine oil`.
pub fn zone_of_key(key: &str) -> Zone {
    let name = thing(key);
    let kind = key.split_once(':').and_then(|(family, _)| ObjectKind::from_name(family));
    zone_of(name, kind.and_then(|kind| nature_of(kind, name)))
}

/// A part of the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ZoneView {
    pub code: &'static str,
    pub label: &'static str,
    /// Loose ends there.
    pub count: usize,
    /// What its wheel stands on: code and words; `None` where there is no wheel.
    pub wheel: Option<(&'static str, &'static str)>,
}

impl ZoneView {
    /// `2 loose ends`
    pub fn counted(&self) -> String {
        super::words::count(self.count, "loose end", "loose ends")
    }
}

/// The whole picture: every zone in the order in which it is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarPicture {
    pub zones: Vec<ZoneView>,
}

impl CarPicture {
    /// The car as it is: its loose ends (all, or those of one card) and what is true of it.
    pub fn of<'a>(ends: impl IntoIterator<Item = &'a LooseEnd>, true_now: &State) -> CarPicture {
        let places: Vec<Zone> = ends.into_iter().map(zone_of_end).collect();
        let view = |zone: Zone| ZoneView {
            code: zone.name(),
            label: zone.label(),
            count: places.iter().filter(|place| **place == zone).count(),
            wheel: CORNERS.contains(&zone).then(|| {
                let state = wheel_at(zone, true_now);
                (state.code(), state.words())
            }),
        };
        CarPicture { zones: Zone::ALL.iter().copied().map(view).collect() }
    }

    /// Nothing loose, on its wheels: to choose a place on.
    pub fn empty() -> CarPicture {
        CarPicture::of([], &State::default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_corner_shows_the_last_thing_that_is_true_of_it() {
        let state: State = ["jacked:front end", "stands:rear end", "wheel-off:rear left wheel"].into_iter().collect();
        let found = CORNERS.map(|corner| wheel_at(corner, &state).code());
        assert_eq!(found, ["jack", "jack", "off", "stands"]);
    }

    #[test]
    fn the_whole_car_on_stands_is_four_corners_on_stands() {
        let state: State = ["stands:car"].into_iter().collect();
        assert!(CORNERS.iter().all(|corner| wheel_at(*corner, &state) == WheelState::OnStands));
    }

    #[test]
    fn ends_are_counted_where_they_are() {
        let end = |key: &str, words: &str, place: &str| LooseEnd {
            key: key.into(),
            words: words.into(),
            place: place.into(),
            step: None,
            since: String::new(),
        };
        let ends = [
            end("fastener:front left caliper bolts", "front left caliper bolts are loose", ""),
            end("fluid:coolant", "coolant is drained", ""),
            end("hand:1", "something is off", "inside"),
            end("hand:2", "a clip is off", ""),
        ];
        let picture = CarPicture::of(&ends, &State::default());
        let counted: Vec<_> =
            picture.zones.iter().filter(|zone| zone.count > 0).map(|zone| (zone.code, zone.count)).collect();
        assert_eq!(counted, [("front-left", 1), ("engine-bay", 1), ("inside", 1), ("car", 1)]);
    }
}
