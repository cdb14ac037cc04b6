//! The program at a terminal: a pseudo-terminal of a chosen width, with somebody who types.

use std::fs::File;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{LocalModes, OptionalActions, Winsize, tcgetattr, tcsetattr, tcsetwinsize};

/// What was on the screen at the end, and how the program ended.
#[derive(Debug)]
pub(crate) struct Screen {
    pub(crate) code: Option<i32>,
    pub(crate) text: String,
    /// All that was written, with what was written over.
    pub(crate) raw: String,
}

/// Runs the program at a terminal of so many columns, and types `typed` into it.
pub(crate) fn at_terminal(folder: &Path, words: &[&str], vars: &[(&str, &str)], columns: u16, typed: &str) -> Screen {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tankside"));
    command.args(words).current_dir(folder).env("TERM", "xterm").envs(vars.iter().copied());
    run(command, columns, typed)
}

/// Runs a line of the shell at a terminal.
pub(crate) fn shell_at_terminal(folder: &Path, line: &str, columns: u16) -> Screen {
    let mut command = Command::new("sh");
    command.args(["-c", line]).current_dir(folder).env("TERM", "xterm");
    run(command, columns, "")
}

fn run(mut command: Command, columns: u16, typed: &str) -> Screen {
    let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
    grantpt(&master).and_then(|()| unlockpt(&master)).expect("it is ours");
    let name = ptsname(&master, Vec::new()).expect("it has a name");
    let slave = File::options().read(true).write(true).open(name.to_str().expect("ASCII")).expect("its other end");
    let size = Winsize { ws_row: 30, ws_col: columns, ws_xpixel: 0, ws_ypixel: 0 };
    tcsetwinsize(&slave, size).expect("a size");
    // What is typed is not shown a second time.
    let mut modes = tcgetattr(&slave).expect("its modes");
    modes.local_modes.remove(LocalModes::ECHO);
    tcsetattr(&slave, OptionalActions::Now, &modes).expect("as above");
    let end = || Stdio::from(slave.try_clone().expect("a further handle"));
    command.stdin(end()).stdout(end()).stderr(end()).env_remove("COLUMNS");
    let mut child = command.spawn().expect("the program runs");
    drop(command);
    drop(slave);
    let mut master = File::from(master);
    master.write_all(typed.as_bytes()).expect("it is typed");
    // The end of what is typed, so that a question too many ends the run and not the test.
    master.write_all(b"\x04").expect("as above");
    let mut bytes = Vec::new();
    let mut some = [0; 4096];
    // When the program has ended, reading fails: nobody holds the other end.
    while let Ok(count @ 1..) = master.read(&mut some) {
        bytes.extend_from_slice(&some[..count]);
    }
    let code = child.wait().expect("it ends").code();
    let raw = String::from_utf8(bytes).expect("UTF-8");
    let text = raw.replace("\r\n", "\n");
    // A line that was written over is not on the screen.
    let text = text.split('\n').map(|line| line.rsplit('\r').next().unwrap_or_default());
    let text = text.collect::<Vec<_>>().join("\n");
    Screen { code, text, raw }
}
