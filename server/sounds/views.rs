//! What the pages of sounds show.

use super::form::{PartForm, SpeedForm, TurnsForm};
use super::listen::Listened;
use super::model::{ClipRow, KeptPart};
use crate::clock::Moment;
use crate::ids::{CarId, TurningPartId};
use crate::sync::hlc::Hlc;
use crate::trade::sound::{
    Change, Clip, Cycle, DriveKind, FORMULAS, Fate, Heard, PartFit, Peak, Rate, Shaft, Shortlist, Sure, changes,
};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words::{self, capital};
use askama::Template;

fn when(hlc: &str) -> String {
    // Only readable clocks are ever stored.
    words::day_and_time(hlc.parse::<Hlc>().map_or(Moment(0), Hlc::moment))
}

pub struct ClipLine {
    href: String,
    caption: String,
    more: String,
}

fn clip_lines(car: CarId, clips: &[ClipRow]) -> Vec<ClipLine> {
    let line = |clip: &ClipRow| ClipLine {
        href: format!("/cars/{car}/sounds/{}", clip.sha256),
        caption: clip.caption.clone(),
        more: format!("{} · {:.0} s", when(&clip.hlc), clip.seconds),
    };
    clips.iter().map(line).collect()
}

pub struct PartLine {
    href: String,
    name: String,
    more: String,
}

/// `from the crankshaft, 2.37 turns to one · poles 28.5 times, once a turn 2.4 times …`
fn part_line(car: CarId, kept: &KeptPart) -> PartLine {
    let more = match kept.written.read() {
        Ok(part) => {
            let lines = part.lines();
            let said: Vec<String> = lines.iter().map(|line| format!("{} {}", line.kind, line.order)).collect();
            format!("in a turn of the {}: {}", part.shaft(), said.join(" · "))
        }
        Err(error) => error.to_string(),
    };
    let name = capital(&kept.written.name);
    PartLine { href: format!("/cars/{car}/sounds/parts/{}", kept.id), name, more }
}

#[derive(Template)]
#[template(path = "sounds/list.html")]
pub struct SoundsPage {
    page: Page,
    car: CarId,
    clips: Vec<ClipLine>,
    parts: Vec<PartLine>,
    caption: String,
    turns: TurnsForm,
    cycles: Vec<Choice>,
    slips: Slips,
}

impl SoundsPage {
    pub fn new(
        page: Page,
        car: CarId,
        clips: &[ClipRow],
        parts: &[KeptPart],
        caption: String,
        turns: TurnsForm,
        slips: Slips,
    ) -> SoundsPage {
        let cycle = |cycle: &Cycle| Choice::new(cycle.name(), capital(cycle.label()), cycle.name() == turns.cycle);
        SoundsPage {
            page,
            car,
            clips: clip_lines(car, clips),
            parts: parts.iter().map(|part| part_line(car, part)).collect(),
            caption,
            cycles: Cycle::ALL.iter().map(cycle).collect(),
            turns,
            slips,
        }
    }
}

/// A mark at an axis of the picture.
pub struct Tick {
    at: f64,
    words: String,
}

/// The picture of a clip's levels with its axes, in units of its drawing.
pub struct Levels {
    src: String,
    alt: String,
    hertz: Vec<Tick>,
    orders: Vec<Tick>,
    seconds: Vec<Tick>,
    order_name: String,
}

/// Drawing units of the picture: see `sounds/levels.html`.
const LEFT: f64 = 70.0;
const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 360.0;
const TOP: f64 = 14.0;
/// No more marks than this on an axis.
const MARKS: f64 = 8.0;

/// Round steps up to `most`, at most eight of them.
fn steps(most: f64) -> Vec<f64> {
    let rough = most / MARKS;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|times| times * power).find(|step| *step >= rough);
    let step = step.unwrap_or(most);
    (0..=(most / step).floor() as usize).map(|times| times as f64 * step).collect()
}

fn plain(number: f64) -> String {
    let decimals = usize::from(number.fract().abs() > 1e-6);
    format!("{number:.decimals$}")
}

impl Levels {
    fn new(car: CarId, row: &ClipRow, clip: &Clip, listened: &Listened, top: f64) -> Levels {
        let up = |part: f64| TOP + HEIGHT * (1.0 - part);
        let tick = |at: f64, number: f64| Tick { at: at.round(), words: plain(number) };
        let counted = listened.counted_in();
        let orders = counted.map_or_else(Vec::new, |(rate, _)| {
            let turn = rate.frequency().hertz();
            steps(top / turn).into_iter().skip(1).map(|order| tick(up(order * turn / top), order)).collect()
        });
        let seconds = steps(clip.seconds());
        Levels {
            src: format!("/cars/{car}/sounds/{}/levels.png?top={top:.0}", row.sha256),
            alt: format!("Levels of ‘{}’ over time, from 0 to {top:.0} Hz; the tones are listed below.", row.caption),
            hertz: steps(top).into_iter().map(|hertz| tick(up(hertz / top), hertz)).collect(),
            orders,
            seconds: seconds.into_iter().map(|second| tick(LEFT + WIDTH * second / clip.seconds(), second)).collect(),
            order_name: counted.map(|(_, name)| format!("turns of the {name}")).unwrap_or_default(),
        }
    }
}

/// A clip to listen to and to look at.
pub struct Side {
    href: String,
    caption: String,
    when: String,
    facts: String,
    speed: String,
    levels: Levels,
}

impl Side {
    /// `top` in hertz.
    pub fn new(car: CarId, row: &ClipRow, clip: &Clip, listened: &Listened, top: f64) -> Side {
        let speed = |(rate, name): (Rate, &str)| format!("{}: {rate}", capital(name));
        Side {
            href: format!("/cars/{car}/sounds/{}", row.sha256),
            caption: row.caption.clone(),
            when: when(&row.hlc),
            facts: format!("{:.1} s, {} samples a second", clip.seconds(), clip.rate()),
            speed: listened.counted_in().map(speed).unwrap_or_default(),
            levels: Levels::new(car, row, clip, listened, top),
        }
    }
}

/// A part and how it fits.
pub struct Fit {
    part: String,
    code: &'static str,
    word: String,
    why: String,
}

impl Fit {
    fn new(fit: &PartFit) -> Fit {
        let code = match fit.sure {
            Sure::Well | Sure::Fits => "watch",
            Sure::May | Sure::CannotTell => "unknown",
            Sure::Not => "skip",
        };
        Fit { part: capital(&fit.part), code, word: capital(fit.sure.label()), why: fit.why.clone() }
    }
}

/// A tone and what it fits.
pub struct ToneRow {
    hertz: String,
    order: String,
    level: String,
    fits: String,
}

fn tone_rows(listened: &Listened, list: &Shortlist) -> Vec<ToneRow> {
    let row = |peak: &Peak| {
        let of =
            |fit: &&PartFit| fit.lines.iter().any(|line| line.heard.iter().any(|(_, known)| known.bin == peak.bin));
        let mut fits: Vec<String> = list.parts.iter().filter(of).map(|fit| fit.part.clone()).collect();
        if list.own.iter().any(|own| own.bin == peak.bin) {
            fits.push("the engine’s firing".into());
        }
        ToneRow {
            hertz: peak.frequency.to_string(),
            order: order(listened, peak),
            level: format!("{:.0} dB", peak.rise),
            fits: if fits.is_empty() { "nothing on the list".into() } else { fits.join(", ") },
        }
    };
    let mut tones: Vec<&Peak> = listened.tones.iter().collect();
    tones.sort_by(|one, other| other.level.total_cmp(&one.level));
    tones.into_iter().map(row).collect()
}

fn order(listened: &Listened, peak: &Peak) -> String {
    let counted = listened.counted_in();
    counted.map_or_else(|| "–".into(), |(rate, _)| peak.frequency.over(rate.frequency()).to_string())
}

#[derive(Template)]
#[template(path = "sounds/clip.html")]
pub struct ClipPage {
    page: Page,
    car: CarId,
    side: Side,
    fits: Vec<Fit>,
    out: Vec<Fit>,
    no_parts: bool,
    tones: Vec<ToneRow>,
    says: Vec<String>,
    formulas: String,
    others: Vec<Choice>,
    form: SpeedForm,
    slips: Slips,
}

impl ClipPage {
    pub fn new(
        page: Page,
        car: CarId,
        (side, listened, list): (Side, &Listened, &Shortlist),
        clips: &[ClipRow],
        (form, slips): (SpeedForm, Slips),
    ) -> ClipPage {
        let (out, fits): (Vec<&PartFit>, Vec<&PartFit>) = list.parts.iter().partition(|fit| fit.sure == Sure::Not);
        let other = |clip: &ClipRow| Choice::new(&clip.sha256, format!("{}, {}", clip.caption, when(&clip.hlc)), false);
        let others = clips.iter().filter(|clip| !side.href.ends_with(&clip.sha256)).map(other).collect();
        ClipPage {
            page,
            car,
            fits: fits.into_iter().map(Fit::new).collect(),
            out: out.into_iter().map(Fit::new).collect(),
            no_parts: list.parts.is_empty(),
            tones: tone_rows(listened, list),
            says: listened.says.clone(),
            formulas: FORMULAS.to_string(),
            others,
            side,
            form,
            slips,
        }
    }
}

pub struct ChangeRow {
    code: &'static str,
    word: String,
    before: String,
    after: String,
}

fn change_row(change: &Change) -> ChangeRow {
    let said = |peak: Option<Peak>| {
        peak.map_or_else(|| "–".into(), |peak| format!("{}, {:.0} dB over the rest", peak.frequency, peak.rise))
    };
    let code = match change.fate {
        Fate::Gone => "done",
        Fate::Weaker | Fate::Same | Fate::Stronger => "note",
        Fate::New => "watch",
    };
    let word = capital(change.fate.label());
    ChangeRow { code, word, before: said(change.before), after: said(change.after) }
}

#[derive(Template)]
#[template(path = "sounds/beside.html")]
pub struct BesidePage {
    page: Page,
    car: CarId,
    sides: [(&'static str, Side); 2],
    by_order: bool,
    changes: Vec<ChangeRow>,
}

impl BesidePage {
    pub fn new(
        page: Page,
        car: CarId,
        (before, first): (Side, &Listened),
        (after, second): (Side, &Listened),
    ) -> BesidePage {
        let heard = |listened: &'_ Listened| listened.counted_in();
        // Only speeds of one and the same shaft can be held beside each other.
        let (one, other) = match (heard(first), heard(second)) {
            (Some((one, shaft)), Some((other, same))) if shaft == same => (Some(one), Some(other)),
            _ => (None, None),
        };
        let found = changes(Heard { peaks: &first.tones, rate: one }, Heard { peaks: &second.tones, rate: other });
        BesidePage {
            page,
            car,
            sides: [("Before", before), ("After", after)],
            by_order: one.is_some(),
            changes: found.iter().map(change_row).collect(),
        }
    }
}

#[derive(Template)]
#[template(path = "sounds/part.html")]
pub struct PartPage {
    page: Page,
    car: CarId,
    part: Option<TurningPartId>,
    called: String,
    form: PartForm,
    slips: Slips,
    differs: Option<Vec<Differs>>,
}

impl PartPage {
    pub fn new(page: Page, car: CarId, kept: Option<&KeptPart>, form: PartForm, slips: Slips) -> PartPage {
        let called = kept.map_or_else(|| "Add a rotating part".into(), |kept| capital(&kept.written.name));
        PartPage { page, car, part: kept.map(|kept| kept.id), called, form, slips, differs: None }
    }

    /// Tells what is there now, as the part was changed while the form was open.
    pub fn collided(page: Page, car: CarId, kept: &KeptPart, typed: PartForm) -> PartPage {
        let differs = Some(typed.differing(kept));
        let form = PartForm { rev: kept.rev, ..typed };
        PartPage { differs, ..PartPage::new(page, car, Some(kept), form, Slips::default()) }
    }

    fn action(&self) -> String {
        let tail = self.part.map(|id| format!("/{id}")).unwrap_or_default();
        format!("/cars/{}/sounds/parts{tail}", self.car)
    }

    fn shafts(&self) -> Vec<Choice> {
        let choice = |shaft: &Shaft| Choice::new(shaft.name(), capital(shaft.label()), shaft.name() == self.form.shaft);
        Shaft::ALL.iter().map(choice).collect()
    }

    fn drives(&self) -> Vec<Choice> {
        let choice =
            |drive: &DriveKind| Choice::new(drive.name(), capital(drive.label()), drive.name() == self.form.drive);
        DriveKind::ALL.iter().map(choice).collect()
    }
}
