//! Underlamp: carries a home restorer through bringing an old car with no papers back to dependable use.
//!
//! # Map
//!
//! | where | what |
//! |---|---|
//! | `trade/` | what a mechanic knows: quantities, specs and trust, fasteners and fluids, steps and their effects, the card checker, the ledger, cautions. Pure. Read this first. |
//! | `app.rs` | every URL on one screen, with who may call it, and what handlers are given |
//! | `access/` | pairing, sessions, and the types that keep readers from writing |
//! | `cars/ specs/ jobs/ shelf/ logbook/` | the desk: one folder for each thing a person does there |
//! | `checks/` | the check trees there are, from a noise or a smell to a finding |
//! | `patterns/` | ready-made cards for the common work: their text, and a card made from one |
//! | `fluids/` | a fluid of a car: what may be poured in, how much, how it looks, which bottles to buy |
//! | `plan/` | what the planner is told of a car, the evenings there are, the plan that was kept |
//! | `road/` | the road check: what work that was done asks to be looked at, and its sheet of paper |
//! | `survey/` | the survey of a car: its questions, the ranked list of what was answered and found, and what became of it |
//! | `record/` | the record to hand over with the car: what is left out, its page, and a PDF of it |
//! | `readings/` | what was measured over time, and the limits it is held against |
//! | `upkeep/` | what is done again and again, the odometer's true distance, a car that stands |
//! | `sounds/` | clips of sound, what turns on the car, and which of it a clip's tones fit |
//! | `symptoms/` | what was noticed, and when it is there |
//! | `markings/ chest/` | what holds for every car: the marking reader; torque wrenches, sockets and keys |
//! | `under/` | the phone: pages, and the pack that is copied under the car |
//! | `helper/` | the link to one job: made and taken back, its pages, who is watching |
//! | `work/` | what has been done so far, read off the operations |
//! | `sync/` | operations: judged, made durable, given out again |
//! | `photos/` | pictures: brought in by pieces, made upright, freed of location |
//! | `tls/` | HTTPS on the LAN with our own authority |
//! | `web/` | the frame around pages, assets, the worker, problems as pages |
//! | `moving/` | cars taken out whole and brought into another garage; tables for a spreadsheet |
//! | `demo/ backup/ doctor/` | the invented car; saving, by hand and each day, and restoring; saying what is wrong |
//! | `serve.rs garage.rs config.rs` | opening the doors; the data folder; what can be set |
//! | `db.rs error.rs ids.rs clock.rs say.rs` | the database's two halves; what can go wrong; ids; the time; printing |
//! | `own_files.rs` | text files in the data folder, beside what the program brings |
//!
//! # Invariants
//!
//! - Data goes one way: request → extractor (who asks, and what for) → trade function on plain types → store → view.
//! - `trade/` does no IO and reads no clock. SQL stands in a `store.rs` (and `db.rs`), and nowhere else.
//! - Everything done on a car is an operation, and becomes durable in `sync/apply.rs` only.
//! - Nothing is acknowledged before it is on disk.
//! - Whoever only reads holds no handle that could write.

pub mod access;
pub mod app;
pub mod backup;
pub mod cars;
pub mod checks;
pub mod chest;
pub mod clock;
pub mod config;
pub mod db;
pub mod demo;
pub mod doctor;
pub mod error;
pub mod fluids;
pub mod garage;
pub mod helper;
pub mod ids;
pub mod jobs;
pub mod logbook;
pub mod markings;
pub mod moving;
pub mod own_files;
pub mod patterns;
pub mod photos;
pub mod plan;
pub mod readings;
pub mod record;
pub mod road;
pub mod say;
pub mod serve;
pub mod shelf;
pub mod sounds;
pub mod specs;
pub mod survey;
pub mod symptoms;
pub mod sync;
pub mod tls;
pub mod trade;
pub mod under;
pub mod upkeep;
pub mod web;
pub mod work;
