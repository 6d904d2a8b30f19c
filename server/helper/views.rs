//! What the templates of the helper's pages show.

use super::job::Job;
use super::store::Link;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::under::figures::SpecView;
use crate::under::step::StepView;
use crate::web::form::Slips;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;
use serde::Deserialize;
use sha2::{Digest, Sha256};

/// The part of a helper's page that changes while somebody works.
#[derive(Template)]
#[template(path = "helper/job.html")]
pub struct JobView {
    title: String,
    pub steps: Vec<StepView>,
    /// Place of the step at hand; none when all are settled.
    now: Option<usize>,
}

impl JobView {
    pub fn of(job: &Job) -> Result<JobView, AppError> {
        let steps = job.steps()?;
        let now = steps.iter().position(|step| step.state == "now");
        Ok(JobView { title: job.title()?.to_owned(), steps, now })
    }

    pub fn drawn(&self) -> Result<Drawn, AppError> {
        let html = self.render()?;
        let tag = hex::encode(&Sha256::digest(html.as_bytes())[..8]);
        Ok(Drawn { html, tag })
    }

    fn settled(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step.state, "done" | "skip")).count()
    }
}

/// The part that changes, drawn, and 16 hex digits that change whenever it does.
pub struct Drawn {
    pub html: String,
    pub tag: String,
}

#[derive(Template)]
#[template(path = "helper/watch.html")]
pub struct WatchPage {
    pub page: Page,
    pub job: Drawn,
    pub may_ring: bool,
    /// What was called just now, in words; empty when nothing was.
    pub called: String,
}

/// One step in words for reading aloud.
#[derive(Template)]
#[template(path = "helper/aloud.html")]
pub struct AloudPage {
    pub page: Page,
    pub tag: String,
    pub step: StepAloud,
    pub back: Option<usize>,
    pub on: Option<usize>,
    /// A step was chosen: the page stays there whatever is ticked.
    pub chosen: bool,
}

pub struct StepAloud {
    pub n: usize,
    pub of: usize,
    pub verb: &'static str,
    pub words: String,
    pub detail: String,
    pub cautions: Vec<String>,
    pub figures: Vec<FigureAloud>,
    pub tools: Vec<String>,
    pub state: String,
}

pub struct FigureAloud {
    pub item: String,
    /// As it is said, and who says so; every source's where they disagree.
    pub said: Vec<(String, &'static str)>,
    pub stages: Vec<String>,
    pub open: bool,
}

impl StepAloud {
    pub fn of(step: &StepView, of: usize) -> StepAloud {
        let caution = |harm: &str, avoid: &str| format!("{harm} {avoid}").trim().to_owned();
        StepAloud {
            n: step.n,
            of,
            verb: step.verb,
            words: step.words.clone(),
            detail: step.detail.clone(),
            cautions: step.cautions.iter().map(|one| caution(&one.harm, one.avoid)).collect(),
            figures: step.specs.iter().map(figure_aloud).collect(),
            tools: step.tools.iter().map(|tool| tool.words.clone()).collect(),
            state: step.state_word().to_owned(),
        }
    }
}

fn figure_aloud(spec: &SpecView) -> FigureAloud {
    FigureAloud { item: spec.item.clone(), said: spec.said_by_each(), stages: spec.stages_said(), open: spec.open }
}

/// Where a link is handed in that did not open by itself.
#[derive(Template)]
#[template(path = "helper/enter.html")]
pub struct EnterPage {
    pub page: Page,
    pub error: String,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkForm {
    pub label: String,
    pub ends_on: String,
    #[serde(default)]
    pub may_ring: String,
}

pub struct ShownLink {
    pub id: String,
    pub label: String,
    pub holds: bool,
    /// How it stands, in words.
    pub stands: String,
    pub rings: bool,
    pub watching: bool,
}

impl ShownLink {
    pub fn of(link: &Link, watching: &[String], now: Moment) -> ShownLink {
        let holds = link.holds(now);
        let until = words::day(link.ends_at);
        let stands = match (link.taken_back_at, holds) {
            (Some(at), _) => format!("taken back {}", words::day_and_time(at)),
            (None, true) => format!("until the end of {until}"),
            (None, false) => format!("ended with {until}"),
        };
        ShownLink {
            id: link.id.to_string(),
            label: link.label.clone(),
            holds,
            stands,
            rings: link.may_ring,
            watching: holds && watching.contains(&link.label),
        }
    }
}

/// A link just made: shown once, as only its hash is kept.
pub struct Made {
    pub label: String,
    pub address: String,
    pub qr: String,
}

#[derive(Template)]
#[template(path = "helper/links.html")]
pub struct LinksPage {
    pub page: Page,
    pub car: CarId,
    /// Address of the card.
    pub base: String,
    pub title: String,
    pub links: Vec<ShownLink>,
    pub form: LinkForm,
    pub slips: Slips,
    pub made: Option<Made>,
    pub only_here: bool,
}
