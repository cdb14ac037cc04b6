//! What a phone has to fetch: raw, and as web servers compress it.

use crate::run::{self, Failure};
use crate::sources;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// The most that the WebAssembly a page loads may weigh, compressed.
const WEBASSEMBLY_GZIP_AIM: usize = 120_000;

/// Prints the sizes of the parts of a published course.
pub(crate) fn print(root: &Path, demo: &Path) -> Result<(), Failure> {
    println!("\nsizes (bytes)");
    println!("  {:<42} {:>9} {:>9} {:>9}", "", "raw", "gzip", "brotli");
    let package = root.join(sources::PACKAGE_DIR);
    let mut modules = BTreeMap::new();
    for file in sources::built_files(&package).map_err(run::about(&package))? {
        // A page names the core's script `core.js` and a part's `core-tank-mix.js`.
        if let Some(part) = file.strip_suffix(".txt") {
            let gzip = line(&format!("WebAssembly {part}, packed"), &package.join(&file))?;
            modules.insert(part.to_owned(), gzip);
        }
    }
    for asset in [
        "core.js",
        "phrases.js",
        "site.js",
        "quiz.js",
        "card.js",
        "site.css",
        "around.js",
        "search.js",
        "search-index.js",
    ] {
        line(&format!("assets/{asset}"), &demo.join("assets").join(asset))?;
    }
    let pages = pages(demo)?;
    let examples = pages.iter().filter(|(_, text)| text.contains("data-part=\"worked\""));
    // The longest page that has a worked example, so that the figure errs on the high side.
    if let Some((page, _)) = examples.max_by_key(|(_, text)| text.len()) {
        let name = page.strip_prefix(demo).unwrap_or(page);
        line(&format!("lesson page {}", name.display()), page)?;
    }
    let loaded = |text: &str| -> usize {
        let named = modules.iter().filter(|(name, _)| text.contains(&format!("assets/{name}.js\"")));
        named.map(|(_, gzip)| gzip).sum()
    };
    let heaviest = pages.iter().map(|(page, text)| (loaded(text), page)).max();
    let Some((gzip, page)) = heaviest else { return Err(Failure::new("no page was published".to_owned())) };
    let name = page.strip_prefix(demo).unwrap_or(page).display();
    println!("  WebAssembly of the heaviest page, {name}, gzip: {gzip} (aim: at most {WEBASSEMBLY_GZIP_AIM})");
    println!("  WebAssembly of all pages together, gzip: {}", modules.values().sum::<usize>());
    Ok(())
}

/// Every page with its text.
fn pages(demo: &Path) -> Result<Vec<(PathBuf, String)>, Failure> {
    let mut pages = Vec::new();
    let mut folders = vec![demo.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(run::about(&folder))? {
            let path = entry.map_err(run::about(&folder))?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "html") {
                let text = fs::read_to_string(&path).map_err(run::about(&path))?;
                pages.push((path, text));
            }
        }
    }
    Ok(pages)
}

/// What a file weighs as a server sends it.
pub(crate) fn gzip(path: &Path) -> Result<usize, Failure> {
    let bytes = fs::read(path).map_err(run::about(path))?;
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(&bytes).map_err(run::about(path))?;
    Ok(gzip.finish().map_err(run::about(path))?.len())
}

fn line(name: &str, path: &Path) -> Result<usize, Failure> {
    let bytes = fs::read(path).map_err(run::about(path))?;
    let gzip = gzip(path)?;
    let mut small = Vec::new();
    // The settings that servers use for files compressed ahead of time.
    let settings = brotli::enc::BrotliEncoderParams { quality: 11, lgwin: 22, ..Default::default() };
    brotli::BrotliCompress(&mut bytes.as_slice(), &mut small, &settings).map_err(run::about(path))?;
    println!("  {name:<42} {:>9} {gzip:>9} {:>9}", bytes.len(), small.len());
    Ok(gzip)
}
