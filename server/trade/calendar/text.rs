//! Lines of at most 75 octets, and text that cannot be taken for anything else (RFC 5545, 3.1 and 3.3.11).

/// Octets of a line without its end.
const WIDEST: usize = 75;

/// The lines written so far.
#[derive(Debug, Default)]
pub(super) struct Sheet(String);

impl Sheet {
    /// A line that needs no escaping: written by ourselves, or checked before.
    pub(super) fn line(&mut self, line: &str) {
        let mut width = 0;
        for letter in line.chars() {
            if width + letter.len_utf8() > WIDEST {
                self.0.push_str("\r\n ");
                width = 1;
            }
            self.0.push(letter);
            width += letter.len_utf8();
        }
        self.0.push_str("\r\n");
    }

    /// A property whose value is text.
    pub(super) fn text(&mut self, name: &str, value: &str) {
        self.line(&format!("{name}:{}", escaped(value)));
    }

    pub(super) fn done(self) -> String {
        self.0
    }
}

/// Every kind of line end becomes `\n`; other control characters may not stand in a calendar and are left out.
fn escaped(value: &str) -> String {
    let mut out = String::with_capacity(value.len());
    for letter in value.replace("\r\n", "\n").replace('\r', "\n").chars() {
        match letter {
            '\\' | ';' | ',' => out.extend(['\\', letter]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push(' '),
            control if control.is_control() => {}
            plain => out.push(plain),
        }
    }
    out
}
