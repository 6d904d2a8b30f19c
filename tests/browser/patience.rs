//! Waiting for something to become so, instead of for some time to pass.

use std::time::{Duration, Instant};

/// The machine may be busy with other tests.
const PATIENCE: Duration = Duration::from_secs(30);
const STEP: Duration = Duration::from_millis(25);

/// Waits until there is something.
pub fn until_some<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let end = Instant::now() + PATIENCE;
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(Instant::now() < end, "it never came about that {what}");
        std::thread::sleep(STEP);
    }
}

/// Waits until it is so.
pub fn until(what: &str, mut is_so: impl FnMut() -> bool) {
    until_some(what, || is_so().then_some(()));
}
