//! Any card composed of correct fragments is silent; with any one closing step taken out, exactly its loose end appears.

use super::*;
use proptest::prelude::*;

/// A correct piece of work, and which of its steps closes what. Around a middle, so that fragments nest.
struct Fragment {
    before: Vec<StepOnPaper>,
    after: Vec<StepOnPaper>,
}

fn fragment(which: usize, n: usize) -> Fragment {
    let pulled = |line: String| step(&line).torque();
    let (before, after) = match which {
        0 => (vec![step(&format!("remove part cover {n}"))], vec![step(&format!("fit part cover {n}"))]),
        1 => (
            vec![step(&format!("loosen fastener bracket bolts {n}"))],
            vec![pulled(format!("tighten fastener bracket bolts {n}"))],
        ),
        2 => (
            vec![step(&format!("disconnect connection plug {n}"))],
            vec![step(&format!("connect connection plug {n}"))],
        ),
        3 => (vec![step(&format!("prop prop strap {n}"))], vec![step(&format!("free prop strap {n}"))]),
        4 => (vec![step(&format!("fit left-inside rag {n}"))], vec![step(&format!("remove left-inside rag {n}"))]),
        5 => (
            vec![
                step(&format!("open opening filler plug {n}")),
                step(&format!("drain fluid oil {n}")).filler(&format!("filler plug {n}")).tool("pan, 9 l"),
            ],
            vec![step(&format!("fill fluid oil {n}")), step(&format!("close opening filler plug {n}"))],
        ),
        _ => (vec![step(&format!("open opening bonnet {n}"))], vec![step(&format!("close opening bonnet {n}"))]),
    };
    Fragment { before, after }
}

/// Nests or chains fragments: `deep[n]` puts the next fragment inside this one, else after it.
fn compose(parts: &[(usize, bool)]) -> Vec<StepOnPaper> {
    let Some(((which, deep), rest)) = parts.split_first() else { return Vec::new() };
    let Fragment { before, after } = fragment(*which, parts.len());
    let inner = compose(rest);
    let mut steps = before;
    if *deep {
        steps.extend(inner);
        steps.extend(after);
    } else {
        steps.extend(after);
        steps.extend(inner);
    }
    steps
}

/// The same on a car that is raised for it and let down afterwards.
fn raised(steps: Vec<StepOnPaper>) -> Vec<StepOnPaper> {
    let mut all = vec![step("chock corner rear end"), step("raise corner front end"), step("support corner front end")];
    all.extend(steps);
    all.push(step("lower corner front end"));
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn composed_of_correct_fragments_it_is_silent(parts in prop::collection::vec((0_usize..7, any::<bool>()), 1..9)) {
        let found = check_fresh(raised(compose(&parts)));
        prop_assert_eq!(found, vec![]);
    }

    #[test]
    fn without_one_closing_step_exactly_its_loose_end_appears(
        parts in prop::collection::vec((0_usize..7, any::<bool>()), 1..9),
        which in any::<prop::sample::Index>(),
    ) {
        let mut steps = raised(compose(&parts));
        let closing: Vec<usize> = (0..steps.len()).filter(|at| !steps[*at].compiled().closes.is_empty()).collect();
        let taken = steps.remove(closing[which.index(closing.len())]);
        let key = &taken.compiled().closes[0];
        let programs = compile(&card(steps.clone()));
        let mut state = State::default();
        programs.iter().for_each(|program| state.apply(program));
        let loose: Vec<&str> = state.facts().filter(|fact| programs.iter().flat_map(|one| &one.opens).any(|end| end.key == *fact)).collect();
        prop_assert_eq!(&loose, &vec![key.as_str()]);
        let left = check_fresh(steps).into_iter().filter(|finding| {
            // Besides the end itself, only what the end breaks at a later step may be said.
            !matches!(finding.rule, Rule::LoweredOnProp)
        }).count();
        prop_assert_eq!(left, 1);
    }
}
