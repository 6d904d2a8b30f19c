//! What kind of thing a step is about, where a rule depends on it: that *this* opening belongs to the cooling system, that
//! *these* nuts hold a wheel.
//!
//! Read from the words a person used, or said outright by a step's `is`. What cannot be told has no nature, and no rule
//! that needs one speaks of it.

use super::closed_set::closed_set;
use super::steps::ObjectKind;

closed_set! {
    /// What a thing is, as far as a rule of the card checker cares.
    pub enum Nature {
        AirBag = "air-bag", "air bag or belt tensioner charge";
        Alternator = "alternator", "alternator or dynamo";
        AutomaticFluid = "automatic-fluid", "automatic gearbox fluid";
        Battery = "battery", "battery lead";
        BrakeHydraulics = "brake-hydraulics", "brake hydraulics";
        BrakeParts = "brake-parts", "brake at a wheel";
        BrakePedal = "brake-pedal", "brake pedal";
        ClutchHydraulics = "clutch-hydraulics", "clutch hydraulics";
        ClutchPedal = "clutch-pedal", "clutch pedal";
        Coolant = "coolant", "cooling system";
        EngineOil = "engine-oil", "engine oil";
        Exhaust = "exhaust", "exhaust";
        Fuel = "fuel", "fuel system";
        GearOil = "gear-oil", "gearbox or axle oil";
        Starter = "starter", "starter motor";
        Steering = "steering", "steering joint";
        SteeringFluid = "steering-fluid", "power steering fluid";
        TimingDrive = "timing-drive", "timing belt or chain";
        TimingMarks = "timing-marks", "timing marks or locking pin";
        Wheel = "wheel", "wheel";
        WheelFixings = "wheel-fixings", "wheel nuts or bolts";
    }
}

impl Nature {
    /// Fluids that a running engine pumps round or burns: to run it without one ruins something.
    pub const NEEDED_TO_RUN: [Nature; 4] =
        [Nature::AutomaticFluid, Nature::Coolant, Nature::EngineOil, Nature::SteeringFluid];

    /// Pressure made by a pedal: air in it, or a joint that leaks, is a pedal that falls to the floor.
    pub fn is_hydraulic(self) -> bool {
        matches!(self, Nature::BrakeHydraulics | Nature::ClutchHydraulics)
    }
}

/// What a phrase has to hold, and what it must not hold, for the nature to be meant. Words are matched as beginnings, so
/// that `nut` stands for `nuts` too. The first row that fits decides.
struct Row {
    all: &'static [&'static str],
    none: &'static [&'static str],
    nature: Nature,
}

const fn row(all: &'static [&'static str], nature: Nature) -> Row {
    Row { all, none: &[], nature }
}

const fn but(all: &'static [&'static str], none: &'static [&'static str], nature: Nature) -> Row {
    Row { all, none, nature }
}

#[rustfmt::skip]
const TABLE: &[Row] = &[
    row(&["air", "bag"], Nature::AirBag),
    row(&["airbag"], Nature::AirBag),
    row(&["belt", "tensioner", "charge"], Nature::AirBag),
    row(&["brake", "pedal"], Nature::BrakePedal),
    row(&["clutch", "pedal"], Nature::ClutchPedal),
    row(&["clutch", "fluid"], Nature::ClutchHydraulics),
    row(&["clutch", "hydraulic"], Nature::ClutchHydraulics),
    row(&["clutch", "cylinder"], Nature::ClutchHydraulics),
    row(&["clutch", "bleed"], Nature::ClutchHydraulics),
    row(&["clutch", "hose"], Nature::ClutchHydraulics),
    row(&["clutch", "pipe"], Nature::ClutchHydraulics),
    row(&["clutch", "reservoir"], Nature::ClutchHydraulics),
    row(&["brake", "fluid"], Nature::BrakeHydraulics),
    row(&["brake", "hose"], Nature::BrakeHydraulics),
    row(&["brake", "pipe"], Nature::BrakeHydraulics),
    row(&["brake", "hydraulic"], Nature::BrakeHydraulics),
    row(&["brake", "bleed"], Nature::BrakeHydraulics),
    row(&["brake", "joint"], Nature::BrakeHydraulics),
    row(&["brake", "reservoir"], Nature::BrakeHydraulics),
    row(&["brake", "servo"], Nature::BrakeParts),
    row(&["master", "cylinder"], Nature::BrakeHydraulics),
    row(&["wheel", "cylinder", "pipe"], Nature::BrakeHydraulics),
    row(&["caliper", "hose"], Nature::BrakeHydraulics),
    but(&["bleed", "screw"], &["heater", "coolant", "radiator", "thermostat"], Nature::BrakeHydraulics),
    row(&["wheel", "cylinder"], Nature::BrakeParts),
    row(&["caliper"], Nature::BrakeParts),
    row(&["brake"], Nature::BrakeParts),
    row(&["drums"], Nature::BrakeParts),
    row(&["handbrake"], Nature::BrakeParts),
    but(&["wheel", "nut"], &["steering", "fly", "bearing", "hub"], Nature::WheelFixings),
    but(&["wheel", "bolt"], &["steering", "fly", "bearing", "hub"], Nature::WheelFixings),
    but(&["wheel", "fixing"], &[], Nature::WheelFixings),
    row(&["timing", "mark"], Nature::TimingMarks),
    row(&["locking", "pin"], Nature::TimingMarks),
    row(&["locking", "tool"], Nature::TimingMarks),
    but(&["timing", "belt"], &["cover"], Nature::TimingDrive),
    but(&["timing", "chain"], &["cover"], Nature::TimingDrive),
    but(&["camshaft", "pulley"], &[], Nature::TimingDrive),
    but(&["camshaft", "sprocket"], &[], Nature::TimingDrive),
    row(&["starter"], Nature::Starter),
    but(&["alternator"], &["belt"], Nature::Alternator),
    but(&["dynamo"], &["belt"], Nature::Alternator),
    but(&["battery"], &["hold", "tray", "clamp bar", "box"], Nature::Battery),
    but(&["fuel"], &["gauge", "flap"], Nature::Fuel),
    row(&["petrol"], Nature::Fuel),
    row(&["diesel"], Nature::Fuel),
    row(&["tank", "pipe"], Nature::Fuel),
    row(&["carburettor"], Nature::Fuel),
    row(&["injector"], Nature::Fuel),
    but(&["radiator"], &["fan", "grille", "mount", "bracket", "fins"], Nature::Coolant),
    row(&["coolant"], Nature::Coolant),
    row(&["thermostat"], Nature::Coolant),
    row(&["heater", "hose"], Nature::Coolant),
    row(&["heater", "bleed"], Nature::Coolant),
    row(&["coolant", "bleed"], Nature::Coolant),
    row(&["expansion", "tank"], Nature::Coolant),
    but(&["water", "pump"], &["belt", "pulley", "bearing"], Nature::Coolant),
    row(&["automatic"], Nature::AutomaticFluid),
    row(&["steering", "fluid"], Nature::SteeringFluid),
    row(&["steering", "reservoir"], Nature::SteeringFluid),
    row(&["steering", "hose"], Nature::SteeringFluid),
    row(&["steering", "return"], Nature::SteeringFluid),
    row(&["steering", "pressure"], Nature::SteeringFluid),
    but(&["steering", "pump"], &["belt", "bolt", "pulley", "bracket"], Nature::SteeringFluid),
    row(&["track", "rod"], Nature::Steering),
    row(&["ball", "joint"], Nature::Steering),
    but(&["steering"], &["belt", "bolt", "lock", "wheel", "column", "pulley", "pump"], Nature::Steering),
    row(&["sump"], Nature::EngineOil),
    row(&["engine", "oil"], Nature::EngineOil),
    row(&["oil", "filter"], Nature::EngineOil),
    row(&["oil", "filler"], Nature::EngineOil),
    row(&["dipstick"], Nature::EngineOil),
    row(&["gearbox", "oil"], Nature::GearOil),
    row(&["gearbox", "plug"], Nature::GearOil),
    row(&["gearbox", "filler"], Nature::GearOil),
    row(&["gearbox", "drain"], Nature::GearOil),
    row(&["axle", "oil"], Nature::GearOil),
    row(&["axle", "filler"], Nature::GearOil),
    row(&["axle", "drain"], Nature::GearOil),
    row(&["axle", "plug"], Nature::GearOil),
    row(&["transfer", "oil"], Nature::GearOil),
    row(&["transfer", "filler"], Nature::GearOil),
    row(&["transfer", "drain"], Nature::GearOil),
    row(&["differential", "oil"], Nature::GearOil),
    row(&["differential", "filler"], Nature::GearOil),
    row(&["differential", "drain"], Nature::GearOil),
    but(&["exhaust"], &["strap"], Nature::Exhaust),
    row(&["silencer"], Nature::Exhaust),
];

/// What a thing called `object` is, by its words. `None` where no row of the table fits.
pub fn nature_of(kind: ObjectKind, object: &str) -> Option<Nature> {
    let object = object.to_lowercase();
    let words: Vec<&str> =
        object.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    if kind == ObjectKind::Part && matches!(words.last(), Some(&"wheel" | &"wheels")) && is_road_wheel(&words) {
        return Some(Nature::Wheel);
    }
    let begins = |wanted: &&str| words.iter().any(|word| word.starts_with(*wanted));
    TABLE.iter().find(|row| row.all.iter().all(&begins) && !row.none.iter().any(&begins)).map(|row| row.nature)
}

fn is_road_wheel(words: &[&str]) -> bool {
    words[..words.len() - 1]
        .iter()
        .all(|word| matches!(*word, "front" | "rear" | "left" | "right" | "road" | "spare" | "both" | "all" | "four"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_known_by_the_words_of_the_trade() {
        let cases = [
            (ObjectKind::Fluid, "brake fluid", Some(Nature::BrakeHydraulics)),
            (ObjectKind::Connection, "rear wheel cylinder pipes", Some(Nature::BrakeHydraulics)),
            (ObjectKind::Part, "rear wheel cylinders", Some(Nature::BrakeParts)),
            (ObjectKind::Part, "front calipers", Some(Nature::BrakeParts)),
            (ObjectKind::Part, "front wheels", Some(Nature::Wheel)),
            (ObjectKind::Part, "steering wheel", None),
            (ObjectKind::Part, "flywheel", None),
            (ObjectKind::Fastener, "front wheel nuts", Some(Nature::WheelFixings)),
            (ObjectKind::Fastener, "front wheel bearing nut", None),
            (ObjectKind::Connection, "battery earth lead", Some(Nature::Battery)),
            (ObjectKind::Part, "battery hold-down", None),
            (ObjectKind::Part, "alternator belt", None),
            (ObjectKind::Part, "alternator", Some(Nature::Alternator)),
            (ObjectKind::Part, "timing belt", Some(Nature::TimingDrive)),
            (ObjectKind::Part, "timing belt covers", None),
            (ObjectKind::LeftInside, "camshaft locking pin", Some(Nature::TimingMarks)),
            (ObjectKind::Opening, "radiator cap", Some(Nature::Coolant)),
            (ObjectKind::Part, "radiator fan", None),
            (ObjectKind::Opening, "oil filler cap", Some(Nature::EngineOil)),
            (ObjectKind::Opening, "rear axle filler plug", Some(Nature::GearOil)),
            (ObjectKind::Opening, "fuel filler cap", Some(Nature::Fuel)),
            (ObjectKind::Connection, "plug in the tank pipe", Some(Nature::Fuel)),
            (ObjectKind::Fluid, "steering fluid", Some(Nature::SteeringFluid)),
            (ObjectKind::Fastener, "steering pump adjuster bolts", None),
            (ObjectKind::Part, "track-rod ends", Some(Nature::Steering)),
            (ObjectKind::Opening, "heater bleed screw", Some(Nature::Coolant)),
            (ObjectKind::Opening, "bleed screws", Some(Nature::BrakeHydraulics)),
            (ObjectKind::Part, "wiper arm", None),
        ];
        for (kind, object, expected) in cases {
            assert_eq!(nature_of(kind, object), expected, "{object}");
        }
    }
}
