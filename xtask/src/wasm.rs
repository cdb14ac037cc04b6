//! `cargo xtask wasm`: builds the core for the browser and keeps the result in the tree.
//!
//! The bytes must be the same from every checkout: the toolchain and the lock file pin what is built,
//! and the three folders whose place differs between machines (the workspace, cargo's home, the
//! toolchain) are mapped to fixed names before the compiler writes them into panic messages.

use crate::parts::pack::{bare, literal, pack};
use crate::parts::{self, Part};
use crate::run::{self, Failure};
use crate::sources;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tankside_calc::calculators::registry;
use wasm_bindgen_cli_support::Bindgen;

const TARGET: &str = "wasm32-unknown-unknown";
const PACKAGE: &str = "tankside-calc";
/// What unpacks it on a page.
const UNPACK_PACKAGE: &str = "tankside-unpack";
const PROFILE: &str = "wasm";
/// What the binding leaves, before it is taken apart and packed.
const BOUND_FILE: &str = "core_bg.wasm";
/// What every page that computes loads; its parts, such as `core-tank-mix.txt`, are next to it.
const CORE_FILE: &str = "core.txt";
const UNPACK_FILE: &str = "unpack.txt";

/// Builds the core and puts it where the tree keeps it.
pub(crate) fn keep(root: &Path) -> Result<(), Failure> {
    let kept = root.join(sources::PACKAGE_DIR);
    // A part of a calculator that no longer exists must not stay behind.
    for file in sources::built_files(&kept).map_err(run::about(&kept))? {
        fs::remove_file(kept.join(&file)).map_err(run::about(&kept))?;
    }
    build(root, &kept)?;
    for file in sources::built_files(&kept).map_err(run::about(&kept))? {
        let size = fs::metadata(kept.join(&file)).map_err(run::about(&kept))?.len();
        println!("{}/{file}: {size} bytes", sources::PACKAGE_DIR);
    }
    Ok(())
}

/// Builds the core elsewhere and compares it with what the tree keeps, byte for byte.
pub(crate) fn check(root: &Path) -> Result<(), Failure> {
    let fresh = run::TempDir::new("wasm-check")?;
    build(root, fresh.path())?;
    let mut differing = Vec::new();
    let kept = root.join(sources::PACKAGE_DIR);
    let names = |folder: &Path| sources::built_files(folder).map_err(run::about(folder));
    let names: BTreeSet<String> = names(fresh.path())?.into_iter().chain(names(&kept)?).collect();
    for file in names.iter().map(String::as_str).chain([sources::MARK_FILE]) {
        // A missing file differs from any that exists.
        let (new, old) = (fs::read(fresh.path().join(file)), fs::read(kept.join(file)));
        let (new, old) = (new.unwrap_or_default(), old.unwrap_or_default());
        if new != old {
            differing.push(format!(
                "{}/{file}: {} bytes in the tree, {} built",
                sources::PACKAGE_DIR,
                old.len(),
                new.len()
            ));
        }
    }
    if differing.is_empty() {
        run::say(format_args!("{} belongs to the sources, byte for byte", sources::PACKAGE_DIR));
        return Ok(());
    }
    // If there is no reason here, the sources are the same and the build itself differs between two machines.
    let reason = sources::stale(root).map_err(run::about(root))?;
    let reason = reason.unwrap_or_else(|| "the same sources built other bytes".to_owned());
    Err(Failure::new(format!(
        "the WebAssembly in the tree is not what the sources build: {reason}\n  {}\nrun `cargo xtask wasm` and commit {}",
        differing.join("\n  "),
        sources::PACKAGE_DIR
    )))
}

/// Adds the compiler's WebAssembly target where the toolchain lacks it.
pub(crate) fn add_target(root: &Path) -> Result<(), Failure> {
    let library = sysroot(root)?.join("lib/rustlib").join(TARGET);
    if library.exists() {
        return Ok(());
    }
    run::check(Command::new("rustup").args(["target", "add", TARGET]).current_dir(root))
}

fn build(root: &Path, to: &Path) -> Result<(), Failure> {
    add_target(root)?;
    let target_dir = target_dir(root);
    let flags = flags(root)?.join("\x1f");
    // The program links the core, and so does what builds the program: only here is it a library of its own.
    for (package, kind) in [(PACKAGE, &["--crate-type", "cdylib,rlib"][..]), (UNPACK_PACKAGE, &[])] {
        run::check(
            Command::new(run::cargo())
                .current_dir(root)
                .args([if kind.is_empty() { "build" } else { "rustc" }, "--locked", "--quiet", "--lib"])
                .args(["--package", package, "--target", TARGET, "--profile", PROFILE])
                .args(kind)
                .arg("--target-dir")
                .arg(&target_dir)
                // The encoded form overrides any outside flags, so that they cannot change the bytes.
                .env("CARGO_ENCODED_RUSTFLAGS", &flags)
                .env_remove("RUSTFLAGS"),
        )?;
    }
    let built =
        |package: &str| target_dir.join(TARGET).join(PROFILE).join(format!("{}.wasm", package.replace('-', "_")));
    bind(&built(PACKAGE), to)?;
    let (unpacker, place) = (built(UNPACK_PACKAGE), to.join(UNPACK_FILE));
    let unpacker = bare(&fs::read(&unpacker).map_err(run::about(&unpacker))?).map_err(Failure::new)?;
    fs::write(&place, literal(&unpacker)).map_err(run::about(&place))?;
    let mark = sources::mark(root, to).map_err(run::about(to))?;
    let place = to.join(sources::MARK_FILE);
    fs::write(&place, mark).map_err(run::about(&place))
}

/// Makes the script that talks to the module, and the module without debugging data.
fn bind(module: &Path, to: &Path) -> Result<(), Failure> {
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name("core")
        // A classic script with one global: modules do not load from `file://`.
        .no_modules(true)
        .map_err(bind_failure)?
        .typescript(false)
        // The names say what belongs to which part; they are dropped when it is taken apart.
        .remove_name_section(false)
        .demangle(false)
        .remove_producers_section(true)
        // The bytes come from a separate script, never from an address guessed from the script's own.
        .omit_default_module_path(true);
    bindgen.generate(to).map_err(bind_failure)?;
    let script = to.join("core.js");
    let glue = fs::read_to_string(&script).map_err(run::about(&script))?;
    fs::write(&script, binding(&glue).map_err(Failure::new)?).map_err(run::about(&script))?;
    let place = to.join(BOUND_FILE);
    let bound = fs::read(&place).map_err(run::about(&place))?;
    fs::remove_file(&place).map_err(run::about(&place))?;
    let linked = fs::read(module).map_err(run::about(module))?;
    let parts = parts();
    let taken = parts::take_apart(&linked, &bound, &parts).map_err(Failure::new)?;
    let place = to.join(CORE_FILE);
    let core = pack(&taken.core, &[]).map_err(Failure::new)?;
    fs::write(&place, core.text).map_err(run::about(&place))?;
    for (part, bytes) in parts.iter().zip(taken.parts) {
        let place = to.join(format!("core-{}.txt", part.name));
        let packed = pack(&bytes, &core.streams).map_err(Failure::new)?;
        fs::write(&place, packed.text).map_err(run::about(&place))?;
    }
    Ok(())
}

/// The script between a page and the core: the same conversions as in the script that the library writes, once for all
/// doors instead of written out for each, and without what finds and fetches a module.
///
/// # Errors
/// A script of the library's that takes or gives anything but texts and numbers.
fn binding(glue: &str) -> Result<String, String> {
    const OWN: &str = include_str!("binding.js");
    let unknown = |what: &str| format!("`xtask/src/binding.js` cannot stand for wasm-bindgen's script: {what}");
    let lines = || glue.lines().map(str::trim);
    let taken = |line: &&str| line.starts_with("* @param {") || line.starts_with("* @returns {");
    if let Some(line) = lines().filter(taken).find(|line| !line.contains("{string}") && !line.contains("{number}")) {
        return Err(unknown(line));
    }
    let imports = glue.split_once("const import0 = {").and_then(|(_, rest)| rest.split_once("return {"));
    let (imports, _) = imports.ok_or_else(|| unknown("it imports nothing"))?;
    if imports.matches("function(").count() != 1 || !imports.contains("__wbindgen_init_externref_table: function()") {
        return Err(unknown("it imports other functions"));
    }
    let doors: Vec<&str> =
        lines().filter_map(|line| line.strip_prefix("exports.")?.split_once(" = ")).map(|(door, _)| door).collect();
    if doors.is_empty() {
        return Err(unknown("it has no doors"));
    }
    Ok(OWN.replace("DOORS", &doors.join(" ")))
}

/// The parts that the core is split into: one for each calculator; the worked example's sheet, and what it needs only now
/// and then (`fitted/mod.rs`); practice and the calibration card; and the answers as data, which no page loads.
fn parts() -> Vec<Part> {
    let part = |name: &str, doors: &'static [&'static str], owns: &[&str], over: &'static [&'static str]| Part {
        name: name.to_owned(),
        doors,
        owns: owns.iter().map(|path| (*path).to_owned()).collect(),
        over,
        copies: true,
    };
    let calculators = registry::CALCULATORS.iter().map(|known| {
        let declaration = format!("calculators::{}::CALCULATOR", known.id.replace('-', "_"));
        part(known.id, &[], &[&declaration], &[])
    });
    let card_over = &["sheet", "typing", "problems", "form", "doubt", "chain", "application-rate", "tank-mix"];
    let typing = &[
        "quantity::compound::",
        "quantity::spelling::",
        "quantity::tokens::",
        "quantity::typed::apart_",
        "quantity::typed::sum",
        "quantity::typed::taken_apart",
    ];
    // Nearly every page loads the sheet, and what a worked example loads when it first needs it comes after that: copies
    // of what they share would be loaded twice.
    let once = |name, doors, owns, over| Part { copies: false, ..part(name, doors, owns, over) };
    let others = [
        once("sheet", &["worked"], &[], &[]),
        once("typing", &[], typing, &[]),
        once("problems", &[], &["words::say::problem::"], &["sheet"]),
        once("form", &["switch_units"], &["page::worked::form::"], &["sheet"]),
        once("doubt", &[], &["page::worked::doubt::"], &["sheet"]),
        once("chain", &[], &["page::worked::chain::"], &[]),
        part("practice", &["choices", "draw_at", "pose", "practice", "score"], &[], &["typing", "chain"]),
        part("card", &["cards"], &["card::", "page::card::", "doors::cards::"], card_over),
        part("learning", &["learning"], &["learning::", "doors::learning::"], &[]),
        part(
            "reading",
            &["reading"],
            &["reading::", "page::reading::", "doors::reading::"],
            &["practice", "typing", "chain"],
        ),
        part("log", &["log"], &["uncertainty::chart::", "doors::log::"], &["typing"]),
        part("data", &["work_json"], &[], &["sheet", "practice", "typing", "problems", "form", "doubt", "chain"]),
    ];
    calculators.chain(others).collect()
}

fn bind_failure(why: impl std::fmt::Display) -> Failure {
    Failure::new(format!("wasm-bindgen could not bind the core: {why:#}"))
}

fn flags(root: &Path) -> Result<Vec<String>, Failure> {
    let sysroot = sysroot(root)?;
    let commit = run::output(Command::new("rustc").arg("-vV").current_dir(root))?
        .lines()
        .find_map(|line| line.strip_prefix("commit-hash: ").map(str::to_owned))
        .unwrap_or_default();
    // If the library's sources are installed, the compiler names them by their place on this machine;
    // if they are not, by this name. Both must read the same.
    let library = sysroot.join("lib/rustlib/src/rust");
    let cargo_home = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::home_dir().map(|home| home.join(".cargo")))
        .ok_or_else(|| Failure::new("neither CARGO_HOME nor a home folder is known"))?;
    // The compiler takes the last mapping that fits, so the narrower ones come last.
    let mut mappings = vec![
        (sysroot, "/toolchain".to_owned()),
        (cargo_home.clone(), "/cargo".to_owned()),
        (root.to_path_buf(), "/tankside".to_owned()),
        (library, format!("/rustc/{commit}")),
    ];
    // The folder of unpacked crates is named after the registry they came through, which may be a mirror.
    if let Ok(registries) = std::fs::read_dir(cargo_home.join("registry/src")) {
        for registry in registries.flatten() {
            mappings.push((registry.path(), "/cargo/crates".to_owned()));
        }
    }
    let mapped = mappings.into_iter().map(|(from, to)| format!("--remap-path-prefix={}={to}", from.display()));
    let more = [
        // What refers to what, for `parts`.
        "-Clink-arg=--emit-relocs",
        // Only small functions are inlined: all that are usually would make the core heavier and hardly faster.
        "-Cllvm-args=-inline-threshold=35",
    ];
    Ok(mapped.chain(more.map(str::to_owned)).collect())
}

fn sysroot(root: &Path) -> Result<PathBuf, Failure> {
    let printed = run::output(Command::new("rustc").args(["--print", "sysroot"]).current_dir(root))?;
    Ok(PathBuf::from(printed.trim()))
}

/// Where cargo puts what it builds.
pub(crate) fn target_dir(root: &Path) -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |dir| root.join(dir))
}

#[cfg(test)]
mod tests {
    use super::{binding, parts};
    use tankside_calc::fitted::EXTRAS;

    #[test]
    fn every_extra_part_is_built_once_and_left_out_where_all_of_them_are_loaded() {
        let parts = parts();
        for extra in EXTRAS {
            let part = parts.iter().find(|part| part.name == extra).expect("it is built");
            assert!(!part.copies && !part.owns.is_empty(), "{extra}");
            for whole in parts.iter().filter(|part| ["card", "data"].contains(&part.name.as_str())) {
                assert!(whole.over.contains(&extra), "{} carries {extra} again", whole.name);
            }
        }
    }

    const GLUE: &str = "/**\n * @param {string} part\n * @returns {number}\n */\nfunction fitted(part) {}\n    exports.fitted = fitted;\n\
        exports.start = start;\nconst import0 = {\n__wbindgen_init_externref_table: function() {}\n};\nreturn {};";

    #[test]
    fn the_script_has_every_door_of_the_core() {
        let script = binding(GLUE).expect("it is known");
        assert!(script.contains("\"fitted start\".split"), "{script}");
    }

    #[test]
    fn what_is_neither_text_nor_number_is_refused() {
        let told = binding(&GLUE.replace("{number}", "{Date}")).expect_err("it is refused");
        assert!(told.ends_with("* @returns {Date}"), "{told}");
        let told = binding(&GLUE.replace("table: function()", "table: function() {}, now: function()"));
        assert!(told.is_err_and(|told| told.ends_with("other functions")));
    }
}
