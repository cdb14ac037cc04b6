//! `tankside preview`: a course in the browser, as it is being written.

use std::net::{IpAddr, Ipv4Addr};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::mpsc::channel;

use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};

use super::{CommandEntry, MISUSED, Shelf, misread, style, to_stderr, to_stdout};
use crate::preview::{Builder, Desk, Door, Hosts, Reload, Watch, follow};
use crate::problem::{Problem, clean, code};

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "preview",
    shelf: Shelf::Course,
    declare,
    run,
    examples: &[
        ("tankside preview our-course", "says where to open it; a saved file shows in the browser at once"),
        ("tankside preview our-course --port 8100", "the same on a port of your choice"),
        (
            "tankside preview our-course --listen 0.0.0.0 --host tablet.local",
            "open to other machines, by address and by this name; it warns that others on the network can read the course",
        ),
    ],
};

/// Square feet in an acre.
const USUAL_PORT: u16 = 43_560;

fn declare(command: Command) -> Command {
    command
        .about("show a course in the browser while you write it, with its mistakes at the bottom of the page")
        .arg(
            Arg::new("course")
                .value_name("COURSE")
                .value_parser(value_parser!(PathBuf))
                .help("the folder that holds course.yaml; this folder unless given"),
        )
        .arg(
            Arg::new("port")
                .long("port")
                .value_name("NUMBER")
                .value_parser(value_parser!(u16))
                .help("the port; 43560, or a free one if that is taken, unless given"),
        )
        .arg(
            Arg::new("listen")
                .long("listen")
                .value_name("ADDRESS")
                .value_parser(value_parser!(IpAddr))
                .help("the address to listen on; 127.0.0.1, this machine only, unless given"),
        )
        .arg(
            Arg::new("host")
                .long("host")
                .value_name("NAME")
                .action(ArgAction::Append)
                .help("another name under which it may be opened"),
        )
}

fn run(words: &ArgMatches) -> ExitCode {
    let here = PathBuf::from(".");
    let course = words.get_one::<PathBuf>("course").unwrap_or(&here);
    let address = words.get_one::<IpAddr>("listen").copied().unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    if !course.is_dir() {
        let what = format!("there is no such course folder: `{}`", course.display());
        misread::refuse(
            &what,
            &["name the folder that holds course.yaml, or begin one with: tankside start DIR".into()],
        );
        return ExitCode::FAILURE;
    }
    let door = match opened(address, words.get_one::<u16>("port").copied()) {
        Ok(door) => door,
        Err(problem) => {
            to_stderr(&problem.draw(style()));
            return ExitCode::FAILURE;
        }
    };
    let names = words.get_many::<String>("host").into_iter().flatten().map(|name| name.to_ascii_lowercase()).collect();
    let desk = Desk::new(Hosts { names, any_address: !address.is_loopback() });
    let (sender, changes) = channel();
    // Watched before it is read, so that nothing saved in between is missed.
    let watch = Watch::new(course, sender);
    let (builder, first) = Builder::new(course);
    desk.show(&builder);
    announce(&builder, &door, address, &watch);
    tell(&first, builder.problems().is_empty());
    let answering = std::thread::spawn({
        let desk = desk.clone();
        move || door.answer(desk)
    });
    let course: &Path = course;
    follow(builder, &desk, course, &changes, watch, |reload| tell(reload, false));
    match answering.join() {
        Ok(Ok(())) => ExitCode::SUCCESS,
        _ => ExitCode::from(MISUSED),
    }
}

fn opened(address: IpAddr, port: Option<u16>) -> Result<Door, Box<Problem>> {
    let door = match port {
        Some(port) => Door::open(address, port),
        None => Door::open(address, USUAL_PORT).or_else(|_| Door::open(address, 0)),
    };
    door.map_err(|fault| {
        let title = format!("no preview can be opened there: {fault}");
        Problem::new(code::PREVIEW_REFUSED, title, address.to_string()).help("name another port with `--port`").into()
    })
}

fn announce(builder: &Builder, door: &Door, address: IpAddr, watch: &Watch) {
    let Ok(place) = door.address() else { return };
    let what = if builder.title().is_empty() { "A course that cannot be shown yet" } else { builder.title() };
    to_stdout(&clean(&format!("Preview of “{what}”\n  open  http://{place}/\n  stop  Ctrl-C\n")));
    if !address.is_loopback() {
        to_stderr("Anyone who can reach this machine over the network can read the course while the preview runs.\n");
    }
    if !watch.works() {
        to_stderr("The system does not report changes here; stop and start the preview to see them.\n");
    }
}

fn tell(reload: &Reload, quiet: bool) {
    if quiet {
        return;
    }
    let (errors, warnings) = reload.count;
    let what = match reload.changed.iter().filter(|name| !name.is_empty()).collect::<Vec<_>>().as_slice() {
        [] => "the course".to_owned(),
        [one] => (*one).clone(),
        [one, rest @ ..] => format!("{one} and {} more", rest.len()),
    };
    let wrong = match (errors, warnings) {
        (0, 0) => String::new(),
        _ => format!("; errors: {errors}, warnings: {warnings}"),
    };
    to_stderr(&clean(&format!("{what}: ready after {} ms{wrong}\n", reload.took.as_millis())));
}
