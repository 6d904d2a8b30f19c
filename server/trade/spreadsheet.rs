//! Keeps a spreadsheet from running what is written in a cell of a table.
//!
//! A cell that begins like a formula is written with an apostrophe before it. So is a cell that begins with an
//! apostrophe, so that taking exactly one away always gives back what was written. Source: OWASP, CSV injection:
//! equals, plus, minus, at, tab, return and line feed, and the full-width forms of the first four (from memory).

/// True where a spreadsheet could take `cell` for a formula, blanks before it or not.
fn could_run(cell: &str) -> bool {
    const SIGNS: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    cell.starts_with(['\t', '\r', '\n']) || cell.trim_start().starts_with(SIGNS)
}

/// The cell as it stands in the table.
pub fn guarded(cell: String) -> String {
    if cell.starts_with('\'') || could_run(&cell) { format!("'{cell}") } else { cell }
}

/// What was written in a cell of the table.
pub fn plain(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_that_could_run_stands_behind_an_apostrophe() {
        for cell in ["=1+1", "+5 V", "-10 °C", "@a", "\tx", "\rx", "\nx", "  =1", "＝1", "\u{a0}=1", "'x"] {
            let out = guarded(cell.into());
            assert_eq!((out.clone(), plain(&out)), (format!("'{cell}"), cell));
        }
    }

    #[test]
    fn any_other_cell_stands_as_it_is() {
        for cell in ["", "95 Nm", "1,9 bar", "M12x1.5", "80 ± 5 Nm", "a=b", "90°", "say \"when\"", "–5 °C"] {
            assert_eq!((guarded(cell.into()).as_str(), plain(cell)), (cell, cell));
        }
    }
}
