//! The working: quantities that remember how they were computed, the recorder that keeps each step, and the lines in
//! which a person writes a step down.

mod cancel;
pub mod line;
pub mod noise;
pub mod percent_off;
pub mod record;
pub mod result;
pub mod toward;
pub mod traced;
