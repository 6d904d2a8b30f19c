//! Whether a fluid may be poured where another is asked for, by published class.

use super::brake::{BrakeBase, BrakeFluid, MIXING};
use super::class::Fluid;
use super::coolant::Coolant;
use super::engine_oil::{self, EngineOil};
use super::gear_oil::{self, GearOil, GearService};
use super::grease::{self, Grease};
use super::{Answer, Verdict};
use crate::trade::citation::Citation;

pub(super) const LICENSED: Citation = Citation::memory("40 CFR 82 subpart F; Regulation (EU) 517/2014");
const REFRIGERANT: &str = "Refrigerant is work for licensed people: it freezes skin and eyes, and letting it out is an \
                           offence in many countries. Leave the circuit shut.";

/// Whether `offered` may be poured where `wanted` is asked for. What the maker's manual says comes first.
pub fn suits(wanted: &Fluid, offered: &Fluid) -> Answer {
    match (wanted, offered) {
        (Fluid::Refrigerant, _) | (_, Fluid::Refrigerant) => Answer::no(REFRIGERANT, LICENSED),
        (Fluid::Brake(wanted), Fluid::Brake(offered)) => brake(*wanted, *offered),
        (Fluid::EngineOil(wanted), Fluid::EngineOil(offered)) => engine(wanted, offered),
        (Fluid::GearOil(wanted), Fluid::GearOil(offered)) => gear(wanted, offered),
        (Fluid::Coolant(wanted), Fluid::Coolant(offered)) => coolant(*wanted, *offered),
        (Fluid::Grease(wanted), Fluid::Grease(offered)) => greases(*wanted, *offered),
        (Fluid::AutomaticTransmission, Fluid::AutomaticTransmission)
        | (Fluid::PowerSteering, Fluid::PowerSteering | Fluid::AutomaticTransmission) => by_specification(wanted),
        (Fluid::Washer, Fluid::Washer) => {
            Answer::yes("Washer fluid is washer fluid; mind how cold it may get.", Citation::PRACTICE)
        }
        (
            Fluid::Brake(_)
            | Fluid::EngineOil(_)
            | Fluid::GearOil(_)
            | Fluid::Coolant(_)
            | Fluid::Grease(_)
            | Fluid::AutomaticTransmission
            | Fluid::PowerSteering
            | Fluid::Washer,
            _,
        ) => other_kind(wanted, offered),
    }
}

fn other_kind(wanted: &Fluid, offered: &Fluid) -> Answer {
    let (wanted, offered) = (wanted.kind(), offered.kind());
    Answer::no(format!("{} is asked for, and this is {offered}.", capital(wanted.label())), Citation::PRACTICE)
}

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn by_specification(wanted: &Fluid) -> Answer {
    let says = format!(
        "No public class covers {}: it suits only if the bottle names the very specification that the car's maker asks for.",
        wanted.kind()
    );
    Answer::not_known(says, Citation::PRACTICE)
}

fn brake(wanted: BrakeFluid, offered: BrakeFluid) -> Answer {
    if wanted.base() != offered.base() {
        return Answer::no(other_base(wanted.base(), offered), MIXING);
    }
    let (Some(least), Some(has)) = (wanted.limits(), offered.limits()) else {
        let says = "Both are mineral hydraulic oil: compare the maker's own number before you pour.";
        return Answer::not_known(says, Citation::PRACTICE);
    };
    if has.dry_boiling < least.dry_boiling || has.wet_boiling < least.wet_boiling {
        let says = format!(
            "{offered} may boil at {} °C once it has taken up water, and {wanted} is asked for, which holds to {} °C: \
             upward is allowed, downward is not.",
            has.wet_boiling, least.wet_boiling
        );
        return Answer::no(says, offered.source());
    }
    let thin = matches!(wanted, BrakeFluid::Dot4LowViscosity | BrakeFluid::Dot51LowViscosity);
    if thin && has.thickest_cold > least.thickest_cold {
        let says = format!("{wanted} is asked for, and {offered} may be too thick for its valves in the cold.");
        return Answer::no(says, wanted.source());
    }
    if wanted == offered {
        return Answer::yes(
            format!("{offered} is what is asked for. Only from a bottle that was sealed."),
            offered.source(),
        );
    }
    let says = format!(
        "{offered} boils no lower than {wanted} and is {} too, so it may stand in for it. Only from a bottle that was sealed.",
        offered.base()
    );
    Answer::yes(says, offered.source())
}

/// Why two bases never share a system.
pub(super) fn other_base(inside: BrakeBase, poured: BrakeFluid) -> String {
    match (inside, poured.base()) {
        (BrakeBase::Glycol, BrakeBase::Silicone) => {
            "Silicone DOT 5 never goes into a system of DOT 3, DOT 4 or DOT 5.1: the two do not mix, and water then gathers \
             where it boils and rusts. The name DOT 5.1 is close, the fluid is not."
                .to_owned()
        }
        (BrakeBase::Silicone, BrakeBase::Glycol) => {
            format!("{poured} never goes into a silicone DOT 5 system: the two do not mix, and the pedal can fail.")
        }
        (BrakeBase::Mineral, BrakeBase::Glycol | BrakeBase::Silicone) => {
            format!("{poured} ruins the seals of a mineral oil system within hours or days: only its own mineral oil goes in.")
        }
        (BrakeBase::Glycol | BrakeBase::Silicone, BrakeBase::Mineral) => {
            "Mineral oil swells the seals of a system made for DOT fluid, and the brakes can fail: never pour it in, not even \
             to top up."
                .to_owned()
        }
        (BrakeBase::Glycol, BrakeBase::Glycol)
        | (BrakeBase::Silicone, BrakeBase::Silicone)
        | (BrakeBase::Mineral, BrakeBase::Mineral) => "Both have the same base.".to_owned(),
    }
}

fn engine(wanted: &EngineOil, offered: &EngineOil) -> Answer {
    let checks = [engine_hot(wanted, offered), engine_winter(wanted, offered), engine_service(wanted, offered)];
    worst(checks).unwrap_or_else(|| Answer::yes("Grade and service are those asked for.", engine_oil::GRADES))
}

/// The first 'no', else the first 'not known'.
fn worst<const N: usize>(checks: [Option<Answer>; N]) -> Option<Answer> {
    let mut doubts: Vec<_> = checks.into_iter().flatten().collect();
    let no = doubts.iter().position(|answer| answer.verdict == Verdict::No).unwrap_or(0);
    (!doubts.is_empty()).then(|| doubts.swap_remove(no))
}

fn engine_hot(wanted: &EngineOil, offered: &EngineOil) -> Option<Answer> {
    let (asked, has) = match (wanted.hot, offered.hot) {
        (Some(asked), Some(has)) => (asked, has),
        (None, Some(_) | None) => {
            return Some(Answer::not_known(
                "The car's grade is not known: find it before you buy.",
                engine_oil::GRADES,
            ));
        }
        (Some(_), None) => {
            return Some(Answer::not_known("The bottle's grade is not known: look for SAE on it.", engine_oil::GRADES));
        }
    };
    if has < asked {
        let says = format!(
            "SAE {has} is thinner at running heat than the SAE {asked} asked for: oil pressure may fall too low."
        );
        return Some(Answer::no(says, engine_oil::GRADES));
    }
    (has > asked).then(|| {
        let says = format!(
            "SAE {has} is thicker at running heat than the SAE {asked} asked for: some makers allow it, ask the manual."
        );
        Answer::not_known(says, engine_oil::GRADES)
    })
}

fn engine_winter(wanted: &EngineOil, offered: &EngineOil) -> Option<Answer> {
    let asked = wanted.winter?;
    match offered.winter {
        None => {
            let says = format!(
                "The car asks for {asked} cold, and this oil has no winter grade: it may be too thick to crank."
            );
            Some(Answer::no(says, engine_oil::GRADES))
        }
        Some(has) if has > asked => {
            let says = format!(
                "{has} is thicker in the cold than the {asked} asked for: harder to crank, slower to reach the bearings."
            );
            Some(Answer::no(says, engine_oil::GRADES))
        }
        Some(_) => None,
    }
}

fn engine_service(wanted: &EngineOil, offered: &EngineOil) -> Option<Answer> {
    if wanted.services.is_empty() {
        return None;
    }
    let covered = |asked| offered.services.iter().map(|has| has.covers(asked)).collect::<Vec<_>>();
    let answers: Vec<_> = wanted.services.iter().map(|asked| covered(*asked)).collect();
    if answers.iter().all(|has| has.contains(&Some(true))) {
        let flat_tappets = wanted.services != offered.services;
        return flat_tappets.then(|| {
            let says = "A newer API category covers the older one asked for, but the newest oils hold less zinc and phosphorus: \
                        for an engine with flat tappets ask the maker or an engine builder.";
            Answer::not_known(says, Citation::PRACTICE)
        });
    }
    let older = answers.iter().any(|has| has.contains(&Some(false)) && !has.contains(&Some(true)));
    Some(if older {
        Answer::no("Its API category is older than the one asked for.", engine_oil::SERVICES)
    } else {
        Answer::not_known(
            "Its API categories cannot be compared with the ones asked for: read both labels.",
            engine_oil::SERVICES,
        )
    })
}

fn gear(wanted: &GearOil, offered: &GearOil) -> Answer {
    let checks = [gear_service(wanted, offered), gear_grade(wanted, offered)];
    worst(checks).unwrap_or_else(|| Answer::yes("Grade and service are those asked for.", gear_oil::GRADES))
}

fn gear_service(wanted: &GearOil, offered: &GearOil) -> Option<Answer> {
    let (asked, has) = match (wanted.service, offered.service) {
        (Some(asked), Some(has)) => (asked, has),
        (None, Some(_) | None) => {
            return Some(Answer::not_known(
                "The API GL class that the car wants is not known: find it first.",
                gear_oil::SERVICES,
            ));
        }
        (Some(_), None) => {
            return Some(Answer::not_known("The bottle names no API GL class: do not guess it.", gear_oil::SERVICES));
        }
    };
    match (asked, has) {
        (asked, has) if asked == has => None,
        (GearService::Gl4, GearService::Gl5) => Some(Answer::not_known(
            "GL-5 where GL-4 is asked: its additives can eat bronze and brass, such as synchroniser rings, and may make \
             synchromesh slip wrongly. Use GL-4 unless the maker allows GL-5.",
            Citation::PRACTICE,
        )),
        (GearService::Gl1, GearService::Gl3 | GearService::Gl4 | GearService::Gl5) => Some(Answer::not_known(
            "Straight mineral oil is asked for, and this holds extreme-pressure additive, which can eat bronze and brass.",
            Citation::PRACTICE,
        )),
        (GearService::Gl5, GearService::Gl1 | GearService::Gl2 | GearService::Gl3 | GearService::Gl4) => {
            Some(Answer::no(
                format!(
                    "{has} does not protect hypoid gears under shock as the GL-5 asked for does: the gears can scuff."
                ),
                gear_oil::SERVICES,
            ))
        }
        (GearService::Gl4, GearService::Gl1 | GearService::Gl3) => {
            Some(Answer::no(format!("{has} carries less load than the GL-4 asked for."), gear_oil::SERVICES))
        }
        (asked, has) => Some(Answer::not_known(
            format!(
                "{asked} is asked for, and this is {has}: the classes say nothing about one for the other. Ask the maker."
            ),
            gear_oil::SERVICES,
        )),
    }
}

fn gear_grade(wanted: &GearOil, offered: &GearOil) -> Option<Answer> {
    let (Some(asked), Some(has)) = (wanted.hot, offered.hot) else {
        let same_winter = wanted.winter.is_some() && wanted.winter == offered.winter && wanted.hot == offered.hot;
        let says = "One of the two has no SAE grade for running heat: compare the labels.";
        return (!same_winter).then(|| Answer::not_known(says, gear_oil::GRADES));
    };
    if has != asked && asked.in_an_old_manual() == Some(has) {
        let says = format!(
            "Before 2005 SAE {asked} reached up to today's {has}: an old manual may mean either. Ask the maker."
        );
        return Some(Answer::not_known(says, Citation::memory("SAE J306 before 2005")));
    }
    if has < asked {
        let says = format!("SAE {has} is thinner at running heat than the SAE {asked} asked for.");
        return Some(Answer::no(says, gear_oil::GRADES));
    }
    if has > asked {
        let says =
            format!("SAE {has} is thicker than the SAE {asked} asked for: shifting may be stiff. Ask the maker.");
        return Some(Answer::not_known(says, gear_oil::GRADES));
    }
    let colder = wanted.winter.filter(|asked| offered.winter.is_none_or(|has| has > *asked))?;
    let says = format!("The car asks for {colder} in the cold, and this oil may be too thick then.");
    Some(Answer::no(says, gear_oil::GRADES))
}

fn coolant(wanted: Coolant, offered: Coolant) -> Answer {
    let clash = |says| Answer::not_known(says, Citation::PRACTICE);
    match (wanted.inhibitor, offered.inhibitor) {
        (Some(asked), Some(has)) if asked == has => Answer::yes(
            format!("Both have {has}. Mix it with clean soft or distilled water; the maker's manual comes first."),
            Citation::PRACTICE,
        ),
        (Some(asked), Some(has)) => {
            Answer::no(format!("{} are asked for, and this has {has}.", capital(asked.label())), Citation::PRACTICE)
        }
        (None, Some(_) | None) => clash(
            "What the car wants is not known, and colour is no standard: find the inhibitor family in the manual. Old cars with \
             brass radiators and lead solder mostly had inorganic inhibitors.",
        ),
        (Some(_), None) => {
            clash("The bottle does not say which inhibitors it has, and colour is no standard: leave it.")
        }
    }
}

fn greases(wanted: Grease, offered: Grease) -> Answer {
    let milder = wanted.wheel.is_some_and(|asked| offered.wheel.is_some_and(|has| has < asked))
        || wanted.chassis.is_some_and(|asked| offered.chassis.is_some_and(|has| has < asked));
    if milder {
        return Answer::no("Its service letters are for milder work than asked for.", grease::SERVICE);
    }
    let unsaid =
        wanted.wheel.is_some() && offered.wheel.is_none() || wanted.chassis.is_some() && offered.chassis.is_none();
    match (wanted.nlgi, offered.nlgi) {
        (Some(asked), Some(has)) if asked != has => Answer::no(
            format!("{asked} is asked for, and this is {has}: {}.", if has > asked { "stiffer" } else { "softer" }),
            grease::CONSISTENCY,
        ),
        (Some(_), Some(_)) if !unsaid => Answer::yes("Stiffness and service are those asked for.", grease::SERVICE),
        (Some(_) | None, Some(_) | None) => Answer::not_known(
            "NLGI number or service letters are missing on one side: compare the labels.",
            grease::SERVICE,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(wanted: &str, offered: &str) -> Answer {
        suits(&Fluid::parse(wanted).unwrap(), &Fluid::parse(offered).unwrap())
    }

    #[test]
    fn engine_oil_may_be_better_in_the_cold_but_not_thinner_when_hot() {
        for (wanted, offered, verdict) in [
            ("SAE 20W-50", "SAE 20W-50", Verdict::Yes),
            ("SAE 20W-50", "SAE 10W-50", Verdict::Yes),
            ("SAE 20W-50", "SAE 20W-40", Verdict::No),
            ("SAE 10W-40", "SAE 20W-40", Verdict::No),
            ("SAE 10W-30", "SAE 30", Verdict::No),
            ("SAE 30", "SAE 10W-30", Verdict::Yes),
            ("SAE 10W-30", "SAE 10W-40", Verdict::NotKnown),
            ("SAE 10W-40 SF", "SAE 10W-40 SG", Verdict::NotKnown),
            ("SAE 10W-40 SF", "SAE 10W-40 SE", Verdict::No),
            ("SAE 10W-40 SF", "SAE 10W-40 SF CC", Verdict::NotKnown),
            ("SAE 10W-40 SF", "SAE 10W-40", Verdict::NotKnown),
            ("SAE 15W-40 CH-4", "SAE 15W-40 CI-4", Verdict::NotKnown),
            ("SAE 15W-40 CI-4", "SAE 15W-40 CH-4", Verdict::No),
            ("engine oil", "SAE 10W-40", Verdict::NotKnown),
            ("SAE 10W-40", "SAE 90", Verdict::No),
        ] {
            assert_eq!(asked(wanted, offered).verdict, verdict, "{wanted} / {offered}");
        }
    }

    #[test]
    fn the_sentence_names_what_can_go_wrong() {
        assert!(asked("SAE 80W-90 GL-4", "SAE 80W-90 GL-5").says.contains("bronze"));
        assert!(asked("coolant", "OAT coolant").says.contains("colour is no standard"));
        assert!(asked("DOT 4", "silicone brake fluid").says.contains("never"));
        assert!(asked("washer", "R134a").says.contains("licensed"));
        assert!(asked("ATF", "ATF").says.contains("very specification"));
    }

    #[test]
    fn every_sentence_ends_and_begins_as_one() {
        let texts = [
            "DOT 3",
            "DOT 4",
            "DOT 5",
            "DOT 5.1",
            "brake mineral oil",
            "SAE 10W-40 SF",
            "engine oil",
            "SAE 90 GL-5",
            "gear oil",
            "GL-4 80W",
            "ATF",
            "OAT coolant",
            "coolant",
            "NLGI 2 GC-LB",
            "grease",
            "power steering",
            "washer",
            "R12",
        ];
        for wanted in texts {
            for offered in texts {
                let says = asked(wanted, offered).says;
                assert!(says.ends_with('.'), "{says}");
                assert!(says.starts_with(|first: char| first.is_uppercase() || first.is_ascii_digit()), "{says}");
                assert!(!says.contains("  "), "{says}");
            }
        }
    }
}
