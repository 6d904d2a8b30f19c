//! Numbers against standards, handbook tables and reference libraries. Each file names its sources.

mod fastener_strength;
mod threads;
mod units;
