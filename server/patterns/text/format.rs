//! A pattern's text as TOML has it: every field may be wrong in ways that only `read` knows of.

use serde::Deserialize;
use toml::Spanned;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct File {
    pub title: Spanned<String>,
    pub system: Spanned<String>,
    pub about: Spanned<String>,
    pub minutes: Spanned<[i64; 3]>,
    #[serde(default)]
    pub helper: bool,
    #[serde(default)]
    pub choice: Vec<ChoiceText>,
    #[serde(default)]
    pub spec: Vec<SpecText>,
    #[serde(default)]
    pub part: Vec<PartText>,
    #[serde(default)]
    pub step: Vec<StepText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ChoiceText {
    pub name: Spanned<String>,
    pub options: Spanned<Vec<String>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SpecText {
    pub key: Spanned<String>,
    pub item: Spanned<String>,
    #[serde(default = "nothing")]
    pub place: Spanned<String>,
    pub kind: Spanned<String>,
    pub find: Spanned<Vec<String>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartText {
    pub key: Spanned<String>,
    pub name: Spanned<String>,
    #[serde(default = "one")]
    pub quantity: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StepText {
    #[serde(rename = "do")]
    pub deed: Spanned<String>,
    pub words: Spanned<String>,
    #[serde(default = "nothing")]
    pub detail: Spanned<String>,
    #[serde(default)]
    pub specs: Vec<Spanned<String>>,
    #[serde(default)]
    pub parts: Vec<Spanned<String>>,
    #[serde(default)]
    pub tools: Vec<Spanned<String>>,
    #[serde(default)]
    pub cautions: Vec<Spanned<String>>,
    #[serde(default)]
    pub marks: Vec<Spanned<String>>,
    #[serde(default)]
    pub is: Option<Spanned<String>>,
    #[serde(default = "nothing")]
    pub filler: Spanned<String>,
    #[serde(default = "nothing")]
    pub set: Spanned<String>,
    #[serde(default)]
    pub ask: Option<AskText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AskText {
    pub what: Spanned<String>,
    pub kind: Spanned<String>,
}

fn nothing() -> Spanned<String> {
    Spanned::new(0..0, String::new())
}

fn one() -> String {
    "1".into()
}
