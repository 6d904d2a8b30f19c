//! A phone as the protocol describes it: what it must keep, and when it may forget.

use super::link::{Fault, fault, post};
use crate::support::Client;
use crate::support::ops::SmallCar;
use axum::body::Body;
use axum::http::StatusCode;
use bytes::Bytes;
use rand::RngExt;
use rand::rngs::StdRng;
use rand::seq::SliceRandom;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use underlamp::clock::Moment;
use underlamp::ids::DeviceId;
use underlamp::sync::hlc::Hlc;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    Waiting,
    Sent,
    Known,
    Refused,
}

pub struct Photo {
    pub sha256: String,
    bytes: Vec<u8>,
    pub done: bool,
}

pub struct Phone {
    pub client: Client,
    device: DeviceId,
    hlc: Hlc,
    /// How wrong its clock is, and what it learnt to add to it.
    skew_ms: i64,
    correction_ms: i64,
    store: Option<String>,
    mark: Option<String>,
    pub ops: BTreeMap<String, (Value, State)>,
    pub photos: Vec<Photo>,
}

impl Phone {
    pub fn new(client: Client, skew_ms: i64) -> Phone {
        Phone {
            client,
            device: DeviceId::new(),
            hlc: Hlc::ZERO,
            skew_ms,
            correction_ms: 0,
            store: None,
            mark: None,
            ops: BTreeMap::new(),
            photos: Vec::new(),
        }
    }

    fn stamp(&mut self, now: Moment) -> Hlc {
        self.hlc = self.hlc.next(Moment(now.0 + self.skew_ms + self.correction_ms));
        self.hlc
    }

    /// Does something at random and keeps it.
    pub fn act(&mut self, car: &SmallCar, now: Moment, dice: &mut StdRng) {
        let hlc = self.stamp(now);
        let step = car.steps[dice.random_range(0..car.steps.len())];
        let op = match dice.random_range(0..6) {
            0..=2 => car.tick(self.device, hlc, step, ["done", "open", "skipped"][dice.random_range(0..3)]),
            3 => car.note(self.device, hlc, &format!("note {}", dice.random::<u32>())),
            4 => {
                let number = dice.random_range(1..90).to_string();
                let reading = json!({ "reading": { "what": "torque reached", "number": number, "unit": "N.m" } });
                car.op(self.device, hlc, json!({ "step": step }), reading)
            }
            // A poisonous one: no server will ever take it, and none of the others may suffer for it.
            _ => car.op(self.device, hlc, json!({ "step": step }), json!({ "tick": { "state": "perhaps" } })),
        };
        self.keep(op);
    }

    fn keep(&mut self, op: Value) {
        self.ops.insert(op["id"].as_str().unwrap().to_owned(), (op, State::Waiting));
    }

    /// Takes a photo: the bytes and the operation are kept apart.
    pub fn photograph(&mut self, car: &SmallCar, now: Moment, jpeg: Vec<u8>) {
        let sha256 = hex::encode(Sha256::digest(&jpeg));
        let hlc = self.stamp(now);
        let body = json!({ "sha256": sha256, "bytes": jpeg.len(), "type": "image/jpeg", "caption": "" });
        self.keep(car.op(self.device, hlc, json!({ "card": car.card }), json!({ "photo": body })));
        self.photos.push(Photo { sha256, bytes: jpeg, done: false });
    }

    pub fn waiting(&self) -> Vec<Value> {
        let mut waiting: Vec<Value> =
            self.ops.values().filter(|(_, state)| *state == State::Waiting).map(|(op, _)| op.clone()).collect();
        waiting.sort_by_key(|op| op["hlc"].as_str().unwrap().to_owned());
        waiting
    }

    /// Sends what waits, in pieces and sometimes out of order. False: nothing was heard, or not all was settled.
    pub async fn flush(&mut self, dice: &mut StdRng, storm: bool) -> bool {
        let mut waiting = self.waiting();
        if waiting.is_empty() {
            return true;
        }
        if storm && dice.random_bool(0.3) {
            waiting.shuffle(dice);
        }
        waiting.truncate(dice.random_range(1..=8));
        let heard = post(&self.client, "/sync/ops", &json!({ "ops": waiting }), fault(dice, storm)).await;
        let Some(answer) = heard else { return false };
        if answer.status == StatusCode::UNAUTHORIZED {
            return false;
        }
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        let answer = answer.json();
        self.meet_store(answer["store"].as_str().unwrap());
        let mut restamp = false;
        for (op, verdict) in waiting.iter().zip(answer["verdicts"].as_array().unwrap()) {
            let id = op["id"].as_str().unwrap();
            let state = match verdict["is"].as_str().unwrap() {
                "applied" | "had" | "kept" => State::Sent,
                _ if verdict["again"] == "restamp" => {
                    restamp = true;
                    continue;
                }
                _ => State::Refused,
            };
            self.ops.get_mut(id).unwrap().1 = state;
        }
        if restamp {
            self.correct_clock(answer["now"].as_i64().unwrap());
        }
        false
    }

    /// Learns what time it is, and gives all that waits new readings in the old order.
    fn correct_clock(&mut self, server_now: i64) {
        self.correction_ms = -self.skew_ms;
        self.hlc = Hlc::ZERO;
        for (op, state) in self.ops.values() {
            if *state != State::Waiting {
                let seen: Hlc = op["hlc"].as_str().unwrap().parse().unwrap();
                if seen.moment().0 <= server_now {
                    self.hlc = self.hlc.having_seen(seen);
                }
            }
        }
        for mut op in self.waiting() {
            self.hlc = self.hlc.next(Moment(server_now));
            op["hlc"] = json!(self.hlc.to_string());
            self.keep(op);
        }
    }

    /// A store that is not the one known before: give back everything that is held, one's own and others'.
    fn meet_store(&mut self, store: &str) {
        if self.store.as_deref().is_some_and(|known| known != store) {
            for (_, state) in self.ops.values_mut() {
                if *state != State::Refused {
                    *state = State::Waiting;
                }
            }
            for photo in &mut self.photos {
                photo.done = false;
            }
        }
        self.store = Some(store.to_owned());
    }

    /// Reads what is new. False: nothing was heard, or there is more.
    pub async fn pull(&mut self, car: &SmallCar, dice: &mut StdRng, storm: bool) -> bool {
        let since = self.mark.as_ref().map(|mark| format!("&since={mark}")).unwrap_or_default();
        if matches!(fault(dice, storm), Fault::RequestLost | Fault::AnswerLost) {
            return false;
        }
        let answer = self.client.get_json(&format!("/sync/changes?car={}{since}", car.car)).await;
        if answer.status == StatusCode::UNAUTHORIZED {
            return false;
        }
        let answer = answer.json();
        self.meet_store(answer["store"].as_str().unwrap());
        for op in answer["ops"].as_array().unwrap() {
            let mut op = op.clone();
            op.as_object_mut().unwrap().remove("seq");
            let mine = op["device"] == json!(self.device);
            self.hlc = self.hlc.having_seen(op["hlc"].as_str().unwrap().parse().unwrap());
            let state = if mine { State::Sent } else { State::Known };
            self.ops.insert(op["id"].as_str().unwrap().to_owned(), (op, state));
        }
        self.mark = Some(answer["mark"].as_str().unwrap().to_owned());
        answer["more"] == json!(false)
    }

    /// Pushes a piece of the first photo that is not done; in a storm the piece is cut at some byte.
    pub async fn push_photo(&mut self, dice: &mut StdRng, storm: bool) -> bool {
        let Some(photo) = self.photos.iter_mut().find(|photo| !photo.done) else { return true };
        let begin = json!({ "sha256": photo.sha256, "length": photo.bytes.len() });
        let Some(answer) = post(&self.client, "/uploads", &begin, fault(dice, storm)).await else { return false };
        if answer.status == StatusCode::UNAUTHORIZED {
            return false;
        }
        let answer = answer.json();
        if answer["done"] == json!(true) {
            photo.done = true;
            return false;
        }
        let offset = usize::try_from(answer["offset"].as_u64().unwrap()).unwrap();
        let rest = &photo.bytes[offset..];
        let upto = if storm { dice.random_range(0..=rest.len()) } else { rest.len() };
        let piece = Bytes::copy_from_slice(&rest[..upto]);
        let cut = storm && dice.random_bool(0.5);
        let mut pieces = vec![Ok(piece)];
        if cut {
            pieces.push(Err(std::io::Error::other("the link is cut")));
        }
        let body = Body::from_stream(futures_util::stream::iter(pieces));
        let path = format!("/uploads/{}", photo.sha256);
        let answer = self.client.patch(&path, offset as u64, body).await;
        photo.done = answer.status == StatusCode::OK && answer.json()["done"] == json!(true);
        false
    }
}
