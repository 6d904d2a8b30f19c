//! What the program prints for whoever started it.
//!
//! Whoever started it may have stopped listening: a script that read the pairing code and closed the pipe, a terminal
//! that is gone. `println!` would end the program there, and a garage must go on serving. So what cannot be printed is
//! left unsaid.

use std::fmt::Display;
use std::io::Write;

/// Prints lines to standard output.
pub fn say(lines: impl Display) {
    let _ = writeln!(std::io::stdout().lock(), "{lines}");
}

/// Prints lines to standard error.
pub fn complain(lines: impl Display) {
    let _ = writeln!(std::io::stderr().lock(), "{lines}");
}
