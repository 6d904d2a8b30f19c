//! A spec with all that its sources say of it.

use crate::ids::{CarId, SpecId, SpecValueId};
use crate::photos::shelf::Sha256Hex;
use crate::trade::bolt_order::Picture;
use crate::trade::spec::{Fastener, Kind, SourceKind, System, Value};
use crate::trade::trust::{self, Said, Trust};
use crate::trade::variant::{Holding, Verdict};

/// What a spec is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpecFacts {
    pub system: System,
    pub item: String,
    pub place: String,
    pub kind: Kind,
    pub fastener: Option<Fastener>,
    /// Stages in order, each a torque or an angle as written.
    pub stages: Vec<String>,
    /// How the fasteners lie and in which order they are tightened.
    pub bolts: Option<Picture>,
    /// Which variant of the car it holds for; empty: all.
    pub variant: String,
    pub note: String,
}

/// What one source says, as stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Says {
    pub id: SpecValueId,
    pub facts: SaysFacts,
    pub settled: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaysFacts {
    pub written: String,
    pub source: SourceKind,
    pub citation: String,
    pub page: String,
    pub note: String,
    /// A photo of the page, the plate or the cap where it says so.
    pub photo: Option<Sha256Hex>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spec {
    pub id: SpecId,
    pub car: CarId,
    pub facts: SpecFacts,
    pub says: Vec<Says>,
    /// Whether it is for this car; `None`: it is for every variant.
    pub holding: Option<Holding>,
    pub rev: i64,
}

impl Spec {
    /// How far to trust it, and the source whose value is shown.
    pub fn trust(&self) -> (Trust, Option<&Says>) {
        let said: Vec<Said> = self
            .says
            .iter()
            .map(|says| Said { value: self.read(says), source: says.facts.source, settled: says.settled })
            .collect();
        let (trust, shown) = trust::judge(&said);
        (trust, shown.map(|index| &self.says[index]))
    }

    /// Why it is not for this car, where its codes say so.
    pub fn not_ours(&self) -> Option<&str> {
        let holding = self.holding.as_ref()?;
        (holding.verdict == Verdict::HoldsNot).then_some(holding.say.as_str())
    }

    /// The value shown, parsed.
    pub fn value(&self) -> Option<Value> {
        let (_, says) = self.trust();
        Some(self.read(says?))
    }

    /// What one of its sources says, parsed. A value that was readable when it was entered stays usable as
    /// words, whatever parsers do later.
    pub fn read(&self, says: &Says) -> Value {
        let written = &says.facts.written;
        Value::parse(self.facts.kind, written).unwrap_or_else(|_| Value::Words(written.clone()))
    }

    /// What one of its sources says, as stored.
    pub fn says(&self, id: SpecValueId) -> Option<&Says> {
        self.says.iter().find(|says| says.id == id)
    }
}
