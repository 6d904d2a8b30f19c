//! The evenings one below the other: each a bar as long as its minutes, with what is opened, worked and closed in it, and a
//! band for each access over all the work that shares it. What stays open for a night runs on as a rail beside the evenings.
//!
//! Lengths along a bar are shares of the longest evening, as per cent: the drawing is as wide as its page.

use super::made::Known;
use super::words;
use crate::trade::limits::Day;
use crate::trade::plan::{AccessId, Act, Evening, JobId, Minutes, Plan, PlannedEvening};
use crate::web::words::{capital, count};

/// Pixels of the drawing, from the top: the clock, the bar, then the bands.
const CLOCK: u32 = 20;
const BAR: u32 = 40;
const BAND: u32 = 24;
/// More bands than this at once are drawn over each other; all are listed in words.
const MOST_LANES: u32 = 8;

/// An evening on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Night {
    /// Its name in the page's address, behind `#`.
    pub anchor: String,
    /// `Thursday 26 November`
    pub day: String,
    /// `19:00`
    pub starts: String,
    /// `2 h 30 min, with the helper`
    pub facts: String,
    /// `2 h 10 min planned, 20 min to spare`; empty where nothing is planned.
    pub fill: String,
    pub note: String,
    pub bar: Bar,
    pub rails: Vec<Rail>,
    pub deeds: Vec<Deed>,
    /// How the car sleeps, in a sentence; empty where nothing was done.
    pub sleeps: String,
    pub apart: bool,
    /// What is worked, in one line.
    pub line: String,
}

/// The drawing of an evening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// Lanes of bands under the bar, as far as the style sheet knows them.
    pub lanes: u32,
    /// The evening's own length.
    pub room: String,
    pub hours: Vec<Hour>,
    pub lengths: Vec<Length>,
    pub bands: Vec<Band>,
    /// What the drawing shows, for whoever does not see it.
    pub alt: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hour {
    pub at: String,
    pub clock: String,
}

/// A length of the bar: `open`, `work`, `close` or `look`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Length {
    pub kind: &'static str,
    pub at: String,
    pub wide: String,
    /// The number of the job in this evening; empty for access.
    pub label: String,
}

/// Access from its opening to its closing, over the work that it serves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Band {
    pub at: String,
    pub wide: String,
    pub top: u32,
    pub label: String,
    /// It was open when the evening began, and stays so when it ends.
    pub carried: bool,
    pub stays: bool,
}

/// A lane beside the evenings: `none`, `from`, `through`, `to`; `stub` is something that was open before the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rail {
    pub state: &'static str,
    /// The access, where the rail begins; empty elsewhere.
    pub label: String,
}

/// A line of what is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deed {
    pub kind: &'static str,
    /// The number that stands in the bar; empty for access.
    pub number: String,
    pub what: String,
    pub minutes: String,
    /// Why here: a sentence; empty for access.
    pub why: String,
    /// The job's card; empty for access.
    pub job: String,
    /// Somebody keeps it to this evening.
    pub pinned: bool,
}

/// Every evening from today to the last one worked, those without work too.
pub fn nights(known: &Known, plan: &Plan) -> Vec<Night> {
    let shown = shown(known, plan);
    let longest = shown.iter().map(|(at, _)| length(known, *at)).max().unwrap_or(Minutes(1)).0.max(1);
    let lanes = Lanes::of(known, &shown);
    let night = |(row, (at, planned)): (usize, &(usize, Option<&PlannedEvening>))| {
        Drawing { known, at: *at, planned: *planned, longest }.night(lanes.rails(known, row))
    };
    shown.iter().enumerate().map(night).collect()
}

/// Where each evening stands in the garage's list, in the order of time.
fn shown<'a>(known: &Known, plan: &'a Plan) -> Vec<(usize, Option<&'a PlannedEvening>)> {
    let Some(last) = plan.evenings.last() else { return Vec::new() };
    let mut order: Vec<usize> = (0..known.garage.evenings.len()).collect();
    order.sort_by_key(|&at| known.garage.evenings[at].day);
    let day = |at: usize| known.garage.evenings[at].day;
    let end = order.iter().position(|&at| at == last.evening).map_or(0, |place| place + 1);
    order.truncate(end);
    order
        .into_iter()
        .filter(|&at| day(at) >= known.today())
        .map(|at| (at, plan.evenings.iter().find(|planned| planned.evening == at)))
        .collect()
}

fn length(known: &Known, at: usize) -> Minutes {
    known.garage.evenings.get(at).map_or(Minutes(0), |evening| evening.minutes)
}

/// The lanes of what stays open for a night.
struct Lanes {
    /// For each lane its stays: the access, the row after which it is open, the row in which it is so no longer.
    lanes: Vec<Vec<Stay>>,
}

struct Stay {
    access: AccessId,
    /// `None`: before the first row.
    from: Option<usize>,
    /// The last row into which it comes open.
    to: usize,
}

impl Lanes {
    fn of(known: &Known, shown: &[(usize, Option<&PlannedEvening>)]) -> Lanes {
        let mut lanes: Vec<Vec<Stay>> = Vec::new();
        for stay in stays(known, shown) {
            let free = |lane: &Vec<Stay>| lane.last().is_none_or(|last| Some(last.to) < stay.from);
            match lanes.iter().position(free) {
                Some(lane) => lanes[lane].push(stay),
                None => lanes.push(vec![stay]),
            }
        }
        Lanes { lanes }
    }

    fn rails(&self, known: &Known, row: usize) -> Vec<Rail> {
        let rail = |lane: &Vec<Stay>| {
            let here = lane.iter().find(|stay| stay.from.is_none_or(|from| from <= row) && row <= stay.to);
            let Some(stay) = here else { return Rail { state: "none", label: String::new() } };
            let begins = stay.from.is_none_or(|from| from == row) && (stay.from.is_some() || row == 0);
            let state = match (stay.from == Some(row), stay.to == row) {
                (true, _) => "from",
                (false, true) => "to",
                (false, false) => "through",
            };
            let label = if begins { capital(known.access_title(&stay.access)) } else { String::new() };
            Rail { state, label }
        };
        self.lanes.iter().map(rail).collect()
    }
}

/// In the order in which they begin.
fn stays(known: &Known, shown: &[(usize, Option<&PlannedEvening>)]) -> Vec<Stay> {
    let before = known.garage.access.iter().filter(|access| access.open);
    let mut running: Vec<Stay> = before.map(|access| Stay { access: access.id.clone(), from: None, to: 0 }).collect();
    let mut over = Vec::new();
    for (row, (_, planned)) in shown.iter().enumerate() {
        running.iter_mut().for_each(|stay| stay.to = row);
        let Some(planned) = planned else { continue };
        let (stay, ended) = running.into_iter().partition(|stay: &Stay| planned.open.contains(&stay.access));
        over.extend::<Vec<Stay>>(ended);
        running = stay;
        let new = planned.open.iter().filter(|id| !running.iter().any(|stay| stay.access == **id));
        let new: Vec<Stay> = new.map(|id| Stay { access: id.clone(), from: Some(row), to: row }).collect();
        running.extend(new);
    }
    over.extend(running);
    over.sort_by_key(|stay| stay.from);
    over
}

/// One evening to be drawn.
struct Drawing<'a> {
    known: &'a Known,
    at: usize,
    planned: Option<&'a PlannedEvening>,
    /// Minutes of the longest evening: the whole width.
    longest: u32,
}

impl Drawing<'_> {
    fn night(&self, rails: Vec<Rail>) -> Night {
        let facts = self.known.evening(self.at);
        let evening = self.evening();
        let with = if evening.helper { "with the helper" } else { "alone" };
        Night {
            anchor: format!("evening-{}", self.at),
            day: words::long(evening.day, self.known.today()),
            starts: facts.clock(0),
            facts: format!("{}, {with}", words::minutes(evening.minutes)),
            fill: self.fill(),
            note: facts.note.clone(),
            bar: self.bar(),
            rails,
            deeds: self.deeds(),
            sleeps: self.planned.map_or(String::new(), |planned| sleeps(self.known, planned)),
            apart: self.planned.is_some_and(|planned| !planned.open.is_empty() || !planned.half_done.is_empty()),
            line: self.line(),
        }
    }

    fn evening(&self) -> Evening {
        let none = Evening { day: Day(0), minutes: Minutes(0), helper: false };
        self.known.garage.evenings.get(self.at).copied().unwrap_or(none)
    }

    fn acts(&self) -> &[Act] {
        self.planned.map_or(&[], |planned| &planned.acts)
    }

    fn fill(&self) -> String {
        let Some(planned) = self.planned else { return String::new() };
        match self.evening().minutes - planned.used {
            Minutes(0) => format!("{} planned: it is full", words::minutes(planned.used)),
            spare => format!("{} planned, {} to spare", words::minutes(planned.used), words::minutes(spare)),
        }
    }

    /// The jobs, each once.
    fn jobs(&self) -> Vec<&JobId> {
        let mut jobs: Vec<&JobId> = Vec::new();
        for act in self.acts() {
            if let Act::Work { job, .. } = act
                && jobs.last() != Some(&job)
            {
                jobs.push(job);
            }
        }
        jobs
    }

    fn line(&self) -> String {
        let mut titles: Vec<String> = self.jobs().into_iter().map(|job| self.known.title(job).to_owned()).collect();
        titles.dedup();
        match (titles.is_empty(), self.planned) {
            (false, _) => capital(&words::listed(&titles)),
            (true, Some(_)) => "Closing up".to_owned(),
            (true, None) => "Nothing planned".to_owned(),
        }
    }

    fn share(&self, minutes: u32) -> String {
        let hundredths = u64::from(minutes) * 10_000 / u64::from(self.longest);
        format!("{}.{:02}%", hundredths / 100, hundredths % 100)
    }

    fn bar(&self) -> Bar {
        let evening = self.evening();
        let bands = self.bands();
        let lanes = bands.iter().map(|band| band.top).max().map_or(0, |top| (top - CLOCK - BAR) / BAND + 1);
        let facts = self.known.evening(self.at);
        let first = (60 - u32::from(facts.starts) % 60) % 60;
        let hours = (first..evening.minutes.0).step_by(60).filter(|after| *after + 15 < self.longest || *after == 0);
        Bar {
            lanes: lanes.min(MOST_LANES),
            room: self.share(evening.minutes.0),
            hours: hours.map(|after| Hour { at: self.share(after), clock: facts.clock(after) }).collect(),
            lengths: self.lengths(),
            alt: self.alt(),
            bands,
        }
    }

    fn alt(&self) -> String {
        let length = words::minutes(self.evening().minutes);
        let lines = self.acts().len();
        if lines == 0 {
            return format!("A bar of {length}, empty.");
        }
        format!("A bar of {length} with {}, in the order of the list below.", count(lines, "length", "lengths"))
    }

    fn lengths(&self) -> Vec<Length> {
        let (mut at, mut number) = (0, Numbers::default());
        let mut lengths = Vec::new();
        for act in self.acts() {
            let minutes = act.minutes().0;
            let label = if let Act::Work { job, .. } = act { number.of(job) } else { String::new() };
            lengths.push(Length { kind: kind(act), at: self.share(at), wide: self.share(minutes), label });
            at += minutes;
        }
        lengths
    }

    /// From the first minute in which an access is so to the last: what lies over it shares it.
    fn bands(&self) -> Vec<Band> {
        let used = self.planned.map_or(0, |planned| planned.used.0);
        let mut spans: Vec<(AccessId, u32, u32, bool)> = Vec::new();
        let mut at = 0;
        for act in self.acts() {
            let end = at + act.minutes().0;
            match act {
                Act::LookOver { access, .. } => spans.push((access.clone(), 0, used, true)),
                Act::Open { access, .. } => spans.push((access.clone(), at, used, false)),
                Act::Close { access, .. } => {
                    let open = spans.iter_mut().rev().find(|(id, ..)| id == access);
                    open.into_iter().for_each(|(_, _, until, _)| *until = end);
                }
                Act::Work { .. } => {}
            }
            at = end;
        }
        let mut ends: Vec<u32> = Vec::new();
        let mut bands = Vec::new();
        for (access, from, until, carried) in spans {
            let lane = ends.iter().position(|end| *end <= from).unwrap_or(ends.len());
            if lane == ends.len() {
                ends.push(until);
            } else {
                ends[lane] = until;
            }
            bands.push(self.band(&access, from, until, carried, lane));
        }
        bands
    }

    fn band(&self, access: &AccessId, from: u32, until: u32, carried: bool, lane: usize) -> Band {
        let stays = self.planned.is_some_and(|planned| planned.open.contains(access));
        let serves = |job: &JobId| self.known.job(job).is_some_and(|job| job.needs.contains(access));
        let shared = self.jobs().into_iter().filter(|job| serves(job)).count();
        let title = capital(self.known.access_title(access));
        let once = if shared > 1 { format!(": once for {shared} jobs") } else { String::new() };
        let night = match (carried, stays) {
            (true, true) => ", open before and after",
            (true, false) => ", open before",
            (false, true) => ", stays so for the night",
            (false, false) => "",
        };
        let label = format!("{title}{once}{night}");
        Band {
            at: self.share(from),
            wide: self.share(until - from),
            top: CLOCK + BAR + u32::try_from(lane).unwrap_or(0).min(MOST_LANES - 1) * BAND,
            label,
            carried,
            stays,
        }
    }

    fn deeds(&self) -> Vec<Deed> {
        let mut number = Numbers::default();
        self.acts().iter().map(|act| self.deed(act, &mut number)).collect()
    }

    fn deed(&self, act: &Act, number: &mut Numbers) -> Deed {
        let plain = |what: String| Deed {
            kind: kind(act),
            number: String::new(),
            what,
            minutes: words::minutes(act.minutes()),
            why: String::new(),
            job: String::new(),
            pinned: false,
        };
        let title = |access| self.known.access_title(access);
        match act {
            Act::LookOver { access, .. } => plain(format!("Look over what stayed so: {}", title(access))),
            Act::Open { access, .. } => plain(format!("Open up: {}", title(access))),
            Act::Close { access, .. } => plain(format!("Close again: {}", title(access))),
            Act::Work { job, piece, why, .. } => Deed {
                number: number.of(job),
                what: format!("{}{}", capital(self.known.title(job)), self.piece(job, *piece)),
                why: words::said(&format!("{}.", capital(why)), self.known.today()),
                job: job.0.clone(),
                pinned: self.known.pins.iter().any(|pin| pin.job == *job && pin.evening == self.at),
                ..plain(String::new())
            },
        }
    }

    /// `, part 2 of 3`; nothing for a job in one piece.
    fn piece(&self, job: &JobId, piece: usize) -> String {
        match self.known.job(job).map_or(1, |job| job.pieces.len()) {
            0 | 1 => String::new(),
            many => format!(", part {} of {many}", piece + 1),
        }
    }
}

/// Numbers of the jobs in one evening, in the order in which they come.
#[derive(Default)]
struct Numbers(Vec<JobId>);

impl Numbers {
    fn of(&mut self, job: &JobId) -> String {
        let at = self.0.iter().position(|known| known == job).unwrap_or_else(|| {
            self.0.push(job.clone());
            self.0.len() - 1
        });
        (at + 1).to_string()
    }
}

fn kind(act: &Act) -> &'static str {
    match act {
        Act::LookOver { .. } => "look",
        Act::Open { .. } => "open",
        Act::Work { .. } => "work",
        Act::Close { .. } => "close",
    }
}

/// How the car is left for the night, in a sentence.
pub fn sleeps(known: &Known, planned: &PlannedEvening) -> String {
    let open: Vec<String> = planned.open.iter().map(|id| known.access_title(id).to_owned()).collect();
    let half: Vec<String> = planned.half_done.iter().map(|id| known.quoted(id).to_owned()).collect();
    match (open.is_empty(), half.is_empty()) {
        (true, true) => "Nothing is left open, and no job half done.".to_owned(),
        (false, true) => format!("Left for the night: {}.", words::listed(&open)),
        (true, false) => format!("Nothing is left open. Half done: {}.", words::listed(&half)),
        (false, false) => {
            format!("Left for the night: {}. Half done: {}.", words::listed(&open), words::listed(&half))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::pages::sample;

    #[test]
    fn lengths_of_a_bar_follow_on_each_other_and_end_where_the_evening_is_filled() {
        let made = sample::made();
        for (night, planned) in
            nights(&made.known, &made.plan).iter().filter(|night| !night.deeds.is_empty()).zip(&made.plan.evenings)
        {
            let number = |text: &str| text.trim_end_matches('%').parse::<f64>().unwrap();
            let mut end = 0.0;
            for length in &night.bar.lengths {
                assert!((number(&length.at) - end).abs() < 0.05, "{night:#?}");
                end = number(&length.at) + number(&length.wide);
            }
            let whole = f64::from(planned.used.0) / 120.0 * 100.0;
            assert!((end - whole).abs() < 0.1, "{end} is not {whole}");
            assert!(end <= number(&night.bar.room) + 0.1);
        }
    }

    #[test]
    fn access_shared_by_two_jobs_is_one_band_over_both() {
        let made = sample::made();
        let bands: Vec<Band> = nights(&made.known, &made.plan).into_iter().flat_map(|night| night.bar.bands).collect();
        let shared: Vec<&Band> = bands.iter().filter(|band| band.label == "The rear up: once for 2 jobs").collect();
        assert_eq!(shared.len(), 1, "{bands:#?}");
    }

    #[test]
    fn what_stays_open_for_a_night_is_a_rail_from_one_evening_to_the_other() {
        let made = sample::kept_open();
        let nights = nights(&made.known, &made.plan);
        let states: Vec<Vec<&str>> =
            nights.iter().map(|night| night.rails.iter().map(|rail| rail.state).collect()).collect();
        assert_eq!(states, [["from"], ["to"]]);
        assert_eq!(nights[0].rails[0].label, "The rear up");
        assert_eq!(nights[0].sleeps, "Left for the night: the rear up. Half done: the axle.");
        assert!(nights[0].apart && !nights[1].apart);
        assert!(nights[0].bar.bands[0].stays && nights[1].bar.bands[0].carried);
        assert_eq!(nights[1].deeds[1].what, "The axle, part 2 of 2");
    }

    #[test]
    fn an_evening_without_work_stands_between_the_others_and_says_so() {
        let mut made = sample::made();
        let day = made.plan.evenings[0].day;
        made.known.garage.evenings.push(Evening { day, minutes: Minutes(30), helper: true });
        made.known.evenings.push(Default::default());
        let nights = nights(&made.known, &made.plan);
        let idle: Vec<&Night> = nights.iter().filter(|night| night.deeds.is_empty()).collect();
        assert!(idle.iter().any(|night| night.line == "Nothing planned" && night.facts == "30 min, with the helper"));
    }

    #[test]
    fn a_plan_of_nothing_has_no_evenings() {
        let mut made = sample::made();
        made.plan.evenings.clear();
        assert!(nights(&made.known, &made.plan).is_empty());
    }
}
