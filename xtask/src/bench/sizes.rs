//! What a phone has to fetch: raw, and as web servers compress it.

use crate::run::{self, Failure};
use crate::sources;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// The WebAssembly that every page with a calculator loads may be at most so large when compressed.
const WEBASSEMBLY_GZIP_AIM: usize = 120_000;

/// Prints the sizes of the parts of a published course.
pub(crate) fn print(root: &Path, demo: &Path) -> Result<(), Failure> {
    println!("\nsizes (bytes)");
    println!("  {:<34} {:>9} {:>9} {:>9}", "", "raw", "gzip", "brotli");
    let package = root.join(sources::PACKAGE_DIR);
    let core = line("WebAssembly, every page", &package.join(sources::CORE_FILE))?;
    let mut all = core;
    // The last part is no page's.
    for part in &sources::PART_FILES[..3] {
        all += line(&format!("WebAssembly, {part}"), &package.join(part))?;
    }
    let scripts = ["core.js", "core-more.js", "core-practice.js", "core-card.js"];
    for asset in scripts.into_iter().chain(["phrases.js", "site.js", "card.js", "site.css"]) {
        let path = demo.join("assets").join(asset);
        if path.exists() {
            line(&format!("assets/{asset}"), &path)?;
        }
    }
    if let Some(page) = lesson_page(demo)? {
        let name = page.strip_prefix(demo).unwrap_or(&page);
        line(&format!("lesson page {}", name.display()), &page)?;
    }
    println!("  WebAssembly, gzip: {core} on every page that computes (aim: at most {WEBASSEMBLY_GZIP_AIM})");
    println!("  WebAssembly, gzip: {all} where a page needs all of its parts");
    Ok(())
}

/// The longest page that has a worked example, so that the figure errs upward.
fn lesson_page(demo: &Path) -> Result<Option<PathBuf>, Failure> {
    let mut pages = Vec::new();
    let mut folders = vec![demo.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(run::about(&folder))? {
            let path = entry.map_err(run::about(&folder))?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "html") {
                let text = fs::read_to_string(&path).map_err(run::about(&path))?;
                if text.contains("data-part=\"worked\"") {
                    pages.push((text.len(), path));
                }
            }
        }
    }
    Ok(pages.into_iter().max().map(|(_, path)| path))
}

fn line(name: &str, path: &Path) -> Result<usize, Failure> {
    let bytes = fs::read(path).map_err(run::about(path))?;
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(&bytes).map_err(run::about(path))?;
    let gzip = gzip.finish().map_err(run::about(path))?.len();
    let mut small = Vec::new();
    // The settings that servers use for files compressed ahead of time.
    let settings = brotli::enc::BrotliEncoderParams { quality: 11, lgwin: 22, ..Default::default() };
    brotli::BrotliCompress(&mut bytes.as_slice(), &mut small, &settings).map_err(run::about(path))?;
    println!("  {name:<34} {:>9} {gzip:>9} {:>9}", bytes.len(), small.len());
    Ok(gzip)
}
