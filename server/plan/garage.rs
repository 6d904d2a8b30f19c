//! Everything that the planner is told of a car: its jobs, what they open, its parts, tools and evenings.
//!
//! Ids are those of the cards, and the keys of the ledger; all in the order of the car's cards and of the evenings, so that the
//! same car makes the same plan.

use super::access::{self, Told as Open};
use super::arrivals::{arrival, guessed};
use super::job::{Job, is_finished, records};
use super::model::{Planning, day_number};
use crate::chest::tools::asked::lacks_tool;
use crate::ids::{CardId, EveningId, PartId};
use crate::jobs::paper::Shelves;
use crate::shelf::store::Part;
use crate::trade::checker::State;
use crate::trade::effort::between::{Lasting, MOST_OPEN};
use crate::trade::effort::{Correction, correction};
use crate::trade::plan::{self, Arrival, Garage, JobId, PartNeed, Spread};
use crate::trade::tools::read;
use crate::work::model::{CarState, CardState};
use crate::work::whole::WholeCar;
use jiff::civil::{Date, DateTime};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What the planner is told, and what pages want to know besides.
pub struct Told {
    pub garage: Garage,
    /// The card of each of the garage's jobs.
    pub cards: Vec<CardId>,
    /// Which evening each of the garage's is.
    pub evenings: Vec<EveningId>,
    /// Jobs kept to an evening, by its place in the garage's list.
    pub pins: Vec<(JobId, usize)>,
    /// How own records correct the times; already in them.
    pub correction: Option<Correction>,
    pub left_out: Vec<LeftOut>,
    /// What is only guessed of deliveries, in sentences.
    pub guesses: Vec<String>,
}

/// A card that the planner is not told of although something of it is left to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    pub card: CardId,
    /// A sentence.
    pub say: String,
}

/// The id under which the planner knows a card.
pub fn job_id(card: CardId) -> JobId {
    JobId(card.to_string())
}

/// Puts together what the planner is told. `now` is by the clock on the garage's wall: evenings that are over are left out.
pub fn told(whole: &WholeCar, planning: &Planning, now: DateTime) -> Told {
    let today = day_number(now.date());
    let on_car = &whole.state;
    let correction = correction(&records(&on_car.cards, &whole.done));
    let (cards, left_out) = wanted(on_car, planning);
    let shelves = Shelves::of(&on_car.specs, &on_car.parts);
    let read = cards.iter().map(|card| Job::of(card, &shelves, correction.as_ref()));
    let mut jobs: Vec<Option<Job>> = read.collect();
    let (open, blocked) = {
        let mut timed: Vec<Job> = jobs.iter_mut().filter_map(Option::take).collect();
        let open = access::told(&mut timed, &on_car.true_now);
        let blocked = blocked(&mut timed, &open);
        put_back(&mut jobs, &cards, timed);
        (open, blocked)
    };
    let mut garage = Garage::empty(today);
    let keys: BTreeSet<&str> = open.iter().map(Open::key).collect();
    for (card, job) in cards.iter().zip(&jobs) {
        let mut made = empty_job(card, planning, &cards);
        if let Some(job) = job {
            fill(&mut made, job, &keys);
            made.blocked_by = blocked.get(&card.card.id).cloned().unwrap_or_default();
            made.blocked_by.retain(|id| !made.needs.contains(id));
        }
        garage.jobs.push(made);
    }
    garage.access = open.into_iter().map(|open| open.access).collect();
    let guesses = supplies(&mut garage, &cards, on_car, now.date());
    let evenings: Vec<_> = planning.evenings.iter().filter(|evening| !evening.facts.is_over(now)).collect();
    garage.evenings = evenings
        .iter()
        .map(|evening| plan::Evening {
            day: day_number(evening.facts.day),
            minutes: plan::Minutes(evening.facts.minutes),
            helper: evening.facts.helper,
        })
        .collect();
    garage.wanted = whole.car.wanted_on.as_ref().and_then(|day| day.parse().ok()).map(day_number);
    let evenings: Vec<EveningId> = evenings.iter().map(|evening| evening.id).collect();
    let pin = |(card, evening): (&CardId, &EveningId)| {
        Some((job_id(*card), evenings.iter().position(|known| known == evening)?))
    };
    Told {
        cards: cards.iter().map(|card| card.card.id).collect(),
        pins: planning.pins.iter().filter_map(pin).collect(),
        evenings,
        garage,
        correction,
        left_out,
        guesses,
    }
}

/// The cards to plan, in the car's order, and those that wait for one that is put off.
fn wanted<'a>(on_car: &'a CarState, planning: &Planning) -> (Vec<&'a CardState>, Vec<LeftOut>) {
    let unfinished: Vec<&CardState> = on_car.cards.iter().filter(|card| !is_finished(card)).collect();
    let by_id: HashMap<CardId, &CardState> = unfinished.iter().map(|card| (card.card.id, *card)).collect();
    let mut out: BTreeSet<CardId> = planning.put_off.clone();
    let mut said: BTreeMap<CardId, String> = BTreeMap::new();
    loop {
        let held = |card: &&&CardState| {
            let id = card.card.id;
            let first = planning.after(id).iter().find(|first| out.contains(first) && by_id.contains_key(first))?;
            (!out.contains(&id)).then(|| (id, by_id[first].card.facts.title.clone(), planning.put_off.contains(first)))
        };
        let Some((id, first, put_off)) = unfinished.iter().find_map(|card| held(&card)) else { break };
        let title = &by_id[&id].card.facts.title;
        let why = if put_off { "is put off" } else { "has to wait itself" };
        said.insert(id, format!("‘{title}’ comes after ‘{first}’, which {why}."));
        out.insert(id);
    }
    let cards: Vec<&CardState> = unfinished.into_iter().filter(|card| !out.contains(&card.card.id)).collect();
    (cards, said.into_iter().map(|(card, say)| LeftOut { card, say }).collect())
}

fn put_back<'a>(jobs: &mut [Option<Job<'a>>], cards: &[&CardState], timed: Vec<Job<'a>>) {
    let places: HashMap<CardId, usize> = cards.iter().enumerate().map(|(at, card)| (card.card.id, at)).collect();
    for job in timed {
        if let Some(at) = places.get(&job.card.card.id) {
            jobs[*at] = Some(job);
        }
    }
}

/// For each job, what must not be open meanwhile. A stop at which something is undone that bars another job, and that no open
/// access stands for, is taken away: what is undone there the planner does not know.
fn blocked(jobs: &mut [Job<'_>], open: &[Open]) -> HashMap<CardId, Vec<plan::AccessId>> {
    let facts: Vec<State> = open.iter().map(|open| open.facts.clone()).collect();
    let mut lasting = Lasting::new(&facts);
    let barred: Vec<u64> = jobs.iter().map(|job| lasting.against(&job.programs, |step| job.is_open(step))).collect();
    let bit = |key: &str| open.iter().position(|open| open.key() == key).map_or(0, |bit| 1_u64 << bit);
    let stops: Vec<(usize, usize)> =
        jobs.iter().enumerate().flat_map(|(at, job)| job.stops.iter().map(move |stop| (at, *stop))).collect();
    let mut bad: BTreeSet<(usize, usize)> = BTreeSet::new();
    for some in stops.chunks(MOST_OPEN) {
        let states: Vec<State> = some.iter().map(|(at, stop)| jobs[*at].places[*stop].state.clone()).collect();
        let carried: Vec<u64> =
            some.iter().map(|(at, stop)| jobs[*at].open_at(*stop).iter().fold(0, |set, key| set | bit(key))).collect();
        let mut left = Lasting::new(&states);
        for (other, job) in jobs.iter().enumerate() {
            let against = left.against(&job.programs, |step| job.is_open(step));
            for (n, (at, stop)) in some.iter().enumerate().filter(|(n, _)| against & (1 << n) != 0) {
                if other != *at && barred[other] & carried[n] == 0 {
                    bad.insert((*at, *stop));
                }
            }
        }
    }
    for (at, stop) in bad {
        jobs[at].stops.retain(|known| *known != stop);
    }
    let ids = |set: u64| {
        let named = open.iter().enumerate().filter(move |(bit, _)| set & (1 << bit) != 0);
        named.map(|(_, open)| open.access.id.clone()).collect()
    };
    jobs.iter().zip(barred).map(|(job, set)| (job.card.card.id, ids(set))).collect()
}

fn empty_job(card: &CardState, planning: &Planning, cards: &[&CardState]) -> plan::Job {
    let is_planned = |id: &&CardId| cards.iter().any(|other| other.card.id == **id);
    plan::Job {
        id: job_id(card.card.id),
        title: card.card.facts.title.clone(),
        pieces: Vec::new(),
        done: 0,
        after: planning.after(card.card.id).iter().filter(is_planned).map(|id| job_id(*id)).collect(),
        parts: Vec::new(),
        tools: Vec::new(),
        helper: card.card.facts.helper,
        needs: Vec::new(),
        blocked_by: Vec::new(),
    }
}

/// Its pieces, helper and access. What was ticked takes no time any more.
fn fill(made: &mut plan::Job, job: &Job<'_>, told: &BTreeSet<&str>) {
    let shared: Vec<_> = job.alive().filter(|access| told.contains(access.key.as_str())).collect();
    let elsewhere: BTreeSet<usize> =
        shared.iter().flat_map(|access| access.opened_by.iter().chain(&access.closed_by)).copied().collect();
    made.helper = job.effort.helper;
    made.needs = shared.iter().map(|access| plan::AccessId(access.key.clone())).collect();
    if job.paper.steps.is_empty() {
        let whole = job.effort.whole;
        made.pieces.extend(Spread::new(whole.low(), whole.likely(), whole.high()));
        return;
    }
    let ranges = job.pieces();
    made.done = ranges.iter().take_while(|range| (*range).clone().all(|step| !job.is_open(step))).count();
    let piece = |range: &std::ops::Range<usize>| {
        let steps = range.clone().filter(|step| job.is_open(*step) && !elsewhere.contains(step));
        let sum: crate::trade::effort::Minutes = steps.map(|step| job.effort.steps[step]).sum();
        Spread::new(sum.low(), sum.likely(), sum.high()).unwrap_or(Spread::NOTHING)
    };
    made.pieces = ranges.iter().map(piece).collect();
}

/// Parts and tools of what is left to do. Hands back what is guessed of deliveries.
fn supplies(garage: &mut Garage, cards: &[&CardState], on_car: &CarState, today: Date) -> Vec<String> {
    let parts: HashMap<PartId, &Part> = on_car.parts.iter().map(|part| (part.id, part)).collect();
    let mut guesses: BTreeMap<PartId, String> = BTreeMap::new();
    let mut known: BTreeMap<PartId, Arrival> = BTreeMap::new();
    for (job, card) in garage.jobs.iter_mut().zip(cards) {
        let open = |step: &&crate::jobs::model::Step| card.tick(step.id) == crate::sync::wire::Tick::Open;
        for step in card.steps.iter().filter(open) {
            for used in &step.attached.parts {
                let Some(part) = parts.get(&used.part) else { continue };
                let arrival = arrival(part, today);
                if arrival == Arrival::OnTheShelf || job.parts.iter().any(|need| need.part.0 == part.id.to_string()) {
                    continue;
                }
                known.insert(part.id, arrival);
                guesses.extend(guessed(part, today).map(|say| (part.id, say)));
                job.parts
                    .push(PartNeed { part: plan::PartId(part.id.to_string()), words: words(part, &used.quantity) });
            }
            for line in step.attached.tools.iter().filter(|line| matches!(read(line), Some(Ok(_)))) {
                if on_car.tools.is_empty() || job.tools.contains(line) {
                    continue;
                }
                if !lacks_tool(std::slice::from_ref(line), &on_car.tools) {
                    garage.tools.insert(line.clone());
                }
                job.tools.push(line.clone());
            }
        }
    }
    let part = |(id, arrival): (PartId, Arrival)| plan::Part { id: plan::PartId(id.to_string()), arrival };
    garage.parts = known.into_iter().map(part).collect();
    guesses.into_values().map(|say| format!("{}.", crate::web::words::capital(&say))).collect()
}

/// `2 × ‘crush washer’`, `‘oil filter’`
fn words(part: &Part, quantity: &str) -> String {
    let name = &part.facts.name;
    if quantity.trim() == "1" { format!("‘{name}’") } else { format!("{} × ‘{name}’", quantity.trim()) }
}
