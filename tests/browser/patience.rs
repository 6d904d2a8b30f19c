//! Waiting for something to become so, instead of for some time to pass.

use std::time::{Duration, Instant};

/// Only a test that fails waits so long; the machine may be busy with other things.
const PATIENCE: Duration = Duration::from_secs(90);
const STEP: Duration = Duration::from_millis(25);

/// Waits until there is something; `None` when it never comes.
pub fn wait_for<T>(mut look: impl FnMut() -> Option<T>) -> Option<T> {
    let end = Instant::now() + PATIENCE;
    loop {
        let found = look();
        if found.is_some() || Instant::now() > end {
            return found;
        }
        std::thread::sleep(STEP);
    }
}

/// Waits until there is something.
pub fn until_some<T>(what: &str, look: impl FnMut() -> Option<T>) -> T {
    wait_for(look).unwrap_or_else(|| panic!("it never came about that {what}"))
}

/// Waits until it is so.
pub fn until(what: &str, mut is_so: impl FnMut() -> bool) {
    until_some(what, || is_so().then_some(()));
}
