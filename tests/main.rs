//! All tests that look at Underlamp from outside.
//!
//! - `published`: numbers against standards, handbook tables and reference libraries
//! - `http`: the real router over a real database, one request at a time
//! - `sync`: model phones on a link that loses, repeats and reorders
//! - `browser`: real Chromium, real server process
//! - `rules`: what must hold of the whole: every route guarded, nothing loaded from elsewhere

mod browser;
mod http;
mod published;
mod rules;
mod support;
mod sync;
