//! The tankside command.

fn main() {}
