//! The tankside command: words in, exit code out.
//!
//! 0 done · 1 the course has mistakes or could not be written · 2 the command line was not understood.

use std::process::ExitCode;

/// Publishing makes and drops a great many small texts on several threads; this allocator makes it a tenth faster.
/// Without huge pages (`no_thp`), which take two megabytes each for a few small texts: the demo takes half the memory.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    tankside::commands::run(std::env::args_os())
}
