//! Greases: NLGI consistency numbers and the service letters of ASTM D4950.

use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// How stiff a grease is, softest first.
    pub enum Nlgi {
        N000 = "000", "NLGI 000";
        N00 = "00", "NLGI 00";
        N0 = "0", "NLGI 0";
        N1 = "1", "NLGI 1";
        N2 = "2", "NLGI 2";
        N3 = "3", "NLGI 3";
        N4 = "4", "NLGI 4";
        N5 = "5", "NLGI 5";
        N6 = "6", "NLGI 6";
    }
}

closed_set! {
    /// Service of a chassis grease, mild first.
    pub enum ChassisGrease {
        La = "la", "LA";
        Lb = "lb", "LB";
    }
}

closed_set! {
    /// Service of a wheel bearing grease, mild first.
    pub enum WheelGrease {
        Ga = "ga", "GA";
        Gb = "gb", "GB";
        Gc = "gc", "GC";
    }
}

/// What is known of a grease.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub struct Grease {
    pub nlgi: Option<Nlgi>,
    pub chassis: Option<ChassisGrease>,
    pub wheel: Option<WheelGrease>,
}

pub(super) const CONSISTENCY: Citation = Citation::read("NLGI numbers in the abstract of ASTM D217");
pub(super) const SERVICE: Citation = Citation::quoted("ASTM D4950");

impl Nlgi {
    /// Worked penetration at 25 °C in tenths of a millimetre, both ends included. Between two grades is a gap that
    /// belongs to neither.
    pub fn penetration(self) -> (u32, u32) {
        match self {
            Self::N000 => (445, 475),
            Self::N00 => (400, 430),
            Self::N0 => (355, 385),
            Self::N1 => (310, 340),
            Self::N2 => (265, 295),
            Self::N3 => (220, 250),
            Self::N4 => (175, 205),
            Self::N5 => (130, 160),
            Self::N6 => (85, 115),
        }
    }

    /// The grade of a measured penetration; none in the gaps.
    pub fn of_penetration(tenths_of_mm: u32) -> Option<Self> {
        Self::ALL.iter().copied().find(|grade| {
            let (least, most) = grade.penetration();
            (least..=most).contains(&tenths_of_mm)
        })
    }
}

/// As in `grease NLGI 2 GC-LB`.
impl std::fmt::Display for Grease {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("grease")?;
        if let Some(nlgi) = self.nlgi {
            write!(out, " {nlgi}")?;
        }
        match (self.wheel, self.chassis) {
            (Some(wheel), Some(chassis)) => write!(out, " {wheel}-{chassis}"),
            (Some(wheel), None) => write!(out, " {wheel}"),
            (None, Some(chassis)) => write!(out, " {chassis}"),
            (None, None) => Ok(()),
        }
    }
}
