//! under
