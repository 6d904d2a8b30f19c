//! What of a file is news to a spec book. Nothing is ever written over: what the book knows gets further sources. Pure.

use crate::specs::model::{Says, Spec};
use crate::specs::paste::draft::{same_spec, says_so_already};
use crate::specs::shown::ShownSpec;
use crate::trade::trust::Trust;
use crate::web::words;

/// What is to be added.
#[derive(Debug, Default)]
pub struct News {
    pub new: Vec<Spec>,
    /// Specs of the book, each with the sources that it lacks.
    pub more: Vec<(Spec, Vec<Says>)>,
    /// Sources that are there already.
    pub known: usize,
}

/// Each spec of the book takes in one of the file; a second one alike becomes a spec of its own, as it was in the file.
pub fn news(brought: Vec<Spec>, book: &[Spec]) -> News {
    let mut left: Vec<Spec> = book.to_vec();
    let mut news = News::default();
    for spec in brought {
        let Some(at) = same_spec(&spec.facts, &left).and_then(|same| left.iter().position(|one| one.id == same.id))
        else {
            news.new.push(spec);
            continue;
        };
        let there = left.swap_remove(at);
        let (known, lacking): (Vec<Says>, Vec<Says>) =
            spec.says.into_iter().partition(|says| says_so_already(&there, &says.facts));
        news.known += known.len();
        if !lacking.is_empty() {
            // What was settled elsewhere is not settled here.
            let lacking = lacking.into_iter().map(|says| Says { settled: false, ..says }).collect();
            news.more.push((there, lacking));
        }
    }
    news
}

impl News {
    pub fn is_empty(&self) -> bool {
        self.new.is_empty() && self.more.is_empty()
    }

    /// In sentences, for whoever decides whether it is saved.
    pub fn told(&self) -> Vec<String> {
        let mut told = Vec::new();
        if !self.new.is_empty() {
            told.push(format!("{} to the book.", words::count(self.new.len(), "spec is new", "specs are new")));
        }
        let sources: usize = self.more.iter().map(|(_, says)| says.len()).sum();
        if sources > 0 {
            let specs = words::count(self.more.len(), "spec that is there", "specs that are there");
            told.push(format!("{} for {specs}.", words::count(sources, "further source", "further sources")));
        }
        if self.known > 0 {
            told.push(format!(
                "{} already: nothing is added for them.",
                words::count(self.known, "source is there", "sources are there")
            ));
        }
        told
    }

    /// Specs whose sources would disagree that agree now.
    pub fn disputed(&self) -> Vec<String> {
        self.more
            .iter()
            .filter_map(|(spec, says)| {
                let mut with = spec.clone();
                with.says.extend(says.iter().cloned());
                let opens = spec.trust().0 != Trust::Open && with.trust().0 == Trust::Open;
                opens.then(|| format!("{}: {}", spec.facts.item, ShownSpec::from(&with).line()))
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;

    #[test]
    fn what_the_book_knows_gets_further_sources_and_loses_none() {
        let book = [spec(vec![says("40 Nm", SourceKind::MakersManual, true)])];
        let brought = vec![spec(vec![
            says("40 Nm", SourceKind::MakersManual, false),
            says("54 Nm", SourceKind::PartsSupplier, true),
        ])];
        let news = news(brought, &book);
        assert_eq!((news.new.len(), news.more.len(), news.known), (0, 1, 1));
        assert!(!news.more[0].1[0].settled, "what was settled elsewhere is not settled here");
        assert_eq!(news.disputed(), [""; 0], "it is settled here already");
        assert_eq!(news.told().len(), 2);
    }

    #[test]
    fn a_disagreement_that_a_file_would_open_is_named_before_it_is_saved() {
        let book = [spec(vec![says("40 Nm", SourceKind::MakersManual, false)])];
        let brought = vec![spec(vec![says("54 Nm", SourceKind::PartsSupplier, false)])];
        assert_eq!(news(brought, &book).disputed(), ["Sump plug: 40 N·m or 54 N·m"]);
    }

    #[test]
    fn two_specs_alike_stay_two() {
        let twice = vec![spec(vec![]), spec(vec![])];
        assert_eq!(news(twice.clone(), &[]).new.len(), 2);
        assert_eq!(news(twice, &[spec(vec![])]).new.len(), 1);
    }
}
