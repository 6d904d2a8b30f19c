//! The rows for a spreadsheet: RFC 4180, UTF-8, lines ending in CR LF, a header row.

use super::Want;
use crate::trade::spreadsheet::guarded;

/// The header row.
pub const HEAD: [&str; 11] =
    ["job", "area", "kind", "name", "number", "supplier", "quantity", "state", "price", "currency", "order by"];

/// All wants, in the order in which they are given. Prices have a decimal point.
///
/// A text that a spreadsheet would take for a formula stands behind an apostrophe: see [`spreadsheet`](crate::trade::spreadsheet).
pub fn csv(wants: &[Want]) -> String {
    let head = HEAD.map(str::to_owned);
    rows(std::iter::once(head).chain(wants.iter().map(row)))
}

/// Rows of any table, the header among them.
pub fn rows<const N: usize>(rows: impl Iterator<Item = [String; N]>) -> String {
    rows.map(|row| row.iter().map(|text| cell(text)).collect::<Vec<_>>().join(",") + "\r\n").collect()
}

fn row(want: &Want) -> [String; HEAD.len()] {
    [
        want.job.clone(),
        want.area.map(|area| area.label().to_owned()).unwrap_or_default(),
        want.sort.label().to_owned(),
        want.name.clone(),
        want.number.clone(),
        want.supplier.clone(),
        want.many.to_string(),
        want.stage.label().to_owned(),
        want.price.map(|price| format!("{:.2}", price.amount())).unwrap_or_default(),
        want.price.map(|price| price.currency().to_string()).unwrap_or_default(),
        want.order_by.map(|day| day.to_string()).unwrap_or_default(),
    ]
}

fn cell(text: &str) -> String {
    let text = guarded(text.to_owned());
    if text.contains([',', '"', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}
