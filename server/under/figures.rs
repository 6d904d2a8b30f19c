//! Specs as they are read under the car: the figure first and large, its source beside it, a disagreement in full.

use super::wrench::wrench_lines;
use crate::chest::model::Wrenches;
use crate::fluids::kind::class_of;
use crate::specs::model::{Says, Spec};
use crate::specs::shown::{ShownHolding, ShownValue, citation_line, source_code, trust_code};
use crate::specs::whole::Whole;
use crate::trade::aloud;
use crate::trade::fluid::never;
use crate::trade::quantity::Dimension;
use crate::trade::spec::{Fastener, Kind, Value};
use crate::trade::trust::Trust;

/// A value with the size of the type it is set in: by its length, so that the longest still fits a phone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amount {
    pub shown: ShownValue,
    /// Class of the style sheet.
    pub size: &'static str,
}

impl Amount {
    fn of(kind: Kind, written: &str) -> Amount {
        let shown = ShownValue::of(kind, written);
        Amount { size: size(&shown.figure, &shown.unit), shown }
    }

    /// On one line: `84 N·m, 62 lbf·ft`.
    fn line(&self) -> String {
        joined(&[&self.shown.short(), &self.shown.second], ", ")
    }
}

fn size(value: &str, unit: &str) -> &'static str {
    match (value.chars().count(), unit.is_empty()) {
        (0..=3, _) => "figure--short",
        (4, _) => "",
        (5..=7, _) => "figure--long",
        (8..=12, false) => "figure--longer",
        (8..=30, _) => "figure--words",
        _ => "figure--sentence",
    }
}

/// A torque shown whole, its stages as large as a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WholeView {
    pub stages: Vec<(usize, Amount)>,
    pub facts: Whole,
}

impl WholeView {
    fn of(facts: Whole) -> WholeView {
        let amount = |shown: &ShownValue| Amount { size: size(&shown.figure, &shown.unit), shown: shown.clone() };
        WholeView { stages: facts.stages.iter().map(|stage| (stage.number, amount(&stage.value))).collect(), facts }
    }
}

/// What one source says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaysView {
    pub amount: Amount,
    pub code: &'static str,
    pub source: &'static str,
    /// Book, page and note, as far as they are known.
    pub citation: String,
    /// SHA-256 of a photo of it. The pack does not bring it: it shows where the garage answers.
    pub photo: Option<String>,
    pub settled: bool,
}

/// A spec as pages show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpecView {
    pub id: String,
    pub system: &'static str,
    pub item: String,
    pub place: String,
    pub kind: &'static str,
    pub trust_code: &'static str,
    pub trust_word: String,
    /// Sources differ and nobody has decided: all of them are shown, and none is the figure.
    pub open: bool,
    /// The value to work by; `None` while there is none, or while sources differ.
    pub amount: Option<Amount>,
    pub says: Vec<SaysView>,
    pub fastener: Vec<(&'static str, String)>,
    pub stages: Vec<String>,
    /// A torque with its stages, each at full size, and what belongs to it.
    pub whole: Option<WholeView>,
    /// Which torque wrench, set to what.
    pub wrench: Vec<String>,
    /// The bolts of its picture are counted, each stage with its figure: no other figure stands beside it.
    pub counted: bool,
    pub variant: String,
    /// Whether it is for this car; `None`: it is for every variant.
    pub holding: Option<ShownHolding>,
    pub note: String,
    /// Of a fluid: its class as it was understood, and what must never go in; empty where that is not known.
    pub fluid: String,
    /// What typing is compared with: lower case.
    pub search: String,
}

impl SpecView {
    pub fn of(spec: &Spec) -> SpecView {
        let (trust, shown) = spec.trust();
        let facts = &spec.facts;
        let says: Vec<SaysView> = spec.says.iter().map(|one| says_view(facts.kind, one)).collect();
        let open = trust == Trust::Open;
        let mut view = SpecView {
            id: spec.id.to_string(),
            system: facts.system.label(),
            item: facts.item.clone(),
            place: facts.place.clone(),
            kind: facts.kind.label(),
            trust_code: trust_code(trust),
            trust_word: trust_word(trust, shown),
            open,
            amount: shown.filter(|_| !open).map(|one| Amount::of(facts.kind, &one.facts.written)),
            says,
            fastener: facts.fastener.as_ref().map(fastener).unwrap_or_default(),
            stages: facts.stages.iter().map(|stage| stage_line(stage)).collect(),
            whole: Whole::of(spec).map(WholeView::of),
            wrench: Vec::new(),
            counted: false,
            variant: facts.variant.clone(),
            holding: ShownHolding::of(spec),
            note: facts.note.clone(),
            fluid: if facts.kind == Kind::Fluid { fluid_line(spec) } else { String::new() },
            search: String::new(),
        };
        view.search = view.words_to_find();
        view
    }

    /// The same with the wrench to take.
    pub fn with_wrench(self, spec: &Spec, wrenches: &Wrenches) -> SpecView {
        SpecView { wrench: wrench_lines(spec, wrenches), ..self }
    }

    /// As it stands beside the counter of its bolts.
    pub fn counted(self) -> SpecView {
        SpecView { counted: true, ..self }
    }

    /// What is said where it is not known to be for this car.
    pub fn doubt(&self) -> Option<&ShownHolding> {
        self.holding.as_ref().filter(|holding| holding.in_doubt)
    }

    pub fn is_greyed(&self) -> bool {
        self.holding.as_ref().is_some_and(|holding| holding.greyed)
    }

    /// Whether there is more to it than its figure.
    pub fn has_more(&self) -> bool {
        !(self.wrench.is_empty()
            && !self.whole.as_ref().is_some_and(|whole| whole.facts.is_more())
            && self.fastener.is_empty()
            && self.variant.is_empty()
            && self.note.is_empty())
    }

    /// The figure as it is said; of sources that disagree each one's, with who says it.
    pub fn said_by_each(&self) -> Vec<(String, &'static str)> {
        let one = |amount: &Amount| aloud::amount(&amount.shown.figure, &amount.shown.unit, &amount.shown.second);
        match (&self.amount, self.open) {
            (Some(amount), false) => vec![(one(amount), "")],
            (_, true) => self.says.iter().map(|says| (one(&says.amount), says.source)).collect(),
            (None, false) => vec![("no figure is known".to_owned(), "")],
        }
    }

    /// Its stages as they are said.
    pub fn stages_said(&self) -> Vec<String> {
        self.stages.iter().map(|stage| aloud::words(stage)).collect()
    }

    /// What is said of it in one go: its stages where it has any, else its figure.
    pub fn said(&self) -> Vec<String> {
        if !self.stages.is_empty() {
            return vec![format!("in stages: {}", self.stages_said().join(", then "))];
        }
        let by = |(said, source): (String, &str)| if source.is_empty() { said } else { format!("{source}: {said}") };
        self.said_by_each().into_iter().map(by).collect()
    }

    fn words_to_find(&self) -> String {
        let mut words = vec![self.item.as_str(), &self.place, self.system, self.kind, &self.variant, &self.note];
        words.extend(self.fastener.iter().map(|(_, fact)| fact.as_str()));
        for says in &self.says {
            words.extend([says.amount.shown.written.as_str(), says.source, &says.citation]);
        }
        words.retain(|word| !word.is_empty());
        words.join(" ").to_lowercase()
    }
}

/// `Read as brake fluid DOT 4. Never …`
fn fluid_line(spec: &Spec) -> String {
    let Ok(class) = class_of(spec) else { return String::new() };
    let never = never(&class).map(|never| format!(" {never}")).unwrap_or_default();
    format!("Read as {class}.{never}")
}

fn says_view(kind: Kind, says: &Says) -> SaysView {
    let facts = &says.facts;
    SaysView {
        amount: Amount::of(kind, &facts.written),
        code: source_code(facts.source),
        source: facts.source.label(),
        citation: joined(&[&citation_line(says), &facts.note], ", "),
        photo: facts.photo.as_ref().map(ToString::to_string),
        settled: says.settled,
    }
}

fn page(page: &str) -> String {
    if page.is_empty() { String::new() } else { format!("p. {page}") }
}

fn joined(parts: &[&str], with: &str) -> String {
    parts.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(with)
}

/// The word of trust, with the page where a single source has one.
fn trust_word(trust: Trust, shown: Option<&Says>) -> String {
    let page = shown.map(|says| page(&says.facts.page)).unwrap_or_default();
    match trust {
        Trust::Single(_) => joined(&[&trust.words(), &page], ", "),
        Trust::Missing | Trust::Open | Trust::Guessed | Trust::Agreeing(..) | Trust::Settled(_) => trust.words(),
    }
}

fn fastener(facts: &Fastener) -> Vec<(&'static str, String)> {
    let count = if facts.count > 1 { format!("{} of them", facts.count) } else { String::new() };
    let use_once = if facts.single_use { "new each time, never used twice" } else { "" };
    [
        ("Thread", facts.thread.clone()),
        ("Class", facts.class.clone()),
        ("Tool", facts.head.clone()),
        ("Count", count),
        ("Lubrication", facts.lubrication.clone()),
        ("Single-use", use_once.to_owned()),
    ]
    .into_iter()
    .filter(|(_, fact)| !fact.is_empty())
    .collect()
}

/// A stage is a torque or an angle as its source wrote it; what is neither stays words.
fn stage_line(stage: &str) -> String {
    let kind = [Kind::Torque, Kind::Angle].into_iter().find(|kind| Value::parse(*kind, stage).is_ok());
    match kind.map(|kind| (kind.dimension(), Amount::of(kind, stage))) {
        // A stage of turning is set in degrees; a second unit would only distract.
        Some((Some(Dimension::Angle), amount)) => amount.shown.short(),
        Some((_, amount)) => amount.line(),
        None => stage.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::{CarId, SpecId, SpecValueId};
    use crate::specs::model::{SaysFacts, SpecFacts};
    use crate::trade::spec::SourceKind;
    use crate::trade::spec::System;

    fn says(written: &str, source: SourceKind) -> Says {
        let facts = SaysFacts {
            written: written.into(),
            source,
            citation: "a book, invented".into(),
            page: "24".into(),
            note: String::new(),
            photo: None,
        };
        Says { id: SpecValueId::new(), facts, settled: false }
    }

    fn spec(kind: Kind, says: Vec<Says>) -> Spec {
        let facts = SpecFacts {
            system: System::Engine,
            item: "Sump drain plug".into(),
            place: "sump".into(),
            kind,
            fastener: Some(Fastener {
                thread: "M14x1.5".into(),
                class: String::new(),
                head: "22 mm hex".into(),
                count: 1,
                lubrication: "dry".into(),
                single_use: true,
            }),
            stages: vec!["30 Nm".into(), "90°".into(), "until it clicks".into()],
            bolts: None,
            variant: String::new(),
            note: String::new(),
        };
        Spec { id: SpecId::new(), car: CarId::new(), facts, says, holding: None, rev: 1 }
    }

    // NIST SP 811 (2008), table B.8: 1 lbf·ft = 1.355 818 N·m, so 62 lbf·ft is 84.06 N·m.
    #[test]
    fn a_value_in_another_unit_is_shown_rounded_first_and_as_written_second() {
        let view = SpecView::of(&spec(Kind::Torque, vec![says("62 lbf ft", SourceKind::MakersManual)]));
        let amount = view.amount.unwrap();
        assert_eq!((amount.shown.short().as_str(), amount.shown.second.as_str()), ("84 N·m", "62 lbf·ft"));
        assert_eq!((amount.shown.note.as_str(), amount.size), ("(N·m rounded)", "figure--short"));
        assert_eq!(view.trust_word, "maker's manual, p. 24");
    }

    #[test]
    fn sources_that_disagree_leave_no_figure_to_work_by_and_are_all_shown() {
        let both = vec![says("62 lbf ft", SourceKind::MakersManual), says("62 Nm", SourceKind::SecondHand)];
        let view = SpecView::of(&spec(Kind::Torque, both));
        assert!(view.open);
        assert_eq!(view.amount, None);
        let shown: Vec<_> = view.says.iter().map(|says| says.amount.line()).collect();
        assert_eq!(shown, ["84 N·m, 62 lbf·ft", "62 N·m, 46 lbf·ft"]);
        assert_eq!(view.trust_code, "disagree");
    }

    #[test]
    fn a_figure_is_said_in_words_with_every_source_s_where_they_disagree() {
        let plain = |says| {
            let mut spec = spec(Kind::Torque, says);
            spec.facts.stages.clear();
            SpecView::of(&spec).said()
        };
        assert_eq!(
            plain(vec![says("62 lbf ft", SourceKind::MakersManual)]),
            ["84 newton metres, that is 62 pound-feet"]
        );
        let both = vec![says("62 lbf ft", SourceKind::MakersManual), says("62 Nm", SourceKind::SecondHand)];
        assert_eq!(
            plain(both),
            [
                "maker's manual: 84 newton metres, that is 62 pound-feet",
                "second-hand: 62 newton metres, that is 46 pound-feet"
            ]
        );
        assert_eq!(plain(vec![]), ["no figure is known"]);
        let staged = SpecView::of(&spec(Kind::Torque, vec![says("40 Nm", SourceKind::MakersManual)])).said();
        assert_eq!(staged, ["in stages: 30 newton metres, 22 pound-feet, then 90 degrees, then until it clicks"]);
    }

    #[test]
    fn no_source_means_no_figure() {
        let view = SpecView::of(&spec(Kind::Torque, vec![]));
        assert!(!view.open && view.amount.is_none() && view.says.is_empty());
    }

    #[test]
    fn a_fastener_says_only_what_is_known_of_it() {
        let view = SpecView::of(&spec(Kind::Torque, vec![says("40 Nm", SourceKind::Guess)]));
        let labels: Vec<_> = view.fastener.iter().map(|(label, _)| *label).collect();
        assert_eq!(labels, ["Thread", "Tool", "Lubrication", "Single-use"]);
        assert_eq!(view.stages, ["30 N·m, 22 lbf·ft", "90°", "until it clicks"]);
    }

    #[test]
    fn long_words_are_set_smaller_than_figures() {
        assert_eq!(size("40", "N·m"), "figure--short");
        assert_eq!(size("DOT 4", ""), "figure--long");
        assert_eq!(size("API GL-4, SAE 80W", ""), "figure--words");
        assert_eq!(size("Just turns a quarter turn between finger and thumb", ""), "figure--sentence");
    }

    #[test]
    fn a_spec_is_found_by_its_item_place_thread_value_and_source() {
        let view = SpecView::of(&spec(Kind::Torque, vec![says("40 Nm", SourceKind::MakersManual)]));
        for typed in ["drain", "sump", "m14", "40 nm", "manual", "a book"] {
            assert!(view.search.contains(typed), "{typed}");
        }
    }
}
