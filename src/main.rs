//! The tankside command: words in, exit code out.
//!
//! 0 done · 1 the course has mistakes or could not be written · 2 the words given cannot be taken.

use clap::{Arg, ArgAction, ArgMatches, Command};
use std::path::PathBuf;
use std::process::ExitCode;
use tankside::commands::{publish, work};
use tankside_calc::working::record::System;

/// Publishing makes and drops a great many small texts on several threads; this allocator takes a tenth off its time.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn command() -> Command {
    Command::new("tankside")
        .about("Turns a folder of lessons and questions into a training site on sprayer calibration.")
        .version(env!("CARGO_PKG_VERSION"))
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand(
            Command::new("publish")
                .about("Make the site of a course; without a course, of the one in this folder or of the demo")
                .arg(
                    Arg::new("course")
                        .value_name("COURSE")
                        .help("folder that holds course.yaml")
                        .value_parser(clap::value_parser!(PathBuf)),
                )
                .arg(
                    Arg::new("to")
                        .long("to")
                        .value_name("DIR")
                        .help("folder of the site")
                        .default_value(publish::DEFAULT_TARGET)
                        .value_parser(clap::value_parser!(PathBuf)),
                ),
        )
        .subcommand(
            Command::new("work")
                .about("Work one problem; alone it lists the calculators, with a calculator its inputs")
                .arg(Arg::new("calculator").value_name("CALCULATOR").help("which one"))
                .arg(
                    Arg::new("given")
                        .value_name("name=value")
                        .num_args(0..)
                        .help("inputs, for example catch='96 fl oz, 30 s'"),
                )
                .arg(
                    Arg::new("in")
                        .long("in")
                        .value_name("RESULT=UNIT")
                        .action(ArgAction::Append)
                        .help("show a result in this unit"),
                )
                .arg(
                    Arg::new("units")
                        .long("units")
                        .value_parser(["us", "metric"])
                        .default_value("us")
                        .help("units shown"),
                )
                .arg(
                    Arg::new("factors")
                        .long("factors")
                        .action(ArgAction::SetTrue)
                        .help("write each step as factors and mark the units that cancel"),
                )
                .arg(Arg::new("json").long("json").action(ArgAction::SetTrue).help("print one JSON object")),
        )
}

fn main() -> ExitCode {
    let matches = command().get_matches();
    match matches.subcommand() {
        Some(("publish", words)) => publish::run(&publish::PublishRequest {
            course: words.get_one::<PathBuf>("course").cloned(),
            to: words.get_one::<PathBuf>("to").cloned().unwrap_or_else(|| PathBuf::from(publish::DEFAULT_TARGET)),
        }),
        Some(("work", words)) => work::run(&wanted_work(words)),
        // `subcommand_required` leaves no other.
        _ => ExitCode::from(2),
    }
}

fn wanted_work(words: &ArgMatches) -> work::WorkRequest {
    let all = |name: &str| words.get_many::<String>(name).into_iter().flatten().cloned().collect();
    work::WorkRequest {
        calculator: words.get_one::<String>("calculator").cloned(),
        given: all("given"),
        wanted: all("in"),
        system: words.get_one::<String>("units").and_then(|id| System::from_id(id)).unwrap_or_default(),
        factors: words.get_flag("factors"),
        json: words.get_flag("json"),
    }
}
