//! Several phones, one garage, and everything that can go wrong between them.

use super::fold::{Winners, fold};
use super::phone::{Phone, State};
use crate::support::ops::{SmallCar, god_routes};
use crate::support::{EVENING, TestApp};
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

const YEAR_MS: i64 = 365 * 24 * 60 * 60 * 1000;
/// Seeds that once failed stay here, beside a few that are run for good measure.
const SEEDS: &[u64] = &[1, 2, 3, 4, 7, 9, 10, 12];
const ACTIONS: usize = 120;
const ENOUGH_ROUNDS: usize = 400;

#[tokio::test(flavor = "multi_thread")]
async fn nothing_is_lost_or_doubled_and_all_agree_in_the_end() {
    let chosen = std::env::var("UNDERLAMP_SEED").ok().map(|seed| vec![seed.parse().expect("a number")]);
    for seed in chosen.unwrap_or_else(|| SEEDS.to_vec()) {
        println!("seed {seed}");
        Storm::begin(seed).await.run().await;
    }
}

struct Storm {
    seed: u64,
    dice: StdRng,
    app: TestApp,
    car: SmallCar,
    phones: Vec<Phone>,
    /// An older backup, made at some point.
    backup: Option<PathBuf>,
    copies: tempfile::TempDir,
    /// Every well-formed operation ever made, save those that died with a wiped phone unsent.
    made: BTreeSet<String>,
}

impl Storm {
    async fn begin(seed: u64) -> Storm {
        let app = TestApp::demo().await.with_routes(god_routes());
        let car = SmallCar::of(&app).await;
        let mut phones = Vec::new();
        for skew in [0, YEAR_MS, -YEAR_MS] {
            phones.push(Phone::new(app.phone().await, skew));
        }
        let copies = tempfile::tempdir().unwrap();
        Storm { seed, dice: StdRng::seed_from_u64(seed), app, car, phones, backup: None, copies, made: BTreeSet::new() }
    }

    async fn run(mut self) {
        for _ in 0..ACTIONS {
            self = self.something_happens().await;
            self.app.clock.set(self.app.clock.now().plus_minutes(1));
        }
        self.let_the_sun_out().await;
        self.check().await;
    }

    async fn something_happens(mut self) -> Storm {
        let which = self.dice.random_range(0..self.phones.len());
        match self.dice.random_range(0..100) {
            0..=39 => self.phones[which].act(&self.car, self.app.clock.now(), &mut self.dice),
            40..=44 => {
                let jpeg = small_jpeg(self.dice.random());
                self.phones[which].photograph(&self.car, self.app.clock.now(), jpeg);
            }
            45..=64 => drop(self.phones[which].flush(&mut self.dice, true).await),
            65..=79 => drop(self.phones[which].pull(&self.car, &mut self.dice, true).await),
            80..=89 => drop(self.phones[which].push_photo(&mut self.dice, true).await),
            90..=92 => self = self.restart().await,
            93 => self.back_up().await,
            94 => self = self.restore().await,
            95 => self.wipe(which).await,
            96 => self.end_session(which).await,
            97 => self.delete_the_card(which).await,
            _ => self.phones[which].client = self.app.phone().await,
        }
        self.remember_what_was_made();
        self
    }

    fn remember_what_was_made(&mut self) {
        for phone in &self.phones {
            let whole = phone.ops.iter().filter(|(_, (op, _))| op["do"]["tick"]["state"] != json!("perhaps"));
            self.made.extend(whole.map(|(id, _)| id.clone()));
        }
    }

    async fn restart(mut self) -> Storm {
        self.app = self.app.restart().await.with_routes(god_routes());
        self.reconnect();
        self
    }

    fn reconnect(&mut self) {
        for phone in &mut self.phones {
            phone.client = phone.client.at(&self.app);
        }
    }

    async fn back_up(&mut self) {
        let file = self.copies.path().join(format!("{}.backup", self.dice.random::<u64>()));
        self.app.back_up(&file).await;
        self.backup = Some(file);
    }

    /// The garage burns down and is set up again from the older backup.
    async fn restore(mut self) -> Storm {
        let Some(backup) = self.backup.clone() else { return self };
        self.app = self.app.restored_from(&backup).await.with_routes(god_routes());
        self.reconnect();
        self
    }

    /// The phone loses its storage. What it had not sent is gone, and nothing else may be.
    async fn wipe(&mut self, which: usize) {
        let gone: Vec<String> = self.only_here(which);
        for id in gone {
            self.made.remove(&id);
        }
        self.phones[which] = Phone::new(self.app.phone().await, 0);
    }

    /// Operations that only this phone holds: waiting ones, and sent ones that a restore may have undone.
    fn only_here(&self, which: usize) -> Vec<String> {
        let elsewhere =
            |id: &String| self.phones.iter().enumerate().any(|(at, phone)| at != which && phone.ops.contains_key(id));
        let ops = &self.phones[which].ops;
        ops.iter()
            .filter(|(id, (_, state))| *state != State::Known && !elsewhere(id))
            .map(|(id, _)| id.clone())
            .collect()
    }

    async fn end_session(&mut self, which: usize) {
        let hello = self.phones[which].client.get_json("/sync/hello").await.json();
        if let Some(device) = hello["device"].as_str() {
            self.app.owner().await.post_form(&format!("/devices/{device}/part"), &[]).await;
        }
    }

    async fn delete_the_card(&mut self, which: usize) {
        let path = format!("/test/delete/{}/{}", self.car.car, self.car.card);
        self.phones[which].client.post_json(&path, &json!({})).await;
    }

    /// No more faults: every phone is paired, sends what it has and reads what there is, until nothing moves.
    async fn let_the_sun_out(&mut self) {
        for which in 0..self.phones.len() {
            self.phones[which].client = self.app.phone().await;
        }
        for _ in 0..ENOUGH_ROUNDS {
            let mut quiet = true;
            for phone in &mut self.phones {
                quiet &= phone.flush(&mut self.dice, false).await;
                quiet &= phone.pull(&self.car, &mut self.dice, false).await;
                quiet &= phone.push_photo(&mut self.dice, false).await;
            }
            if quiet {
                // A last look, for what others sent after this one had read.
                for phone in &mut self.phones {
                    phone.pull(&self.car, &mut self.dice, false).await;
                }
                return;
            }
        }
        panic!("seed {}: the outboxes never drained", self.seed);
    }

    async fn check(self) {
        let seed = self.seed;
        let server = self.server_ops().await;
        let ids: Vec<&String> = server.keys().collect();
        for id in &self.made {
            assert!(server.contains_key(id), "seed {seed}: {id} was lost");
        }
        for phone in &self.phones {
            let held: Vec<&String> =
                phone.ops.iter().filter(|(_, (_, state))| *state != State::Refused).map(|(id, _)| id).collect();
            assert_eq!(held, ids, "seed {seed}: a phone holds something else than the garage");
            for (id, op) in &server {
                assert_eq!(&phone.ops[id].0, op, "seed {seed}");
            }
            assert!(phone.photos.iter().all(|photo| photo.done), "seed {seed}");
        }
        self.check_standing(&server).await;
        self.check_photos().await;
    }

    async fn server_ops(&self) -> BTreeMap<String, Value> {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let ops = underlamp::sync::store::since(&mut conn, self.car.car, 0, 1_000_000).await.unwrap();
        let count = ops.len();
        let by_id: BTreeMap<String, Value> =
            ops.into_iter().map(|known| (known.op.id.to_string(), serde_json::to_value(known.op).unwrap())).collect();
        assert_eq!(by_id.len(), count, "seed {}: something is stored twice", self.seed);
        by_id
    }

    /// What stands in the database is what the plain fold says of all operations.
    async fn check_standing(&self, server: &BTreeMap<String, Value>) {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let all: Vec<Value> = server.values().cloned().collect();
        let mut standing = Winners::new();
        for op in underlamp::work::store::standing_of_car(&mut conn, self.car.car).await.unwrap() {
            standing.entry(op.subject_id).or_default().insert(op.field, op.op_id);
        }
        assert_eq!(standing, fold(&all).0, "seed {}", self.seed);
    }

    async fn check_photos(&self) {
        for photo in self.phones.iter().flat_map(|phone| &phone.photos) {
            let answer = self.phones[0].client.get(&format!("/photos/{}/thumb", photo.sha256)).await;
            assert_eq!(answer.status, axum::http::StatusCode::OK, "seed {}", self.seed);
        }
        assert!(self.app.clock.now() > EVENING);
    }
}

/// A picture that is unlike any other.
fn small_jpeg(salt: u32) -> Vec<u8> {
    let [a, b, c, d] = salt.to_le_bytes();
    let picture = image::RgbImage::from_fn(96, 64, |x, y| {
        image::Rgb([a ^ (x as u8), b ^ (y as u8), c.wrapping_add(d).wrapping_add((x * y) as u8)])
    });
    let mut out = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut out, image::ImageFormat::Jpeg).unwrap();
    out.into_inner()
}
