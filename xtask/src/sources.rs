//! The mark that ties the WebAssembly kept in the tree to the sources it was built from.
//!
//! `calc-wasm/pkg/SOURCES` holds one line per file of the build: the digest of everything that went
//! in, then the digest of each file that came out. Reading it back takes milliseconds, so an ordinary
//! `cargo test` can say that the tree's WebAssembly is stale; only `cargo xtask wasm --check` builds.
//! The tests at the root take this file in by path: it must need nothing but `sha2` and the standard library.

use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Where the built files are kept, seen from the root of the workspace.
pub(crate) const PACKAGE_DIR: &str = "calc-wasm/pkg";
/// The mark's own file name.
pub(crate) const MARK_FILE: &str = "SOURCES";

/// The package whose lock entries, with all their dependencies, belong to the sources.
const CORE_PACKAGE: &str = "tankside-calc";
/// Raised by hand when `cargo xtask wasm` starts to build differently from the same files.
const RECIPE: &str = "recipe 7";

/// Says why the WebAssembly in the tree does not belong to the sources, or nothing if it does.
///
/// # Errors
/// Any file that cannot be read, with its path; a missing build is a reason, not an error.
pub(crate) fn stale(root: &Path) -> io::Result<Option<String>> {
    let mark = root.join(PACKAGE_DIR).join(MARK_FILE);
    if !mark.exists() {
        return Ok(Some(format!("{PACKAGE_DIR}/{MARK_FILE} is missing")));
    }
    let kept = read(&mark)?;
    let kept = String::from_utf8_lossy(&kept);
    if kept.lines().next() != Some(source_line(root)?.as_str()) {
        return Ok(Some("the core's sources changed after it was built".to_owned()));
    }
    let folder = root.join(PACKAGE_DIR);
    let found = built_files(&folder)?;
    for line in kept.lines().skip(1) {
        let file = line.split("  ").nth(1).unwrap_or_default();
        if !found.iter().any(|found| found == file) {
            return Ok(Some(format!("{PACKAGE_DIR}/{file} is missing")));
        }
    }
    for file in found {
        let line = digest_line(&read(&folder.join(&file))?, &file);
        if !kept.lines().any(|kept| kept == line) {
            return Ok(Some(format!("{PACKAGE_DIR}/{file} is not a file that was built")));
        }
    }
    Ok(None)
}

/// The names of the files of a build, without the mark, in order.
///
/// # Errors
/// A folder that cannot be read.
pub(crate) fn built_files(folder: &Path) -> io::Result<Vec<String>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(|why| naming(folder, &why))? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if name != MARK_FILE {
            files.push(name);
        }
    }
    files.sort();
    Ok(files)
}

/// The mark for files just built in `built`, from the sources under `root`.
///
/// # Errors
/// Any file that cannot be read, with its path.
#[allow(dead_code, reason = "the tests at the root only read marks")]
pub(crate) fn mark(root: &Path, built: &Path) -> io::Result<String> {
    let mut text = source_line(root)?;
    text.push('\n');
    for file in built_files(built)? {
        text.push_str(&digest_line(&read(&built.join(&file))?, &file));
        text.push('\n');
    }
    Ok(text)
}

fn source_line(root: &Path) -> io::Result<String> {
    let mut parts: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    let taking_apart = files_below(&root.join("xtask/src/parts"))?;
    let unpacking = core_files(&root.join("calc-wasm/unpack"))?;
    for path in core_files(&root.join("calc-wasm"))?.into_iter().chain(unpacking).chain(taking_apart) {
        let name = path.strip_prefix(root).unwrap_or(&path);
        // The name as the tree writes it, on every system.
        let name = name.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
        parts.insert(name, read(&path)?);
    }
    let toolchain = "rust-toolchain.toml";
    parts.insert(toolchain.to_owned(), read(&root.join(toolchain))?);
    let manifest = String::from_utf8_lossy(&read(&root.join("Cargo.toml"))?).into_owned();
    let lock = String::from_utf8_lossy(&read(&root.join("Cargo.lock"))?).into_owned();
    parts.insert("Cargo.toml".to_owned(), build_tables(&manifest).into_bytes());
    parts.insert("Cargo.lock".to_owned(), lock_closure(&lock, CORE_PACKAGE).into_bytes());

    let mut all = Sha256::new();
    all.update(RECIPE);
    for (name, bytes) in parts {
        all.update(digest_line(&bytes, &name));
        all.update("\n");
    }
    Ok(format!("{}  sources", hex(&all.finalize())))
}

/// The manifest, the build script if there is one, and everything in `src`.
fn core_files(core: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = vec![core.join("Cargo.toml")];
    let build_script = core.join("build.rs");
    if build_script.exists() {
        files.push(build_script);
    }
    files.extend(files_below(&core.join("src"))?);
    Ok(files)
}

fn files_below(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(|why| naming(&folder, &why))? {
            let path = entry?.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                files.push(path);
            }
        }
    }
    Ok(files)
}

/// The tables of the workspace manifest that change what is built: the package defaults and the profiles.
fn build_tables(manifest: &str) -> String {
    let mut wanted = false;
    let mut kept = String::new();
    for line in manifest.lines().map(str::trim) {
        if line.starts_with('[') {
            wanted = line == "[workspace.package]"
                || line.starts_with("[workspace.dependencies")
                || line == "[profile.release]"
                || line.starts_with("[profile.wasm");
        }
        if wanted && !line.is_empty() && !line.starts_with('#') {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

/// The lock entries of a package and of all it needs, so that a change of the generator's libraries
/// does not ask for a new build of the core.
fn lock_closure(lock: &str, package: &str) -> String {
    let entries: Vec<&str> = lock.split("[[package]]").skip(1).map(str::trim).collect();
    let mut wanted = vec![package.to_owned()];
    let mut taken = BTreeSet::new();
    while let Some(want) = wanted.pop() {
        // A dependency line is `name`, or `name version` where the lock has several of that name.
        let mut words = want.split(' ');
        let name = words.next().unwrap_or_default();
        let version = words.next();
        for (index, entry) in entries.iter().enumerate() {
            let matches = field(entry, "name") == Some(name)
                && version.is_none_or(|version| field(entry, "version") == Some(version));
            if matches && taken.insert(index) {
                wanted.extend(dependencies(entry));
            }
        }
    }
    let kept: Vec<&str> = taken.iter().map(|&index| entries[index]).collect();
    kept.join("\n\n")
}

fn field<'a>(entry: &'a str, name: &str) -> Option<&'a str> {
    entry.lines().find_map(|line| {
        let value = line.strip_prefix(name)?.strip_prefix(" = \"")?;
        value.strip_suffix('"')
    })
}

fn dependencies(entry: &str) -> impl Iterator<Item = String> + '_ {
    entry
        .lines()
        .skip_while(|line| !line.starts_with("dependencies = ["))
        .skip(1)
        .take_while(|line| !line.starts_with(']'))
        .map(|line| line.trim().trim_matches([',', '"']).to_owned())
}

fn read(path: &Path) -> io::Result<Vec<u8>> {
    fs::read(path).map_err(|why| naming(path, &why))
}

fn naming(path: &Path, why: &io::Error) -> io::Error {
    io::Error::new(why.kind(), format!("{}: {why}", path.display()))
}

fn digest_line(bytes: &[u8], name: &str) -> String {
    format!("{}  {name}", hex(&Sha256::digest(bytes)))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::{build_tables, lock_closure};

    const LOCK: &str = r#"
[[package]]
name = "core"
version = "0.1.0"
dependencies = [
 "digits 1.0.0",
 "words",
]

[[package]]
name = "digits"
version = "1.0.0"

[[package]]
name = "digits"
version = "2.0.0"

[[package]]
name = "generator"
version = "0.1.0"
dependencies = [
 "core",
 "digits 2.0.0",
]

[[package]]
name = "words"
version = "3.0.0"
"#;

    #[test]
    fn the_lock_entries_kept_are_those_the_core_reaches() {
        let kept = lock_closure(LOCK, "core");
        assert!(kept.contains("name = \"core\""));
        assert!(kept.contains("version = \"1.0.0\""));
        assert!(kept.contains("name = \"words\""));
        assert!(!kept.contains("version = \"2.0.0\""));
        assert!(!kept.contains("generator"));
    }

    #[test]
    fn only_tables_that_change_the_build_are_kept_of_the_manifest() {
        let manifest = "[dependencies]\nclap = \"4\"\n# why\n[profile.wasm]\nlto = \"fat\"\n[lints]\n";
        assert_eq!(build_tables(manifest), "[profile.wasm]\nlto = \"fat\"\n");
    }
}
