//! A table for a spreadsheet: RFC 4180, a header row, lines ending in CR LF.
//!
//! The file begins with a byte order mark: without one a spreadsheet may read UTF-8 as something else and spoil the
//! degree sign (common practice, no source). Every cell is quoted: one with a semicolon in it would fall in two where a
//! spreadsheet splits at those, and its second half would have no guard.

use crate::trade::spreadsheet::guarded;
use csv::{QuoteStyle, Terminator, WriterBuilder};

const BYTE_ORDER_MARK: &[u8] = "\u{feff}".as_bytes();

/// What a table is sent as.
pub const MEDIA_TYPE: &str = "text/csv; charset=utf-8; header=present";

/// The whole table. Cells that could run as formulas are guarded. Errors only where memory cannot be written.
pub fn sheet(rows: impl IntoIterator<Item = Vec<String>>) -> Result<Vec<u8>, csv::Error> {
    let mut writer = WriterBuilder::new()
        .quote_style(QuoteStyle::Always)
        .terminator(Terminator::CRLF)
        .from_writer(BYTE_ORDER_MARK.to_vec());
    for row in rows {
        writer.write_record(row.into_iter().map(guarded))?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}
