//! Draws never change: ten of every stock and demo question are pinned, and a mistake that is found later moves none.

#[path = "../banks/mod.rs"]
mod banks;
mod beforehand;
mod later;
mod pinned;
