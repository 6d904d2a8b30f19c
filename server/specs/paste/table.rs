//! A pasted text taken apart into rows and cells. Pure.

use std::collections::BTreeMap;

/// Rows that one paste may have: a page of a book has fewer, and every one of them is looked at.
pub const MOST_ROWS: usize = 300;
/// Cells that a row may have.
const MOST_CELLS: usize = 20;

/// By what the cells of a text are kept apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Split {
    Tab,
    Semicolon,
    Comma,
    /// Two or more blanks, or the dots that lead the eye across a printed page.
    Blanks,
}

impl Split {
    pub fn words(self) -> &'static str {
        match self {
            Split::Tab => "tabs",
            Split::Semicolon => "semicolons",
            Split::Comma => "commas",
            Split::Blanks => "runs of blanks or dots",
        }
    }

    fn delimiter(self) -> Option<u8> {
        match self {
            Split::Tab => Some(b'\t'),
            Split::Semicolon => Some(b';'),
            Split::Comma => Some(b','),
            Split::Blanks => None,
        }
    }
}

/// Why a text is no table, as a sentence for the person who pasted it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    #[error("Paste a table first: there is nothing here yet.")]
    Empty,
    #[error(
        "This holds letters that no table has, as a program or a picture would. Copy the table itself, not its file."
    )]
    NoText,
    #[error(
        "No columns were found: between two cells of a line there must be a tab, a semicolon, a comma or two blanks."
    )]
    NoColumns,
    #[error("These are {0} lines, and {MOST_ROWS} are the most at once: paste the table in parts.")]
    TooLong(usize),
    #[error("A line has {0} cells, and {MOST_CELLS} are the most: paste fewer columns.")]
    TooWide(usize),
}

/// A text as rows of cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    pub split: Split,
    /// Names of the columns, where the text has them.
    pub header: Option<Vec<String>>,
    pub rows: Vec<Vec<String>>,
    /// Lines that hold a single cell: titles, page numbers.
    pub aside: Vec<String>,
    /// How many cells most rows have.
    pub width: usize,
}

impl Table {
    /// Takes a text apart. Errors: nothing in it, no text, no columns, too much at once.
    pub fn read(text: &str) -> Result<Table, TableError> {
        if text.trim().is_empty() {
            return Err(TableError::Empty);
        }
        if text.chars().any(|letter| letter.is_control() && !matches!(letter, '\n' | '\r' | '\t' | '\u{c}')) {
            return Err(TableError::NoText);
        }
        let lines: Vec<&str> =
            text.lines().map(|line| line.trim_end()).filter(|line| !line.trim().is_empty()).collect();
        if lines.len() > MOST_ROWS + 20 {
            return Err(TableError::TooLong(lines.len()));
        }
        let split = split_of(&lines);
        let cells = cut(text, &lines, split);
        if let Some(wide) = cells.iter().map(Vec::len).find(|cells| *cells > MOST_CELLS) {
            return Err(TableError::TooWide(wide));
        }
        let (rows, single): (Vec<Vec<String>>, Vec<Vec<String>>) = cells.into_iter().partition(|row| filled(row) > 1);
        let Some(width) = most_common(rows.iter().map(Vec::len)) else { return Err(TableError::NoColumns) };
        let aside =
            single.into_iter().map(|row| row.join(" ").trim().to_owned()).filter(|line| !line.is_empty()).collect();
        let mut table = Table { split, header: None, rows, aside, width };
        table.find_header();
        if table.rows.len() > MOST_ROWS {
            return Err(TableError::TooLong(table.rows.len()));
        }
        Ok(table)
    }

    /// The first row names the columns where it holds no figure; a name broken over two lines is put together.
    fn find_header(&mut self) {
        let heads = self.rows.iter().take(2).take_while(|row| row.iter().all(|cell| !has_digit(cell))).count();
        if heads == 0 || heads == self.rows.len() {
            return;
        }
        let mut names = vec![String::new(); self.width];
        for row in self.rows.drain(..heads) {
            for (name, cell) in names.iter_mut().zip(row) {
                *name = format!("{name} {cell}").trim().to_owned();
            }
        }
        self.header = Some(names);
    }
}

fn has_digit(cell: &str) -> bool {
    cell.chars().any(|letter| letter.is_ascii_digit())
}

fn filled(row: &[String]) -> usize {
    row.iter().filter(|cell| !cell.is_empty()).count()
}

fn most_common(lengths: impl Iterator<Item = usize>) -> Option<usize> {
    let mut counted: BTreeMap<usize, usize> = BTreeMap::new();
    for length in lengths {
        *counted.entry(length).or_default() += 1;
    }
    // Of lengths that are as common, the longer: a short row lacks something, a long one has nothing too many.
    counted.into_iter().max_by_key(|(length, times)| (*times, *length)).map(|(length, _)| length)
}

/// A sign that stands in most lines, and as often in most of them, keeps the cells apart. A comma only where it is not the
/// decimal sign.
fn split_of(lines: &[&str]) -> Split {
    let steady = |sign: char| {
        let counts = || lines.iter().map(|line| line.matches(sign).count()).filter(|count| *count > 0);
        let Some(usual) = most_common(counts()) else { return false };
        let same = counts().filter(|count| *count == usual).count();
        counts().count() * 10 >= lines.len() * 6 && same * 10 >= lines.len() * 5
    };
    let decimal = lines.iter().flat_map(|line| line.match_indices(',').map(|(at, _)| (line.as_bytes(), at))).filter(
        |(line, at)| *at > 0 && line[at - 1].is_ascii_digit() && line.get(at + 1).is_some_and(u8::is_ascii_digit),
    );
    let commas: usize = lines.iter().map(|line| line.matches(',').count()).sum();
    if steady('\t') {
        Split::Tab
    } else if steady(';') {
        Split::Semicolon
    } else if steady(',') && decimal.count() * 2 < commas {
        Split::Comma
    } else {
        Split::Blanks
    }
}

fn cut(text: &str, lines: &[&str], split: Split) -> Vec<Vec<String>> {
    let Some(delimiter) = split.delimiter() else {
        return lines.iter().map(|line| by_blanks(line)).collect();
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let cells = |record: csv::StringRecord| record.iter().map(tidy).collect::<Vec<String>>();
    reader.records().flatten().map(cells).filter(|row| filled(row) > 0).collect()
}

/// A line cut at runs of two or more blanks, of tabs, and of three or more dots.
fn by_blanks(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut letters = line.trim().chars().peekable();
    while let Some(letter) = letters.next() {
        let mut run = 1;
        let leads = |letter: char| letter == '.' || letter == '…' || letter == '_' || letter == '·';
        if letter.is_whitespace() || leads(letter) {
            let same = |next: &char| if letter.is_whitespace() { next.is_whitespace() } else { leads(*next) };
            while letters.next_if(same).is_some() {
                run += 1;
            }
        }
        let cuts =
            (letter.is_whitespace() && (run >= 2 || letter == '\t')) || (leads(letter) && (run >= 3 || letter == '…'));
        match cells.last_mut() {
            Some(cell) if !cuts => cell.extend(std::iter::repeat_n(letter, run)),
            Some(cell) if cell.trim().is_empty() => cell.clear(),
            _ => cells.push(String::new()),
        }
    }
    cells.iter().map(|cell| tidy(cell)).filter(|cell| !cell.is_empty()).collect()
}

fn tidy(cell: &str) -> String {
    cell.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> (Split, Vec<Vec<String>>) {
        let table = Table::read(text).unwrap();
        (table.split, table.rows)
    }

    #[test]
    fn a_spreadsheet_s_tabs_keep_empty_cells_in_their_places() {
        let (split, rows) = rows("Sump plug\t40 Nm\tM14x1.5\nHead bolts\t\tM10\nOil\t4,6 l\t\n");
        assert_eq!(split, Split::Tab);
        assert_eq!(rows[1], ["Head bolts", "", "M10"]);
        assert_eq!(rows[2], ["Oil", "4,6 l", ""]);
    }

    #[test]
    fn a_decimal_comma_is_no_column() {
        let (split, rows) = rows("Sump plug;4,5 kgm\nFilter;1,2 kgm\n");
        assert_eq!((split, rows[0].clone()), (Split::Semicolon, vec!["Sump plug".into(), "4,5 kgm".into()]));
        let (split, cut) = self::rows("Sump plug   4,5 kgm\nFilter   1,2 kgm\n");
        assert_eq!((split, cut[1].clone()), (Split::Blanks, vec!["Filter".into(), "1,2 kgm".into()]));
    }

    #[test]
    fn commas_keep_cells_apart_where_they_are_no_decimals_and_quotes_hold_them_together() {
        let (split, rows) = rows("item,value\n\"Plug, rear\",40 Nm\nFilter,12 Nm\n");
        assert_eq!(split, Split::Comma);
        assert_eq!(rows[0], ["Plug, rear", "40 Nm"]);
    }

    #[test]
    fn the_text_of_a_printed_page_is_cut_at_its_dots_and_blanks() {
        let text = "TIGHTENING TORQUES\n\nSump plug ........ 40 Nm\nHead bolts, stage 1 ....... 30 Nm\nWheel nuts   95 Nm\n 212 \n";
        let table = Table::read(text).unwrap();
        assert_eq!(table.rows[0], ["Sump plug", "40 Nm"]);
        assert_eq!(table.rows[1], ["Head bolts, stage 1", "30 Nm"]);
        assert_eq!(table.rows[2], ["Wheel nuts", "95 Nm"]);
        assert_eq!(table.aside, ["TIGHTENING TORQUES", "212"]);
    }

    #[test]
    fn a_header_over_two_lines_is_put_together() {
        let table = Table::read("Fastener\tTorque\n\t(Nm)\nSump plug\t40\nFilter\t12\n").unwrap();
        assert_eq!(table.header.unwrap(), ["Fastener", "Torque"]);
        assert_eq!(table.aside, ["(Nm)"], "a line of one cell is set aside");
        let table = Table::read("Fastener\tTorque\nname\t(Nm)\nSump plug\t40\n").unwrap();
        assert_eq!(table.header.unwrap(), ["Fastener name", "Torque (Nm)"]);
        assert_eq!(table.rows.len(), 1);
    }

    #[test]
    fn what_is_no_table_gets_a_sentence() {
        for (text, error) in [
            ("", TableError::Empty),
            (" \n\t\n", TableError::Empty),
            ("\u{0}PNG\u{1}", TableError::NoText),
            ("Sump plug forty newton metres\nand so on\n", TableError::NoColumns),
        ] {
            assert_eq!(Table::read(text), Err(error), "{text:?}");
        }
        let long = "Plug\t40 Nm\n".repeat(5000);
        assert_eq!(Table::read(&long), Err(TableError::TooLong(5000)));
        let wide = format!("{}\n", "x\t".repeat(40));
        assert!(matches!(Table::read(&wide), Err(TableError::TooWide(_))));
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_pasted_is_a_table_or_a_sentence(text in "[ -~\t\n;,.äµ°]{0,400}") {
            if let Ok(table) = Table::read(&text) {
                proptest::prop_assert!(table.rows.iter().all(|row| filled(row) > 1));
                proptest::prop_assert!(table.rows.len() <= MOST_ROWS);
            }
        }
    }
}
