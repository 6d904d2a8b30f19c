//! The planner against exhaustive search, against what must hold of every plan, against closed forms, and by its words.

mod asked;
mod brute;
mod dates;
mod input;
mod made;
mod pins;
mod search;
