//! Real Chromium.
