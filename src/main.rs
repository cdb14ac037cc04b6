//! The tankside command: words in, exit code out.
//!
//! 0 done · 1 the course has mistakes or could not be written · 2 the command line was not understood.

use std::io::Write;
use std::process::ExitCode;

/// Publishing makes and drops a great many small texts on several threads; this allocator makes it a tenth faster.
/// Without huge pages (`no_thp`), which take two megabytes each for a few small texts: the demo takes half the memory.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let code = tankside::commands::run(std::env::args_os());
    if code == ExitCode::SUCCESS {
        leave();
    }
    code
}

/// Ends the program here where the system can, which takes all memory at once: to give it back piece by piece takes as
/// long as a hundred lessons. Files, locks and threads are done with by now.
fn leave() {
    // Nobody is left to tell that nobody reads.
    let _ = std::io::stdout().flush();
    #[cfg(unix)]
    signal_hook::low_level::exit(0);
}
