//! Setting up a machine for the tests: what is missing is installed, what is there is left alone.

use crate::run::{self, Failure};
use crate::wasm;
use std::env;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The same browser without windows: it takes half the time to open a page. Debian has it as a package of this name.
const WINDOWLESS: &str = "chromium-headless-shell";
/// Names under which systems keep the browser the tests drive, the quickest first.
const BROWSERS: [&str; 5] = [WINDOWLESS, "chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
/// The oldest node whose test runner and language the browser tests are written for.
const NODE_MAJOR_MIN: u32 = 20;

/// Programs the tests start, each with an argument under which it succeeds, and the package that has it.
const PROGRAMS: [(&str, &str, &str); 7] = [
    // The HTML checker is a Java program.
    ("java", "-version", "default-jre-headless"),
    ("node", "--version", "nodejs"),
    ("npm", "--version", "npm"),
    // The printed pages are read back with it.
    ("pdftotext", "-v", "poppler-utils"),
    // Used to kill publishing, or make it fail, at chosen steps.
    ("strace", "--version", "strace"),
    // The fuzz targets are driven by libFuzzer, which is C++.
    ("c++", "--version", "g++"),
    PYTHON,
];
/// The checks from outside are Python's; a Python may come without the module that makes environments.
const PYTHON: (&str, &str, &str) = ("python3", "-cimport ensurepip, venv", "python3-venv");

/// Makes sure of the browser, the programs, the packages of node and Python, and the compiler's WebAssembly target.
pub(crate) fn everything(root: &Path) -> Result<(), Failure> {
    let mut packages = Vec::new();
    if browser().is_none() {
        packages.push("chromium");
    }
    for (program, argument, package) in PROGRAMS {
        if find(program, argument).is_none() {
            packages.push(package);
        }
    }
    install(&packages)?;
    install_windowless();
    require_node()?;
    wasm::add_target(root)?;
    node_packages(&root.join("tests/browser"))?;
    python_packages(&root.join("tests/outside")).map(drop)
}

/// Makes sure of Python and its packages alone; returns the Python that has them.
pub(crate) fn python(root: &Path) -> Result<PathBuf, Failure> {
    let (program, argument, package) = PYTHON;
    if find(program, argument).is_none() {
        install(&[package])?;
    }
    python_packages(&root.join("tests/outside"))
}

/// The browser the tests drive: the one named in `CHROMIUM`, otherwise the system's.
pub(crate) fn browser() -> Option<PathBuf> {
    match env::var_os("CHROMIUM") {
        Some(named) => Some(PathBuf::from(named)),
        None => BROWSERS.into_iter().find_map(|name| find(name, "--version")),
    }
}

/// Installs the browser without windows where the system offers it; the tests are the same without it, and slower.
fn install_windowless() {
    let wanted = env::var_os("CHROMIUM").is_none() && find(WINDOWLESS, "--version").is_none();
    if !wanted || find("apt-get", "--version").is_none() {
        return;
    }
    let Ok(root_user) = may_install() else { return };
    let install = || apt_get(root_user, &["install", "--yes", "--no-install-recommends", WINDOWLESS]);
    // Lists that are old or missing are fetched first; without a network both fail, and that is no harm.
    let done = install().or_else(|_| apt_get(root_user, &["update"]).and_then(|()| install()));
    if done.is_err() {
        println!("without {WINDOWLESS}, which could not be installed, the browser tests take about twice as long");
    }
}

/// Whether this is the root user, who installs without `sudo`; fails where neither is there.
fn may_install() -> Result<bool, Failure> {
    let root_user = run::output(Command::new("id").arg("-u"))?.trim() == "0";
    if !root_user && find("sudo", "--version").is_none() {
        return Err(Failure::new("installing needs root or sudo"));
    }
    Ok(root_user)
}

fn install(packages: &[&str]) -> Result<(), Failure> {
    if packages.is_empty() {
        println!("nothing to install: the browser and every program are there");
        return Ok(());
    }
    let list = packages.join(" ");
    if find("apt-get", "--version").is_none() {
        return Err(Failure::new(format!(
            "the tests need {list}, and there is no apt-get here to install them with; \
             install a Chromium, a Java runtime, node {NODE_MAJOR_MIN} or newer with npm, pdftotext, strace, a C++ compiler, and python3 \
             with venv, then run this again \
             (CHROMIUM=/path/to/browser names a browser in an unusual place)"
        )));
    }
    println!("installing {list}");
    let root_user = may_install().map_err(|why| {
        Failure::new(format!(
            "the tests need {list}, and {why}; as root run `apt-get install {list}`, then run this again"
        ))
    })?;
    apt_get(root_user, &["update"])?;
    let mut arguments = vec!["install", "--yes", "--no-install-recommends"];
    arguments.extend(packages);
    apt_get(root_user, &arguments)
}

fn apt_get(root_user: bool, arguments: &[&str]) -> Result<(), Failure> {
    let mut command = if root_user {
        Command::new("apt-get")
    } else {
        let mut sudo = Command::new("sudo");
        sudo.args(["DEBIAN_FRONTEND=noninteractive", "apt-get"]);
        sudo
    };
    command
        .env("DEBIAN_FRONTEND", "noninteractive")
        // Another installation may be under way: wait for it rather than fail.
        .args(["--quiet", "--option", "DPkg::Lock::Timeout=300"])
        .args(arguments);
    run::check(&mut command)
}

fn require_node() -> Result<(), Failure> {
    let version = run::output(Command::new("node").arg("--version"))?;
    let version = version.trim();
    let major = version.trim_start_matches('v').split('.').next().and_then(|major| major.parse::<u32>().ok());
    if major.is_some_and(|major| NODE_MAJOR_MIN <= major) {
        return Ok(());
    }
    Err(Failure::new(format!(
        "the browser tests need node {NODE_MAJOR_MIN} or newer, and `node --version` says {version}; \
         install a newer one and put it first in PATH"
    )))
}

/// Installs exactly what the lock file lists, unless that is what is there.
fn node_packages(folder: &Path) -> Result<(), Failure> {
    let lock = folder.join("package-lock.json");
    let done = folder.join("node_modules/.tankside-lock");
    let wanted = std::fs::read(&lock).map_err(run::about(&lock))?;
    if std::fs::read(&done).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    run::check(
        Command::new("npm")
            .current_dir(folder)
            // None of the packages needs its install script, and some scripts fetch from elsewhere.
            .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]),
    )?;
    std::fs::write(&done, wanted).map_err(run::about(&done))
}

/// Installs exactly what the requirements list into a separate environment, unless that is what is there.
fn python_packages(folder: &Path) -> Result<PathBuf, Failure> {
    let list = folder.join("requirements.txt");
    let environment = folder.join(".venv");
    let python = environment.join("bin/python");
    let done = environment.join(".tankside-requirements");
    let wanted = std::fs::read(&list).map_err(run::about(&list))?;
    if std::fs::read(&done).is_ok_and(|installed| installed == wanted) && python.exists() {
        return Ok(python);
    }
    let (program, argument, _) = PYTHON;
    let system = find(program, argument).ok_or_else(|| Failure::new("there is no python3 that can make a venv"))?;
    run::check(Command::new(system).args(["-m", "venv", "--clear"]).arg(&environment))?;
    run::check(
        Command::new(&python)
            .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"])
            .arg(&list),
    )?;
    std::fs::write(&done, wanted).map_err(run::about(&done))?;
    Ok(python)
}

/// A program's place, looked for as a shell would. A wrapper that a removed package left behind, or
/// that only says how to install the program, is there and does not start.
fn find(program: &str, argument: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path).map(|folder| folder.join(program)).find(|place| place.is_file() && starts(place, argument))
}

fn starts(place: &Path, argument: &str) -> bool {
    Command::new(place)
        .arg(argument)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}
