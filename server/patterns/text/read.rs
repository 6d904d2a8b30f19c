//! From text to a pattern, with everything that is wrong told by line.

use super::format::{ChoiceText, File, PartText, SpecText, StepText};
use crate::trade::cautions::Caution;
use crate::trade::marks::{Mark, Marks};
use crate::trade::name_value::Trouble;
use crate::trade::nature::Nature;
use crate::trade::spec::{Kind, System};
use crate::trade::steps::{Ask, AskKind, ObjectKind, Verb};
use std::collections::HashSet;
use toml::Spanned;

const LONGEST_TITLE: usize = 120;
const LONGEST_WORDS: usize = 300;
const LONGEST_DETAIL: usize = 4000;

/// A pattern card whose every reference holds. Texts may still have `{choices}` in them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    /// The file's name without its ending.
    pub key: String,
    pub title: String,
    pub system: System,
    pub about: String,
    /// Least, likely, longest.
    pub minutes: [i64; 3],
    pub helper: bool,
    pub choices: Vec<Choice>,
    pub(super) specs: Vec<PatternSpec>,
    pub(super) parts: Vec<PatternPart>,
    pub(super) steps: Vec<PatternStep>,
}

/// Something that is asked when a card is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    pub name: String,
    pub options: Vec<String>,
}

/// A figure that the work needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatternSpec {
    /// What steps call it.
    pub key: String,
    pub item: String,
    pub place: String,
    pub kind: Kind,
    /// What the item and place of a known spec must hold to be taken for it; in lower case once the choices are made.
    pub find: Vec<String>,
}

/// Something to buy for the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatternPart {
    /// What steps call it.
    pub key: String,
    pub name: String,
    pub quantity: String,
}

/// A step, with what hangs on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatternStep {
    /// Its line in the text, from 1.
    pub line: usize,
    pub verb: Verb,
    pub kind: ObjectKind,
    pub object: String,
    pub words: String,
    pub detail: String,
    /// Indices into the pattern's specs and parts.
    pub specs: Vec<usize>,
    pub parts: Vec<usize>,
    pub tools: Vec<String>,
    pub cautions: Vec<String>,
    pub marks: Marks,
    pub ask: Option<Ask>,
}

impl Pattern {
    pub fn steps(&self) -> usize {
        self.steps.len()
    }

    /// The line of a step in the text, from 1.
    pub fn line_of(&self, step: usize) -> usize {
        self.steps.get(step).map_or(1, |step| step.line)
    }
}

/// Reads a pattern. Errors: everything that is wrong, in the order of lines; never empty.
pub fn read(key: &str, text: &str) -> Result<Pattern, Vec<Trouble>> {
    let file: File = toml::from_str(text).map_err(|error| vec![not_toml(text, &error)])?;
    let mut reader = Reader { text, troubles: Vec::new(), names: HashSet::new() };
    let pattern = reader.pattern(key, &file);
    reader.troubles.sort_by_key(|trouble| trouble.line);
    match pattern {
        Some(pattern) if reader.troubles.is_empty() => Ok(pattern),
        _ => Err(reader.troubles),
    }
}

fn not_toml(text: &str, error: &toml::de::Error) -> Trouble {
    let at = error.span().map_or(0, |span| span.start);
    Trouble { line: line_at(text, at), say: error.message().trim().to_owned() }
}

fn line_at(text: &str, at: usize) -> usize {
    text.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count() + 1
}

struct Reader<'a> {
    text: &'a str,
    troubles: Vec<Trouble>,
    /// Names in braces that texts may use.
    names: HashSet<String>,
}

impl Reader<'_> {
    fn say<T>(&mut self, at: &Spanned<T>, say: impl Into<String>) {
        self.troubles.push(Trouble { line: line_at(self.text, at.span().start), say: say.into() });
    }

    fn pattern(&mut self, key: &str, file: &File) -> Option<Pattern> {
        let choices: Vec<Choice> = file.choice.iter().map(|choice| self.choice(choice)).collect();
        let specs: Vec<PatternSpec> = file.spec.iter().filter_map(|spec| self.spec(spec)).collect();
        let parts: Vec<PatternPart> = file.part.iter().filter_map(|part| self.part(part)).collect();
        self.keys_once(&file.spec.iter().map(|spec| &spec.key).collect::<Vec<_>>());
        self.keys_once(&file.part.iter().map(|part| &part.key).collect::<Vec<_>>());
        let steps: Vec<PatternStep> = file.step.iter().filter_map(|step| self.step(step, file)).collect();
        if file.step.is_empty() {
            self.say(&file.title, "The pattern has no [[step]].");
        }
        let system = self.one_of(&file.system, System::from_name, "system", System::ALL.iter().map(|one| one.name()));
        self.minutes(&file.minutes);
        Some(Pattern {
            key: key.to_owned(),
            title: self.line(&file.title, LONGEST_TITLE)?,
            system: system?,
            about: self.line(&file.about, LONGEST_DETAIL)?,
            minutes: *file.minutes.get_ref(),
            helper: file.helper,
            choices,
            specs,
            parts,
            steps,
        })
    }

    fn minutes(&mut self, minutes: &Spanned<[i64; 3]>) {
        let [low, likely, high] = *minutes.get_ref();
        if low < 1 || low > likely || likely > high || high > 6000 {
            self.say(
                minutes,
                "minutes are [least, likely, longest], from 1 to 6000, none smaller than the one before.",
            );
        }
    }

    fn choice(&mut self, choice: &ChoiceText) -> Choice {
        let (name, options) = (choice.name.get_ref().trim().to_owned(), choice.options.get_ref().clone());
        if name.is_empty() || name.contains(['{', '}']) {
            self.say(&choice.name, "A choice needs a name, without braces.");
        }
        if options.len() < 2 || options.iter().any(|option| option.trim().is_empty()) {
            self.say(&choice.options, format!("‘{name}’ needs at least two options."));
        }
        self.names.insert(name.clone());
        if options.len() == 2 {
            self.names.insert(format!("other {name}"));
        }
        Choice { name, options }
    }

    fn spec(&mut self, spec: &SpecText) -> Option<PatternSpec> {
        let kind = self.one_of(&spec.kind, Kind::from_name, "kind of spec", Kind::ALL.iter().map(|one| one.name()));
        if spec.find.get_ref().is_empty() {
            self.say(&spec.find, "find needs at least one word, or every spec of the book would fit.");
        }
        let find = spec.find.get_ref().clone();
        find.iter().for_each(|word| self.braces(word, &spec.find));
        Some(PatternSpec {
            key: spec.key.get_ref().clone(),
            item: self.line(&spec.item, LONGEST_TITLE)?,
            place: self.text(&spec.place, LONGEST_TITLE)?,
            kind: kind?,
            find,
        })
    }

    fn part(&mut self, part: &PartText) -> Option<PatternPart> {
        let name = self.line(&part.name, LONGEST_TITLE)?;
        Some(PatternPart { key: part.key.get_ref().clone(), name, quantity: part.quantity.clone() })
    }

    fn keys_once(&mut self, keys: &[&Spanned<String>]) {
        let mut seen = HashSet::new();
        for key in keys {
            if !seen.insert(key.get_ref().clone()) {
                self.say(*key, format!("The key ‘{}’ is there twice.", key.get_ref()));
            }
        }
    }

    fn step(&mut self, step: &StepText, file: &File) -> Option<PatternStep> {
        let line = line_at(self.text, step.deed.span().start);
        let deed = self.deed(&step.deed);
        let words = self.line(&step.words, LONGEST_WORDS);
        let detail = self.text(&step.detail, LONGEST_DETAIL);
        let specs = self.references(&step.specs, file.spec.iter().map(|spec| spec.key.get_ref()).collect(), "[[spec]]");
        let parts = self.references(&step.parts, file.part.iter().map(|part| part.key.get_ref()).collect(), "[[part]]");
        let tools = step.tools.iter().filter_map(|tool| self.line(tool, LONGEST_TITLE)).collect();
        let cautions = step.cautions.iter().filter_map(|caution| self.caution(caution)).collect();
        let marks = self.marks(step)?;
        let ask = step.ask.as_ref().map(|ask| {
            let kind = self.one_of(
                &ask.kind,
                AskKind::from_name,
                "kind of reading",
                AskKind::ALL.iter().map(|one| one.name()),
            );
            Some(Ask { what: self.line(&ask.what, LONGEST_TITLE)?, kind: kind? })
        });
        let (verb, kind, object) = deed?;
        Some(PatternStep {
            line,
            verb,
            kind,
            object,
            words: words?,
            detail: detail?,
            specs,
            parts,
            tools,
            cautions,
            marks,
            ask: match ask {
                Some(ask) => Some(ask?),
                None => None,
            },
        })
    }

    /// `open opening rear axle filler plug`
    fn deed(&mut self, at: &Spanned<String>) -> Option<(Verb, ObjectKind, String)> {
        let text = at.get_ref().trim();
        let mut words = text.splitn(3, ' ');
        let (verb, kind, object) = (words.next()?, words.next().unwrap_or(""), words.next().unwrap_or("").trim());
        let known_verb = Verb::from_name(verb);
        if known_verb.is_none() {
            self.say(at, unknown("verb", verb, Verb::ALL.iter().map(|one| one.name())));
        }
        let known_kind = ObjectKind::from_name(kind);
        if known_kind.is_none() {
            self.say(at, unknown("kind of thing", kind, ObjectKind::ALL.iter().map(|one| one.name())));
        }
        if object.is_empty() {
            self.say(at, "do needs three things: a verb, a kind of thing, and the thing itself, as in ‘open opening radiator cap’.");
        }
        self.braces(object, at);
        Some((known_verb?, known_kind?, object.to_owned()))
    }

    fn marks(&mut self, step: &StepText) -> Option<Marks> {
        let mut marks = Vec::new();
        for mark in &step.marks {
            marks.extend(self.one_of(mark, Mark::from_name, "mark", Mark::ALL.iter().map(|one| one.name())));
        }
        let is = step
            .is
            .as_ref()
            .and_then(|is| self.one_of(is, Nature::from_name, "nature", Nature::ALL.iter().map(|one| one.name())));
        Some(Marks {
            marks,
            is,
            filler: self.text(&step.filler, LONGEST_TITLE)?,
            set: self.text(&step.set, LONGEST_TITLE)?,
        })
    }

    /// A known caution by its name, or an own sentence: then it ends like one.
    fn caution(&mut self, caution: &Spanned<String>) -> Option<String> {
        let text = self.line(caution, LONGEST_WORDS)?;
        let is_sentence = text.contains(' ') && text.ends_with(['.', '!']);
        if Caution::from_name(&text).is_none() && !is_sentence {
            self.say(
                caution,
                format!("‘{text}’ is neither the name of a known caution nor a sentence with a full stop."),
            );
        }
        Some(text)
    }

    fn references(&mut self, wanted: &[Spanned<String>], known: Vec<&String>, table: &str) -> Vec<usize> {
        let mut found = Vec::new();
        for key in wanted {
            match known.iter().position(|known| *known == key.get_ref()) {
                Some(at) => found.push(at),
                None => self.say(key, format!("No {table} has the key ‘{}’.", key.get_ref())),
            }
        }
        found
    }

    fn one_of<T>(
        &mut self,
        at: &Spanned<String>,
        from_name: impl Fn(&str) -> Option<T>,
        what: &str,
        all: impl Iterator<Item = &'static str>,
    ) -> Option<T> {
        let found = from_name(at.get_ref());
        if found.is_none() {
            self.say(at, unknown(what, at.get_ref(), all));
        }
        found
    }

    /// Text that has to be there, on one line.
    fn line(&mut self, at: &Spanned<String>, longest: usize) -> Option<String> {
        let text = self.text(at, longest)?;
        if text.is_empty() || text.contains('\n') {
            self.say(at, "This has to be text on one line.");
            return None;
        }
        Some(text)
    }

    fn text(&mut self, at: &Spanned<String>, longest: usize) -> Option<String> {
        let text = at.get_ref().trim().to_owned();
        if text.chars().count() > longest {
            self.say(at, format!("This is longer than {longest} characters."));
            return None;
        }
        self.braces(&text, at);
        Some(text)
    }

    /// Every name in braces is a choice.
    fn braces<T>(&mut self, text: &str, at: &Spanned<T>) {
        for piece in text.split('{').skip(1) {
            let name = piece.split('}').next().unwrap_or(piece);
            if !piece.contains('}') {
                self.say(at, "A brace is opened and not closed.");
            } else if !self.names.contains(&name.to_lowercase()) && !self.names.contains(name) {
                self.say(at, format!("No [[choice]] is named ‘{name}’."));
            }
        }
    }
}

fn unknown(what: &str, name: &str, all: impl Iterator<Item = &'static str>) -> String {
    format!("‘{name}’ is no {what}. Known: {}.", all.collect::<Vec<_>>().join(", "))
}
