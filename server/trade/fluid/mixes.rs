//! Whether a fluid may meet what was left inside: topping up, or filling after a drain that never empties everything.

use super::Answer;
use super::brake::{BrakeBase, BrakeFluid, GRADES, MIXING};
use super::class::Fluid;
use super::coolant::Coolant;
use super::engine_oil::EngineOil;
use super::gear_oil::GearOil;
use super::suits::{LICENSED, capital, other_base};
use crate::trade::citation::Citation;

/// Whether `poured` may meet `left_in`. A yes is about chemistry only: whether the car wants it is for [`super::suits`].
pub fn mixes(left_in: &Fluid, poured: &Fluid) -> Answer {
    match (left_in, poured) {
        (Fluid::Refrigerant, _) | (_, Fluid::Refrigerant) => {
            Answer::no("Refrigerant is work for licensed people: leave the circuit shut.", LICENSED)
        }
        (Fluid::Brake(left), Fluid::Brake(poured)) => brake(*left, *poured),
        (Fluid::EngineOil(left), Fluid::EngineOil(poured)) => engine(left, poured),
        (Fluid::GearOil(left), Fluid::GearOil(poured)) => gear(left, poured),
        (Fluid::Coolant(left), Fluid::Coolant(poured)) => coolant(*left, *poured),
        (Fluid::Grease(_), Fluid::Grease(_)) => Answer::not_known(
            "Greases of different thickeners can go soft and run out together, and the label seldom says enough: clean the old \
             grease out.",
            Citation::PRACTICE,
        ),
        (Fluid::AutomaticTransmission, Fluid::AutomaticTransmission)
        | (Fluid::PowerSteering, Fluid::PowerSteering | Fluid::AutomaticTransmission) => Answer::not_known(
            "They mix only if both meet the very specification that the maker asks for: if what is inside is not known, change \
             all of it.",
            Citation::PRACTICE,
        ),
        (Fluid::Washer, Fluid::Washer) => {
            Answer::yes("Washer fluids mix; frost protection is then somewhere between.", Citation::PRACTICE)
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
        ) => other_kind(left_in, poured),
    }
}

fn other_kind(left_in: &Fluid, poured: &Fluid) -> Answer {
    let (inside, poured) = (capital(left_in.kind().label()), poured.kind());
    let says = format!(
        "{inside} is inside, and this is {poured}: never together. If it has happened, do not start or move the car; drain and flush."
    );
    Answer::no(says, Citation::PRACTICE)
}

fn brake(left: BrakeFluid, poured: BrakeFluid) -> Answer {
    if left.base() != poured.base() {
        return Answer::no(other_base(left.base(), poured), MIXING);
    }
    match left.base() {
        BrakeBase::Silicone => Answer::yes("Both are silicone DOT 5.", GRADES),
        BrakeBase::Mineral => Answer::not_known(
            "Both are mineral hydraulic oil, but makers have their own numbers: compare them.",
            Citation::PRACTICE,
        ),
        BrakeBase::Glycol if left == poured => Answer::yes(
            format!("Both are {left}. The old fluid has taken up water, so that the mix boils lower than fresh fluid."),
            MIXING,
        ),
        BrakeBase::Glycol => {
            let lower = if boils(left) <= boils(poured) { left } else { poured };
            let says = format!(
                "{left} and {poured} are both glycol based and mix, but the mix counts as {lower}: bleed until only the new one comes."
            );
            Answer::yes(says, MIXING)
        }
    }
}

/// By the figure that governs in use; mineral oil has none.
fn boils(fluid: BrakeFluid) -> Option<u32> {
    fluid.limits().map(|limits| limits.wet_boiling)
}

fn engine(left: &EngineOil, poured: &EngineOil) -> Answer {
    if left == poured && left.hot.is_some() {
        return Answer::yes("Both are of the same grade and service.", Citation::PRACTICE);
    }
    let says = "Engine oils of different grades do mix, but the grade of the mix is then unknown: good enough to top up to reach \
                home, no more. Old sludge may come loose in an engine that never had detergent oil.";
    Answer::yes(says, Citation::memory("API 1509: licensed engine oils must be miscible with each other"))
}

fn gear(left: &GearOil, poured: &GearOil) -> Answer {
    match (left.service, poured.service) {
        (Some(inside), Some(new)) if inside == new => {
            Answer::yes(format!("Both are {new}; the grade of the mix lies between the two."), Citation::PRACTICE)
        }
        (Some(_) | None, Some(_) | None) => Answer::not_known(
            "Gear oils of different or unknown GL class have different additives: drain as much as comes, and fill with what the \
             maker asks for.",
            Citation::PRACTICE,
        ),
    }
}

fn coolant(left: Coolant, poured: Coolant) -> Answer {
    let same_glycol = left.glycol.is_none() || poured.glycol.is_none() || left.glycol == poured.glycol;
    match (left.inhibitor, poured.inhibitor) {
        (Some(inside), Some(new)) if inside == new && same_glycol => {
            Answer::yes(format!("Both have {new}."), Citation::PRACTICE)
        }
        (Some(_) | None, Some(_) | None) => Answer::not_known(
            "Coolants of different or unknown families can form gel or lose their rust protection together, and colour tells \
             nothing: flush with water until it runs clear, then fill with one.",
            Citation::PRACTICE,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::super::Verdict;
    use super::*;

    fn asked(left_in: &str, poured: &str) -> Answer {
        mixes(&Fluid::parse(left_in).unwrap(), &Fluid::parse(poured).unwrap())
    }

    #[test]
    fn fluids_meet_only_their_own_kind() {
        for (left_in, poured, verdict) in [
            ("SAE 20W-50", "SAE 10W-40", Verdict::Yes),
            ("SAE 90 GL-4", "SAE 80W-90 GL-4", Verdict::Yes),
            ("SAE 90 GL-4", "SAE 90 GL-5", Verdict::NotKnown),
            ("OAT coolant", "OAT coolant", Verdict::Yes),
            ("OAT coolant", "IAT coolant", Verdict::NotKnown),
            ("OAT ethylene glycol", "OAT propylene glycol", Verdict::NotKnown),
            ("coolant", "OAT coolant", Verdict::NotKnown),
            ("NLGI 2 grease", "NLGI 2 grease", Verdict::NotKnown),
            ("ATF", "ATF", Verdict::NotKnown),
            ("power steering", "ATF", Verdict::NotKnown),
            ("power steering", "DOT 4", Verdict::No),
            ("DOT 4", "power steering", Verdict::No),
            ("SAE 30", "SAE 90", Verdict::No),
            ("coolant", "washer", Verdict::No),
            ("R12", "R134a", Verdict::No),
        ] {
            assert_eq!(asked(left_in, poured).verdict, verdict, "{left_in} / {poured}");
        }
    }

    #[test]
    fn a_glycol_mix_counts_as_the_lower_grade_and_coolant_is_flushed() {
        assert!(asked("DOT 5.1", "DOT 3").says.contains("counts as DOT 3"));
        assert!(asked("DOT 4", "DOT 5.1").says.contains("counts as DOT 4"));
        assert!(asked("coolant", "coolant").says.contains("flush"));
    }
}
