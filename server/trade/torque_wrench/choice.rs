//! Which of several wrenches to take for a torque.

use std::cmp::Ordering;

use rust_decimal::Decimal;

use super::day::Day;
use super::setting::{Suitability, suitability};
use super::wrench::Wrench;
use crate::trade::quantity::{Span, TorqueUnit};

/// The wrench to take, and what was found of all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Index of the best; `None` when none can be set to the torque.
    pub best: Option<usize>,
    /// Which and why.
    pub sentence: String,
    /// One for each wrench, in the order given.
    pub each: Vec<Suitability>,
}

/// Chooses: first one in whose tested range the torque lies, then one whose calibration counts, then the one with the
/// least error of mark and deviation together, then the smallest one, which is felt best.
pub fn best(wrenches: &[Wrench], wanted: &Span<TorqueUnit>, today: Day) -> Choice {
    let each: Vec<Suitability> = wrenches.iter().map(|wrench| suitability(wrench, wanted, today)).collect();
    let able = || (0..wrenches.len()).filter(|index| each[*index].fitness.can_be_set());
    let best = able().min_by(|a, b| compare((&wrenches[*a], &each[*a]), (&wrenches[*b], &each[*b])));
    let sentence = match best {
        None if wrenches.is_empty() => "No torque wrench is in the tool chest yet.".to_owned(),
        None => format!(
            "None of the wrenches reaches {wanted}: borrow one whose range holds it well above its lowest fifth."
        ),
        Some(index) => {
            let rival = able()
                .filter(|other| *other != index)
                .min_by(|a, b| compare((&wrenches[*a], &each[*a]), (&wrenches[*b], &each[*b])));
            let reason = rival.map(|other| reason((&wrenches[index], &each[index]), (&wrenches[other], &each[other])));
            format!("{}{}", reason.unwrap_or_default(), each[index].sentence)
        }
    };
    Choice { best, sentence, each }
}

type Judged<'a> = (&'a Wrench, &'a Suitability);

fn compare(a: Judged<'_>, b: Judged<'_>) -> Ordering {
    let key =
        |(wrench, found): Judged<'_>| (found.fitness, !found.calibration.counts(), found.total_error(), size(wrench));
    key(a).cmp(&key(b))
}

/// Its highest mark, whatever the unit.
fn size(wrench: &Wrench) -> Decimal {
    wrench.highest().to(TorqueUnit::NewtonMetre)
}

/// Why the first is better than the second, which comes next.
fn reason((best, found): Judged<'_>, (other, second): Judged<'_>) -> String {
    let (name, rival) = (best.name(), other.name());
    if found.fitness != second.fitness {
        return format!("Take {name} rather than {rival}: there the torque is {}. ", second.fitness.label());
    }
    if found.calibration.counts() != second.calibration.counts() {
        return format!("Take {name} rather than {rival}, whose calibration does not count. ");
    }
    match found.total_error().cmp(&second.total_error()) {
        Ordering::Less => format!(
            "Take {name} rather than {rival}: mark and deviation together may be {} % out instead of {} %. ",
            found.total_error().normalize(),
            second.total_error().normalize()
        ),
        Ordering::Equal | Ordering::Greater => {
            format!("Take {name} rather than {rival}: both serve, and the smaller is felt better. ")
        }
    }
}
