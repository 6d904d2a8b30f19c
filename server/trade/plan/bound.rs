//! What no plan can beat.

use super::problem::{Problem, members};

/// The least minutes of work and access together, for plans that leave nothing over.
///
/// The work itself is fixed. Each access that is needed is opened and closed at least once. Where its work exceeds what the
/// longest evening holds, it takes more evenings, and from one to the next it is kept or closed and opened: at least the
/// cheaper of the two. Access adds up, because every minute of it belongs to one access.
pub fn least_time(problem: &Problem) -> u32 {
    let longest = problem.slots.iter().map(|slot| slot.minutes).max().unwrap_or(0);
    let access: u32 = (0..problem.doors.len()).map(|access| of_access(problem, access, longest)).sum();
    problem.work() + access
}

fn of_access(problem: &Problem, access: usize, longest: u32) -> u32 {
    let door = problem.doors[access];
    let users = problem.pieces.iter().filter(|piece| piece.need >> access & 1 == 1);
    let work: u32 = users.clone().map(|piece| piece.minutes).sum();
    let open = problem.open >> access & 1 == 1;
    if users.count() == 0 {
        return if open { door.close } else { 0 };
    }
    if open {
        // One closing at least; its evenings may all be kept for nothing but what keeping costs.
        return door.close + evenings(work, longest) * door.keep.unwrap_or(0).min(door.again());
    }
    door.open + door.close + (evenings(work + door.close, longest.saturating_sub(door.at_least())) - 1) * door.again()
}

fn evenings(work: u32, room: u32) -> u32 {
    work.div_ceil(room.max(1)).max(1)
}

/// The earliest slot in which so many minutes more can be through, if `left` are left of this one.
pub fn earliest(problem: &Problem, slot: usize, left: u32, minutes: u32) -> Option<usize> {
    let mut missing = minutes.saturating_sub(left);
    if missing == 0 {
        return Some(slot);
    }
    for later in slot + 1..problem.slots.len() {
        missing = missing.saturating_sub(problem.slots[later].minutes);
        if missing == 0 {
            return Some(later);
        }
    }
    None
}

/// The least access minutes still to come, in the middle of an evening with `left` minutes: what is open now, and for each
/// access the work behind it that is not done.
pub fn least_access(problem: &Problem, open: u64, behind: &[u32], needed: u64, left: u32, longest: u32) -> u32 {
    members(open | needed)
        .map(|access| {
            let door = problem.doors[access];
            let is_open = open >> access & 1 == 1;
            let first = if is_open { door.close } else { door.open + door.close };
            if needed >> access & 1 == 0 {
                return first;
            }
            let room = longest.saturating_sub(door.at_least()).max(1);
            let begun_tonight = behind[access].saturating_sub(left).div_ceil(room);
            let begun_later = behind[access].div_ceil(room).saturating_sub(1);
            let more = if is_open { begun_tonight } else { begun_tonight.min(begun_later) };
            first + more * door.again()
        })
        .sum()
}
