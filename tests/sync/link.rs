//! A link that does to messages what a home's far corner does.

use crate::support::{Answer, Client};
use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::Value;

/// What becomes of one exchange.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    None,
    RequestLost,
    /// The server did the work, and the phone never hears of it.
    AnswerLost,
    DeliveredTwice,
}

pub fn fault(dice: &mut StdRng, storm: bool) -> Fault {
    if !storm {
        return Fault::None;
    }
    match dice.random_range(0..10) {
        0 | 1 => Fault::RequestLost,
        2 | 3 => Fault::AnswerLost,
        4 => Fault::DeliveredTwice,
        _ => Fault::None,
    }
}

/// Posts through the link. `None`: the phone heard nothing.
pub async fn post(client: &Client, path: &str, body: &Value, fault: Fault) -> Option<Answer> {
    if fault == Fault::RequestLost {
        return None;
    }
    let answer = client.post_json(path, body).await;
    match fault {
        Fault::AnswerLost => None,
        Fault::DeliveredTwice => Some(client.post_json(path, body).await),
        Fault::None | Fault::RequestLost => Some(answer),
    }
}
