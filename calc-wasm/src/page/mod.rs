//! Parts of a page: worked example, question, drawing and calibration card as HTML.

pub mod card;
pub mod drawing;
pub mod parts;
pub mod question;
pub mod reading;
pub mod steps;
pub mod worked;
