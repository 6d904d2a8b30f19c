//! Numbers against standards, handbook tables and reference libraries. Each file names its sources.

mod bolt_heads;
mod brake_fluid;
mod calendar;
mod calendar_days;
mod checks;
mod coolant;
mod export;
mod fastener_strength;
mod inspection;
mod limits;
mod oil_grades;
mod preload;
mod renewal;
mod sound;
mod survey;
mod threads;
mod torque_wrench;
mod tyres;
mod units;
mod usage;
mod vin;
