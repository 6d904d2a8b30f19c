//! The marking reader: what a stamp, a label or a moulding means, and which thread was measured. It stores nothing, and
//! what is typed comes in the body of a form, so that no vehicle's number stands in an address or a log.

pub mod routes;
pub mod views;
