//! Numbers against standards, handbook tables and reference libraries. Each file names its sources.

mod fastener_strength;
mod preload;
mod threads;
mod torque_wrench;
mod units;
