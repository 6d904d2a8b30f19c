//! How likely the wanted date is: the plan worked many times over, with other times and other deliveries each time.
//!
//! Times and deliveries are **triangular** between low and high with their peak at likely. PERT's beta would need a fourth
//! figure that nobody has guessed (how much the likely one weighs), and thins the tails out; a triangle takes the three
//! figures as they are, errs towards the late side, and has closed forms to be tested against.
//!
//! One run goes through the plan in its order, each piece with the access minutes before it (and, for the last one of an
//! evening, after it) as planned. It takes the first piece that can be worked: predecessors finished, parts there, helper
//! there. On an evening on which the plan works it may run ahead of it; an evening that the plan leaves empty is for what is
//! late, since nobody comes early to an access that the plan opens another day. What is not finished tonight goes on next
//! evening, even inside a piece: late in the evening nobody knows that it will not be finished. Access that this lets stay open longer is not charged again.
//! Jobs that the plan's notes leave out are not in it; where a piece of the others found no evening, no run is ever finished.
//! Chance comes from the seed alone, and one seed draws the same times whichever evening is cancelled.

use std::collections::{BTreeMap, BTreeSet};

use super::chance::Chance;
use super::check::{Fault, check};
use super::input::{Arrival, Garage, PartId};
use super::solve::{Act, Plan};
use super::time::{Spread, written};
use crate::trade::limits::Day;

/// The end of a plan by its chances.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// Of all runs, how many were finished on each day, earliest first.
    pub bins: Vec<(Day, u32)>,
    /// Runs that the evenings did not suffice for.
    pub beyond: u32,
    pub runs: u32,
    wanted: Option<Day>,
}

impl Dates {
    /// The share of runs finished on this day or before.
    pub fn chance_by(&self, day: Day) -> f64 {
        let done: u32 = self.bins.iter().filter(|(finished, _)| *finished <= day).map(|(_, runs)| runs).sum();
        f64::from(done) / f64::from(self.runs.max(1))
    }

    pub fn chance_of_wanted(&self) -> Option<f64> {
        self.wanted.map(|wanted| self.chance_by(wanted))
    }

    /// The first day by which this share of runs is finished; `None` where the evenings do not suffice for it.
    /// `share` from 0 to 1.
    pub fn quantile(&self, share: f64) -> Option<Day> {
        let mut done = 0;
        let enough = |(_, runs): &&(Day, u32)| {
            done += runs;
            f64::from(done) >= share * f64::from(self.runs)
        };
        self.bins.iter().find(enough).map(|(day, _)| *day)
    }

    pub fn sentence(&self) -> String {
        let by = |share| {
            self.quantile(share).map_or("after the last evening".to_owned(), |day| format!("by {}", written(day)))
        };
        let half = format!("Finished {} as likely as not, and {} in nine cases of ten", by(0.5), by(0.9));
        match self.wanted.map(|wanted| (written(wanted), self.chance_by(wanted) * 100.0)) {
            Some((wanted, chance)) => format!("{half}; by {wanted} in {chance:.0} cases of a hundred."),
            None => format!("{half}."),
        }
    }
}

/// The latest days on which a part can be ordered for the evening that first needs it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderBy {
    pub part: PartId,
    pub needed: Day,
    /// With the likely delivery, and with the slowest.
    pub likely: Day,
    pub safe: Day,
}

/// What it does to lose an evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    pub evening: Day,
    pub with: Dates,
    pub without: Dates,
}

impl Slip {
    /// Days by which the middle case moves; `None` where one of them is beyond the last evening.
    pub fn days(&self) -> Option<i32> {
        Some(self.without.quantile(0.5)?.0 - self.with.quantile(0.5)?.0)
    }

    pub fn sentence(&self) -> String {
        let moved = match self.days() {
            Some(0) => "does not move the likely end".to_owned(),
            Some(1) => "moves the likely end by a day".to_owned(),
            Some(days) => format!("moves the likely end by {days} days"),
            None => "moves the likely end past the last evening".to_owned(),
        };
        let chances = self.with.chance_of_wanted().zip(self.without.chance_of_wanted());
        let hundredths = |chance: f64| format!("{:.0}", chance * 100.0);
        let chance = chances.map(|(with, without)| (hundredths(with), hundredths(without)));
        let chance = chance.map_or(String::new(), |(with, without)| {
            if with == without {
                return format!("; the chance of the wanted date stays at {with} of a hundred");
            }
            format!(", and takes the chance of the wanted date from {with} to {without} of a hundred")
        });
        format!("Losing the evening of {} {moved}{chance}.", written(self.evening))
    }
}

/// Works the plan `runs` times (at most a million).
pub fn dates(garage: &Garage, plan: &Plan, seed: u64, runs: u32) -> Result<Dates, Vec<Fault>> {
    Ok(Line::new(garage, plan)?.run(seed, runs, None))
}

/// The same with and without one of the garage's evenings.
pub fn slipped(garage: &Garage, plan: &Plan, evening: usize, seed: u64, runs: u32) -> Result<Option<Slip>, Vec<Fault>> {
    let line = Line::new(garage, plan)?;
    let Some(slot) = line.evenings.iter().position(|&at| at == evening) else { return Ok(None) };
    let (with, without) = (line.run(seed, runs, None), line.run(seed, runs, Some(slot)));
    Ok(Some(Slip { evening: garage.evenings[evening].day, with, without }))
}

/// For each part still to order that the plan uses: until when.
pub fn order_by(garage: &Garage, plan: &Plan) -> Vec<OrderBy> {
    let mut needed: BTreeMap<&PartId, Day> = BTreeMap::new();
    for evening in plan.evenings.iter().rev() {
        for act in &evening.acts {
            let Act::Work { job, .. } = act else { continue };
            let parts =
                garage.jobs.iter().filter(|known| known.id == *job && known.done == 0).flat_map(|job| &job.parts);
            needed.extend(parts.map(|need| (&need.part, evening.day)));
        }
    }
    let order = |(part, needed): (&PartId, Day)| match garage.parts.iter().find(|known| known.id == *part)?.arrival {
        Arrival::ToOrder(days) => Some(OrderBy {
            part: part.clone(),
            needed,
            likely: Day(needed.0.saturating_sub_unsigned(days.likely())),
            safe: Day(needed.0.saturating_sub_unsigned(days.high())),
        }),
        Arrival::OnTheShelf | Arrival::Ordered(_) | Arrival::Unknown => None,
    };
    needed.into_iter().filter_map(order).collect()
}

/// One piece in the order of the plan.
struct Stop {
    spread: Spread,
    /// Access minutes that go with it.
    access: f64,
    helper: bool,
    parts: Vec<usize>,
    before: Vec<usize>,
    /// The slot for which it is planned.
    slot: usize,
}

struct Line {
    stops: Vec<Stop>,
    /// Days from today until each part is there.
    deliveries: Vec<Spread>,
    /// Day, minutes, helper.
    slots: Vec<(i32, u32, bool)>,
    /// Slots on which the plan works.
    worked: BTreeSet<usize>,
    evenings: Vec<usize>,
    today: Day,
    wanted: Option<Day>,
    /// Whether all that is to be done is in the plan.
    whole: bool,
}

impl Line {
    fn new(garage: &Garage, plan: &Plan) -> Result<Line, Vec<Fault>> {
        let checked = check(garage)?;
        let problem = &checked.problem;
        let at = |job: usize, piece: usize| {
            problem.pieces.iter().position(|known| (known.job, known.number) == (job, piece))
        };
        let mut order: Vec<(usize, u32, usize)> = Vec::new();
        for evening in &plan.evenings {
            let mut access = 0;
            let slot = checked.evenings.iter().position(|&known| known == evening.evening).unwrap_or(0);
            for act in &evening.acts {
                let Act::Work { job, piece, .. } = act else {
                    access += act.minutes().0;
                    continue;
                };
                let job = garage.jobs.iter().position(|known| known.id == *job);
                if let Some(piece) = job.and_then(|job| at(job, *piece)) {
                    order.push((piece, std::mem::take(&mut access), slot));
                }
            }
            if let Some((_, last, _)) = order.last_mut() {
                *last += access;
            }
        }
        let place: BTreeMap<usize, usize> =
            order.iter().enumerate().map(|(place, (piece, ..))| (*piece, place)).collect();
        let stop = |&(piece, access, slot): &(usize, u32, usize)| {
            let known = &problem.pieces[piece];
            let job = &garage.jobs[known.job];
            let part = |id: &PartId| garage.parts.iter().position(|part| part.id == *id);
            Stop {
                spread: job.pieces[known.number],
                access: f64::from(access),
                helper: known.helper,
                parts: job.parts.iter().filter_map(|need| part(&need.part)).collect(),
                before: known.before.iter().filter_map(|before| place.get(before).copied()).collect(),
                slot,
            }
        };
        Ok(Line {
            stops: order.iter().map(stop).collect(),
            deliveries: garage.parts.iter().map(|part| delivery(part.arrival)).collect(),
            slots: problem.slots.iter().map(|slot| (slot.day, slot.minutes, slot.helper)).collect(),
            worked: order.iter().map(|(.., slot)| *slot).collect(),
            whole: order.len() == problem.pieces.len(),
            evenings: checked.evenings,
            today: garage.today,
            wanted: garage.wanted,
        })
    }

    fn run(&self, seed: u64, runs: u32, lost: Option<usize>) -> Dates {
        let runs = runs.min(1_000_000);
        let mut chance = Chance::new(seed);
        let mut bins: BTreeMap<Day, u32> = BTreeMap::new();
        let mut beyond = 0;
        for _ in 0..runs {
            match self.once(&mut chance, lost) {
                Some(day) => *bins.entry(day).or_default() += 1,
                None => beyond += 1,
            }
        }
        Dates { bins: bins.into_iter().collect(), beyond, runs, wanted: self.wanted }
    }

    /// The day on which one run is finished.
    fn once(&self, chance: &mut Chance, lost: Option<usize>) -> Option<Day> {
        let mut left: Vec<f64> =
            self.stops.iter().map(|stop| drawn(stop.spread, chance.fraction()) + stop.access).collect();
        let arrives = |days: &Spread| self.today.0.saturating_add(drawn(*days, chance.fraction()).ceil() as i32);
        let arrivals: Vec<i32> = self.deliveries.iter().map(arrives).collect();
        let mut done = vec![false; left.len()];
        if done.is_empty() || !self.whole {
            return self.whole.then_some(self.today);
        }
        let mut first = 0;
        for (slot, &(day, minutes, helper)) in self.slots.iter().enumerate() {
            let mut room = if lost == Some(slot) { 0.0 } else { f64::from(minutes) };
            while room > 0.0 {
                let ready = |at: &usize| {
                    let stop = &self.stops[*at];
                    !done[*at]
                        && (stop.slot <= slot || self.worked.contains(&slot))
                        && (helper || !stop.helper)
                        && stop.parts.iter().all(|&part| arrivals[part] <= day)
                        && stop.before.iter().all(|&before| done[before])
                };
                let Some(next) = (first..done.len()).find(ready) else { break };
                let worked = left[next].min(room);
                room -= worked;
                left[next] -= worked;
                done[next] = left[next] <= 0.0;
                while done.get(first).is_some_and(|done| *done) {
                    first += 1;
                }
            }
            if first == done.len() {
                return Some(Day(day));
            }
        }
        None
    }
}

fn delivery(arrival: Arrival) -> Spread {
    match arrival {
        Arrival::Ordered(days) | Arrival::ToOrder(days) => days,
        // Jobs with unknown parts are not in the plan.
        Arrival::OnTheShelf | Arrival::Unknown => Spread::NOTHING,
    }
}

/// The triangular figure below which the share `u` of all lies: the inverse of the distribution, in closed form.
fn drawn(spread: Spread, u: f64) -> f64 {
    let (low, likely, high) = (f64::from(spread.low()), f64::from(spread.likely()), f64::from(spread.high()));
    let width = high - low;
    if width <= 0.0 {
        return low;
    }
    if u * width < likely - low {
        low + (u * width * (likely - low)).sqrt()
    } else {
        high - ((1.0 - u) * width * (high - likely)).sqrt()
    }
}
