//! The text of a pattern card: read, with what is wrong in it told by line, and filled in for a car. Pure.
//!
//! # The format
//!
//! One TOML file (toml.io, version 1.0) under `seed/patterns/`, or in the folder `patterns` of the data folder. For instance:
//!
//! ```toml
//! title = "Change the oil of the {end} axle"
//! system = "driveline"
//! about = "When nobody knows how old it is, or water got in."
//! minutes = [40, 60, 100]              # least, likely, longest
//! helper = false                       # true: a second person is needed
//!
//! [[choice]]                           # asked when a card is made; fills {end} in every text
//! name = "end"
//! options = ["rear", "front"]
//!
//! [[spec]]                             # looked up in the car's spec book; made without a value where it has none
//! key = "drain-plug"
//! item = "Drain plug"
//! place = "{end} axle"
//! kind = "torque"                      # torque, volume, fluid, pressure, length, temperature, angle, voltage, text
//! find = ["{end}", "axle", "drain"]    # words that the item and place of a known spec must all hold
//!
//! [[part]]                             # goes on the buy list with the card
//! key = "washer"
//! name = "Crush washer, drain plug of the {end} axle"
//! quantity = "1"
//!
//! [[step]]
//! do = "open opening {end} axle filler plug"    # verb, kind of thing, thing
//! words = "Open the filler plug before anything else."
//! detail = "More, where a novice needs it."
//! specs = ["drain-plug"]
//! parts = ["washer"]
//! tools = ["drain pan, 4 l"]
//! cautions = ["used-oil-skin"]         # names of known cautions, or own sentences
//! marks = ["under-car"]                # see `trade::marks::Mark`
//! is = "gear-oil"                      # only where the thing's name does not say it: `trade::nature::Nature`
//! filler = "{end} axle filler plug"    # on `drain`: the opening through which it is filled again
//! set = "engine mounts"                # members that all have to be in before one is pulled tight
//! ask = { what = "drained oil", kind = "volume" }
//! ```
//!
//! With a choice between `front` and `rear`, or `left` and `right`, the text `{other end}` (after the choice's name) is the
//! one not chosen. `{End}` is the option with a capital letter.

mod fill;
mod format;
mod read;
#[cfg(test)]
mod tests;

pub use crate::trade::name_value::Trouble;
pub use fill::Filled;
pub use read::{Choice, Pattern, PatternPart, PatternSpec, PatternStep, read};
