//! A row of a pasted table as it would be saved, with what is doubtful about it. Pure.

use super::columns::{Column, is_unit, kind_of, unit_in};
use super::table::Table;
use crate::ids::SpecValueId;
use crate::specs::fit;
use crate::specs::form::{SaysForm, SpecForm};
use crate::specs::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::specs::shown::ShownSpec;
use crate::trade::plausible::Verdict;
use crate::trade::spec::Kind;
use crate::trade::thread;
use crate::trade::trust::Trust;
use crate::web::form::Slips;

/// What the rows of one paste have in common unless a column says otherwise.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Common {
    /// Names of `trade::spec::{System, Kind, SourceKind}`.
    pub system: String,
    pub kind: String,
    pub source: String,
    pub citation: String,
    pub page: String,
}

/// A row, every part as text that can still be changed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    pub kept: bool,
    pub system: String,
    pub item: String,
    pub place: String,
    pub kind: String,
    pub value: String,
    pub thread: String,
    pub class: String,
    pub head: String,
    pub count: String,
    pub note: String,
    pub page: String,
    /// The line had another number of cells than most.
    pub slipped: bool,
}

/// What is to be known of a row before it is saved.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Doubts {
    /// Why it cannot be saved as it is.
    pub stops: Vec<String>,
    /// What to look at before it is.
    pub looks: Vec<String>,
}

/// The rows of a table, by what its columns hold.
pub fn drafts(table: &Table, columns: &[Column], common: &Common) -> Vec<Draft> {
    let at = |wanted: Column| columns.iter().position(|column| *column == wanted);
    let header_unit = at(Column::Value)
        .and_then(|at| table.header.as_ref()?.get(at).cloned())
        .and_then(|name| unit_in(&name))
        .unwrap_or_default();
    table
        .rows
        .iter()
        .map(|row| {
            let cell = |wanted: Column| at(wanted).and_then(|at| row.get(at)).cloned().unwrap_or_default();
            let or = |wanted: Column, common: &str| {
                Some(cell(wanted)).filter(|cell| !cell.is_empty()).unwrap_or_else(|| common.to_owned())
            };
            let unit = or(Column::Unit, &header_unit);
            let value = with_unit(&cell(Column::Value), &unit);
            let slipped = row.len() != table.width;
            Draft {
                kept: !slipped,
                system: or(Column::System, &common.system).to_lowercase(),
                item: cell(Column::Item),
                place: cell(Column::Place),
                kind: kind_of(&value).map_or(common.kind.clone(), |kind| kind.name().to_owned()),
                value,
                thread: cell(Column::Thread),
                class: cell(Column::Class),
                head: cell(Column::Head),
                count: cell(Column::Count),
                note: cell(Column::Note),
                page: or(Column::Page, &common.page),
                slipped,
            }
        })
        .collect()
}

/// A bare number with the unit of its column; a cell that has letters of its own stays as it is.
fn with_unit(value: &str, unit: &str) -> String {
    // Letters that a scan makes of figures belong to the number: so the row is told of, instead of taken as words.
    let letters: Vec<char> = value.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let of_number = |at: usize| match letters[at] {
        'O' | 'o' | 'S' | 'B' => digit(at.checked_sub(1)) || digit(Some(at + 1)),
        'I' | 'l' => digit(Some(at + 1)),
        other => !other.is_alphabetic(),
    };
    let bare = letters.iter().any(char::is_ascii_digit) && (0..letters.len()).all(of_number);
    if bare && is_unit(unit) { format!("{value} {}", unit.trim()) } else { value.to_owned() }
}

impl Draft {
    fn forms(&self, common: &Common) -> (SpecForm, SaysForm) {
        let spec = SpecForm {
            system: self.system.clone(),
            item: self.item.clone(),
            place: self.place.clone(),
            kind: self.kind.clone(),
            thread: self.thread.clone(),
            class: self.class.clone(),
            head: self.head.clone(),
            count: self.count.clone(),
            note: self.note.clone(),
            ..SpecForm::default()
        };
        let says = SaysForm {
            written: self.value.clone(),
            source: common.source.clone(),
            citation: common.citation.clone(),
            page: self.page.clone(),
            ..SaysForm::default()
        };
        (spec, says)
    }

    /// The facts, or why there are none.
    pub fn read(&self, common: &Common) -> Result<(SpecFacts, SaysFacts), Slips> {
        let mut slips = Slips::default();
        let (spec, says) = self.forms(common);
        let facts = spec.read(&mut slips);
        let said = says.read(spec.kind(), &mut slips);
        match (facts, said) {
            (Some(facts), Some(said)) if slips.is_empty() => Ok((facts, said)),
            _ => Err(slips),
        }
    }

    /// What speaks against saving it, and what to look at first.
    pub fn doubts(&self, common: &Common, book: &[Spec]) -> Doubts {
        let mut doubts = Doubts::default();
        if self.slipped {
            doubts.looks.push("This line has not as many cells as the others: its columns may have slipped.".into());
        }
        match self.read(common) {
            Err(slips) => {
                doubts.stops.extend(slips.all().iter().map(|slip| slip.say.clone()));
                doubts.stops.extend(misread(&self.value));
            }
            Ok((facts, said)) => {
                if !self.thread.is_empty()
                    && let Err(why) = thread::read(&self.thread)
                {
                    doubts.looks.push(why.to_string());
                }
                let odd = |one: &fit::Fit| matches!(one.verdict, Verdict::High | Verdict::Low);
                doubts
                    .looks
                    .extend(fit::fits(&facts, [said.written.as_str()]).into_iter().filter(odd).map(|one| one.sentence));
                if facts.kind == Kind::Text && self.value.chars().any(|letter| letter.is_ascii_digit()) {
                    doubts.looks.extend(misread(&self.value));
                    doubts.looks.push("It is taken as words, because no unit is known for it.".into());
                }
                doubts.looks.extend(known(&facts, &said, book));
            }
        }
        doubts
    }
}

/// The spec of the book that a row speaks of.
pub fn same_spec<'a>(facts: &SpecFacts, book: &'a [Spec]) -> Option<&'a Spec> {
    let same = |one: &str, other: &str| one.trim().to_lowercase() == other.trim().to_lowercase();
    book.iter().find(|spec| {
        spec.facts.kind == facts.kind
            && spec.facts.system == facts.system
            && same(&spec.facts.item, &facts.item)
            && same(&spec.facts.place, &facts.place)
            && same(&spec.facts.variant, &facts.variant)
    })
}

/// Whether a source of the book says exactly this already.
pub fn says_so_already(spec: &Spec, said: &SaysFacts) -> bool {
    spec.says.iter().any(|says| {
        let facts = &says.facts;
        (&facts.written, facts.source, &facts.citation, &facts.page)
            == (&said.written, said.source, &said.citation, &said.page)
    })
}

fn known(facts: &SpecFacts, said: &SaysFacts, book: &[Spec]) -> Option<String> {
    let spec = same_spec(facts, book)?;
    if says_so_already(spec, said) {
        return Some("The book has this already, from this source: it is not added again.".into());
    }
    let mut with = spec.clone();
    with.says.push(Says { id: SpecValueId::new(), facts: said.clone(), settled: false });
    let there = ShownSpec::from(spec).line();
    Some(match (spec.trust().0, with.trust().0) {
        (Trust::Missing, _) => "The book has it without a value: this becomes its source.".into(),
        (before, Trust::Open) if before != Trust::Open => {
            format!("The book says {there}: this becomes another source, and the two disagree until you settle it.")
        }
        (Trust::Open, _) => format!("The book’s sources disagree already ({there}): this becomes another one."),
        _ => format!("The book says {there} already: this becomes another source."),
    })
}

/// What a scan makes of figures, where the value would be read without it.
fn misread(value: &str) -> Option<String> {
    let letters: Vec<char> = value.chars().collect();
    let near_digit = |at: usize| {
        let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
        digit(at.checked_sub(1)) || digit(Some(at + 1))
    };
    let mended: String = letters
        .iter()
        .enumerate()
        .map(|(at, letter)| match letter {
            'O' | 'o' if near_digit(at) => '0',
            'I' | 'l' | '|' if near_digit(at) => '1',
            'S' if near_digit(at) => '5',
            'B' if near_digit(at) => '8',
            other => *other,
        })
        .collect();
    (mended != value && kind_of(&mended).is_some())
        .then(|| format!("Did the scan take a letter for a figure? ‘{mended}’ could be read."))
}

#[cfg(test)]
mod tests {
    use super::super::columns::guess;
    use super::*;
    use crate::specs::sample;
    use crate::trade::spec::SourceKind;

    fn common() -> Common {
        Common {
            system: "engine".into(),
            kind: "text".into(),
            source: "makers-manual".into(),
            citation: "Halden workshop manual, invented".into(),
            page: "24".into(),
        }
    }

    fn read(text: &str) -> Vec<Draft> {
        let table = Table::read(text).unwrap();
        drafts(&table, &guess(&table), &common())
    }

    fn looks(draft: &Draft, book: &[Spec]) -> String {
        let doubts = draft.doubts(&common(), book);
        [doubts.stops, doubts.looks].concat().join(" ")
    }

    #[test]
    fn the_unit_of_a_column_s_name_belongs_to_its_bare_numbers() {
        let rows = read("Fastener\tTorque (Nm)\nSump plug\t40\nFilter\t22 lbf ft\n");
        assert_eq!((rows[0].value.as_str(), rows[0].kind.as_str()), ("40 Nm", "torque"));
        assert_eq!(rows[1].value, "22 lbf ft", "its own unit stays");
        let (facts, said) = rows[0].read(&common()).unwrap();
        assert_eq!((facts.item.as_str(), said.written.as_str(), said.page.as_str()), ("Sump plug", "40 Nm", "24"));
    }

    #[test]
    fn a_line_whose_columns_slipped_is_left_out_until_somebody_looked() {
        let rows = read("Plug\trear\t40 Nm\tM14x1.5\nFilter\t22 Nm\tM8\nBolt\ttop\t10 Nm\tM6\nNut\ttop\t9 Nm\tM6\n");
        assert_eq!(rows.iter().map(|row| row.kept).collect::<Vec<_>>(), [true, false, true, true]);
        assert!(looks(&rows[1], &[]).contains("may have slipped"));
    }

    #[test]
    fn what_is_doubtful_is_told_in_a_sentence() {
        let scanned = &read("Item\tTorque (Nm)\nSump plug\t2O\nFilter\t22\n")[0];
        assert_eq!(scanned.value, "2O Nm");
        assert!(looks(scanned, &[]).contains("‘20 Nm’ could be read"), "{}", looks(scanned, &[]));
        for (line, words) in [
            ("Sump plug\t4O Nm", "‘40 Nm’ could be read"),
            ("Sump plug\t40 Nm / lbf ft", "unit"),
            ("\t40 Nm\tM14", "Say what it is the value of"),
        ] {
            let table = Table::read(&format!("Item\tValue\tThread\n{line}\n")).unwrap();
            let columns = [Column::Item, Column::Value, Column::Thread];
            let draft = &drafts(&table, &columns, &Common { kind: "torque".into(), ..common() })[0];
            assert!(looks(draft, &[]).contains(words), "{line}: {}", looks(draft, &[]));
            assert!(!draft.doubts(&common(), &[]).stops.is_empty(), "{line}");
        }
    }

    #[test]
    fn a_thread_that_does_not_exist_and_a_torque_that_cannot_fit_are_told() {
        let rows = read("Item\tValue\tThread\tClass\nCover bolt\t90 Nm\tM6\t8.8\nPlug\t40 Nm\tM13x9\t8.8\n");
        assert!(looks(&rows[0], &[]).contains("stretch"), "{}", looks(&rows[0], &[]));
        assert!(!looks(&rows[1], &[]).is_empty());
        assert!(rows[0].doubts(&common(), &[]).stops.is_empty(), "a flag keeps nothing from being saved");
    }

    #[test]
    fn what_the_book_has_becomes_another_source_and_never_takes_its_place() {
        let book = [Spec {
            facts: SpecFacts { place: String::new(), ..sample::spec(vec![]).facts },
            ..sample::spec(vec![sample::says("40 Nm", SourceKind::PartsSupplier, false)])
        }];
        let row = |value: &str| read(&format!("Item\tValue\nSump plug\t{value}\n")).remove(0);
        assert!(looks(&row("40 Nm"), &book).contains("already: this becomes another source"));
        assert!(looks(&row("54 Nm"), &book).contains("disagree"));
        assert!(same_spec(&row("54 Nm").read(&common()).unwrap().0, &book).is_some());
    }
}
