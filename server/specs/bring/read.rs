//! A file of the spec book, read: JSON by `seed/schemas/spec-book-1.json`, or the table. Pure.

use crate::ids::{CarId, SpecId, SpecValueId};
use crate::specs::form::{SaysForm, SpecForm};
use crate::specs::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::specs::out::json::{FORMAT, VERSION};
use crate::trade::bolt_order::Picture;
use crate::trade::spec::{Fastener, Kind, SourceKind, System};
use crate::trade::spreadsheet::plain;
use crate::web::form::Slips;
use serde::Deserialize;
use std::collections::HashMap;

/// Specs that one file may hold.
const MOST_SPECS: usize = 5000;
/// Faults that are told; more would not be read.
const MOST_FAULTS: usize = 20;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BookJson {
    #[serde(rename = "$schema")]
    _schema: Option<String>,
    format: String,
    version: u32,
    specs: Vec<SpecJson>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SpecJson {
    system: String,
    item: String,
    place: String,
    kind: String,
    stages: Vec<String>,
    bolts: Option<Picture>,
    variant: String,
    note: String,
    fastener: Option<Fastener>,
    sources: Vec<SourceJson>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceJson {
    written: String,
    kind: String,
    citation: String,
    page: String,
    note: String,
    settled: bool,
}

/// The specs of a file, which is JSON or the table. Errors: every fault as a sentence, the first twenty of them.
pub fn read(text: &str) -> Result<Vec<Spec>, Vec<String>> {
    let text = text.trim_start_matches('\u{feff}').trim();
    if text.is_empty() {
        return Err(vec!["Choose a file, or paste what stands in it: there is nothing here yet.".into()]);
    }
    let specs = if text.starts_with('{') { from_json(text)? } else { from_table(text)? };
    if specs.len() > MOST_SPECS {
        return Err(vec![format!("These are {} specs, and {MOST_SPECS} are the most at once.", specs.len())]);
    }
    let mut faults = Vec::new();
    let mut book = Vec::new();
    for (at, spec) in specs.iter().enumerate() {
        match checked(spec) {
            Ok(spec) => book.push(spec),
            Err(says) => faults.extend(says.into_iter().map(|say| format!("Spec {} ({}): {say}", at + 1, spec.item))),
        }
    }
    faults.truncate(MOST_FAULTS);
    if faults.is_empty() { Ok(book) } else { Err(faults) }
}

fn from_json(text: &str) -> Result<Vec<SpecJson>, Vec<String>> {
    let book: BookJson =
        serde_json::from_str(text).map_err(|why| vec![format!("The file could not be read as a spec book: {why}.")])?;
    if book.format != FORMAT {
        return Err(vec![format!("This is no spec book: its format is ‘{}’, not ‘{FORMAT}’.", book.format)]);
    }
    if book.version != VERSION {
        return Err(vec![format!(
            "This file is of version {}, and version {VERSION} can be read here. Take it out anew, or bring it into a newer Underlamp.",
            book.version
        )]);
    }
    Ok(book.specs)
}

/// Rows of one number belong to one spec.
fn from_table(text: &str) -> Result<Vec<SpecJson>, Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().delimiter(delimiter(text)).from_reader(text.as_bytes());
    let unreadable = |why: csv::Error| vec![format!("The table could not be read: {why}.")];
    let header: Vec<String> = reader.headers().map_err(unreadable)?.iter().map(str::to_owned).collect();
    for needed in ["spec", "system", "item", "kind", "source_written", "source_kind"] {
        if !header.iter().any(|name| name == needed) {
            return Err(vec![format!(
                "The table has no column ‘{needed}’: it is not one that was taken out of a spec book. A table of your own goes in by Paste a table."
            )]);
        }
    }
    let mut specs: Vec<(String, SpecJson)> = Vec::new();
    let mut faults = Vec::new();
    for (at, record) in reader.records().enumerate() {
        let record = record.map_err(unreadable)?;
        let row: HashMap<&str, &str> = header.iter().map(String::as_str).zip(record.iter().map(plain)).collect();
        let cell = |name: &str| row.get(name).copied().unwrap_or_default().to_owned();
        let number = cell("spec");
        match spec_of(&cell) {
            Ok(spec) => {
                let source = source_of(&cell);
                match specs.last_mut().filter(|(last, _)| *last == number) {
                    Some((_, known)) => known.sources.extend(source),
                    None => specs.push((number, SpecJson { sources: source.into_iter().collect(), ..spec })),
                }
            }
            Err(say) => faults.push(format!("Line {}: {say}", at + 2)),
        }
    }
    faults.truncate(MOST_FAULTS);
    if faults.is_empty() { Ok(specs.into_iter().map(|(_, spec)| spec).collect()) } else { Err(faults) }
}

/// A spreadsheet may have saved the table with another sign between its cells.
fn delimiter(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    let most = [b',', b';', b'\t'].into_iter().max_by_key(|sign| first.bytes().filter(|byte| byte == sign).count());
    most.unwrap_or(b',')
}

fn spec_of(cell: &impl Fn(&str) -> String) -> Result<SpecJson, String> {
    let count = cell("fastener_count");
    let fastener = match count.as_str() {
        "" => None,
        count => Some(Fastener {
            thread: cell("fastener_thread"),
            class: cell("fastener_class"),
            head: cell("fastener_head"),
            count: count.parse().map_err(|_| format!("‘{count}’ is no number of fasteners."))?,
            lubrication: cell("fastener_lubrication"),
            single_use: yes(&cell("fastener_single_use"))?,
        }),
    };
    let bolts = match cell("bolts").as_str() {
        "" => None,
        text => Some(serde_json::from_str(text).map_err(|why| format!("Its bolt picture cannot be read: {why}."))?),
    };
    Ok(SpecJson {
        system: cell("system"),
        item: cell("item"),
        place: cell("place"),
        kind: cell("kind"),
        stages: cell("stages").lines().map(str::to_owned).collect(),
        bolts,
        variant: cell("variant"),
        note: cell("note").replace("\r\n", "\n"),
        fastener,
        sources: Vec::new(),
    })
}

/// A row without a source keeps a spec of which nobody says anything.
fn source_of(cell: &impl Fn(&str) -> String) -> Option<SourceJson> {
    let written = cell("source_written");
    (!written.is_empty() || !cell("source_kind").is_empty()).then(|| SourceJson {
        written,
        kind: cell("source_kind"),
        citation: cell("source_citation"),
        page: cell("source_page"),
        note: cell("source_note").replace("\r\n", "\n"),
        settled: cell("source_settled") == "yes",
    })
}

fn yes(cell: &str) -> Result<bool, String> {
    match cell {
        "yes" => Ok(true),
        "no" | "" => Ok(false),
        other => Err(format!("‘{other}’ is neither yes nor no.")),
    }
}

/// The spec by the rules of the forms, so that nothing comes in by a file that could not be typed.
fn checked(spec: &SpecJson) -> Result<Spec, Vec<String>> {
    let unknown = |what: &str, name: &str| vec![format!("‘{name}’ is no {what} that is known here.")];
    let system = System::from_name(&spec.system).ok_or_else(|| unknown("part of the car", &spec.system))?;
    let kind = Kind::from_name(&spec.kind).ok_or_else(|| unknown("kind of value", &spec.kind))?;
    let facts = SpecFacts {
        system,
        item: spec.item.clone(),
        place: spec.place.clone(),
        kind,
        fastener: spec.fastener.clone(),
        stages: spec.stages.clone(),
        bolts: spec.bolts.clone(),
        variant: spec.variant.clone(),
        note: spec.note.clone(),
    };
    let mut says = Vec::new();
    for source in &spec.sources {
        let named = SourceKind::from_name(&source.kind).ok_or_else(|| unknown("kind of source", &source.kind))?;
        let facts = SaysFacts {
            written: source.written.clone(),
            source: named,
            citation: source.citation.clone(),
            page: source.page.clone(),
            note: source.note.clone(),
            // A photo stays in its own garage.
            photo: None,
        };
        says.push(Says { id: SpecValueId::new(), facts, settled: source.settled });
    }
    if says.iter().filter(|one| one.settled).count() > 1 {
        return Err(vec!["Only one of its sources can be the one that was settled on.".into()]);
    }
    // The car is only known where it is saved.
    let read = Spec { id: SpecId::new(), car: CarId::default(), facts, says, rev: 1, holding: None };
    let mut slips = Slips::default();
    let facts = SpecForm::from(&read).read(&mut slips);
    let says: Vec<Option<SaysFacts>> =
        read.says.iter().map(|one| SaysForm::from((one, 1)).read(Some(kind), &mut slips)).collect();
    match facts {
        Some(facts) if slips.is_empty() => {
            let says =
                read.says.iter().zip(says.into_iter().flatten()).map(|(one, facts)| Says { facts, ..one.clone() });
            Ok(Spec { says: says.collect(), facts, ..read })
        }
        _ => Err(slips.all().iter().map(|slip| slip.say.clone()).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::out::{json, table};
    use crate::specs::sample;
    use crate::trade::bolt_order::Shape;
    use proptest::prelude::*;

    /// Everything but the ids, which are new.
    fn content(book: &[Spec]) -> Vec<(SpecFacts, Vec<(SaysFacts, bool)>)> {
        let says = |spec: &Spec| spec.says.iter().map(|one| (one.facts.clone(), one.settled)).collect();
        book.iter().map(|spec| (spec.facts.clone(), says(spec))).collect()
    }

    fn words() -> impl Strategy<Value = String> {
        "[=+@'\"A-Za-z0-9;,äé°-]{1,12}( [=+'\"A-Za-z0-9;,.]{1,9}){0,2}"
    }

    fn specs() -> impl Strategy<Value = Spec> {
        let source =
            (0..SourceKind::ALL.len(), "[1-9][0-9]{0,2}(,[1-9])? (Nm|lbf ft|kgf m)", words(), "[0-9]{0,3}", words());
        let fastener = (words(), words(), words(), 1..12_u32, words(), any::<bool>());
        (
            (0..System::ALL.len(), words(), words(), prop::option::of(fastener), any::<bool>(), words()),
            prop::collection::vec(source, 0..4),
            prop::option::of(0..4_usize),
        )
            .prop_map(|((system, item, place, fastener, staged, note), sources, settled)| {
                let mut spec = sample::spec(Vec::new());
                spec.facts.system = System::ALL[system];
                (spec.facts.item, spec.facts.place, spec.facts.note) = (item, place, format!("{note}\nand {note}"));
                spec.facts.fastener = fastener.map(|(thread, class, head, count, lubrication, single_use)| Fastener {
                    thread,
                    class,
                    head,
                    count,
                    lubrication,
                    single_use,
                });
                if staged {
                    spec.facts.stages = vec!["20 Nm".into(), "+90°".trim_start_matches('+').into()];
                }
                spec.says = sources
                    .into_iter()
                    .enumerate()
                    .map(|(at, (kind, written, citation, page, note))| Says {
                        id: SpecValueId::new(),
                        facts: SaysFacts { written, source: SourceKind::ALL[kind], citation, page, note, photo: None },
                        settled: settled == Some(at),
                    })
                    .collect();
                spec
            })
    }

    proptest! {
        #[test]
        fn whatever_is_taken_out_comes_in_again_unchanged(book in prop::collection::vec(specs(), 0..6)) {
            let out = serde_json::to_string_pretty(&json::book(&book)).unwrap();
            prop_assert_eq!(content(&read(&out).unwrap()), content(&book));
            let out = String::from_utf8(table::book(&book).unwrap()).unwrap();
            prop_assert_eq!(content(&read(&out).unwrap()), content(&book));
        }
    }

    #[test]
    fn a_bolt_picture_travels_with_its_spec() {
        let mut spec = sample::spec(vec![sample::says("40 Nm", SourceKind::MakersManual, true)]);
        spec.facts.fastener = Some(Fastener {
            thread: "M8".into(),
            class: String::new(),
            head: String::new(),
            count: 5,
            lubrication: String::new(),
            single_use: false,
        });
        spec.facts.bolts = Some(Picture { shape: Shape::Ring, order: String::new(), joints: 1 });
        let book = [spec];
        let table = String::from_utf8(table::book(&book).unwrap()).unwrap();
        assert_eq!(content(&read(&table).unwrap()), content(&book));
        assert_eq!(content(&read(&json::book(&book).to_string()).unwrap()), content(&book));
    }

    #[test]
    fn a_file_that_is_no_spec_book_is_told_so_and_a_bad_spec_by_its_name() {
        let book = |spec: &str| format!("{{\"format\":\"{FORMAT}\",\"version\":1,\"specs\":[{spec}]}}");
        let spec = |kind: &str, written: &str, more: &str| {
            book(&format!(
                "{{\"system\":\"engine\",\"item\":\"Plug\",\"place\":\"\",\"kind\":\"{kind}\",\"stages\":[],\"bolts\":null,\"variant\":\"\",\"note\":\"\",\"fastener\":null,\"sources\":[{{\"written\":\"{written}\",\"kind\":\"guess\",\"citation\":\"\",\"page\":\"\",\"note\":\"\",\"settled\":false{more}}}]}}"
            ))
        };
        for (text, words) in [
            (String::new(), "nothing here yet"),
            ("{".into(), "could not be read"),
            ("{\"format\":\"recipes\",\"version\":1,\"specs\":[]}".into(), "This is no spec book"),
            (format!("{{\"format\":\"{FORMAT}\",\"version\":2,\"specs\":[]}}"), "version 2"),
            (spec("torque", "40", ""), "Spec 1 (Plug)"),
            (spec("speed", "40 Nm", ""), "‘speed’ is no kind of value"),
            (spec("torque", "40 Nm", ",\"colour\":\"red\""), "unknown field `colour`"),
            ("item;value\nPlug;40 Nm\n".into(), "no column ‘spec’"),
        ] {
            let faults = read(&text).unwrap_err().join(" ");
            assert!(faults.contains(words), "{words}: {faults}");
        }
        assert_eq!(read(&spec("torque", "40 Nm", "")).unwrap().len(), 1);
    }
}
