//! Jobs that wait for each other in a ring, so that none can begin.

use std::collections::BTreeSet;

/// All members of one ring, in the order in which they wait; `None` where there is none. `waits` has for each job those that
/// it waits for, by their places in the same list.
pub fn ring(waits: &[Vec<usize>]) -> Option<Vec<usize>> {
    let mut left: BTreeSet<usize> = (0..waits.len()).collect();
    loop {
        let free: Vec<usize> =
            left.iter().copied().filter(|&job| waits[job].iter().all(|before| !left.contains(before))).collect();
        if free.is_empty() {
            break;
        }
        for job in free {
            left.remove(&job);
        }
    }
    // Whoever is left waits for one who is left: walking on must come back to a job seen before.
    let mut walked = vec![*left.first()?];
    loop {
        let last = *walked.last()?;
        let next = waits[last].iter().copied().find(|before| left.contains(before))?;
        if let Some(from) = walked.iter().position(|&seen| seen == next) {
            return Some(walked[from..].to_vec());
        }
        walked.push(next);
    }
}
