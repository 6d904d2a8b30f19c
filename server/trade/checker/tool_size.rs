//! The socket that a step asks for, held against the head of the bolt that its torque belongs to.

use super::paper::StepOnPaper;
use super::rule::Rule;
use super::step::Need;
use crate::trade::head_size;
use crate::trade::quantity::LengthUnit;
use crate::trade::spec::Kind;
use crate::trade::tools::{Size, read};
use rust_decimal::Decimal;

/// A head is written by its size, or measured: what lies this near to a size is that size. In millimetres; common
/// practice, no source. 3/4 in (19.05 mm) is not 19 mm by this, and 1/2 in (12.7 mm) not 13 mm.
const SAME: Decimal = Decimal::from_parts(2, 0, 0, false, 2);

/// Every head that is known finds a tool of its size among those that the step names. Silent where the step names no
/// size, or where no head is known.
pub(super) fn needs(step: &StepOnPaper, needs: &mut Vec<Need>) {
    let asked = asked(step);
    if asked.is_empty() {
        return;
    }
    let other = |flats: &Decimal| !asked.iter().any(|(_, size)| (*size - flats).abs() <= SAME);
    let mut told: Vec<Decimal> = Vec::new();
    for spec in step.specs_of(Kind::Torque) {
        let Ok(head) = head_size::read(&spec.head) else { continue };
        let flats = head.to(LengthUnit::Millimetre);
        if other(&flats) && !told.contains(&flats) {
            told.push(flats);
            let names: Vec<String> = asked.iter().map(|(size, _)| size.to_string()).collect();
            needs.push(Need::new(
                Rule::ToolOffSize,
                format!("{} asked for, and the bolt’s head is {head}.", names.join(" and ")),
                "Look at the head: then mend the step’s tools, or the head in the spec book.",
            ));
        }
    }
}

/// The sizes of all that grips a hexagon and is named on the step, with the same in millimetres.
fn asked(step: &StepOnPaper) -> Vec<(Size, Decimal)> {
    let wanted = step.tools.iter().filter_map(|line| read(line)?.ok());
    let gripping = wanted.filter(|wanted| wanted.kinds.iter().all(|kind| kind.grips_hexagon()));
    gripping.filter_map(|wanted| Some((wanted.size?, wanted.size?.across_flats()?))).collect()
}
