//! Values of another variant of the car.

use super::paper::CardOnPaper;
use super::rule::Rule;
use super::step::Need;

/// A manual that covers several variants has several figures, and the wrong one looks as good as the right one.
pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let mend = "Attach the value for this car; or, where the car’s codes are wrong, correct them on its page.";
    let not_ours = card.steps[at].specs.iter().filter_map(|spec| spec.not_ours.as_deref());
    needs.extend(not_ours.map(|why| Need::new(Rule::FigureElse, why, mend)));
}
