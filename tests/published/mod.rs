//! Numbers against standards, handbook tables and reference libraries. Each file names its sources.

mod brake_fluid;
mod oil_grades;
mod units;
