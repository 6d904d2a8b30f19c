//! views
