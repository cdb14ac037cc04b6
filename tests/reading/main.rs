//! Quantities as people type them: spellings of the trade, signs and words of answers, and what is refused.

mod answers;
mod refused;
mod spellings;
