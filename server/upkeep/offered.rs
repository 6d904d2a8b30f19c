//! Intervals that are offered, out of `seed/upkeep/intervals.txt`: common practice, no source.

use crate::trade::upkeep::{Suggestion, read_suggestions};
use std::sync::LazyLock;

/// What stands as the source of an interval that was taken as offered.
pub const NO_SOURCE: &str = "common practice, no source; your manual comes first";

/// None of them is broken: a test reads them all.
static OFFERED: LazyLock<Vec<Suggestion>> =
    LazyLock::new(|| read_suggestions(include_str!("../../seed/upkeep/intervals.txt")).unwrap_or_default());

/// All of them, in their order.
pub fn all() -> &'static [Suggestion] {
    &OFFERED
}

/// The one that fits a card: by the pattern it was made from, as its own words tell, else by its title.
pub fn for_card(title: &str, why: &str) -> Option<&'static Suggestion> {
    let made_from = |one: &&Suggestion| one.patterns.iter().any(|name| why.contains(&format!("pattern ‘{name}’")));
    all().iter().find(made_from).or_else(|| all().iter().find(|one| is_in_title(&one.item, title)))
}

/// The one of this name.
pub fn named(item: &str) -> Option<&'static Suggestion> {
    all().iter().find(|one| one.item == item)
}

/// Every word that tells something stands in the title too.
fn is_in_title(item: &str, title: &str) -> bool {
    let (item, title) = (item.to_lowercase(), title.to_lowercase());
    let mut telling = item.split(|letter: char| !letter.is_alphanumeric()).filter(|word| word.len() > 3).peekable();
    telling.peek().is_some() && telling.all(|word| title.contains(word.trim_end_matches('s')))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::patterns::library::Library;

    #[test]
    fn every_interval_offered_is_read_and_its_patterns_exist() {
        let read = read_suggestions(include_str!("../../seed/upkeep/intervals.txt")).unwrap();
        assert!(read.len() > 15);
        let known = &Library::embedded().patterns;
        for pattern in read.iter().flat_map(|one| &one.patterns) {
            assert!(known.contains_key(pattern), "{pattern}");
        }
    }

    #[test]
    fn a_card_is_offered_what_its_pattern_or_its_title_says() {
        let item = |title: &str, why: &str| for_card(title, why).map(|one| one.item.as_str());
        assert_eq!(item("Anything", "Old.\nMade from the pattern ‘timing-belt’."), Some("Timing belt"));
        assert_eq!(item("Renew the brake fluid", ""), Some("Brake fluid"));
        assert_eq!(item("Change the engine oil and the filter", ""), Some("Engine oil and filter"));
        assert_eq!(item("Weld the sill", ""), None);
    }
}
