//! What else is true of a step, beyond its verb and object: what the card checker cannot read from the words.

use super::closed_set::closed_set;
use super::nature::{Nature, nature_of};
use super::steps::ObjectKind;
use serde::{Deserialize, Serialize};

closed_set! {
    /// One thing that is true of a step.
    pub enum Mark {
        UnderCar = "under-car", "done lying under the car";
        TwoPeople = "two-people", "takes a second person";
        BearsLoad = "bears-load", "holds the car or a heavy part up";
        RubberBush = "rubber-bush", "clamps a rubber bush";
        UsedOnce = "used-once", "a new one each time";
        ByAngle = "by-angle", "last stage is an angle";
        WhenCold = "when-cold", "only once engine and exhaust are cold";
        WhenWarm = "when-warm", "at working temperature";
        EngineRunning = "engine-running", "with the engine running";
        GasLedOut = "gas-led-out", "exhaust gas led outside";
    }
}

/// Everything that was said of a step beyond verb and object.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Marks {
    pub marks: Vec<Mark>,
    /// What the thing is, where its name does not say so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub is: Option<Nature>,
    /// For a fluid that is drained: the opening through which it is filled again.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub filler: String,
    /// For a fastener: the set whose members all have to be in before one is pulled tight.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub set: String,
}

impl Marks {
    pub fn has(&self, mark: Mark) -> bool {
        self.marks.contains(&mark)
    }

    pub fn is_empty(&self) -> bool {
        *self == Marks::default()
    }

    /// What the thing is: as said, else by its words.
    pub fn nature(&self, kind: ObjectKind, object: &str) -> Option<Nature> {
        self.is.or_else(|| nature_of(kind, object))
    }
}
