//! The spec book as a page: narrowed to what was asked for, grouped by system.

use super::fit;
use super::model::Spec;
use super::shown::{ShownSpec, ShownValue, fastener_line};
use super::views::{Link, used_by};
use crate::error::AppError;
use crate::ids::CarId;
use crate::trade::spec::{SourceKind, System};
use crate::trade::trust::Trust;
use crate::web::form::Choice;
use crate::web::page::Page;
use crate::web::words;
use crate::work::model::CarState;
use askama::Template;
use serde::Deserialize;

/// What is asked of the book.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    find: String,
    #[serde(default)]
    system: String,
    #[serde(default)]
    trust: String,
}

/// The trusts that the book can be narrowed to: `doubtful`, or a `Trust` by its name.
fn trusts() -> Vec<(&'static str, &'static str)> {
    let mut all = vec![
        ("doubtful", "open questions"),
        ("open", "sources disagree"),
        ("missing", "no value yet"),
        ("agreeing", "several sources agree"),
    ];
    all.extend(SourceKind::ALL.iter().map(|kind| (kind.name(), kind.label())));
    all
}

impl Asked {
    fn is_narrowed(&self) -> bool {
        ![&self.find, &self.system, &self.trust].iter().all(|part| part.trim().is_empty())
    }

    fn check(&self) -> Result<(), AppError> {
        let system_is_known = self.system.is_empty() || System::from_name(&self.system).is_some();
        let trust_is_known = self.trust.is_empty() || trusts().iter().any(|(name, _)| *name == self.trust);
        if system_is_known && trust_is_known {
            return Ok(());
        }
        Err(AppError::Invalid("malformed", "The book cannot be narrowed to that.".into()))
    }

    fn wants(&self, spec: &Spec) -> bool {
        let (trust, _) = spec.trust();
        let system = self.system.is_empty() || self.system == spec.facts.system.name();
        let trust = match self.trust.as_str() {
            "" => true,
            "doubtful" => trust.is_doubtful(),
            name => trust.name() == name,
        };
        system && trust && is_found(spec, &self.find)
    }
}

/// Whether every word of `find` stands somewhere in the spec, whatever its case.
pub fn is_found(spec: &Spec, find: &str) -> bool {
    let facts = &spec.facts;
    let mut text =
        [&facts.item, &facts.place, &facts.variant, &facts.note, facts.system.label(), facts.kind.label()].join(" ");
    if let Some(fastener) = &facts.fastener {
        text += &format!(" {}", fastener_line(fastener));
    }
    for says in &spec.says {
        let shown = ShownValue::of(facts.kind, &says.facts.written);
        text += &format!(" {} {} {} {}", shown.written, shown.short(), says.facts.citation, says.facts.source.label());
    }
    let text = text.to_lowercase();
    find.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// One spec of the book.
pub struct BookRow {
    href: String,
    shown: ShownSpec,
    fastener: String,
    variant: String,
    /// Shape and word, where the torque cannot be right for its bolt.
    flag: Option<(&'static str, String)>,
    used_by: Vec<Link>,
}

impl BookRow {
    /// Whether its value is words, which take the room of the figure and of what was written; so does having none.
    fn in_words(&self) -> bool {
        self.shown.values.iter().all(|value| value.unit.is_empty())
    }
}

pub struct BookGroup {
    system: &'static str,
    rows: Vec<BookRow>,
}

/// The book: one group for each system that has a spec.
#[derive(Template)]
#[template(path = "specs/book.html")]
pub struct BookPage {
    page: Page,
    car: CarId,
    base: String,
    find: String,
    systems: Vec<Choice>,
    trusts: Vec<Choice>,
    groups: Vec<BookGroup>,
    title: String,
    is_empty: bool,
    narrowed: bool,
    open_questions: usize,
    disputed: Vec<Link>,
}

impl BookPage {
    /// Errors when the book is to be narrowed to something that is not known.
    pub fn new(page: Page, car: CarId, on_car: &CarState, asked: Asked) -> Result<BookPage, AppError> {
        asked.check()?;
        let base = format!("/cars/{car}/specs");
        let link = |spec: &Spec| Link { href: format!("{base}/{}", spec.id), words: spec.facts.item.clone() };
        let wanted: Vec<&Spec> = on_car.specs.iter().filter(|spec| asked.wants(spec)).collect();
        let groups = System::ALL
            .iter()
            .map(|system| BookGroup {
                system: system.label(),
                rows: wanted
                    .iter()
                    .filter(|spec| spec.facts.system == *system)
                    .map(|spec| row(car, spec, on_car))
                    .collect(),
            })
            .filter(|group| !group.rows.is_empty())
            .collect();
        let narrowed = asked.is_narrowed();
        let of = |wanted: fn(Trust) -> bool| on_car.specs.iter().filter(move |spec| wanted(spec.trust().0));
        let all = on_car.specs.len();
        let title = if narrowed { format!("{} of {all}", wanted.len()) } else { words::count(all, "spec", "specs") };
        Ok(BookPage {
            page,
            car,
            systems: System::ALL
                .iter()
                .map(|system| Choice::new(system.name(), system.label(), system.name() == asked.system))
                .collect(),
            trusts: trusts().into_iter().map(|(name, label)| Choice::new(name, label, name == asked.trust)).collect(),
            groups,
            title,
            is_empty: all == 0,
            narrowed,
            open_questions: of(Trust::is_doubtful).count(),
            disputed: of(|trust| trust == Trust::Open).map(link).collect(),
            find: asked.find,
            base: base.clone(),
        })
    }
}

fn row(car: CarId, spec: &Spec, on_car: &CarState) -> BookRow {
    let shown = ShownSpec::from(spec);
    BookRow {
        href: format!("/cars/{car}/specs/{}", spec.id),
        flag: fit::flag(&spec.facts, shown.values.iter().map(|value| value.written.as_str())),
        shown,
        fastener: spec.facts.fastener.as_ref().map(fastener_line).unwrap_or_default(),
        variant: spec.facts.variant.clone(),
        used_by: used_by(car, spec.id, on_car),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};

    #[test]
    fn a_spec_is_found_by_every_word_of_its_name_place_value_or_source() {
        let spec = spec(vec![says("62 lbf ft", SourceKind::MakersManual, false)]);
        for find in ["sump", "PLUG rear", "84 n·m", "62 lbf", "halden", "maker's manual", "engine", ""] {
            assert!(is_found(&spec, find), "{find}");
        }
        assert!(!is_found(&spec, "sump wheel"));
    }

    #[test]
    fn open_questions_are_the_specs_nobody_should_tighten_by() {
        let asked = |trust: &str| Asked { trust: trust.into(), ..Asked::default() };
        let guess = spec(vec![says("40 Nm", SourceKind::Guess, false)]);
        let known = spec(vec![says("40 Nm", SourceKind::MakersManual, false)]);
        assert!(asked("doubtful").wants(&guess) && asked("doubtful").wants(&spec(Vec::new())));
        assert!(!asked("doubtful").wants(&known) && asked("makers-manual").wants(&known));
        assert!(asked("blind").check().is_err());
    }
}
