//! Which of the car's own specs and parts a pattern means. Pure.

use super::text::{PatternPart, PatternSpec};
use crate::shelf::store::Part;
use crate::specs::model::Spec;
use crate::trade::buying::Stage;

/// The specs of the book that fit what a pattern asks for, the best first; none where the book has none.
pub fn specs_for<'a>(wanted: &PatternSpec, book: &'a [Spec]) -> Vec<&'a Spec> {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    // One that is for another variant than this car is never meant.
    let of_kind = || book.iter().filter(|spec| spec.facts.kind == wanted.kind && spec.not_ours().is_none());
    let is_named = |spec: &&Spec| same(&spec.facts.item, &wanted.item) && same(&spec.facts.place, &wanted.place);
    let mut fitting: Vec<(usize, &Spec)> =
        of_kind().filter_map(|spec| Some((extra_words(wanted, spec)?, spec))).collect();
    fitting.sort_by_key(|(extra, _)| *extra);
    let mut specs: Vec<&Spec> = fitting.into_iter().map(|(_, spec)| spec).collect();
    // One that bears the pattern's very words is meant, as one that an earlier card of this pattern has made.
    if let Some(named) = of_kind().find(is_named) {
        specs.retain(|spec| spec.id != named.id);
        specs.insert(0, named);
    }
    specs
}

/// How many words of its item and place were not asked for; `None` where one that was asked for is not there.
fn extra_words(wanted: &PatternSpec, spec: &Spec) -> Option<usize> {
    let named = words_of(&format!("{} {}", spec.facts.item, spec.facts.place));
    let system = words_of(&format!("{} {}", spec.facts.system.name(), spec.facts.system.label()));
    let asked: Vec<Vec<String>> =
        wanted.find.iter().map(|find| words_of(find)).filter(|find| !find.is_empty()).collect();
    // A drain plug of the gearbox is found as ‘gearbox drain’ too.
    let turned = words_of(&format!("{} {}", spec.facts.place, spec.facts.item));
    let anywhere = |find: &Vec<String>| [&named, &turned, &system].iter().any(|words| is_in(words, find));
    if asked.is_empty() || !asked.iter().all(anywhere) {
        return None;
    }
    let was_asked = |word: &&String| asked.iter().flatten().any(|one| word.starts_with(one.as_str()));
    Some(named.len() - named.iter().filter(was_asked).count())
}

/// Whether the words stand there side by side: ‘wheel nut’ is not the ‘wheel bearing nut’. Beginnings, so that ‘nut’ finds
/// ‘nuts’.
fn is_in(words: &[String], phrase: &[String]) -> bool {
    let fits = |(word, one): (&String, &String)| word.starts_with(one.as_str());
    words.windows(phrase.len()).any(|side_by_side| side_by_side.iter().zip(phrase).all(fits))
}

fn words_of(text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// A part of the same name that is wanted, ordered or here: another one need not be bought.
pub fn part_for<'a>(wanted: &PatternPart, shelf: &'a [Part]) -> Option<&'a Part> {
    let name = wanted.name.trim().to_lowercase();
    shelf.iter().find(|part| {
        matches!(part.facts.state, Stage::Wanted | Stage::Ordered | Stage::Here)
            && part.facts.name.trim().to_lowercase() == name
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::{CarId, PartId, SpecId};
    use crate::shelf::store::PartFacts;
    use crate::specs::model::SpecFacts;
    use crate::trade::spec::{Kind, System};

    fn spec(item: &str, place: &str, kind: Kind) -> Spec {
        let facts = SpecFacts {
            system: System::Driveline,
            item: item.into(),
            place: place.into(),
            kind,
            fastener: None,
            stages: Vec::new(),
            bolts: None,
            variant: String::new(),
            note: String::new(),
        };
        Spec { id: SpecId::new(), car: CarId::new(), facts, says: Vec::new(), holding: None, rev: 1 }
    }

    fn found(book: &[Spec], find: &[&str]) -> Vec<String> {
        let find = find.iter().map(|word| (*word).to_owned()).collect();
        let wanted =
            PatternSpec { key: String::new(), item: "Plug".into(), place: "here".into(), kind: Kind::Torque, find };
        specs_for(&wanted, book).iter().map(|spec| spec.facts.item.clone()).collect()
    }

    #[test]
    fn every_word_has_to_be_there_and_the_fewest_others_are_best() {
        let book = [
            spec("Drain plug with its long washer", "rear axle", Kind::Torque),
            spec("Drain plugs", "rear axle", Kind::Torque),
            spec("Drain plug", "gearbox", Kind::Torque),
            spec("Drain plug", "rear axle", Kind::Length),
        ];
        assert_eq!(found(&book, &["rear", "axle", "drain"]), ["Drain plugs", "Drain plug with its long washer"]);
        assert_eq!(found(&book, &["driveline", "gearbox drain"]), ["Drain plug"]);
        let hub = [spec("Wheel bearing nut", "front", Kind::Torque), spec("Wheel nuts", "front", Kind::Torque)];
        assert_eq!(found(&hub, &["front", "wheel nut"]), ["Wheel nuts"]);
        assert_eq!(found(&book, &["sump"]), Vec::<String>::new());
        assert_eq!(found(&book, &[" "]), Vec::<String>::new());
    }

    #[test]
    fn a_part_of_that_name_is_taken_unless_it_is_fitted_or_sent_back() {
        let part = |name: &str, state: Stage| Part::new(PartId::new(), PartFacts { state, ..PartFacts::wanted(name) });
        let wanted = PatternPart { key: String::new(), name: "Gear oil".into(), quantity: "1".into() };
        for state in Stage::ALL {
            let shelf = [part("gear oil, thin", *state), part(" GEAR OIL ", *state)];
            let taken = matches!(state, Stage::Wanted | Stage::Ordered | Stage::Here);
            assert_eq!(part_for(&wanted, &shelf).map(|part| part.id), taken.then_some(shelf[1].id), "{state:?}");
        }
    }

    #[test]
    fn one_with_the_patterns_very_words_is_meant() {
        let book = [spec("Axle", "", Kind::Torque), spec("plug ", "HERE", Kind::Torque)];
        assert_eq!(found(&book, &["axle"]), ["plug ", "Axle"]);
    }
}
