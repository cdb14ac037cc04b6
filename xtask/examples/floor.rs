//! The least that publishing could cost: Markdown to HTML, and as many bytes written to as many files.
//!
//! `floor LESSONS MANIFEST TO THREADS`: turns every lesson into HTML and writes every file the
//! manifest lists (`bytes<TAB>path`), a lesson's own HTML in its page and filling in the rest; then syncs all of it to
//! disk and moves it into its place, as publishing does. No links are checked, no template is filled, nothing is
//! computed.

use pulldown_cmark::{Options, Parser, html};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [lessons, manifest, to, threads] = arguments.as_slice() else {
        return Err(io::Error::other("floor LESSONS MANIFEST TO THREADS"));
    };
    let (lessons, to) = (Path::new(lessons), PathBuf::from(to));
    let threads: usize = threads.parse().map_err(io::Error::other)?;
    let listed = fs::read_to_string(manifest)?;
    let files: Vec<(usize, &str)> = listed
        .lines()
        .filter_map(|line| line.split_once('\t'))
        .filter_map(|(bytes, path)| Some((bytes.parse().ok()?, path)))
        .collect();
    let staged = to.with_extension("staged");
    for (_, path) in &files {
        if let Some(folder) = staged.join(path).parent() {
            fs::create_dir_all(folder)?;
        }
    }

    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(|| work(lessons, &staged, &files, &next))).collect();
        workers
            .into_iter()
            .try_for_each(|worker| worker.join().unwrap_or_else(|_| Err(io::Error::other("a thread ended early"))))
    })?;
    onto_disk(&staged, &files)?;
    fs::rename(&staged, &to)?;
    let parent = to.parent().filter(|parent| *parent != Path::new("")).unwrap_or(Path::new("."));
    fs::File::open(parent)?.sync_all()
}

/// One call for all files where the system has one, as in `src/write/swap.rs`.
#[cfg(target_os = "linux")]
fn onto_disk(folder: &Path, _files: &[(usize, &str)]) -> io::Result<()> {
    Ok(nix::unistd::syncfs(fs::File::open(folder)?)?)
}

#[cfg(not(target_os = "linux"))]
fn onto_disk(folder: &Path, files: &[(usize, &str)]) -> io::Result<()> {
    files.iter().try_for_each(|(_, path)| fs::File::open(folder.join(path))?.sync_all())
}

fn work(lessons: &Path, to: &Path, files: &[(usize, &str)], next: &AtomicUsize) -> io::Result<()> {
    let filling = vec![b' '; 64 * 1024];
    loop {
        let index = next.fetch_add(1, Ordering::Relaxed);
        let Some((bytes, path)) = files.get(index) else {
            return Ok(());
        };
        let stem = Path::new(path).file_stem().unwrap_or_default();
        let lesson = lessons.join(stem).with_extension("md");
        let page = path.ends_with(".html") && lesson.exists();
        let markup = if page { rendered(&lesson)? } else { Vec::new() };
        let mut file = fs::File::create_new(to.join(path))?;
        file.write_all(&markup[..markup.len().min(*bytes)])?;
        let mut left = bytes.saturating_sub(markup.len());
        while left > 0 {
            let part = left.min(filling.len());
            file.write_all(&filling[..part])?;
            left -= part;
        }
    }
}

fn rendered(lesson: &Path) -> io::Result<Vec<u8>> {
    let text = fs::read_to_string(lesson)?;
    // The header between the two lines of dashes is not part of the page.
    let body = text.splitn(3, "---\n").nth(2).unwrap_or(&text);
    let mut markup = String::with_capacity(2 * body.len());
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    html::push_html(&mut markup, Parser::new_ext(body, options));
    Ok(markup.into_bytes())
}
