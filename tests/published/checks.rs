//! The seeded check trees: each is read, and names what is there. Their order is common practice, no source.

use std::path::Path;
use underlamp::trade::checks::read_check;

/// The trees of the program: each is read, asks a workshop somewhere, and names patterns that are there.
#[test]
fn every_tree_of_the_program_holds() {
    let seed = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed");
    let mut count = 0;
    for entry in std::fs::read_dir(seed.join("checks")).unwrap().map(|entry| entry.unwrap().path()) {
        if entry.extension().is_none_or(|ending| ending != "txt") {
            continue;
        }
        let text = std::fs::read_to_string(&entry).unwrap();
        let check = read_check(&text).unwrap_or_else(|troubles| panic!("{}: {troubles:#?}", entry.display()));
        assert_eq!(entry.file_stem().unwrap().to_str(), Some(check.key()));
        let known = |name: &str| seed.join(format!("patterns/{name}.toml")).exists();
        assert_eq!(check.lost_patterns(known).collect::<Vec<_>>(), [], "{}", check.key());
        assert!(check.ends().iter().any(|end| !end.workshop.is_empty()), "{}: never asks a workshop", check.key());
        assert!(check.questions().len() >= 3, "{}", check.key());
        count += 1;
    }
    assert!(count >= 8, "{count}");
}
