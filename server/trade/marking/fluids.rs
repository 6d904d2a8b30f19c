//! Grades and classes of fluids as readings.

use super::{Reading, Subject};
use crate::trade::citation::Citation;
use crate::trade::fluid::{BrakeFluid, EngineOil, Fluid, GearOil, Grease, Unread};

/// A cap may name several grades, each with a meaning of its own.
pub(super) fn readings(text: &str) -> Vec<Reading> {
    let (subject, source) = (Subject::Fluid, Citation::PRACTICE);
    match Fluid::parse(text) {
        Ok(fluid) => vec![reading(text, &fluid)],
        Err(Unread::Empty | Unread::NotKnown(_) | Unread::NoSuchGrade { .. }) => Vec::new(),
        Err(Unread::Several { grades, .. }) => {
            grades.into_iter().map(|grade| reading(grade.label(), &Fluid::Brake(grade))).collect()
        }
        Err(
            unclear @ (Unread::WhichBrakeFluid(_)
            | Unread::WhichHydraulic(_)
            | Unread::SiliconeOrNot(_)
            | Unread::EngineOrGear(_)),
        ) => vec![Reading { subject, read: text.to_owned(), means: unclear.to_string(), notes: Vec::new(), source }],
    }
}

fn reading(text: &str, fluid: &Fluid) -> Reading {
    let read = text.to_owned();
    let (means, notes, source) = match fluid {
        Fluid::Brake(brake) => brake_reading(*brake),
        Fluid::EngineOil(oil) => engine_reading(oil),
        Fluid::GearOil(oil) => gear_reading(oil),
        Fluid::Grease(grease) => grease_reading(grease),
        Fluid::Coolant(_) => {
            let note = "Colour is no standard: go by the words of its chemistry, and never mix two families.";
            (sentence(fluid), vec![note.to_owned()], Citation::PRACTICE)
        }
        Fluid::Refrigerant => {
            let note = "Work on it is for licensed people: leave the circuit shut.";
            (sentence(fluid), vec![note.to_owned()], Citation::PRACTICE)
        }
        Fluid::AutomaticTransmission | Fluid::PowerSteering => {
            let note = "Only the specification of the car's maker says which one.";
            (sentence(fluid), vec![note.to_owned()], Citation::PRACTICE)
        }
        Fluid::Washer => (sentence(fluid), Vec::new(), Citation::PRACTICE),
    };
    let subject = if matches!(fluid, Fluid::Brake(_)) { Subject::BrakeFluid } else { Subject::Fluid };
    Reading { subject, read, means, notes, source }
}

fn sentence(fluid: &Fluid) -> String {
    format!("{}.", capitalised(&fluid.to_string()))
}

type Said = (String, Vec<String>, Citation);

fn brake_reading(brake: BrakeFluid) -> Said {
    let mut means = format!("Brake fluid {brake}, {}.", brake.base());
    if let Some(limits) = brake.limits() {
        means.push_str(&format!(
            " It boils no lower than {} °C when fresh and {} °C once it has taken up water.",
            limits.dry_boiling, limits.wet_boiling
        ));
    }
    let colour = format!("New it is {}; in use it darkens, so colour is a hint and no proof.", brake.colour_when_new());
    let mixing = match brake {
        BrakeFluid::Dot5 => "It mixes with no other brake fluid, DOT 5.1 included.",
        BrakeFluid::Mineral => "It goes only into systems made for mineral oil, and DOT fluid never into those.",
        BrakeFluid::Dot3
        | BrakeFluid::Dot4
        | BrakeFluid::Dot4LowViscosity
        | BrakeFluid::Dot51
        | BrakeFluid::Dot51LowViscosity => {
            "Never with silicone DOT 5 or mineral oil. It lifts paint and burns the eyes."
        }
    };
    (means, vec![colour, mixing.to_owned()], brake.source())
}

fn engine_reading(oil: &EngineOil) -> Said {
    let mut means = format!("{}.", capitalised(&oil.to_string()));
    if let Some(winter) = oil.winter {
        means
            .push_str(&format!(" {winter}: an engine still cranks on it at {} °C.", minus(winter.limits().cranking.1)));
    }
    if let Some(hot) = oil.hot {
        let (from, below) = hot.viscosity_at_100();
        means.push_str(&format!(" {hot}: {from} to below {below} mm²/s at 100 °C."));
    }
    let scale = "Numbers of engine oil and gear oil are two scales: engine 50 is about as thick as gear 90.";
    (means, vec![scale.to_owned()], Citation::quoted("SAE J300, January 2015; API letters from memory"))
}

fn gear_reading(oil: &GearOil) -> Said {
    let mut means = format!("{}.", capitalised(&oil.to_string()));
    if let Some(hot) = oil.hot {
        let (from, below) = hot.viscosity_at_100();
        let end = below.map_or(" and more".to_owned(), |below| format!(" to below {below}"));
        means.push_str(&format!(" {hot}: {from}{end} mm²/s at 100 °C."));
    }
    if let Some(service) = oil.service {
        means.push_str(&format!(" {service} is meant for {}.", service.intended_for()));
    }
    let old = oil.hot.and_then(|hot| Some((hot, hot.in_an_old_manual()?)));
    let note = old.map(|(hot, wider)| format!("Before 2005 SAE {hot} reached up to today's {wider}."));
    (means, note.into_iter().collect(), Citation::quoted("SAE J306, February 2019; API 1560, 8th edition"))
}

fn grease_reading(grease: &Grease) -> Said {
    let mut means = format!("{}.", capitalised(&grease.to_string()));
    if let Some(nlgi) = grease.nlgi {
        let (least, most) = nlgi.penetration();
        means.push_str(&format!(" {nlgi}: a cone sinks {least} to {most} tenths of a millimetre into it."));
    }
    if let Some(wheel) = grease.wheel {
        means.push_str(&format!(" {wheel}: wheel bearing grease, on a scale of GA, GB, GC."));
    }
    if let Some(chassis) = grease.chassis {
        means.push_str(&format!(" {chassis}: chassis grease, on a scale of LA, LB."));
    }
    let note = "Neither says which thickener it has: clean out the old grease before a new one goes in.";
    (means, vec![note.to_owned()], Citation::quoted("ASTM D4950; NLGI numbers in ASTM D217"))
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn minus(degrees: i32) -> String {
    degrees.to_string().replace('-', "−")
}
