//! A spec and its sources, as tests of this folder need them.

use super::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::trade::spec::{Kind, SourceKind, System};

/// What one source says; the book is invented.
pub fn says(written: &str, source: SourceKind, settled: bool) -> Says {
    let facts = SaysFacts {
        written: written.into(),
        source,
        citation: "Halden workshop manual".into(),
        page: "24".into(),
        note: String::new(),
        photo: None,
    };
    Says { id: SpecValueId::new(), facts, settled }
}

/// The torque of a sump plug.
pub fn spec(says: Vec<Says>) -> Spec {
    let facts = SpecFacts {
        system: System::Engine,
        item: "Sump plug".into(),
        place: "rear face".into(),
        kind: Kind::Torque,
        fastener: None,
        stages: Vec::new(),
        bolts: None,
        variant: String::new(),
        note: String::new(),
    };
    Spec { id: SpecId::new(), car: CarId::new(), facts, says, holding: None, rev: 1 }
}
