//! The index against a plain scan that knows nothing of it.
//!
//! Which letters are the same without their marks stands in the Unicode Character Database (UnicodeData.txt, field 5, the
//! canonical decomposition); `BARE` has those that are drawn from here.

use super::*;
use crate::ids::OpId;
use proptest::prelude::*;
use std::collections::HashSet;

const BARE: [(char, char); 10] = [
    ('ö', 'o'),
    ('Ö', 'o'),
    ('é', 'e'),
    ('É', 'e'),
    ('ü', 'u'),
    ('Å', 'a'),
    ('å', 'a'),
    ('ñ', 'n'),
    ('č', 'c'),
    ('ž', 'z'),
];

fn line(what: &str, more: &[&str], card: &str) -> Line {
    Line {
        op: OpId::new(),
        what: what.into(),
        more: more.iter().map(|part| (*part).to_owned()).collect(),
        since: String::new(),
        weight: String::new(),
        card: card.into(),
    }
}

async fn found(lines: &[Line], typed: &str) -> HashSet<OpId> {
    Index::of(lines).await.unwrap().find(&Sought::of(typed)).await.unwrap().into_keys().collect()
}

/// The words of a text: runs of letters and digits, bare of case and marks.
fn tokens(text: &str) -> Vec<String> {
    let bare = |letter: char| BARE.iter().find(|(marked, _)| *marked == letter).map_or(letter, |(_, bare)| *bare);
    text.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| word.chars().map(bare).collect::<String>().to_lowercase())
        .collect()
}

/// Whether a run of words stands in a text, the last of them perhaps only begun.
fn stands_in(run: &[String], text: &str) -> bool {
    let Some((last, before)) = run.split_last() else { return false };
    tokens(text)
        .windows(run.len())
        .any(|words| words[..before.len()] == *before && words[before.len()].starts_with(last.as_str()))
}

/// Every word that was typed stands somewhere in the line, part by part.
fn scan(lines: &[Line], typed: &str) -> HashSet<OpId> {
    let runs: Vec<Vec<String>> = typed.split_whitespace().map(tokens).filter(|run| !run.is_empty()).collect();
    let holds = |line: &Line, run: &Vec<String>| {
        let more = line.more.join("\n");
        [&line.what, &more, &line.since, &line.weight, &line.card].iter().any(|part| stands_in(run, part))
    };
    let is_found = |line: &&Line| !runs.is_empty() && runs.iter().all(|run| holds(line, run));
    lines.iter().filter(is_found).map(|line| line.op).collect()
}

fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("Öl".to_owned()),
        Just("oil".to_owned()),
        Just("75W-90".to_owned()),
        Just("75W".to_owned()),
        Just("Kühler".to_owned()),
        Just("coöler's".to_owned()),
        Just("1.1".to_owned()),
        Just("“brake”".to_owned()),
        Just("\"brake\"".to_owned()),
        Just("NEAR(a".to_owned()),
        Just("AND".to_owned()),
        Just("what:".to_owned()),
        Just("🔧".to_owned()),
        Just("*".to_owned()),
        "[a-cÅöé]{1,3}",
    ]
}

fn text(most: usize) -> impl Strategy<Value = String> {
    prop::collection::vec(word(), 0..most).prop_map(|words| words.join(" "))
}

fn lines() -> impl Strategy<Value = Vec<Line>> {
    let one = (text(6), text(3), text(2), text(3));
    prop::collection::vec(one, 0..12)
        .prop_map(|all| all.iter().map(|(what, first, second, card)| line(what, &[first, second], card)).collect())
}

fn wait<T>(future: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().build().unwrap().block_on(future)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_index_finds_what_a_plain_scan_finds(
        lines in lines(),
        asked in prop::collection::vec((text(3), 1_usize..9), 1..6),
    ) {
        for (typed, letters) in asked {
            let begun: String = typed.chars().take(letters).collect();
            for typed in [typed, begun] {
                prop_assert_eq!(wait(found(&lines, &typed)), scan(&lines, &typed), "{}", typed);
            }
        }
    }

    #[test]
    fn nothing_that_is_typed_is_an_error(typed in "\\PC{0,60}|[\"*():^{}+ \u{0}-\u{1f}A-Z-]{0,60}") {
        wait(found(&[line("Öl", &["phone"], "")], &typed));
    }
}

#[tokio::test]
async fn words_that_mean_something_to_the_index_are_words_here() {
    let lines = [line("A NEAR thing: what AND not", &["phone"], "Brakes"), line("other", &["desk"], "")];
    let cases = [
        ("near", 1),
        ("NEAR(thing)", 1),
        ("and", 1),
        ("NOT", 1),
        ("what:", 1),
        ("what : other", 0),
        ("-other", 1),
        ("^A", 1),
        ("\"", 0),
        ("\"near", 1),
        ("oth*", 1),
        ("*", 0),
        ("()", 0),
        ("a OR b", 0),
        ("🔧", 0),
        ("\u{0}near", 1),
        ("", 0),
    ];
    for (typed, expected) in cases {
        assert_eq!(found(&lines, typed).await.len(), expected, "{typed:?}");
    }
    assert_eq!(found(&lines, &"near ".repeat(800)).await.len(), 1);
    let many: Vec<String> = (0..1000).map(|n| format!("w{n}")).collect();
    assert!(Sought::of(&many.join(" ")).cut);
    assert_eq!(found(&lines, &many.join(" ")).await.len(), 0);
    assert_eq!(found(&lines, &"x".repeat(4000)).await.len(), 0);
}

#[tokio::test]
async fn hits_are_marked_where_they_stand_and_nothing_of_the_line_is_lost() {
    let lines = [line("Öl abgelassen\nand filled", &["1.1 l", "phone"], "Oil, rear axle")];
    let index = Index::of(&lines).await.unwrap();
    let found = index.find(&Sought::of("ol pho axle")).await.unwrap();
    let hit = &found[&lines[0].op];
    let marked =
        |pieces: &[Piece]| pieces.iter().filter(|piece| piece.hit).map(|piece| piece.text.clone()).collect::<Vec<_>>();
    let whole = |pieces: &[Piece]| pieces.iter().map(|piece| piece.text.as_str()).collect::<String>();
    assert_eq!((marked(&hit.what), whole(&hit.what)), (vec!["Öl".to_owned()], "Öl abgelassen\nand filled".to_owned()));
    assert_eq!(hit.more.iter().map(|part| whole(part)).collect::<Vec<_>>(), ["1.1 l", "phone"]);
    assert_eq!(marked(&hit.more[1]), ["phone"]);
    assert_eq!(marked(&hit.card), ["axle"]);
}

#[test]
fn what_was_looked_for_is_said_as_it_was_taken() {
    assert_eq!(Sought::of("oil").said(), "“oil”");
    assert_eq!(Sought::of(" Oil  filt ✓ OIL ").said(), "“oil” and “filt”");
    assert_eq!(Sought::of("a b c").said(), "“a”, “b” and “c”");
    assert_eq!(Sought::of("✓ --").said(), "");
}
