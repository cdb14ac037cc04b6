//! The calculation core.
