//! Which tables an export holds, and which it leaves out and why. A new table of the database is one line here.
//!
//! Columns are never named: an export holds whatever columns a table has, so a new column needs no line at all.

/// How the rows of a table belong to a car.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// This column holds the car's id.
    Car { column: &'static str },
    /// This column holds the id of a row of a table further up in the list.
    Row { column: &'static str, table: &'static str },
    /// This column holds the number of an operation, which means something in one database only: the operation's id goes
    /// out in its place.
    Op { column: &'static str },
}

/// A table that goes out.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    pub name: &'static str,
    pub of: Of,
    /// What its rows are, for the schema.
    pub says: &'static str,
}

impl Table {
    pub const fn by_car(name: &'static str, says: &'static str) -> Table {
        Table { name, of: Of::Car { column: "car_id" }, says }
    }

    pub const fn by_row(name: &'static str, column: &'static str, table: &'static str, says: &'static str) -> Table {
        Table { name, of: Of::Row { column, table }, says }
    }

    pub const fn by_op(name: &'static str, column: &'static str, says: &'static str) -> Table {
        Table { name, of: Of::Op { column }, says }
    }
}

/// What belongs to one car, each table below those that it refers to: rows come in again in this order.
pub const OF_CAR: &[Table] = &[
    Table { name: "cars", of: Of::Car { column: "id" }, says: "The car itself: one row." },
    Table::by_car("ops", "Everything that was done, in the order in which it became durable: the logbook."),
    Table::by_op("reached", "op_seq", "The torque that a tick stood for when it was made, in words."),
    Table::by_car("specs", "The spec book."),
    Table::by_row("spec_values", "spec_id", "specs", "What each source says for a spec, as it is written there."),
    Table::by_car("limits", "The limits that were chosen for what is measured."),
    Table::by_car("cards", "The job cards."),
    Table::by_car("parts", "The parts."),
    Table::by_row("steps", "card_id", "cards", "The steps of the cards."),
    Table::by_row("step_specs", "step_id", "steps", "The specs that a step shows."),
    Table::by_row("step_tools", "step_id", "steps", "The tools that a step asks for."),
    Table::by_row("step_cautions", "step_id", "steps", "The cautions of a step."),
    Table::by_row("step_parts", "step_id", "steps", "The parts that a step uses."),
    Table::by_car("bottle_sizes", "Bottles that a shop sells."),
    Table::by_car("shelf_fluids", "Bottles on the shelf."),
    Table::by_row("card_after", "card_id", "cards", "Which card comes after which."),
    Table::by_car("evenings", "The evenings there are to work in."),
    Table::by_row("plan_pins", "card_id", "cards", "Cards kept to an evening."),
    Table::by_car("kept_plans", "The plan that was kept, and what it was made from: two JSON texts of the program."),
    Table::by_car("upkeep_items", "What is done again and again, and how often."),
    Table::by_car("odometer_papers", "Odometer readings out of papers."),
    Table::by_car("odometer_words", "What was said of odometer readings: rolled over, another clock, misread."),
    Table::by_car("stays", "When the car stood."),
    Table::by_car("clip_speeds", "How fast the engine and the car ran while a clip was recorded."),
    Table::by_car("turning_cars", "What else is known of what turns on the car."),
    Table::by_car("turning_parts", "Parts that turn, against which clips of sound are held."),
];

/// What belongs to the garage and serves every car: the table, and what its rows are.
pub const OF_GARAGE: &[(&str, &str)] =
    &[("wrenches", "The torque wrenches."), ("chest_tools", "The sockets, keys and adapters of the tool chest.")];

/// What is named by a SHA-256 (column `sha256`), and goes out where a row of a car speaks of that: the table, and what its
/// rows are.
pub const BY_HASH: &[(&str, &str)] = &[("clips", "Clips of sound: WAV files with what they are.")];

/// Tables of which an export holds only what its cars speak of: see `out.rs`.
pub const DEVICES: &str = "devices";
pub const PHOTOS: &str = "photos";

/// What goes out of a device: enough to say who noted something, and nothing that opens the door.
pub const DEVICE_COLUMNS: [&str; 4] = ["id", "name", "kind", "paired_at"];

/// Tables that never go out, each with the reason.
pub const LEFT_OUT: &[(&str, &str)] = &[
    ("store", "says which database this is; another one has its own"),
    ("sessions", "opens the door of this garage; browsers are paired anew"),
    ("pairing_codes", "opens the door of this garage"),
    ("helper_links", "opens a job to whoever holds the link; links are made anew"),
    ("calendar_links", "opens the evenings to whoever holds the link; links are made anew"),
    ("standing", "follows from the operations, and is made again from them"),
    ("_sqlx_migrations", "the database's own"),
    ("sqlite_sequence", "the database's own"),
];

/// Columns that never go out: numbers that mean something in one database only, as every `integer primary key` does.
pub const LOCAL: &[(&str, &str)] = &[("ops", "seq"), ("odometer_words", "id"), ("stays", "id")];

/// Columns that hold the number of the last operation known when something was said: its id goes out in the place of the
/// number, and nothing where there was none.
pub const UP_TO: &[(&str, &str)] = &[("parts", "said_after")];

/// The columns of a table that are among [`UP_TO`].
pub fn up_to(table: &str) -> impl Iterator<Item = &'static str> {
    UP_TO.iter().filter(move |(name, _)| *name == table).map(|(_, column)| *column)
}

/// The table of this name among those of a car.
pub fn of_car(name: &str) -> Option<&'static Table> {
    OF_CAR.iter().find(|table| table.name == name)
}
