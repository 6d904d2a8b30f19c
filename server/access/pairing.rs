//! Pairing codes: shown once at the desk, typed or scanned once at the phone.
//!
//! A code is 8 characters of Crockford's base 32 (40 bits; without I, L, O and U, which are misread). It
//! ends after a while, after one use, or after five wrong tries by anyone: at that rate a guess has one
//! chance in 2^37. Wrong tries are also slowed down for everybody.

use super::Doorkeeper;
use super::session::hash;
use super::store;
use crate::clock::{Clock, Moment};
use crate::db::WriteDb;
use crate::error::AppError;
use std::sync::{Arc, Mutex};

const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LENGTH: usize = 8;
/// How many wrong tries wear a code out.
pub const WRONG_TRIES: i64 = 5;

/// A pairing code in its one normal form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code(String);

impl Code {
    fn random() -> Code {
        let bytes: [u8; LENGTH] = rand::random();
        Code(bytes.iter().map(|byte| char::from(ALPHABET[usize::from(byte % 32)])).collect())
    }

    /// Reads a code as a person types it: small letters, blanks and dashes, O for 0, I or L for 1.
    pub fn parse(typed: &str) -> Result<Code, AppError> {
        let normal: String = typed
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .map(|c| match c.to_ascii_uppercase() {
                'O' => '0',
                'I' | 'L' => '1',
                other => other,
            })
            .collect();
        let fits = normal.len() == LENGTH && normal.bytes().all(|byte| ALPHABET.contains(&byte));
        if !fits {
            return Err(AppError::PairingRefused(
                "A pairing code has eight letters and digits, such as K7QM-3XDP.".into(),
            ));
        }
        Ok(Code(normal))
    }

    /// As shown: two groups of four.
    pub fn shown(&self) -> String {
        format!("{}-{}", &self.0[..4], &self.0[4..])
    }

    pub(super) fn hash(&self) -> String {
        hash(&self.0)
    }
}

/// Makes a code that works until `ends`.
pub async fn new_code(write: &WriteDb, clock: &Clock, ends: Moment) -> Result<Code, AppError> {
    let code = Code::random();
    let mut tx = write.begin_at_the_door(&Doorkeeper(())).await?;
    store::forget_what_has_ended(&mut tx, clock.now()).await?;
    store::add_code(&mut tx, &code.hash(), clock.now(), ends).await?;
    tx.commit().await?;
    Ok(code)
}

/// Slows guessing down: more than `BURST` wrong tries within `WINDOW_MS` make everybody wait.
#[derive(Debug, Clone, Default)]
pub struct Tries(Arc<Mutex<Vec<Moment>>>);

const BURST: usize = 10;
const WINDOW_MS: i64 = 60_000;

impl Tries {
    /// Errors with the seconds to wait when there were too many wrong tries just now.
    pub fn check(&self, now: Moment) -> Result<(), AppError> {
        let mut wrong = self.0.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        wrong.retain(|at| now.0 - at.0 < WINDOW_MS);
        if wrong.len() < BURST {
            return Ok(());
        }
        let oldest = wrong.first().copied().unwrap_or(now);
        let wait_ms = WINDOW_MS - (now.0 - oldest.0);
        Err(AppError::TooMany(u64::try_from(wait_ms / 1000 + 1).unwrap_or(60)))
    }

    pub fn count_wrong(&self, now: Moment) {
        self.0.lock().unwrap_or_else(|poisoned| poisoned.into_inner()).push(now);
    }
}

/// What became of a try to use a code.
pub(super) enum Use {
    Accepted,
    Refused(&'static str),
}

/// Judges a code by its row. Pure.
pub(super) fn judge(row: Option<&store::CodeRow>, now: Moment) -> Use {
    let Some(row) = row else {
        return Use::Refused("This code is not right. Look at the desk again: every code works once.");
    };
    if row.used_at.is_some() {
        return Use::Refused("This code was used already. Ask the desk for a new one.");
    }
    if row.wrong_tries >= WRONG_TRIES {
        return Use::Refused("This code is worn out by wrong tries. Ask the desk for a new one.");
    }
    if row.ends_at <= now.0 {
        return Use::Refused("This code is too old. Ask the desk for a new one.");
    }
    Use::Accepted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_as_people_type_it() {
        assert_eq!(Code::parse("k7qm 3xdp").unwrap(), Code::parse("K7QM-3XDP").unwrap());
        assert_eq!(Code::parse("oil10000").unwrap(), Code::parse("01110000").unwrap());
        for wrong in ["", "K7QM", "K7QM-3XDPA", "K7QM-3XD!", "K7QM-3XDU"] {
            assert!(Code::parse(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_fresh_code_reads_back_as_itself() {
        let code = Code::random();
        assert_eq!(Code::parse(&code.shown()).unwrap(), code);
    }

    #[test]
    fn guessing_is_slowed_down_and_let_go_again() {
        let tries = Tries::default();
        for _ in 0..BURST {
            tries.check(Moment(0)).unwrap();
            tries.count_wrong(Moment(0));
        }
        assert!(matches!(tries.check(Moment(1)), Err(AppError::TooMany(60))));
        tries.check(Moment(WINDOW_MS)).unwrap();
    }
}
