//! The generator: course files in, site out.
