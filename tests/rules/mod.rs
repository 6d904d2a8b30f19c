//! What must hold of the whole, read off the source itself.

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &str, endings: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    collect(&root().join(folder), endings, &mut found);
    assert!(!found.is_empty(), "{folder} holds no {endings:?}");
    found
}

fn collect(folder: &Path, endings: &[&str], found: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(&path, endings, found);
        } else if endings.iter().any(|ending| path.to_string_lossy().ends_with(ending)) {
            let name = path.strip_prefix(root()).unwrap().to_string_lossy().into_owned();
            found.push((name, std::fs::read_to_string(&path).unwrap()));
        }
    }
}

/// Lines of code, without comments.
fn code(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.trim_start().starts_with("//"))
}

#[test]
fn sql_stands_in_stores_and_nowhere_else() {
    for (name, text) in files("server", &[".rs"]) {
        if name.ends_with("store.rs") || name == "server/db.rs" {
            continue;
        }
        assert!(!code(&text).any(|line| line.contains("sqlx::query")), "{name} speaks SQL");
    }
}

#[test]
fn what_a_mechanic_knows_does_no_io_and_reads_no_clock() {
    for (name, text) in files("server/trade", &[".rs"]) {
        for banned in ["sqlx", "axum", "tokio", "std::fs", "std::net", "SystemTime", "Timestamp::now", "async fn"] {
            assert!(!code(&text).any(|line| line.contains(banned)), "{name} uses {banned}");
        }
    }
}

#[test]
fn only_the_clock_reads_the_time() {
    for (name, text) in files("server", &[".rs"]) {
        if name == "server/clock.rs" {
            continue;
        }
        for banned in ["Timestamp::now", "SystemTime::now", "ZonedDateTime::now"] {
            assert!(!code(&text).any(|line| line.contains(banned)), "{name} reads the time itself");
        }
    }
}

#[test]
fn routes_are_added_through_the_table_only() {
    for (name, text) in files("server", &[".rs"]) {
        // The plain guide page is a program of its own, without any data behind it.
        if name == "server/access/table.rs" || name == "server/tls/plain.rs" {
            continue;
        }
        assert!(!code(&text).any(|line| line.contains(".route(")), "{name} adds a route past the table");
    }
}

#[test]
fn no_page_runs_or_loads_anything_from_elsewhere() {
    for (name, text) in files("templates", &[".html"]) {
        for banned in
            ["<style", " style=\"", " onclick", " onload", " onsubmit", "javascript:", "src=\"http", "href=\"http"]
        {
            assert!(!text.contains(banned), "{name} holds {banned}");
        }
        for script in text.split("<script").skip(1) {
            let inert = script.starts_with(" type=\"application/json\"");
            assert!(inert || script.contains("src="), "{name} holds an inline script");
        }
    }
    for (name, text) in files("static", &[".js", ".css"]) {
        if name.contains("/vendor/") {
            continue;
        }
        for banned in ["eval(", "new Function", "innerHTML", "@import", "url(http"] {
            assert!(!text.contains(banned), "{name} holds {banned}");
        }
    }
}

#[test]
fn every_problem_code_is_in_the_contributor_guide() {
    let guide = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    for (name, text) in files("server", &["error.rs", "judge.rs", "photos/routes.rs"]) {
        for code in text.split('"').skip(1).step_by(2) {
            let kebab = code.contains('-') && code.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
            let is_code = kebab && !code.starts_with("upload-") && !matches!(code, "kebab-case" | "no-store");
            assert!(!is_code || guide.contains(code), "{name}: ‘{code}’ is not in DEVELOPERS.md");
        }
    }
}

#[test]
fn every_command_in_the_guides_is_one_that_the_program_knows() {
    use clap::CommandFactory;
    let known = underlamp::config::Cli::command();
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = std::fs::read_to_string(root().join(guide)).unwrap();
        for mention in text.split("`underlamp ").skip(1).chain(text.split("cargo run --release -- ").skip(1)) {
            let word: String = mention.chars().take_while(|c| c.is_ascii_lowercase()).collect();
            let found = known.get_subcommands().any(|command| command.get_name() == word);
            assert!(found, "{guide} mentions ‘underlamp {word}’");
        }
    }
}
