use super::*;

const SMALL: &str = "check: small\ntitle: A small check\nintro: Cold engine.\n\n\
    question: wet\nask: Is it wet?\nlook: With a lamp.\nyes: leak\nno: dry\ncannot-tell: dry\n\n\
    end: leak\nsay: It leaks.\nwhere: engine\nweight: act\nnext: Wipe it and look again.\n\n\
    end: dry\nsay: Dry.\nwhere: engine\nweight: fine\nnext: Nothing.\n";

fn troubles(text: &str) -> Vec<(usize, String)> {
    read_check(text).unwrap_err().into_iter().map(|trouble| (trouble.line, trouble.say)).collect()
}

#[test]
fn a_walk_follows_the_answers_to_an_end_and_no_further() {
    let check = read_check(SMALL).unwrap();
    let Some(Next::Question(first)) = check.walk(&[]) else { panic!("it begins with a question") };
    assert_eq!(first.key, "wet");
    let Some(Next::End(end)) = check.walk(&[Reply::Yes]) else { panic!("yes ends it") };
    assert_eq!(end.say, "It leaks.");
    assert_eq!(check.walk(&[Reply::Yes, Reply::No]), None);
}

#[test]
fn what_is_wrong_is_told_with_its_line() {
    for (from, to, line, word) in [
        ("yes: leak", "yes: lake", 5, "leads nowhere"),
        ("no: dry\n", "no: wet\n", 5, "leads back"),
        ("cannot-tell: dry\n", "", 5, "‘cannot-tell:’ is missing"),
        ("weight: act", "weight: heavy", 12, "is no weight"),
        ("next: Nothing.\n", "", 18, "Nothing follows"),
        ("look: With a lamp.", "look:", 7, "nothing behind it"),
        ("look: With a lamp.", "look: A lamp.\ncaution: tigers", 8, "known caution"),
        ("look: With a lamp.", "look: A lamp.\nsay: Hm.", 8, "does not belong to a question"),
        ("look: With a lamp.", "look: A lamp.\nhelper: perhaps", 8, "is yes or no"),
        ("end: dry", "end: leak", 18, "is there twice"),
        ("intro: Cold engine.", "Cold engine.", 3, "‘name: value’"),
    ] {
        let found = troubles(&SMALL.replace(from, to));
        assert!(found.iter().any(|(at, say)| *at == line && say.contains(word)), "{to}: {found:?}");
    }
    assert_eq!(troubles("").len(), 4, "its name, title and intro are missing, and no name is one");
    assert!(troubles(&SMALL.replace("end: dry", "end: other")).iter().any(|(_, say)| say.contains("leads nowhere")));
    let lost = format!("{SMALL}\nend: lost\nsay: Lost.\nwhere: engine\nweight: fine\nnext: Nothing.\n");
    assert_eq!(troubles(&lost), [(24, "No answer leads to ‘lost’.".to_owned())]);
}
