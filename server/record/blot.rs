//! Words blotted out of a page: what was chosen to be left out of a record stands in no text of it, whoever typed it where.

/// Stands in the place of what was left out, whatever its length.
pub const BLOT: &str = "▇▇▇";

/// A VIN has 17 characters: digits and capital letters but I, O and Q (ISO 3779:2009, section 4).
const VIN: usize = 17;

/// The page without `words`, whatever their case and blanks, and where `vins` is set without what can only be a VIN.
///
/// Only what a reader sees is touched: text, and the words for pictures. `html` is as our templates write it: every `<` in it
/// begins a tag, and attributes stand in double quotes.
pub fn blot(html: &str, words: &[String], vins: bool) -> String {
    let words: Vec<Vec<char>> =
        words.iter().map(|word| folded(&escaped(word))).filter(|word| !word.is_empty()).collect();
    let mut page = String::with_capacity(html.len());
    let mut rest = html;
    while !rest.is_empty() {
        let (text, tag) = rest.split_at(rest.find('<').unwrap_or(rest.len()));
        page += &from_text(text, &words, vins);
        let (tag, after) = tag.split_at(tag.find('>').map_or(tag.len(), |end| end + 1));
        page += &from_tag(tag, &words, vins);
        rest = after;
    }
    page
}

/// The words for a picture are the only ones of a tag that are read out.
fn from_tag(tag: &str, words: &[Vec<char>], vins: bool) -> String {
    const ALT: &str = " alt=\"";
    let Some(begin) = tag.find(ALT).map(|at| at + ALT.len()) else { return tag.to_owned() };
    let end = tag[begin..].find('"').map_or(tag.len(), |length| begin + length);
    format!("{}{}{}", &tag[..begin], from_text(&tag[begin..end], words, vins), &tag[end..])
}

fn from_text(text: &str, words: &[Vec<char>], vins: bool) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut kept = String::with_capacity(text.len());
    let mut at = 0;
    while at < letters.len() {
        let found = words.iter().filter_map(|word| length_of(word, &letters[at..])).max();
        let vin = || vins && is_vin_at(&letters, at);
        match found.or_else(|| vin().then_some(VIN)) {
            Some(length) => {
                kept += BLOT;
                at += length;
            }
            None => {
                let length = length_of_character(&letters[at..]);
                kept.extend(&letters[at..at + length]);
                at += length;
            }
        }
    }
    kept
}

/// How many letters write the next character: one, or as many as its number takes (`&#38;`), inside which no word begins.
fn length_of_character(text: &[char]) -> usize {
    let numbered = text.starts_with(&['&', '#']);
    text.iter().position(|letter| numbered && *letter == ';').map_or(1, |end| end + 1)
}

/// How many letters at the beginning of `text` are `word`; `None` where it does not begin so. A blank of the word stands
/// for any run of blanks.
fn length_of(word: &[char], text: &[char]) -> Option<usize> {
    let mut at = 0;
    let mut wanted = word.iter().peekable();
    while let Some(letter) = wanted.next() {
        if *letter == ' ' {
            let blanks = text[at..].iter().take_while(|letter| letter.is_whitespace()).count();
            if blanks == 0 {
                return None;
            }
            at += blanks;
            continue;
        }
        let mut lower = text.get(at)?.to_lowercase();
        if lower.next() != Some(*letter) {
            return None;
        }
        // A capital that becomes two letters: both have to be wanted.
        for more in lower {
            if wanted.next() != Some(&more) {
                return None;
            }
        }
        at += 1;
    }
    Some(at)
}

fn is_vin_at(letters: &[char], at: usize) -> bool {
    let is_part = |letter: &char| letter.is_ascii_alphanumeric();
    let Some(vin) = letters.get(at..at + VIN) else { return false };
    let alone = !at.checked_sub(1).is_some_and(|before| is_part(&letters[before]))
        && !letters.get(at + VIN).is_some_and(is_part);
    let spelt = vin.iter().all(|letter| is_part(letter) && !matches!(letter.to_ascii_uppercase(), 'I' | 'O' | 'Q'));
    alone && spelt && vin.iter().any(char::is_ascii_digit) && vin.iter().any(char::is_ascii_alphabetic)
}

/// As templates write text: the five characters that mean something in HTML, by number.
fn escaped(word: &str) -> String {
    word.chars()
        .map(|letter| match letter {
            '&' | '<' | '>' | '"' | '\'' => format!("&#{};", u32::from(letter)),
            letter => letter.to_string(),
        })
        .collect()
}

fn folded(word: &str) -> Vec<char> {
    word.split_whitespace().collect::<Vec<_>>().join(" ").chars().flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn without(html: &str, words: &[&str]) -> String {
        blot(html, &words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>(), false)
    }

    #[test]
    fn a_word_goes_wherever_it_is_read_and_the_page_stays_whole() {
        let page =
            r#"<p class="anna">Anna and ANNA’s brake; h<i>annah</i></p><img src="/photos/anna" alt="Anna at work">"#;
        let blotted =
            r#"<p class="anna">▇▇▇ and ▇▇▇’s brake; h<i>▇▇▇h</i></p><img src="/photos/anna" alt="▇▇▇ at work">"#;
        assert_eq!(without(page, &["anna"]), blotted);
        assert_eq!(without(page, &[]), page);
    }

    #[test]
    fn blanks_marks_and_letters_that_grow_are_the_same_word() {
        assert_eq!(without("<p>Old \n Barn, Old Barns</p>", &["old barn"]), "<p>▇▇▇, ▇▇▇s</p>");
        assert_eq!(without("<p>Smith &#38; Söhne</p>", &["SMITH & SÖHNE"]), "<p>▇▇▇</p>");
        assert_eq!(without("<p>İzmir</p>", &["i\u{307}zmir"]), "<p>▇▇▇</p>");
        assert_eq!(without("<p>Old</p>", &["old barn"]), "<p>Old</p>");
        assert_eq!(without("<p>38 &#38; 38</p>", &["38"]), "<p>▇▇▇ &#38; ▇▇▇</p>");
    }

    #[test]
    fn the_longest_word_is_blotted_as_one() {
        assert_eq!(without("<p>Annabel</p>", &["anna", "annabel"]), "<p>▇▇▇</p>");
    }

    /// 1M8GDM9AXKP042788 is the example of 49 CFR 565.15(c); it names no car of anybody.
    #[test]
    fn a_vin_is_known_by_its_form() {
        let vin = |text: &str| blot(text, &[], true);
        assert_eq!(vin("<p>VIN 1M8GDM9AXKP042788.</p>"), "<p>VIN ▇▇▇.</p>");
        assert_eq!(vin("<p>vin 1m8gdm9axkp042788</p>"), "<p>vin ▇▇▇</p>");
        for other in
            ["1M8GDM9AXKP0427889", "1M8GDM9AXKP04278", "OM8GDM9AXKP042788", "12345678901234567", "abcdefghjklmnprst"]
        {
            assert_eq!(vin(other), other);
        }
    }

    proptest! {
        /// Read as a plain scan reads it: no letter of any case of the word is left in the text.
        #[test]
        fn whatever_is_typed_nothing_of_it_is_left(text in "[a-eA-E<&\" ]{0,40}", word in "[a-eA-E]{2,3}") {
            let page = format!("<p>{}</p>", escaped(&text));
            let left = without(&page, &[&word]);
            prop_assert!(!left.to_lowercase().contains(&word.to_lowercase()), "{left}");
        }
    }
}
