//! The planner against exhaustive search, against what must hold of every plan, and by its words.

mod brute;
mod input;
mod made;
mod search;
