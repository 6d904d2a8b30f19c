//! The phone: pages for under the car, and the list of what is copied onto it.
//!
//! Every page is complete HTML with the state of the moment, works as a plain list and by plain forms, and carries what
//! its script needs to paint itself again offline from the operations on the phone (`data-json` elements). A page that a
//! phone holds may be weeks old: what it shows of specs and steps is as old as the copy, what was done is not.

mod arrivals;
mod bolts;
mod checks;
mod doing;
pub mod figures;
mod guard;
mod live;
mod looks;
mod loose;
pub mod markings;
mod night;
pub mod pack;
mod road;
pub mod routes;
pub mod step;
mod survey;
pub mod tonight;
pub mod views;
pub mod wrench;
