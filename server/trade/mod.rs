//! What a mechanic knows. Pure functions and plain types: no database, no clock, no network, no async.
//!
//! - `quantity`: torques, volumes, pressures … exactly as written, converted exactly, rounded to what a tool can be set to
//! - `spec`: what a spec is and where it came from; `trust`: how far to trust it
//! - `steps`: the verbs of a job card and what each does to the car's state
//! - `grammar`: whether the name of a thing is one or many
//! - `nature`, `marks`: what kind of thing a step is about, and what else is true of it
//! - `checker`: a job card read as a program over the state of the car
//! - `place`: where on the car a thing is; `road`: what to look at before and after the car moves again
//! - `plan`: jobs laid into evenings, what tonight is good for, how likely a date is
//! - `ledger`: the loose ends that the ticks so far have left
//! - `condition`: where a job card stands
//! - `thread`: which screw threads exist, how they are written, and which one a caliper has found
//! - `fastener_strength`: property classes and grades, and what a bolt of one can bear
//! - `mechanics`: areas, forces and stresses of a fastener
//! - `head_size`: which thread a hexagon head suggests, as a hint only
//! - `preload`: from torque and friction to the pull in a bolt, as a range
//! - `plausible`: whether a written torque can belong to its bolt, and the likely slip where it cannot
//! - `torque_wrench`: what a wrench can be set to, how true it is, which to take, and what an adapter changes
//! - `tools`: sockets and keys, what a step asks for, and whether the chest has it
//! - `bolt_order`: in which order the bolts of a joint are tightened, and in which stages
//! - `name_value`: texts of `name: value` lines, with what is wrong in them told by line
//! - `checks`: check trees, from a noise or a smell to a finding
//! - `cautions`: the usual cautions, each with its harm, the way to avoid it, and its source
//! - `aloud`: figures as they are said, for reading them to somebody under a car
//! - `spreadsheet`: cells of a table that no spreadsheet runs
//! - `citation`: who says so, and how far their words were followed back
//! - `fluid`: fluids by published class: what suits, what mixes, how much, which bottles
//! - `marking`: what is stamped on a bolt head, moulded on a cap or tyre, printed on a fuse
//! - `variant`: which variant of the car a spec is for, held against the car's own codes
//! - `limits`: readings against published limits, and the day on which one would be reached
//! - `effort`: how long a card takes, what it opens to get there, and how own evenings compare with the estimates
//! - `buying`: what chosen jobs want, as orders by supplier, and what it costs
//! - `calendar`: evenings as a calendar that other programs read
//! - `upkeep`: what is done again and again, how far the car runs, and when the next time is due
//! - `sound`: a clip's tones against the rotating parts of the car, as a shortlist
//! - `symptom`: what somebody notices, when, hot or cold, how fast, under which load
//! - `survey`: what is asked of a car of unknown history, and what its answers ask to be done first

pub mod aloud;
pub mod bolt_order;
pub mod buying;
pub mod calendar;
pub mod cautions;
pub mod checker;
pub mod checks;
pub mod citation;
pub(crate) mod closed_set;
pub mod condition;
pub mod effort;
pub mod fastener_strength;
pub mod fluid;
pub(crate) mod grammar;
pub mod head_size;
pub mod ledger;
pub mod limits;
pub(crate) mod line;
pub mod marking;
pub mod marks;
pub mod mechanics;
pub mod name_value;
pub mod nature;
pub mod night;
pub mod place;
pub mod plan;
pub mod plausible;
pub mod preload;
pub mod quantity;
pub mod road;
pub mod sound;
pub mod spec;
pub mod spreadsheet;
pub mod steps;
pub mod survey;
pub mod symptom;
pub mod thread;
pub(crate) mod tokens;
pub mod tools;
pub mod torque_wrench;
pub mod trust;
pub mod upkeep;
pub mod variant;
