//! Whether the name of a thing on the car is one or many, so that 'front wheels are off' is not said of one wheel.
//!
//! Names are typed by people, so this is a habit of English and no dictionary: it decides a verb, never a safety matter.

/// Words that end the head of a name: what follows says where the thing is or what it is for.
const AFTER_THE_HEAD: [&str; 19] = [
    "of", "on", "in", "for", "at", "to", "under", "over", "from", "with", "by", "behind", "between", "near", "above",
    "below", "inside", "through", "without",
];

/// Endings in `s` that are no plural: 'glass', 'chassis', 'apparatus'.
const SINGULAR_ENDINGS: [&str; 3] = ["ss", "is", "us"];

/// Words of the trade that end in `s` and are one thing, whatever their ending.
const SINGULAR_WORDS: [&str; 4] = ["lens", "gas", "bias", "series"];

/// Whether `name` is said of several things: its head noun is a plural, or two heads are joined.
pub fn is_plural(name: &str) -> bool {
    let name = name.split([',', ';', ':', '(']).next().unwrap_or(name).to_lowercase();
    let head: Vec<&str> = name.split_whitespace().take_while(|word| !AFTER_THE_HEAD.contains(word)).collect();
    let joined = head.iter().any(|word| matches!(*word, "and" | "&" | "+"));
    joined || head.last().is_some_and(|noun| is_plural_noun(noun))
}

/// Short forms as 'o/s' and 'abs' are no plurals; a plural of the trade has four letters at least ('pins', 'cups').
fn is_plural_noun(noun: &str) -> bool {
    noun.ends_with('s')
        && noun.len() > 3
        && !noun.contains('/')
        && !noun.ends_with("'s")
        && !SINGULAR_WORDS.contains(&noun)
        && !SINGULAR_ENDINGS.iter().any(|ending| noun.ends_with(ending))
}

/// `words` said of `name`, the verb in number with it. `words` begin with 'is' or 'has', as said of one thing.
pub fn said_of(name: &str, words: &str) -> String {
    if !is_plural(name) {
        return format!("{name} {words}");
    }
    let words = match words.split_once(' ') {
        Some(("is", rest)) => format!("are {rest}"),
        Some(("has", rest)) => format!("have {rest}"),
        Some(_) | None => words.to_owned(),
    };
    let words = words.strip_suffix(" it").map_or_else(|| words.clone(), |rest| format!("{rest} them"));
    format!("{name} {words}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// English as it is spoken in the workshop: common practice, no source.
    const SAID: [(&str, &str, &str); 27] = [
        ("front wheels", "is off", "front wheels are off"),
        ("front wheel", "is off", "front wheel is off"),
        ("brake bleed screws", "is open", "brake bleed screws are open"),
        ("caps on the brake pipes", "is still inside", "caps on the brake pipes are still inside"),
        ("cap on the brake pipes", "is still inside", "cap on the brake pipes is still inside"),
        ("plug in the tank pipes", "is still inside", "plug in the tank pipes is still inside"),
        ("rag for the valve covers", "is still inside", "rag for the valve covers is still inside"),
        ("set of spanners", "is still inside", "set of spanners is still inside"),
        ("jack under the rear axle", "is holding something up", "jack under the rear axle is holding something up"),
        ("fuel hoses at the engine", "is parted", "fuel hoses at the engine are parted"),
        ("brakes", "has been opened: air in it", "brakes have been opened: air in them"),
        ("brake fluid", "has been opened: air in it", "brake fluid has been opened: air in it"),
        ("fuel hoses and filter", "is off", "fuel hoses and filter are off"),
        ("radiator and block", "is drained", "radiator and block are drained"),
        ("universal joint crosses", "is off", "universal joint crosses are off"),
        ("Wheel Nuts", "is only nipped up", "Wheel Nuts are only nipped up"),
        ("hinge pins, left door", "is off", "hinge pins, left door are off"),
        ("bolts (four)", "is loose", "bolts (four) are loose"),
        ("door glass", "is off", "door glass is off"),
        ("oil pump boss", "is off", "oil pump boss is off"),
        ("chassis", "is on stands", "chassis is on stands"),
        ("headlamp lens", "is off", "headlamp lens is off"),
        ("wiring to the ABS", "is parted", "wiring to the ABS is parted"),
        ("ABS", "is off", "ABS is off"),
        ("caliper o/s", "is hanging", "caliper o/s is hanging"),
        ("radiator drain tap", "is open", "radiator drain tap is open"),
        ("", "is off", " is off"),
    ];

    #[test]
    fn the_verb_agrees_with_the_thing_it_is_said_of() {
        for (name, words, expected) in SAID {
            assert_eq!(said_of(name, words), expected);
        }
    }

    #[test]
    fn words_with_another_verb_are_left_alone() {
        assert_eq!(said_of("wheels", "need a look"), "wheels need a look");
        assert_eq!(said_of("wheels", ""), "wheels ");
    }
}
