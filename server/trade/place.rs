//! Where on the car something is, as far as its name says: for the picture of the car from above.

use super::closed_set::closed_set;
use super::nature::Nature;

closed_set! {
    /// A part of the car as it is seen from above, its nose up.
    pub enum Zone {
        FrontLeft = "front-left", "front left";
        Front = "front", "front";
        FrontRight = "front-right", "front right";
        EngineBay = "engine-bay", "engine bay";
        Left = "left", "left side";
        Middle = "middle", "under the middle";
        Right = "right", "right side";
        Inside = "inside", "inside";
        RearLeft = "rear-left", "rear left";
        Rear = "rear", "rear";
        RearRight = "rear-right", "rear right";
        Car = "car", "somewhere on the car";
    }
}

/// Words that say where, when neither end nor side is named.
pub const WORDS: &[(&[&str], Zone)] = &[
    (&["gearbox", "transfer", "propshaft", "handbrake cable", "tunnel", "fuel pipe"], Zone::Middle),
    (&["silencer", "tank", "boot", "fuel filler"], Zone::Rear),
    (&["exhaust"], Zone::Middle),
    (
        &[
            "bonnet",
            "engine",
            "radiator",
            "coolant",
            "thermostat",
            "battery",
            "alternator",
            "starter",
            "carburettor",
            "spark",
            "plug lead",
            "distributor",
            "coil",
            "timing",
            "camshaft",
            "crankshaft",
            "water pump",
            "oil filter",
            "sump",
            "dipstick",
            "oil filler",
            "reservoir",
            "belt",
            "air filter",
            "fan",
            "steering pump",
            "heater",
        ],
        Zone::EngineBay,
    ),
    (&["steering", "track-rod", "track rod"], Zone::Front),
    (&["pedal", "seat", "dash", "steering wheel", "fuse"], Zone::Inside),
];

/// Where a thing of this name is.
pub fn zone_of(name: &str, nature: Option<Nature>) -> Zone {
    let name = name.to_lowercase();
    let has = |word: &str| name.contains(word);
    let side = (has("left") || has("n/s"), has("right") || has("o/s"));
    match (has("front"), has("rear"), side) {
        (true, false, (true, false)) => return Zone::FrontLeft,
        (true, false, (false, true)) => return Zone::FrontRight,
        (false, true, (true, false)) => return Zone::RearLeft,
        (false, true, (false, true)) => return Zone::RearRight,
        (false, false, (true, false)) => return Zone::Left,
        (false, false, (false, true)) => return Zone::Right,
        (true, false, _) => return Zone::Front,
        (false, true, _) => return Zone::Rear,
        (true, true, _) | (false, false, _) => {}
    }
    if let Some((_, zone)) = WORDS.iter().find(|(words, _)| words.iter().any(|word| has(word))) {
        return *zone;
    }
    match nature {
        Some(Nature::BrakePedal | Nature::ClutchPedal | Nature::AirBag) => Zone::Inside,
        Some(Nature::Coolant | Nature::EngineOil | Nature::Battery | Nature::Alternator | Nature::Starter) => {
            Zone::EngineBay
        }
        _ => Zone::Car,
    }
}

/// Where something noted by hand is: as it was chosen, else as its words say.
pub fn zone_of_hand(words: &str, place: &str) -> Zone {
    let chosen = Zone::ALL.iter().find(|zone| zone.label() == place.trim());
    if let Some(zone) = chosen {
        return *zone;
    }
    match zone_of(place, None) {
        // In words about what was undone, ‘left loose’ is no side of the car.
        Zone::Car => zone_of(&words.to_lowercase().replace("left loose", "").replace("left off", ""), None),
        zone => zone,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_is_where_its_name_says() {
        let cases = [
            ("front left driveshaft boot", Zone::FrontLeft),
            ("front wheels", Zone::Front),
            ("rear axle filler plug", Zone::Rear),
            ("radiator cap", Zone::EngineBay),
            ("gearbox drain plug", Zone::Middle),
            ("exhaust strap", Zone::Middle),
            ("Panhard rod", Zone::Car),
            ("front and rear brake pipes", Zone::Car),
        ];
        for (name, zone) in cases {
            assert_eq!(zone_of(name, None), zone, "{name}");
        }
    }

    #[test]
    fn what_was_chosen_by_hand_counts_before_the_words() {
        assert_eq!(zone_of_hand("rear bolt of the seat", "inside"), Zone::Inside);
        assert_eq!(zone_of_hand("radiator hose left loose", ""), Zone::EngineBay);
        assert_eq!(zone_of_hand("bolt left loose", "front right, behind the wheel"), Zone::FrontRight);
    }
}
