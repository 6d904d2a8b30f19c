//! Findings with the pictures that were taken along with them.

use super::words::{Context, Entry, Picture, entry, moment};
use crate::ids::OpId;
use crate::sync::wire::{Act, Weight};
use crate::work::store::Done;

/// A picture taken with the same device this close to a finding is shown beside it: the two travel as
/// operations of their own, so that neither has to wait for the other. Taken on the same thing, it may be
/// further off.
const ALONG_WITH_MS: i64 = 3 * 60 * 1000;
const ON_THE_SAME_MS: i64 = 10 * 60 * 1000;

/// A finding as it was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Which operation it is.
    pub op: OpId,
    pub entry: Entry,
    pub weight: Weight,
    pub pictures: Vec<Picture>,
}

/// What was found on a car: what calls for action first, and within a weight the latest first.
pub fn findings(ops: &[Done], context: &Context<'_>) -> Vec<Found> {
    let mut found: Vec<(&Done, Found)> = ops
        .iter()
        .filter_map(|op| match &op.act {
            Act::Finding(body) => {
                Some((op, Found { op: op.op_id, entry: entry(op, context), weight: body.weight, pictures: Vec::new() }))
            }
            _ => None,
        })
        .collect();
    // One that was taken for a question of the survey belongs to that.
    let taken_along = |op: &&Done| matches!(&op.act, Act::Photo(body) if body.question.is_none());
    for op in ops.iter().filter(taken_along) {
        let Some(picture) = entry(op, context).picture else { continue };
        let nearest = found
            .iter_mut()
            .filter(|(finding, _)| finding.device == op.device)
            .map(|(finding, found)| ((moment(finding).0 - moment(op).0).abs(), near_enough(finding, op), found))
            .filter(|(apart, enough, _)| apart <= enough)
            .min_by_key(|(apart, ..)| *apart);
        if let Some((.., finding)) = nearest {
            finding.pictures.push(picture);
        }
    }
    let mut found: Vec<Found> = found.into_iter().map(|(_, found)| found).rev().collect();
    found.sort_by_key(|finding| urgency(finding.weight));
    found
}

fn near_enough(finding: &Done, picture: &Done) -> i64 {
    if finding.subject_id == picture.subject_id { ON_THE_SAME_MS } else { ALONG_WITH_MS }
}

/// What calls for action comes first, then what nobody has judged yet.
fn urgency(weight: Weight) -> u8 {
    match weight {
        Weight::Act => 0,
        Weight::Unknown => 1,
        Weight::Watch => 2,
        Weight::Fine => 3,
    }
}
