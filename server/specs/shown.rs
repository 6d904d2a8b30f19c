//! A spec's value and trust as pages show them, at the desk and on the phone.

use super::model::{Says, Spec};
use crate::trade::quantity::{Quantity, System as Units};
use crate::trade::spec::{Fastener, Kind, SourceKind, Value};
use crate::trade::trust::Trust;
use crate::trade::variant::Verdict;

/// The units shown first.
pub const PREFERRED: Units = Units::Metric;

/// A value: the figure to work by, its unit, and what stands in small beside it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShownValue {
    /// The figure, or the words where the value is no number.
    pub figure: String,
    pub unit: String,
    /// The same in the second unit: that of the source where it differs from the first.
    pub second: String,
    /// Says which of the two was rounded.
    pub note: String,
    /// The characters of the source.
    pub written: String,
    /// Whether the source has another unit than the one shown first.
    pub converted: bool,
}

impl ShownValue {
    /// What `written` means as a value of `kind`. Words that cannot be read any more are shown as they are.
    pub fn of(kind: Kind, written: &str) -> ShownValue {
        match Value::parse(kind, written) {
            Ok(Value::Measured(quantity)) => ShownValue::measured(&quantity),
            Ok(Value::Words(words)) => ShownValue::words(&words),
            Err(_) => ShownValue::words(written),
        }
    }

    fn words(words: &str) -> ShownValue {
        ShownValue { figure: words.to_owned(), written: words.to_owned(), ..ShownValue::default() }
    }

    fn measured(quantity: &Quantity) -> ShownValue {
        let (first, second) = quantity.both(PREFERRED);
        let second_rounded = second.as_ref().is_some_and(|shown| shown.rounded);
        let note = match (first.rounded, second_rounded) {
            (true, _) => format!("({} rounded)", first.unit),
            (false, true) => "(rounded)".to_owned(),
            (false, false) => String::new(),
        };
        ShownValue {
            figure: first.text,
            unit: first.unit.to_owned(),
            second: second.map(|shown| shown.to_string()).unwrap_or_default(),
            note,
            written: quantity.written().to_owned(),
            converted: first.unit != quantity.unit().name(),
        }
    }

    /// The value on one line: `84 N·m`.
    pub fn short(&self) -> String {
        match self.unit.as_str() {
            "" => self.figure.clone(),
            "°" | "′" => format!("{}{}", self.figure, self.unit),
            unit => format!("{} {unit}", self.figure),
        }
    }
}

/// How far a spec can be trusted: the code of its mark, and the words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownTrust {
    pub code: &'static str,
    pub words: String,
}

impl From<Trust> for ShownTrust {
    fn from(trust: Trust) -> ShownTrust {
        ShownTrust { code: trust_code(trust), words: trust.words() }
    }
}

/// Whether a spec of one variant is for this car, as pages say it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownHolding {
    /// The mark, as the style sheets know it.
    pub code: &'static str,
    pub word: &'static str,
    /// Why, in a sentence.
    pub say: String,
    /// It is not known to be for this car, so that its figure is not set as one to work by.
    pub in_doubt: bool,
    /// The figure is greyed: it is in doubt, and nobody has settled on it all the same.
    pub greyed: bool,
}

impl ShownHolding {
    /// `None` where the spec is for every variant.
    pub fn of(spec: &Spec) -> Option<ShownHolding> {
        let holding = spec.holding.as_ref()?;
        let (code, in_doubt) = match holding.verdict {
            Verdict::Holds => ("fine", false),
            Verdict::HoldsNot => ("act", true),
            Verdict::CannotTell => ("unknown", true),
        };
        let greyed = in_doubt && !matches!(spec.trust().0, Trust::Settled(_));
        Some(ShownHolding { code, word: holding.verdict.label(), say: holding.say.clone(), in_doubt, greyed })
    }
}

/// The mark of a kind of source, as the style sheets know it.
pub fn source_code(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::MakersManual => "manual",
        SourceKind::ReadOffTheCar => "car",
        SourceKind::PartsSupplier => "supplier",
        SourceKind::SecondHand => "hearsay",
        SourceKind::Guess => "guess",
    }
}

/// The mark of a trust, as the style sheets know it.
pub fn trust_code(trust: Trust) -> &'static str {
    match trust {
        Trust::Missing => "unknown",
        Trust::Open => "disagree",
        Trust::Guessed => "guess",
        Trust::Agreeing(..) => "agree",
        Trust::Single(kind) | Trust::Settled(kind) => source_code(kind),
    }
}

/// A spec as a line: what it is, its value, how far to trust it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownSpec {
    pub item: String,
    pub place: String,
    /// The value to work by; every one that is said, none before another, where sources disagree; none where nobody says
    /// anything.
    pub values: Vec<ShownValue>,
    pub trust: ShownTrust,
    /// `None`: it is for every variant.
    pub holding: Option<ShownHolding>,
}

impl From<&Spec> for ShownSpec {
    fn from(spec: &Spec) -> ShownSpec {
        let (trust, says) = spec.trust();
        let shown = |says: &Says| ShownValue::of(spec.facts.kind, &says.facts.written);
        ShownSpec {
            item: spec.facts.item.clone(),
            place: spec.facts.place.clone(),
            values: if trust == Trust::Open { rivals(spec) } else { says.map(shown).into_iter().collect() },
            trust: trust.into(),
            holding: ShownHolding::of(spec),
        }
    }
}

impl ShownSpec {
    /// What is said where it is not known to be for this car.
    pub fn doubt(&self) -> Option<&ShownHolding> {
        self.holding.as_ref().filter(|holding| holding.in_doubt)
    }

    pub fn is_greyed(&self) -> bool {
        self.holding.as_ref().is_some_and(|holding| holding.greyed)
    }

    /// The value on one line, each of them where sources disagree: `84 N·m or 62 N·m`.
    pub fn line(&self) -> String {
        self.values.iter().map(ShownValue::short).collect::<Vec<_>>().join(" or ")
    }
}

/// Every value that a source gives, each once, in the order in which they were entered.
fn rivals(spec: &Spec) -> Vec<ShownValue> {
    let mut found: Vec<ShownValue> = Vec::new();
    for says in &spec.says {
        let value = ShownValue::of(spec.facts.kind, &says.facts.written);
        if !found.iter().any(|known| known.short() == value.short()) {
            found.push(value);
        }
    }
    found
}

/// A fastener on one line: `M12x1.5, 10.9, 19 mm hex, 4 of them, dry, new each time`.
pub fn fastener_line(fastener: &Fastener) -> String {
    let count = if fastener.count > 1 { format!("{} of them", fastener.count) } else { String::new() };
    let single_use = if fastener.single_use { "new each time" } else { "" };
    join([&fastener.thread, &fastener.class, &fastener.head, &count, &fastener.lubrication, single_use])
}

/// Where a source says it: `Halden workshop manual 1982, p. 212`.
pub fn citation_line(says: &Says) -> String {
    let page = match says.facts.page.trim() {
        "" => String::new(),
        page if page.chars().all(|letter| letter.is_ascii_digit()) => format!("p. {page}"),
        page => page.to_owned(),
    };
    join([&says.facts.citation, &page])
}

/// What a source says and of which kind it is: `40 N·m, maker's manual`.
pub fn said_by(kind: Kind, says: &Says) -> String {
    join([&ShownValue::of(kind, &says.facts.written).short(), says.facts.source.label()])
}

/// The parts that hold something, with commas between.
fn join<const N: usize>(parts: [&str; N]) -> String {
    parts.into_iter().filter(|part| !part.trim().is_empty()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_wanted_unit_comes_first_and_the_source_s_own_second() {
        let value = ShownValue::of(Kind::Torque, "62 lbf ft");
        assert_eq!((value.short().as_str(), value.second.as_str()), ("84 N·m", "62 lbf·ft"));
        assert_eq!((value.note.as_str(), value.written.as_str()), ("(N·m rounded)", "62 lbf ft"));
    }

    #[test]
    fn a_value_written_in_the_wanted_unit_keeps_its_figures_and_the_source_its_own_mark() {
        let value = ShownValue::of(Kind::Volume, "4,6 l");
        assert_eq!(value.short(), "4.6 l");
        assert_eq!(value.written, "4,6 l");
    }

    #[test]
    fn of_sources_that_disagree_none_is_shown_before_another() {
        use crate::specs::sample::{says, spec};
        let mut all = vec![
            says("40 Nm", SourceKind::MakersManual, false),
            says("54,2 Nm", SourceKind::SecondHand, false),
            says("40 N m", SourceKind::PartsSupplier, false),
        ];
        let lines = |says: &[Says]| ShownSpec::from(&spec(says.to_vec())).line();
        assert_eq!(lines(&all), "40 N·m or 54.2 N·m");
        all[1].settled = true;
        assert_eq!(lines(&all), "54.2 N·m");
        assert_eq!(lines(&[]), "");
    }

    #[test]
    fn a_figure_that_somebody_settled_on_keeps_its_look_and_still_says_that_it_is_not_for_this_car() {
        use crate::specs::sample::{says, spec};
        use crate::trade::variant::{TheCar, judge};
        let shown = |settled, codes| {
            let mut spec = spec(vec![says("40 Nm", SourceKind::MakersManual, settled)]);
            spec.holding = judge("engine HS18", &TheCar::of(codes, None));
            let shown = ShownSpec::from(&spec);
            (shown.doubt().map(|doubt| doubt.word), shown.is_greyed())
        };
        assert_eq!(shown(false, "engine code: HS16"), (Some("not for this car"), true));
        assert_eq!(shown(true, "engine code: HS16"), (Some("not for this car"), false));
        assert_eq!(shown(false, ""), (Some("not sure it is for this car"), true));
        assert_eq!(shown(false, "engine code: HS18"), (None, false));
    }

    #[test]
    fn words_have_no_unit() {
        let value = ShownValue::of(Kind::Fluid, "API GL-4, SAE 80W");
        assert_eq!((value.short().as_str(), value.unit.as_str()), ("API GL-4, SAE 80W", ""));
    }

    #[test]
    fn what_cannot_be_read_any_more_is_shown_as_it_stands() {
        assert_eq!(ShownValue::of(Kind::Torque, "tight").short(), "tight");
    }

    #[test]
    fn a_fastener_says_only_what_is_known() {
        let fastener = Fastener {
            thread: "M12x1.5".into(),
            class: String::new(),
            head: "19 mm hex".into(),
            count: 4,
            lubrication: String::new(),
            single_use: true,
        };
        assert_eq!(fastener_line(&fastener), "M12x1.5, 19 mm hex, 4 of them, new each time");
    }
}
