//! What the pages of patterns show.

use super::library::{Broken, Kept, Library};
use super::suits::{part_for, specs_for};
use super::text::{Filled, Pattern, PatternPart, PatternSpec, PatternStep};
use crate::ids::CarId;
use crate::jobs::views::ShownCaution;
use crate::shelf::store::Part;
use crate::specs::model::Spec;
use crate::trade::spec::System;
use crate::trade::trust::Trust;
use crate::web::form::Choice;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;
use std::collections::BTreeMap;

/// A pattern in the list.
pub struct Listed {
    href: String,
    title: String,
    about: String,
    more: String,
}

/// The patterns of one system.
pub struct Group {
    system: &'static str,
    patterns: Vec<Listed>,
}

#[derive(Template)]
#[template(path = "patterns/list.html")]
pub struct PatternsPage {
    page: Page,
    car: CarId,
    find: String,
    found: usize,
    all: usize,
    groups: Vec<Group>,
    broken: Vec<Broken>,
}

impl PatternsPage {
    pub fn new(page: Page, car: CarId, library: &Library, find: String) -> PatternsPage {
        let kept: Vec<&Kept> = library.patterns.values().filter(|kept| is_found(&kept.pattern, &find)).collect();
        let of = |system: System| -> Vec<Listed> {
            let of_system = kept.iter().filter(|kept| kept.pattern.system == system);
            of_system.map(|kept| listed(kept, car)).collect()
        };
        let groups = System::ALL.iter().map(|system| Group { system: system.label(), patterns: of(*system) });
        PatternsPage {
            page,
            car,
            found: kept.len(),
            all: library.patterns.len(),
            groups: groups.filter(|group| !group.patterns.is_empty()).collect(),
            broken: library.broken.clone(),
            find,
        }
    }
}

fn listed(kept: &Kept, car: CarId) -> Listed {
    let pattern = &kept.pattern;
    let [_, likely, _] = pattern.minutes;
    let steps = words::count(pattern.steps(), "step", "steps");
    let own = if kept.own { " · your own" } else { "" };
    let helper = if pattern.helper { " · takes two" } else { "" };
    Listed {
        href: format!("/cars/{car}/patterns/{}", pattern.key),
        title: open_words(pattern, &pattern.title),
        about: open_words(pattern, &pattern.about),
        more: format!("{steps} · about {}{helper}{own}", words::minutes(likely)),
    }
}

/// A text with its choices still open: `Change the oil of the rear or front axle`.
pub fn open_words(pattern: &Pattern, text: &str) -> String {
    pattern.choices.iter().fold(text.to_owned(), |text, choice| {
        let options = choice.options.join(" or ");
        text.replace(&format!("{{{}}}", choice.name), &options)
            .replace(&format!("{{{}}}", words::capital(&choice.name)), &words::capital(&options))
            .replace(&format!("{{other {}}}", choice.name), "other")
    })
}

/// Whether every word of `find` stands in its title, about or system.
fn is_found(pattern: &Pattern, find: &str) -> bool {
    let text =
        [open_words(pattern, &pattern.title), open_words(pattern, &pattern.about), pattern.system.label().to_owned()];
    let text = format!("{} {}", text.join(" "), pattern.key).to_lowercase();
    find.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// Something asked when the card is made.
pub struct ShownChoice {
    name: String,
    options: Vec<Choice>,
    error: String,
}

/// A spec that the pattern asks for, and what the car's book has for it.
pub struct WantedSpec {
    name: String,
    /// Its own spec; empty where the book has none.
    href: String,
    found: String,
    more: String,
    is_short: bool,
}

pub struct WantedPart {
    name: String,
    more: String,
}

pub struct ShownStep {
    number: usize,
    verb: &'static str,
    object: String,
    words: String,
    detail: Vec<String>,
    marks: String,
    asks: String,
    specs: String,
    parts: String,
    tools: String,
    cautions: Vec<ShownCaution>,
}

#[derive(Template)]
#[template(path = "patterns/pattern.html")]
pub struct PatternPage {
    page: Page,
    car: CarId,
    href: String,
    title: String,
    about: String,
    system: &'static str,
    time: String,
    helper: bool,
    own: bool,
    choices: Vec<ShownChoice>,
    /// Sentences about what was chosen where nothing is asked.
    wrong: Vec<String>,
    specs: Vec<WantedSpec>,
    parts: Vec<WantedPart>,
    steps: Vec<ShownStep>,
}

impl PatternPage {
    pub fn new(
        page: Page,
        car: CarId,
        kept: &Kept,
        chosen: &BTreeMap<String, String>,
        wrong: &BTreeMap<String, String>,
        (book, shelf): (&[Spec], &[Part]),
    ) -> PatternPage {
        let pattern = &kept.pattern;
        let filled = pattern.fill(chosen);
        let [low, likely, high] = filled.minutes.map(words::minutes);
        let asked = |name: &String| pattern.choices.iter().any(|choice| choice.name == *name);
        PatternPage {
            page,
            car,
            href: format!("/cars/{car}/patterns/{}", pattern.key),
            system: filled.system.label(),
            time: format!("likely {likely}; from {low} to {high}"),
            helper: filled.helper,
            own: kept.own,
            choices: choices(pattern, chosen, wrong),
            wrong: wrong.iter().filter(|(name, _)| !asked(name)).map(|(_, say)| say.clone()).collect(),
            specs: wanted_specs(&filled, car, book),
            parts: wanted_parts(&filled, shelf),
            steps: (0..filled.steps.len()).map(|at| shown_step(&filled, at)).collect(),
            title: filled.title,
            about: filled.about,
        }
    }

    fn short(&self) -> usize {
        self.specs.iter().filter(|spec| spec.is_short).count()
    }
}

fn choices(pattern: &Pattern, chosen: &BTreeMap<String, String>, wrong: &BTreeMap<String, String>) -> Vec<ShownChoice> {
    let shown = |choice: &super::text::Choice| {
        let known = chosen.get(&choice.name).filter(|option| choice.options.contains(option));
        let first = known.or(choice.options.first());
        ShownChoice {
            name: choice.name.clone(),
            options: choice
                .options
                .iter()
                .map(|option| Choice::new(option, words::capital(option), Some(option) == first))
                .collect(),
            error: wrong.get(&choice.name).cloned().unwrap_or_default(),
        }
    };
    pattern.choices.iter().map(shown).collect()
}

fn wanted_specs(filled: &Filled, car: CarId, book: &[Spec]) -> Vec<WantedSpec> {
    let shown = |wanted: &PatternSpec| {
        let fitting = specs_for(wanted, book);
        let name = format!("{} ({})", named(&wanted.item, &wanted.place), wanted.kind.label().to_lowercase());
        let Some(best) = fitting.first() else {
            let more = "not in the spec book: it is entered without a value".into();
            return WantedSpec { name, href: String::new(), found: String::new(), more, is_short: true };
        };
        let (trust, says) = best.trust();
        let value = says.map_or_else(|| "no value yet".to_owned(), |says| says.facts.written.clone());
        let others = fitting.len() - 1;
        let fits = if others == 0 { String::new() } else { format!("; {others} more would fit") };
        WantedSpec {
            name,
            href: format!("/cars/{car}/specs/{}", best.id),
            found: named(&best.facts.item, &best.facts.place),
            more: format!("{value}{fits}"),
            is_short: trust == Trust::Missing,
        }
    };
    filled.specs.iter().map(shown).collect()
}

fn named(item: &str, place: &str) -> String {
    if place.is_empty() { item.to_owned() } else { format!("{item}, {place}") }
}

fn wanted_parts(filled: &Filled, shelf: &[Part]) -> Vec<WantedPart> {
    let shown = |wanted: &PatternPart| WantedPart {
        name: format!("{} × {}", wanted.quantity, wanted.name),
        more: match part_for(wanted, shelf) {
            Some(part) => format!("on the buy list already: {}", part.facts.state.label()),
            None => "goes on the buy list".into(),
        },
    };
    filled.parts.iter().map(shown).collect()
}

fn shown_step(filled: &Filled, at: usize) -> ShownStep {
    let step: &PatternStep = &filled.steps[at];
    let specs = step.specs.iter().map(|at| named(&filled.specs[*at].item, &filled.specs[*at].place));
    let mut marks: Vec<String> = step.marks.marks.iter().map(|mark| mark.label().to_owned()).collect();
    if !step.marks.filler.is_empty() {
        marks.push(format!("filled through the {}", step.marks.filler));
    }
    if !step.marks.set.is_empty() {
        marks.push(format!("one of the set ‘{}’", step.marks.set));
    }
    ShownStep {
        number: at + 1,
        verb: step.verb.label(),
        object: step.object.clone(),
        words: step.words.clone(),
        detail: step.detail.lines().map(str::to_owned).filter(|line| !line.trim().is_empty()).collect(),
        marks: marks.join(" · "),
        asks: step.ask.as_ref().map(|ask| ask.what.clone()).unwrap_or_default(),
        specs: specs.collect::<Vec<_>>().join(" · "),
        parts: step.parts.iter().map(|at| filled.parts[*at].name.clone()).collect::<Vec<_>>().join(" · "),
        tools: step.tools.join(" · "),
        cautions: step.cautions.iter().map(|caution| ShownCaution::of(caution)).collect(),
    }
}
