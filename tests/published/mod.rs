//! Numbers against standards, handbook tables and reference libraries. Each file names its sources.

mod bolt_heads;
mod brake_fluid;
mod coolant;
mod limits;
mod oil_grades;
mod renewal;
mod tyres;
mod units;
mod vin;
