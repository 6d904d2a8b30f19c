//! What the pages of the record show.

use super::choice::{Choice, LeaveOut, Paper};
use super::contents::Contents;
use super::sheet::{Links, is_blotted};
use crate::cars::store::Car;
use crate::cars::views::kind;
use crate::web::form;
use crate::web::page::{Page, Place};
use crate::web::words::capital;
use askama::Template;

/// What is to be left out is chosen first.
#[derive(Template)]
#[template(path = "record/choose.html")]
pub struct ChoosePage {
    page: Page,
    /// The address under which everything about the record stands.
    base: String,
    car: String,
    leave: Vec<form::Choice>,
    papers: Vec<form::Choice>,
    words: String,
    /// A browser that makes PDFs was found.
    makes_pdf: bool,
    /// Why there is no PDF, where one was asked for; empty where none was.
    no_pdf: &'static str,
}

impl ChoosePage {
    pub fn new(page: Page, car: &Car, choice: &Choice, makes_pdf: bool, no_pdf: &'static str) -> ChoosePage {
        let leave = |what: &LeaveOut| form::Choice::new(what.name(), capital(what.label()), choice.leaves_out(*what));
        let paper = |paper: &Paper| form::Choice::new(paper.name(), paper.label(), *paper == choice.paper);
        ChoosePage {
            page: page.at_desk(car.id, &car.name, Place::Logbook),
            base: format!("/cars/{}/record", car.id),
            car: car.id.to_string(),
            leave: LeaveOut::ALL.iter().map(leave).collect(),
            papers: Paper::ALL.iter().map(paper).collect(),
            words: choice.words.join("\n"),
            makes_pdf,
            no_pdf,
        }
    }
}

/// The record as one long page.
#[derive(Template)]
#[template(path = "record/sheet.html")]
pub struct SheetPage<'a> {
    scheme: &'static str,
    links: Links,
    contents: &'a Contents,
    kind: String,
    left_out: String,
    /// Where the choice is; empty on paper.
    back: String,
}

impl<'a> SheetPage<'a> {
    /// At the garage, to be printed from the browser that shows it.
    pub fn served(scheme: &'static str, contents: &'a Contents, choice: &Choice) -> SheetPage<'a> {
        let base = format!("/cars/{}/record", contents.car.id);
        let query = choice.query();
        let head = if is_blotted(&contents.car, choice) { "&head=plain" } else { "" };
        let links = Links::Served { page_style: format!("{base}/page.css?{query}{head}") };
        SheetPage { back: format!("{base}?{query}"), ..SheetPage::new(scheme, links, contents, choice) }
    }

    /// In a folder, to be printed by a browser that reaches nothing else.
    pub fn in_folder(contents: &'a Contents, choice: &Choice) -> SheetPage<'a> {
        SheetPage::new("day", Links::Files, contents, choice)
    }

    fn new(scheme: &'static str, links: Links, contents: &'a Contents, choice: &Choice) -> SheetPage<'a> {
        SheetPage { scheme, links, kind: kind(&contents.car), left_out: choice.said(), back: String::new(), contents }
    }
}
