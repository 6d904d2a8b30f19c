//! routes
