//! How one's own evenings compare with the estimates: the median of taken by estimated, so that one bad evening or one slip of
//! the pen does not move it far.

use super::minutes::Minutes;
use rust_decimal::{Decimal, RoundingStrategy};

/// Fewer say nothing. Common practice, no source.
pub const LEAST_RECORDS: usize = 3;

/// A card that was finished: the likely minutes of its estimate, and those it took.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Record {
    pub estimated: u32,
    pub taken: u32,
}

/// What own records say of the estimates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// Taken by estimated, as the median of the records. Greater than zero.
    ratio: Decimal,
    records: usize,
}

/// From at least [`LEAST_RECORDS`] records; those without an estimate or without a time count for nothing.
pub fn correction(records: &[Record]) -> Option<Correction> {
    let usable = records.iter().filter(|record| record.estimated > 0 && record.taken > 0);
    let mut ratios: Vec<Decimal> =
        usable.map(|record| Decimal::from(record.taken) / Decimal::from(record.estimated)).collect();
    if ratios.len() < LEAST_RECORDS {
        return None;
    }
    ratios.sort();
    let middle = ratios.len() / 2;
    let ratio =
        if ratios.len() % 2 == 1 { ratios[middle] } else { (ratios[middle - 1] + ratios[middle]) / Decimal::TWO };
    Some(Correction { ratio, records: ratios.len() })
}

impl Correction {
    pub fn ratio(&self) -> Decimal {
        self.ratio
    }

    pub fn records(&self) -> usize {
        self.records
    }

    /// An estimate as one's own evenings would have it, in whole minutes, at least one where there was one.
    pub fn applied(&self, estimate: Minutes) -> Minutes {
        estimate.each(|minutes| {
            let scaled = Decimal::from(minutes)
                .checked_mul(self.ratio)
                .map(|scaled| scaled.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero));
            let whole = scaled.and_then(|scaled| u32::try_from(scaled).ok()).unwrap_or(u32::MAX);
            whole.max(minutes.min(1))
        })
    }
}

impl std::fmt::Display for Correction {
    /// `Your evenings run 1.4 times the estimate, by 5 records.`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let shown = self.ratio.round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero);
        if shown == Decimal::ONE {
            return write!(out, "Your evenings run as estimated, by {} records.", self.records);
        }
        // Below a twentieth one decimal would read as nothing.
        let shown = if shown.is_zero() { self.ratio.round_sf(1).unwrap_or(self.ratio) } else { shown };
        write!(out, "Your evenings run {} times the estimate, by {} records.", shown.normalize(), self.records)
    }
}
