//! What a drained or dipped fluid looks and smells like, what that may tell, and whether it got worse.
//!
//! Everything here is common practice, no source: eyes and nose name suspects, they prove nothing.

use super::class::FluidKind;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// Held against the light on white paper.
    pub enum Colour {
        AsNew = "as-new", "clear, as new";
        Darker = "darker", "darker, still clear";
        Black = "black", "black";
        Milky = "milky", "milky or like coffee with cream";
        Rusty = "rusty", "rusty brown and cloudy";
        Metallic = "metallic", "shimmering like metal paint";
    }
}

closed_set! {
    /// From the pan or the dipstick, at arm's length.
    pub enum Smell {
        Plain = "plain", "nothing special";
        Burnt = "burnt", "burnt";
        Fuel = "fuel", "of fuel";
        Sweet = "sweet", "sweet";
    }
}

closed_set! {
    /// Between the fingers of a glove, and on a magnet.
    pub enum Particles {
        None = "none", "none";
        Paste = "paste", "fine grey paste on the magnet";
        Glitter = "glitter", "fine glitter a magnet leaves";
        Chips = "chips", "chips or splinters of metal";
        Sludge = "sludge", "sludge or jelly";
        Grit = "grit", "sand or rust grit";
        Rubber = "rubber", "black crumbs of rubber";
        Fibres = "fibres", "fibres or lining dust";
    }
}

/// One look at a fluid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    pub colour: Colour,
    pub smell: Smell,
    pub particles: Particles,
}

/// As in `black, smells of fuel, fine glitter a magnet leaves`: what is not worth a word is left out.
impl std::fmt::Display for Look {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}", self.colour)?;
        if self.smell != Smell::Plain {
            write!(out, ", smells {}", self.smell)?;
        }
        if self.particles != Particles::None {
            write!(out, ", {}", self.particles)?;
        }
        Ok(())
    }
}

/// Something it may be, and where to look next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Suspect {
    pub may_be: &'static str,
    pub look_next: &'static str,
    /// Whether the car should stand until it is looked into.
    pub stop: bool,
}

closed_set! {
    /// The second look against the first.
    pub enum Trend {
        Better = "better", "better";
        Same = "same", "the same";
        Worse = "worse", "worse";
        Mixed = "mixed", "better in one way, worse in another";
    }
}

const fn watch(may_be: &'static str, look_next: &'static str) -> Suspect {
    Suspect { may_be, look_next, stop: false }
}

const fn stop(may_be: &'static str, look_next: &'static str) -> Suspect {
    Suspect { may_be, look_next, stop: true }
}

/// What a look may tell, the gravest first; empty when nothing speaks. At most three, one from each sense.
pub fn suspects(kind: FluidKind, look: Look) -> Vec<Suspect> {
    let found = [by_particles(kind, look.particles), by_colour(kind, look.colour), by_smell(kind, look.smell)];
    let mut found: Vec<_> = found.into_iter().flatten().collect();
    found.sort_by_key(|suspect| !suspect.stop);
    found
}

fn by_colour(kind: FluidKind, colour: Colour) -> Option<Suspect> {
    match colour {
        Colour::AsNew => None,
        Colour::Darker => (kind == FluidKind::Brake).then_some(watch(
            "May be old and have taken up water.",
            "Change it; a tester tells how much water is in it.",
        )),
        Colour::Black => match kind {
            FluidKind::EngineOil => {
                Some(watch("Black engine oil may only be old.", "Go by its age, not by its colour."))
            }
            FluidKind::Brake => {
                Some(stop("May hold dissolved rubber or dirt.", "Look at every seal and hose before you bleed."))
            }
            FluidKind::GearOil | FluidKind::AutomaticTransmission | FluidKind::PowerSteering => {
                Some(watch("May have been overheated or be very old.", "Change it and look at the next drain."))
            }
            FluidKind::Coolant => {
                Some(stop("May have oil in it.", "Look under the filler cap for an oil film; test the head gasket."))
            }
            FluidKind::Grease | FluidKind::Washer | FluidKind::Refrigerant => None,
        },
        Colour::Milky => milky(kind),
        Colour::Rusty => Some(rusty(kind)),
        Colour::Metallic => {
            Some(stop("May carry worn metal.", "Cut the filter open or draw a magnet through it before it runs again."))
        }
    }
}

fn rusty(kind: FluidKind) -> Suspect {
    match kind {
        FluidKind::EngineOil | FluidKind::GearOil | FluidKind::AutomaticTransmission | FluidKind::PowerSteering => {
            stop("May have held water.", "Find how it got in, change it, and look at the next drain.")
        }
        FluidKind::Brake => stop(
            "Cylinders may be rusting inside.",
            "Do not drive: look at every cylinder and caliper, and renew the fluid.",
        ),
        FluidKind::Grease => {
            watch("May have held water.", "Clean the bearing, look at its races, renew grease and seal.")
        }
        FluidKind::Coolant | FluidKind::Washer | FluidKind::Refrigerant => watch(
            "May have rusted parts behind it.",
            "Flush it until it runs clear, and look inside what can be opened.",
        ),
    }
}

fn milky(kind: FluidKind) -> Option<Suspect> {
    match kind {
        FluidKind::EngineOil => Some(stop(
            "May have water or coolant in it.",
            "Watch the coolant level; look at the head gasket and the oil cooler. A little foam under the cap after short cold runs \
             may be only condensation.",
        )),
        FluidKind::AutomaticTransmission => Some(stop(
            "May have coolant in it.",
            "Watch the coolant level, and test the oil cooler, often inside the radiator.",
        )),
        FluidKind::GearOil => Some(stop(
            "May have water in it.",
            "Look at seals and breather, and ask whether it went through deep water.",
        )),
        FluidKind::PowerSteering => Some(stop(
            "May have air or water in it.",
            "Let it settle: if it clears it was air, so look at the level and the hose to the pump.",
        )),
        FluidKind::Brake => Some(stop(
            "May have water in it, or two fluids that do not mix.",
            "Find out which; flush it or renew every seal.",
        )),
        FluidKind::Coolant => Some(stop("May have oil in it.", "Test the head gasket and the oil cooler.")),
        FluidKind::Grease => Some(watch("May have water in it.", "Renew the seal and clean the bearing.")),
        FluidKind::Washer | FluidKind::Refrigerant => None,
    }
}

fn by_smell(kind: FluidKind, smell: Smell) -> Option<Suspect> {
    match (smell, kind) {
        (Smell::Plain, _) => None,
        (Smell::Burnt, FluidKind::AutomaticTransmission) => Some(stop(
            "Clutches inside may have slipped and burnt.",
            "Drop the pan and look for lining before you drive on.",
        )),
        (Smell::Burnt, FluidKind::Brake) => Some(stop(
            "May have boiled: a brake may be dragging.",
            "Do not drive: look for a wheel that does not turn free, then renew the fluid.",
        )),
        (Smell::Burnt, _) => Some(watch("May have been overheated.", "Look for what ran hot, and change it.")),
        (Smell::Fuel, FluidKind::EngineOil) => Some(stop(
            "May be thinned by fuel: it burns, and it no longer holds the bearings apart.",
            "Look at the choke, the injectors and the membrane of the fuel pump; change the oil.",
        )),
        (Smell::Fuel, FluidKind::Brake) => Some(stop(
            "Fuel, oil or cleaner may have got in, which swells the seals.",
            "Do not drive; renew all rubber parts.",
        )),
        (Smell::Fuel, FluidKind::Coolant) => {
            Some(stop("May have gas from the cylinders in it.", "Test the head gasket before it runs again."))
        }
        (Smell::Fuel, _) => Some(watch(
            "May have been mixed up with fuel or cleaner.",
            "Do not use it again; look where it was filled.",
        )),
        (Smell::Sweet, FluidKind::Coolant | FluidKind::Washer) => None,
        (Smell::Sweet, FluidKind::Brake) => Some(stop(
            "Coolant or another wrong fluid may have been poured in.",
            "Do not drive before that is cleared up; some brake fluid smells a little sweet by itself.",
        )),
        (Smell::Sweet, FluidKind::AutomaticTransmission) => Some(stop(
            "May have coolant in it.",
            "Watch the coolant level, and test the oil cooler, often inside the radiator.",
        )),
        (Smell::Sweet, FluidKind::EngineOil) => {
            Some(stop("May have coolant in it.", "Watch the coolant level and test the head gasket."))
        }
        (Smell::Sweet, FluidKind::GearOil | FluidKind::Grease | FluidKind::PowerSteering | FluidKind::Refrigerant) => {
            Some(stop("May have coolant in it.", "Find out what was poured in, and change it."))
        }
    }
}

fn by_particles(kind: FluidKind, particles: Particles) -> Option<Suspect> {
    match particles {
        Particles::None => None,
        Particles::Paste => {
            Some(watch("A little grey paste on a magnet is usual wear.", "Wipe it off and compare at the next change."))
        }
        Particles::Glitter => Some(stop(
            "Bearings or bronze parts may be wearing: a magnet leaves what is not steel.",
            "Cut the filter open; measure oil pressure or play before it runs again.",
        )),
        Particles::Chips => Some(stop(
            "A tooth, ring or bearing may have broken.",
            "Open it before it turns again, and find where each piece came from.",
        )),
        Particles::Sludge => match kind {
            FluidKind::Coolant => Some(stop(
                "Two coolants may have set to jelly, or oil got in.",
                "Flush it, and look into the radiator tubes.",
            )),
            FluidKind::Brake => Some(stop("A wrong fluid may have got in.", "Do not drive; renew all rubber parts.")),
            FluidKind::EngineOil
            | FluidKind::GearOil
            | FluidKind::AutomaticTransmission
            | FluidKind::Grease
            | FluidKind::PowerSteering
            | FluidKind::Washer
            | FluidKind::Refrigerant => {
                Some(watch("May be very old or have held water.", "Take the pan off and clean its strainer."))
            }
        },
        Particles::Grit if kind == FluidKind::Brake => Some(stop(
            "Dirt or rust may have got in, which scores cylinders and blocks ports.",
            "Do not drive: look inside the cylinders before it is flushed.",
        )),
        Particles::Grit => Some(watch("Dirt or rust may have got in.", "Look at caps, breathers and boots; flush it.")),
        Particles::Rubber => {
            Some(stop("A seal or hose may be falling apart.", "Look at every seal and hose that it touches."))
        }
        Particles::Fibres => Some(watch(
            "Clutch or brake lining may be wearing.",
            "Old lining may hold asbestos: keep it wet, and do not blow it out.",
        )),
    }
}

/// Whether `after` looks better or worse than `before`, sense by sense.
pub fn trend(before: Look, after: Look) -> Trend {
    let steps = [
        colour_rank(after.colour).cmp(&colour_rank(before.colour)),
        smell_rank(after.smell).cmp(&smell_rank(before.smell)),
        particle_rank(after.particles).cmp(&particle_rank(before.particles)),
    ];
    match (steps.iter().any(|step| step.is_gt()), steps.iter().any(|step| step.is_lt())) {
        (true, true) => Trend::Mixed,
        (true, false) => Trend::Worse,
        (false, true) => Trend::Better,
        (false, false) => Trend::Same,
    }
}

fn colour_rank(colour: Colour) -> u8 {
    match colour {
        Colour::AsNew => 0,
        Colour::Darker => 1,
        Colour::Black => 2,
        Colour::Rusty => 3,
        Colour::Milky | Colour::Metallic => 4,
    }
}

fn smell_rank(smell: Smell) -> u8 {
    match smell {
        Smell::Plain => 0,
        Smell::Burnt => 1,
        Smell::Fuel | Smell::Sweet => 2,
    }
}

fn particle_rank(particles: Particles) -> u8 {
    match particles {
        Particles::None => 0,
        Particles::Paste => 1,
        Particles::Fibres | Particles::Grit | Particles::Sludge => 2,
        Particles::Glitter | Particles::Rubber => 3,
        Particles::Chips => 4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEW: Look = Look { colour: Colour::AsNew, smell: Smell::Plain, particles: Particles::None };

    #[test]
    fn a_clean_fluid_raises_no_suspicion() {
        for kind in FluidKind::ALL {
            assert!(suspects(*kind, NEW).is_empty(), "{kind}");
        }
    }

    #[test]
    fn milky_oil_points_at_water_and_the_gravest_comes_first() {
        let milky = suspects(FluidKind::EngineOil, Look { colour: Colour::Milky, particles: Particles::Paste, ..NEW });
        assert!(milky[0].stop && milky[0].may_be.contains("water"));
        assert!(!milky[1].stop);
        let sweet = suspects(FluidKind::GearOil, Look { smell: Smell::Sweet, ..NEW });
        assert!(sweet[0].may_be.contains("coolant"));
        assert!(suspects(FluidKind::Coolant, Look { smell: Smell::Sweet, ..NEW }).is_empty());
    }

    /// Common practice, no source: only age darkens brake fluid harmlessly.
    #[test]
    fn what_is_wrong_with_brake_fluid_keeps_the_car_standing() {
        let wrong =
            [Colour::Black, Colour::Milky, Colour::Rusty, Colour::Metallic].map(|colour| Look { colour, ..NEW });
        let smells = [Smell::Burnt, Smell::Fuel, Smell::Sweet].map(|smell| Look { smell, ..NEW });
        let crumbs = [Particles::Sludge, Particles::Grit, Particles::Rubber, Particles::Chips];
        let crumbs = crumbs.map(|particles| Look { particles, ..NEW });
        for look in wrong.into_iter().chain(smells).chain(crumbs) {
            assert!(suspects(FluidKind::Brake, look)[0].stop, "{look}");
        }
    }

    #[test]
    fn rust_in_oil_tells_of_water_and_oil_is_not_flushed_until_it_runs_clear() {
        let rusty = Look { colour: Colour::Rusty, ..NEW };
        for kind in [FluidKind::EngineOil, FluidKind::GearOil, FluidKind::AutomaticTransmission] {
            let suspect = suspects(kind, rusty)[0];
            assert!(suspect.stop && suspect.may_be.contains("water"), "{kind}");
            assert!(!suspect.look_next.to_lowercase().contains("flush"), "{kind}");
        }
        assert!(!suspects(FluidKind::Coolant, rusty)[0].stop);
    }

    #[test]
    fn every_suspect_is_a_may_and_says_where_to_look() {
        for kind in FluidKind::ALL {
            for colour in Colour::ALL {
                for smell in Smell::ALL {
                    for particles in Particles::ALL {
                        let look = Look { colour: *colour, smell: *smell, particles: *particles };
                        for suspect in suspects(*kind, look) {
                            let hedged = ["ay ", "usual"].iter().any(|word| suspect.may_be.contains(word));
                            assert!(hedged, "{}", suspect.may_be);
                            assert!(suspect.look_next.ends_with('.'), "{}", suspect.look_next);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn two_looks_make_a_trend() {
        let worse = Look { particles: Particles::Glitter, ..NEW };
        let dark = Look { colour: Colour::Black, ..NEW };
        assert_eq!(trend(NEW, NEW), Trend::Same);
        assert_eq!(trend(NEW, worse), Trend::Worse);
        assert_eq!(trend(worse, NEW), Trend::Better);
        assert_eq!(trend(worse, dark), Trend::Mixed);
    }
}
