//! The usual cautions of work on an old car, each written once: what can hurt, how to avoid it, who says so.
//!
//! They are reminders, never a promise that a job is safe: the maker's manual, local rules and licensed
//! practice come first. Pure words, no rule of the card checker hangs on them.

use super::closed_set::closed_set;

closed_set! {
    /// A known way to be hurt, or to do harm, at a step. A card refers to it by name.
    pub enum Caution {
        CarOnJackAlone = "car-on-jack-alone", "Never under a car on a jack";
        ChockWheels = "chock-wheels", "Chock the wheels that stay down";
        StandsOnHardFloor = "stands-on-hard-floor", "Stands on hard, level ground";
        FourWheelDriveOnStands = "four-wheel-drive-on-stands", "A driven wheel moves the others";
        FallingWheel = "falling-wheel", "Wheel nuts tight, then again";
        HeavyPartTwoPeople = "heavy-part-two-people", "Heavy part: two people or a jack";
        EyeProtectionUnderCar = "eye-protection-under-car", "Glasses on under the car";
        BrakeDustAsbestos = "brake-dust-asbestos", "Brake dust may hold asbestos";
        ClutchAndGasketAsbestos = "clutch-and-gasket-asbestos", "Old gasket or clutch: fibres";
        BrakeFluidPaintAndEyes = "brake-fluid-paint-and-eyes", "Brake fluid: eyes and paint";
        BrakePipePressure = "brake-pipe-pressure", "Brake pipe under pressure";
        PumpThePedal = "pump-the-pedal", "Pump the pedal before moving";
        TrappedFingers = "trapped-fingers", "Fingers out of the gap";
        FuelVapour = "fuel-vapour", "Fuel vapour burns";
        FuelPressure = "fuel-pressure", "Fuel line under pressure";
        HighPressureFluid = "high-pressure-fluid", "A fine jet goes through the skin";
        HotCoolant = "hot-coolant", "Hot coolant boils out";
        CoolantPoison = "coolant-poison", "Coolant is poison and tastes sweet";
        HotExhaust = "hot-exhaust", "Hot exhaust";
        HotOil = "hot-oil", "Hot oil scalds";
        UsedOilSkin = "used-oil-skin", "Used oil and skin";
        UsedFluidDisposal = "used-fluid-disposal", "Take used fluids back";
        RunningIndoorsCarbonMonoxide = "running-indoors-carbon-monoxide", "Exhaust gas kills indoors";
        MovingFanBelt = "moving-fan-belt", "Fan and belts turn";
        RotatingShaft = "rotating-shaft", "Turning propshaft or driveshaft";
        IgnitionHighVoltage = "ignition-high-voltage", "High voltage at the ignition";
        BatteryShort = "battery-short", "A spanner across the battery";
        BatteryGas = "battery-gas", "Battery gas and acid";
        SpringEnergy = "spring-energy", "A loaded spring";
        SuddenlyLoose = "suddenly-loose", "A tight bolt lets go at once";
        AirBag = "air-bag", "Air bag or belt tensioner";
        Refrigerant = "refrigerant", "Air-conditioning gas";
        WeldingFire = "welding-fire", "Welding and grinding start fires";
        SolventVapour = "solvent-vapour", "Cleaner vapour";
        TyreInflation = "tyre-inflation", "Tyre under pressure";
        FirstDrive = "first-drive", "The first drive";
    }
}

/// Where a caution of the trade is read when nobody published it.
const COMMON: &str = "common practice, no source";
const HSE_UNDER_VEHICLES: &str = "HSE, Motor vehicle repair: working under vehicles; HSG261";
const ASBESTOS: &str = "EPA, Current Best Practices for Preventing Asbestos Exposure Among Brake and Clutch Repair \
                        Workers, March 2007; OSHA SHIB 07-26-06";

impl Caution {
    /// What can happen, in one sentence.
    pub fn harm(self) -> &'static str {
        match self {
            Caution::CarOnJackAlone => {
                "A jack can sink, slip or be knocked, and the car then crushes whoever is under it."
            }
            Caution::ChockWheels => {
                "A car with one end up can roll off its jack or stands, even on a floor that looks flat."
            }
            Caution::StandsOnHardFloor => "Stands sink into soft ground and tip on a slope.",
            Caution::FourWheelDriveOnStands => {
                "With four-wheel drive in, one turning wheel drives the others, and a wheel on the ground pulls the car off its stands."
            }
            Caution::FallingWheel => "Wheel nuts settle after fitting, and a wheel with loose nuts comes off.",
            Caution::HeavyPartTwoPeople => {
                "A heavy part that drops crushes hands and feet, and lifting it alone hurts the back."
            }
            Caution::EyeProtectionUnderCar => "Rust, grit and fluid fall straight into the eyes of whoever looks up.",
            Caution::BrakeDustAsbestos => {
                "Dust from old brake linings may hold asbestos, which harms the lungs for life when it is breathed in."
            }
            Caution::ClutchAndGasketAsbestos => {
                "Old clutch linings, gaskets and lagging may hold asbestos, which harms the lungs when scraped or blown into dust."
            }
            Caution::BrakeFluidPaintAndEyes => "Glycol brake fluid burns the eyes and lifts paint within minutes.",
            Caution::BrakePipePressure => {
                "Fluid squirts from an opened brake pipe or bleed screw when anybody presses the pedal."
            }
            Caution::PumpThePedal => {
                "After work on the brakes the first strokes of the pedal may do nothing, and the car does not stop."
            }
            Caution::TrappedFingers => "A finger between heavy or sprung parts is crushed when they move.",
            Caution::FuelVapour => {
                "Petrol vapour creeps along the floor and burns or explodes at a spark or a pilot flame far away."
            }
            Caution::FuelPressure => {
                "Fuel sprays out of a line that is still under pressure, into eyes and onto hot parts."
            }
            Caution::HighPressureFluid => {
                "A fine jet of steering, brake or diesel fluid goes through glove and skin and poisons the flesh behind a hole one hardly feels."
            }
            Caution::HotCoolant => {
                "Coolant under pressure is hotter than boiling water and bursts out when the cap comes off."
            }
            Caution::CoolantPoison => {
                "Ethylene glycol tastes sweet, and a small drink of it kills a child, a dog or a cat."
            }
            Caution::HotExhaust => "An exhaust burns the skin long after the engine has stopped.",
            Caution::HotOil => "Oil just off the road runs out fast and scalds.",
            Caution::UsedOilSkin => {
                "Used engine oil holds substances that harm the skin and can cause cancer on long, repeated contact."
            }
            Caution::UsedFluidDisposal => {
                "Oil, coolant, fuel and brake fluid poison ground and water, and a drop of one spoils the recycling of another."
            }
            Caution::RunningIndoorsCarbonMonoxide => {
                "Exhaust gas holds carbon monoxide, which has no smell and kills in a closed garage within minutes."
            }
            Caution::MovingFanBelt => {
                "A turning fan or belt takes hold of fingers, hair and sleeves, and an electric fan may start by itself."
            }
            Caution::RotatingShaft => "A turning shaft winds in clothes and hair and throws off what is loose on it.",
            Caution::IgnitionHighVoltage => {
                "Ignition voltage gives a shock that can stop a heart with a pacemaker and makes anyone jerk into the fan."
            }
            Caution::BatteryShort => {
                "Metal between the battery and the car glows, burns the hand deeply and can burst the battery."
            }
            Caution::BatteryGas => {
                "A battery gives off hydrogen, which explodes at a spark, and holds acid that burns eyes and skin."
            }
            Caution::SpringEnergy => "A spring under load flies off with force enough to break bones or blind.",
            Caution::SuddenlyLoose => {
                "When a seized fastener gives way at once, the hand hits the nearest edge, or the car rocks on its stands."
            }
            Caution::AirBag => "An air bag or a belt tensioner that fires by mistake breaks bones and burns.",
            Caution::Refrigerant => {
                "Air-conditioning gas freezes skin and eyes, takes the air's place in a pit, and harms the climate."
            }
            Caution::WeldingFire => {
                "Heat and sparks light underseal, trim and fuel out of sight, sometimes an hour later."
            }
            Caution::SolventVapour => {
                "Brake and parts cleaner makes a vapour that numbs, burns easily, and turns poisonous on hot metal or near a welding arc."
            }
            Caution::TyreInflation => {
                "A tyre or a rusty rim that fails while it is filled bursts with the force of a blow."
            }
            Caution::FirstDrive => {
                "A fault left by the work shows itself on the first drive, when other people are on the road."
            }
        }
    }

    /// How to avoid it, in one sentence; it leaves the last word to the maker, local rules and licensed practice.
    pub fn avoid(self) -> &'static str {
        match self {
            Caution::CarOnJackAlone => {
                "Lift only at the maker's points, set rated stands at once, shake the car before going under, and keep the jack for lifting."
            }
            Caution::ChockWheels => {
                "Put chocks before and behind both wheels that stay on the ground, whatever the handbrake says."
            }
            Caution::StandsOnHardFloor => {
                "Use a hard, level floor, stands within their marked load with their own pins, and steel or thick board under them if it must be asphalt."
            }
            Caution::FourWheelDriveOnStands => {
                "Select two-wheel drive and neutral, chock the ground wheels, and run in gear only with all four wheels clear and the maker's manual agreeing."
            }
            Caution::FallingWheel => {
                "Clean the seats, tighten to the maker's torque in a star on the ground, and check again after the first 50 km or as the maker says."
            }
            Caution::HeavyPartTwoPeople => {
                "Carry it on a jack or with a second person, agree who says when, and keep feet from under it."
            }
            Caution::EyeProtectionUnderCar => {
                "Wear close-fitting safety glasses before the head goes under, and brush downwards, away from the face."
            }
            Caution::BrakeDustAsbestos => {
                "Treat it as asbestos: never blow or dry-brush it, wet it first, wipe it up, bag and label the rags, and follow local rules for the waste."
            }
            Caution::ClutchAndGasketAsbestos => {
                "Treat it as asbestos: keep it wet, lift it off whole, never sand or blow it, bag it, and follow local rules for the waste."
            }
            Caution::BrakeFluidPaintAndEyes => {
                "Wear glasses and gloves, cover the paint, rinse a splash with plenty of water at once, and see a doctor about an eye."
            }
            Caution::BrakePipePressure => {
                "Agree on words with the helper, keep the face out of the line, lead the fluid through a tube, and open only with the pedal at rest."
            }
            Caution::PumpThePedal => {
                "Pump until the pedal is high and hard with the car at rest, check for leaks, and have licensed practice look at the brakes where in doubt or required."
            }
            Caution::TrappedFingers => {
                "Press with a tool and not with fingers, and warn the helper before anything moves."
            }
            Caution::FuelVapour => {
                "Work outdoors or with doors open, battery earth off, no flame, heater or mains lamp, a sealed metal or fuel-rated can, and an extinguisher at hand."
            }
            Caution::FuelPressure => {
                "Let the pressure down as the maker says, wrap the joint in a rag, open it slowly with glasses on, and wipe up at once."
            }
            Caution::HighPressureFluid => {
                "Look for leaks with paper or card and never with the hand, and go to a hospital at once with any pierced skin."
            }
            Caution::HotCoolant => {
                "Wait until the top hose is cold to the hand, then turn the cap to its first stop under a cloth and let it hiss."
            }
            Caution::CoolantPoison => {
                "Catch it in a pan, keep children and animals away, wipe up drops, close and label the can, and never pour it down a drain."
            }
            Caution::HotExhaust => "Let it cool for an hour, and wear gloves and long sleeves near it.",
            Caution::HotOil => {
                "Drain it warm, not hot, with gloves on, and keep hand and sleeve out of the line of the plug."
            }
            Caution::UsedOilSkin => {
                "Wear gloves that oil does not pass, wash with soap rather than petrol, and change oily clothes."
            }
            Caution::UsedFluidDisposal => {
                "Keep each fluid in its own labelled can and take it to a collection point as local rules say, never into soil, drain or fire."
            }
            Caution::RunningIndoorsCarbonMonoxide => {
                "Run the engine outdoors or lead the exhaust out of an open door, and stop at the first headache."
            }
            Caution::MovingFanBelt => {
                "Tie back hair and sleeves, keep hands and tools clear while it runs, and take the earth lead off before reaching in."
            }
            Caution::RotatingShaft => {
                "Nobody is under or beside the car while a shaft turns, and it is turned by hand only with the ignition off."
            }
            Caution::IgnitionHighVoltage => {
                "Switch off before touching leads, earth them while cranking, and stay away from a running ignition with a pacemaker."
            }
            Caution::BatteryShort => {
                "Take rings and watch off, take the earth lead off first and put it on last, and cover the live pole."
            }
            Caution::BatteryGas => {
                "No flame or spark near it, charge as its maker says with the doors open, wear glasses and gloves, and rinse acid with plenty of water."
            }
            Caution::SpringEnergy => {
                "Use the right tool or rated compressor, stand out of its line, wear glasses, and leave it to a workshop where the tool is lacking."
            }
            Caution::SuddenlyLoose => {
                "Pull towards yourself with a ring or six-point socket, gloves on, never jerk a car that is on stands, and soak or warm it first."
            }
            Caution::AirBag => {
                "Do not work on these without the maker's procedure: ignition off, battery off, wait the time the maker says, and leave it to licensed practice."
            }
            Caution::Refrigerant => {
                "Never open the circuit: in most places only licensed practice may empty and fill it."
            }
            Caution::WeldingFire => {
                "Take fuel and trim out of reach, battery off, extinguisher and helper at hand, watch for an hour after, and leave structure to qualified welders."
            }
            Caution::SolventVapour => {
                "Use it cold, outdoors or in a draught, with gloves, away from flames, and let it dry before heat or current comes near."
            }
            Caution::TyreInflation => {
                "Stand beside the tread and not before the wheel, use a gauge on a long hose, stay under the marked pressure, and have beads seated by a tyre fitter."
            }
            Caution::FirstDrive => {
                "Do the checks at rest first, then drive slowly on empty ground, try the brakes at walking pace, and go on the road only as local rules allow."
            }
        }
    }

    /// Who says so. Titles and numbers only; nothing is quoted.
    pub fn source(self) -> &'static str {
        match self {
            Caution::CarOnJackAlone => {
                "HSE, Motor vehicle repair: working under vehicles; HSG261; WAC 296-307-22509(3), after OSHA 29 CFR 1910.244(a)(2)"
            }
            Caution::ChockWheels => HSE_UNDER_VEHICLES,
            Caution::StandsOnHardFloor => {
                "HSE, Motor vehicle repair: working under vehicles; HSG261; 29 CFR 1926.305(a)(1) for the marked load"
            }
            Caution::BrakeDustAsbestos | Caution::ClutchAndGasketAsbestos => ASBESTOS,
            Caution::FallingWheel => {
                "49 CFR 570.10(c) for nuts in place and tight; the second tightening is common practice, no source"
            }
            Caution::PumpThePedal => {
                "49 CFR 570.5 for a pedal that holds; pumping before moving is common practice, no source"
            }
            Caution::UsedFluidDisposal => {
                "40 CFR 279.12(b) against spreading used oil; the rest is common practice, no source, and local rules"
            }
            Caution::BatteryGas => "common practice, no source; US Army TM 9-6140-200-14 for batteries in service",
            Caution::Refrigerant => "40 CFR part 82, from memory; Regulation (EU) 2024/573, from memory",
            Caution::FourWheelDriveOnStands
            | Caution::HeavyPartTwoPeople
            | Caution::EyeProtectionUnderCar
            | Caution::BrakeFluidPaintAndEyes
            | Caution::BrakePipePressure
            | Caution::TrappedFingers
            | Caution::FuelVapour
            | Caution::FuelPressure
            | Caution::HighPressureFluid
            | Caution::HotCoolant
            | Caution::CoolantPoison
            | Caution::HotExhaust
            | Caution::HotOil
            | Caution::UsedOilSkin
            | Caution::RunningIndoorsCarbonMonoxide
            | Caution::MovingFanBelt
            | Caution::RotatingShaft
            | Caution::IgnitionHighVoltage
            | Caution::BatteryShort
            | Caution::SpringEnergy
            | Caution::SuddenlyLoose
            | Caution::AirBag
            | Caution::WeldingFire
            | Caution::SolventVapour
            | Caution::TyreInflation
            | Caution::FirstDrive => COMMON,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    /// Ends in one full stop and has no other: a colon, comma or number is fine.
    fn is_one_sentence(text: &str) -> bool {
        let Some(body) = text.strip_suffix('.') else {
            return false;
        };
        !body.contains(". ") && !body.contains(['!', '?']) && text.starts_with(char::is_uppercase)
    }

    #[test]
    fn every_caution_is_found_by_its_own_name_and_no_other() {
        for caution in Caution::ALL {
            assert_eq!(Caution::from_name(caution.name()), Some(*caution));
        }
        let names: HashSet<_> = Caution::ALL.iter().map(|caution| caution.name()).collect();
        assert_eq!(names.len(), Caution::ALL.len());
        assert_eq!(Caution::from_name("mind-the-step"), None);
        assert_eq!(Caution::from_name("Hot-Coolant"), None);
    }

    #[test]
    fn names_are_kebab_case() {
        for caution in Caution::ALL {
            let name = caution.name();
            let kebab = name.split('-').all(|word| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase()));
            assert!(kebab, "{name}");
        }
    }

    #[test]
    fn the_harm_and_the_way_out_are_one_sentence_each_and_fit_a_phone() {
        for caution in Caution::ALL {
            for text in [caution.harm(), caution.avoid()] {
                assert!(is_one_sentence(text), "{}: {text}", caution.name());
                assert!(text.chars().count() <= 180, "{}: {text}", caution.name());
            }
            assert!(caution.label().chars().count() <= 40, "{}", caution.name());
        }
    }

    #[test]
    fn every_caution_says_something_of_its_own() {
        let harms: HashSet<_> = Caution::ALL.iter().map(|caution| caution.harm()).collect();
        let ways: HashSet<_> = Caution::ALL.iter().map(|caution| caution.avoid()).collect();
        assert_eq!((harms.len(), ways.len()), (Caution::ALL.len(), Caution::ALL.len()));
    }

    #[test]
    fn every_caution_names_its_source_or_says_that_it_has_none() {
        for caution in Caution::ALL {
            let source = caution.source();
            let known = ["HSE", "EPA", "OSHA", "CFR", "WAC", "TM ", COMMON];
            assert!(known.iter().any(|part| source.contains(part)), "{}: {source}", caution.name());
        }
    }

    /// Cars are not promised to be safe: nobody here can see the car.
    #[test]
    fn no_caution_promises_safety() {
        for caution in Caution::ALL {
            let words = format!("{} {}", caution.harm(), caution.avoid()).to_lowercase();
            for promise in ["is safe", "are safe", "safely", "guarantee"] {
                assert!(!words.contains(promise), "{}: {words}", caution.name());
            }
        }
    }

    /// HSE, working under vehicles: support properly, never on jacks alone, chocks, hard level floor, rated load.
    #[test]
    fn lifting_cautions_carry_the_points_of_the_hse_guidance() {
        let lifting = [Caution::CarOnJackAlone, Caution::ChockWheels, Caution::StandsOnHardFloor];
        let words: String = lifting.iter().map(|caution| caution.avoid()).collect();
        for point in ["stands", "maker's points", "chocks", "hard, level floor", "marked load", "pins"] {
            assert!(words.contains(point), "{point}");
        }
    }

    /// EPA 2007 and OSHA SHIB 07-26-06: no compressed air, no dry brushing, wet first, wipe, contain the waste.
    #[test]
    fn brake_dust_is_wetted_and_wiped_never_blown() {
        let words = Caution::BrakeDustAsbestos.avoid();
        for point in ["never blow or dry-brush", "wet", "wipe", "bag"] {
            assert!(words.contains(point), "{point}");
        }
    }
}
