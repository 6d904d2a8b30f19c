//! Which torque wrench to take, and what to set it to, in a line: the whole of it stands at the desk.

use crate::chest::model::Wrenches;
use crate::chest::pick::{Pick, picks, wanted};
use crate::specs::model::Spec;

/// A line for each torque of a spec; none where no figure may be set yet, or where no wrench is in the chest.
pub fn wrench_lines(spec: &Spec, wrenches: &Wrenches) -> Vec<String> {
    match wanted(spec) {
        Ok(wanted) if !wrenches.kept.is_empty() => {
            picks(wanted, &wrenches.kept, wrenches.today).iter().filter_map(line).collect()
        }
        Ok(_) | Err(_) => Vec::new(),
    }
}

fn line(pick: &Pick) -> Option<String> {
    pick.wanted.torque.as_ref()?;
    let stage = if pick.wanted.stage.is_empty() { String::new() } else { format!("{}: ", pick.wanted.stage) };
    let Some(row) = pick.rows.first().filter(|row| !row.lead.is_empty() && !row.figure.is_empty()) else {
        return Some(format!("{stage}no wrench of the chest can be set to it."));
    };
    let doubt = if row.is_best() { "" } else { " For want of a better one." };
    let uncounted = if row.word.contains("does not count") { " Its calibration does not count." } else { "" };
    Some(format!("{stage}{}, set to {} {}.{doubt}{uncounted}", row.name, row.figure, row.unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chest::model::{Kept, WrenchFacts};
    use crate::ids::WrenchId;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;
    use crate::trade::torque_wrench::{Day, WrenchKind};

    fn wrenches(calibrated_on: &str) -> Wrenches {
        let facts = WrenchFacts {
            name: "Long click wrench".into(),
            kind: WrenchKind::Click,
            span: "20-100 lbf ft".into(),
            graduation: "1".into(),
            deviation: String::new(),
            calibrated_on: calibrated_on.into(),
            uses: String::new(),
            lever: String::new(),
            serial: String::new(),
        };
        let kept = vec![Kept::read(WrenchId::new(), facts, 1).unwrap()];
        Wrenches { kept, today: Day::parse("2026-11-25").unwrap() }
    }

    // NIST SP 811 (2008), table B.8: 1 lbf·ft = 1.355 818 N·m, so 84 N·m is 61.96 lbf·ft.
    #[test]
    fn the_wrench_is_named_with_what_to_set_in_its_own_unit() {
        let spec = spec(vec![says("84 Nm", SourceKind::MakersManual, false)]);
        assert_eq!(wrench_lines(&spec, &wrenches("2026-04-30")), ["Long click wrench, set to 62 lbf·ft."]);
        assert!(wrench_lines(&spec, &wrenches(""))[0].ends_with("Its calibration does not count."));
    }

    #[test]
    fn every_stage_has_its_line_and_a_turn_none() {
        let mut spec = spec(vec![says("84 Nm", SourceKind::MakersManual, false)]);
        spec.facts.stages = vec!["5 Nm".into(), "84 Nm".into(), "90°".into()];
        let lines = wrench_lines(&spec, &wrenches("2026-04-30"));
        assert_eq!(
            lines,
            ["Stage 1: no wrench of the chest can be set to it.", "Stage 2: Long click wrench, set to 62 lbf·ft."]
        );
    }

    #[test]
    fn sources_that_disagree_name_no_wrench() {
        let open = spec(vec![
            says("40 Nm", SourceKind::MakersManual, false),
            says("40 lbf ft", SourceKind::SecondHand, false),
        ]);
        assert!(wrench_lines(&open, &wrenches("2026-04-30")).is_empty());
    }
}
