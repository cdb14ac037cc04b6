//! Where the files of a course come from: a folder, the binary itself, or several of these, the first one first.
//!
//! Nothing outside the course is ever read, whatever a path or a symbolic link says.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsString;
use std::fs;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::listing::Listing;
use crate::catalogue::first_language;
use crate::problem::{Problem, code};

/// Why a file was not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// There is no such file.
    Missing,
    /// The file is larger than may be read; holds its size in bytes.
    TooLarge(u64),
    /// The path leads out of the course.
    Outside,
    /// A folder, a pipe or a device.
    NotAFile,
    /// The system's own message.
    System(String),
}

/// A folder, or a file in one, that is there and cannot be listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unlisted {
    /// Its path in the course, as far as it can be shown.
    pub name: String,
    /// Why.
    pub why: WhyUnlisted,
}

/// Why something that is there is not listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyUnlisted {
    /// The folder leads out of the course.
    Outside,
    /// The name is not UTF-8.
    Name,
    /// A pipe, a device or a socket.
    NotAFile,
    /// The system's own message.
    System(String),
}

/// A set of files under relative names with forward slashes.
pub trait Files: Sync {
    /// The bytes of a file, unless there are more than `limit`.
    fn read(&self, name: &str, limit: u64) -> Result<Cow<'static, [u8]>, ReadError>;
    /// The names of the plain files directly in a folder, sorted; nothing if there is no such folder.
    fn list(&self, folder: &str) -> Vec<String>;
    /// What exists in a folder and cannot be listed: its name as far as it can be shown, and why.
    fn unlisted(&self, _folder: &str) -> Vec<Unlisted> {
        Vec::new()
    }
    /// The names of the author's folders directly in a folder (`""` is the course), sorted; hidden ones are left out.
    fn folders(&self, _folder: &str) -> Vec<String> {
        Vec::new()
    }
    /// Whether there is a file of that name.
    fn has(&self, name: &str) -> bool;
    /// The files of a folder in a language, by their names without it: `a.md` is `lessons/es/a.md`, or else
    /// `lessons/a.md`, or else that of the language that the stock is written in.
    fn in_language(&self, folder: &str, language: &str) -> BTreeMap<String, String> {
        let mut paths = BTreeMap::new();
        for place in [format!("{folder}/{}", first_language()), folder.to_owned(), format!("{folder}/{language}")] {
            // Lists are in order, and maps in order are put together quicker than entry by entry.
            let here = self.list(&place).into_iter().map(|name| {
                let path = [&place, "/", &name].concat();
                (name, path)
            });
            paths.append(&mut here.collect());
        }
        paths
    }
}

/// A folder on disk. What a folder in it holds is read once: whoever wants to see what came later opens it again.
#[derive(Debug)]
pub struct Disk {
    root: PathBuf,
    real_root: PathBuf,
    /// As they are written, which is quicker to compare than part by part.
    inside: Mutex<BTreeSet<OsString>>,
    listings: Mutex<BTreeMap<PathBuf, Arc<Listing>>>,
}

/// A poisoned lock only means that another thread stopped; what it guards is intact.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Room for nearly every text.
const DESK_ROOM: usize = 64 * 1024;

thread_local! {
    /// Where a thread reads texts to, one after the other: a new buffer for each of thousands would be zeroed first.
    static DESK: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// How many folders up from a file a course is looked for.
const FOLDERS_UP: usize = 4;

impl Disk {
    /// A course folder; it must exist.
    pub fn open(root: &Path) -> Result<Self, Box<Problem>> {
        let refused = |title: String| {
            Problem::new(code::COURSE_MISSING, title, root.display().to_string())
                .help("name the folder that holds `course.yaml`")
        };
        let real_root = fs::canonicalize(root).map_err(|error| match read_error(&error) {
            ReadError::Missing => refused("there is no such course folder".to_owned()),
            _ => refused(format!("opening the course folder: {error}")),
        })?;
        // What was named may lie in the course that was meant.
        let mut above = root.ancestors().skip(1).take(FOLDERS_UP);
        let course = above.find(|folder| folder.join("course.yaml").is_file()).map(|folder| match folder.to_str() {
            Some("") => ".".to_owned(),
            _ => folder.display().to_string(),
        });
        let meant = |problem: Problem| match &course {
            Some(course) => problem.help(format!("write `{course}`, the folder that holds `course.yaml`")),
            None => problem,
        };
        if !real_root.is_dir() {
            return Err(meant(refused("a course folder is expected here, and this is a file".to_owned())).into());
        }
        if course.is_some() && !root.join("course.yaml").exists() {
            return Err(meant(refused("this folder is inside a course folder".to_owned())).into());
        }
        let (inside, listings) = (Mutex::default(), Mutex::default());
        Ok(Self { root: root.to_path_buf(), real_root, inside, listings })
    }

    /// The folder as it was named.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Where a file of the course is; its folder is inside the course.
    fn place(&self, name: &str) -> Result<PathBuf, ReadError> {
        let relative = Path::new(name);
        if !relative.components().all(|part| matches!(part, Component::Normal(_))) {
            return Err(ReadError::Outside);
        }
        let path = self.real_root.join(relative);
        if let Some(folder) = path.parent() {
            self.check_folder(folder)?;
        }
        Ok(path)
    }

    /// A plain file inside the course, with its size.
    fn opened(&self, name: &str) -> Result<(fs::File, u64), ReadError> {
        // Nearly every file is no link, and its path is followed once, for each lesson of a long course.
        if let Ok(file) = open_unless_link(&self.place(name)?) {
            let about = file.metadata().map_err(|error| read_error(&error))?;
            return if about.is_file() { Ok((file, about.len())) } else { Err(ReadError::NotAFile) };
        }
        let (path, size) = self.size(name)?;
        Ok((fs::File::open(path).map_err(|error| read_error(&error))?, size))
    }

    /// Size of a plain file inside the course.
    fn size(&self, name: &str) -> Result<(PathBuf, u64), ReadError> {
        let path = self.place(name)?;
        let mut about = fs::symlink_metadata(&path).map_err(|error| read_error(&error))?;
        if about.is_symlink() {
            let real = fs::canonicalize(&path).map_err(|error| read_error(&error))?;
            if !real.starts_with(&self.real_root) {
                return Err(ReadError::Outside);
            }
            about = fs::metadata(&real).map_err(|error| read_error(&error))?;
        }
        if about.is_file() { Ok((path, about.len())) } else { Err(ReadError::NotAFile) }
    }

    /// Follows a folder's links once and remembers it: a course of thousands of lessons has a handful of folders.
    fn check_folder(&self, folder: &Path) -> Result<(), ReadError> {
        let mut inside = locked(&self.inside);
        if inside.contains(folder.as_os_str()) {
            return Ok(());
        }
        let real = fs::canonicalize(folder).map_err(|error| read_error(&error))?;
        if !real.starts_with(&self.real_root) {
            return Err(ReadError::Outside);
        }
        inside.insert(folder.as_os_str().to_owned());
        Ok(())
    }

    /// What a folder holds that was checked before. Who asks for one that is being read waits for it.
    fn listing(&self, path: PathBuf) -> Arc<Listing> {
        let mut listings = locked(&self.listings);
        let listing = listings.entry(path).or_insert_with_key(|path| Arc::new(Listing::of(path)));
        Arc::clone(listing)
    }
}

impl Files for Disk {
    fn read(&self, name: &str, limit: u64) -> Result<Cow<'static, [u8]>, ReadError> {
        let (mut file, size) = self.opened(name)?;
        if size > limit {
            return Err(ReadError::TooLarge(size));
        }
        let room = usize::try_from(size).unwrap_or(0) + 1;
        // An interrupted reading begins once more below.
        let mut read = |room: &mut [u8]| file.read(room).unwrap_or(0);
        let mut bytes = if room <= DESK_ROOM {
            DESK.with_borrow_mut(|desk| {
                desk.resize(DESK_ROOM, 0);
                let first = read(&mut desk[..room]);
                desk[..first].to_vec()
            })
        } else {
            let mut bytes = vec![0; room];
            let first = read(&mut bytes);
            bytes.truncate(first);
            bytes
        };
        let first = bytes.len();
        // As many bytes as there should be, with room for more, are all of them: a long course asks once for each lesson.
        if first as u64 != size || size == 0 {
            // The file may have grown since its size was read.
            let more = (limit + 1).saturating_sub(first as u64);
            file.take(more).read_to_end(&mut bytes).map_err(|error| read_error(&error))?;
        }
        let read = bytes.len() as u64;
        if read > limit { Err(ReadError::TooLarge(read)) } else { Ok(Cow::Owned(bytes)) }
    }

    fn list(&self, folder: &str) -> Vec<String> {
        let path = self.real_root.join(folder);
        if self.check_folder(&path).is_err() {
            return Vec::new();
        }
        // What cannot be listed is found by `unlisted`.
        self.listing(path).files.clone()
    }

    fn unlisted(&self, folder: &str) -> Vec<Unlisted> {
        let path = self.real_root.join(folder);
        let whole = |why| vec![Unlisted { name: folder.to_owned(), why }];
        match self.check_folder(&path) {
            Ok(()) => {}
            Err(ReadError::Outside) => return whole(WhyUnlisted::Outside),
            // A folder that does not exist holds nothing; a dangling link does exist.
            Err(ReadError::Missing) if fs::symlink_metadata(&path).is_err() => return Vec::new(),
            Err(ReadError::System(words)) => return whole(WhyUnlisted::System(words)),
            Err(_) => return whole(WhyUnlisted::System("it leads nowhere".to_owned())),
        }
        self.listing(path).unlisted(folder)
    }

    fn folders(&self, folder: &str) -> Vec<String> {
        let path = self.real_root.join(folder);
        if self.check_folder(&path).is_err() {
            return Vec::new();
        }
        self.listing(path).folders.clone()
    }

    fn has(&self, name: &str) -> bool {
        self.size(name).is_ok()
    }
}

/// Opens a file that is no link, and waits for nobody at the other end of a pipe.
#[cfg(unix)]
fn open_unless_link(path: &Path) -> io::Result<fs::File> {
    use rustix::fs::{Mode, OFlags};
    let how = OFlags::RDONLY | OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::NOCTTY | OFlags::CLOEXEC;
    Ok(rustix::fs::open(path, how, Mode::empty())?.into())
}

/// Whether it is a link is asked first.
#[cfg(not(unix))]
fn open_unless_link(_path: &Path) -> io::Result<fs::File> {
    Err(io::ErrorKind::Unsupported.into())
}

fn read_error(error: &io::Error) -> ReadError {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => ReadError::Missing,
        _ => ReadError::System(error.to_string()),
    }
}

/// Files kept in memory: the course inside the binary, and courses in tests.
#[derive(Debug, Default)]
pub struct Memory(BTreeMap<Cow<'static, str>, Cow<'static, [u8]>>);

impl Memory {
    /// An empty set.
    pub fn new() -> Self {
        Self::default()
    }

    /// The files of a folder inside the binary.
    pub fn of(folder: &include_dir::Dir<'static>) -> Self {
        let mut memory = Self::default();
        memory.add_folder(folder, folder);
        memory
    }

    fn add_folder(&mut self, root: &include_dir::Dir<'static>, folder: &include_dir::Dir<'static>) {
        for file in folder.files() {
            let path = file.path().strip_prefix(root.path()).unwrap_or(file.path());
            let name: Vec<_> = path.iter().map(|part| part.to_string_lossy()).collect();
            self.add(name.join("/"), file.contents());
        }
        for inner in folder.dirs() {
            self.add_folder(root, inner);
        }
    }

    /// Adds a file, or replaces it.
    pub fn add(&mut self, name: impl Into<Cow<'static, str>>, bytes: impl Into<Cow<'static, [u8]>>) {
        self.0.insert(name.into(), bytes.into());
    }
}

impl Files for Memory {
    fn read(&self, name: &str, limit: u64) -> Result<Cow<'static, [u8]>, ReadError> {
        let bytes = self.0.get(name).ok_or(ReadError::Missing)?;
        let size = bytes.len() as u64;
        if size > limit { Err(ReadError::TooLarge(size)) } else { Ok(bytes.clone()) }
    }

    fn list(&self, folder: &str) -> Vec<String> {
        let below = |name: &'_ Cow<'static, str>| match folder {
            "" => Some(name.to_string()),
            _ => Some(name.strip_prefix(folder)?.strip_prefix('/')?.to_owned()),
        };
        let names = self.0.keys().filter_map(below);
        names.filter(|name| !name.contains('/')).collect()
    }

    fn folders(&self, folder: &str) -> Vec<String> {
        let below = |name: &'_ Cow<'static, str>| match folder {
            "" => Some(name.to_string()),
            _ => Some(name.strip_prefix(folder)?.strip_prefix('/')?.to_owned()),
        };
        let first = |name: &Cow<'static, str>| Some(below(name)?.split_once('/')?.0.to_owned());
        self.0.keys().filter_map(first).collect::<BTreeSet<_>>().into_iter().collect()
    }

    fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }
}

/// Several sets of files; a file is taken from the first set that has its name.
pub struct Layered<'a>(pub Vec<&'a dyn Files>);

impl Files for Layered<'_> {
    fn read(&self, name: &str, limit: u64) -> Result<Cow<'static, [u8]>, ReadError> {
        for layer in &self.0 {
            match layer.read(name, limit) {
                Err(ReadError::Missing) => {}
                other => return other,
            }
        }
        Err(ReadError::Missing)
    }

    fn list(&self, folder: &str) -> Vec<String> {
        let mut names: Vec<String> = self.0.iter().flat_map(|layer| layer.list(folder)).collect();
        // Each layer's are in order, which this kind of sorting makes use of.
        names.sort();
        names.dedup();
        names
    }

    fn unlisted(&self, folder: &str) -> Vec<Unlisted> {
        self.0.iter().flat_map(|layer| layer.unlisted(folder)).collect()
    }

    /// Those of the first layer: the course lies over the stock, whose folders nobody has written here.
    fn folders(&self, folder: &str) -> Vec<String> {
        self.0.first().map_or_else(Vec::new, |own| own.folders(folder))
    }

    fn has(&self, name: &str) -> bool {
        self.0.iter().any(|layer| layer.has(name))
    }

    /// What a layer has in any language hides what those below it have.
    fn in_language(&self, folder: &str, language: &str) -> BTreeMap<String, String> {
        self.0.iter().rev().fold(BTreeMap::new(), |mut below, layer| {
            below.append(&mut layer.in_language(folder, language));
            below
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_above_hides_the_one_below() {
        let (mut own, mut stock) = (Memory::new(), Memory::new());
        own.add("lessons/a.md", b"own".as_slice());
        stock.add("lessons/a.md", b"stock".as_slice());
        stock.add("lessons/b.md", b"stock".as_slice());
        stock.add("lessons/deep/c.md", b"stock".as_slice());
        let both = Layered(vec![&own, &stock]);
        assert_eq!(both.read("lessons/a.md", 9).as_deref(), Ok(b"own".as_slice()));
        assert_eq!(both.list("lessons"), ["a.md", "b.md"]);
        assert_eq!(both.read("lessons/b.md", 2), Err(ReadError::TooLarge(5)));
        assert!(!both.has("lessons/z.md"));
    }

    #[test]
    fn a_file_is_taken_in_the_courses_language_else_in_the_first() {
        let (mut own, mut stock) = (Memory::new(), Memory::new());
        for name in ["lessons/mine.md", "lessons/both.md", "lessons/qaa/both.md"] {
            own.add(name, b"own".as_slice());
        }
        for name in
            ["lessons/en/mine.md", "lessons/qaa/mine.md", "lessons/en/a.md", "lessons/en/b.md", "lessons/qaa/b.md"]
        {
            stock.add(name, b"stock".as_slice());
        }
        let layered = Layered(vec![&own, &stock]);
        let paths = |language| layered.in_language("lessons", language).into_values().collect::<Vec<_>>();
        assert_eq!(paths("qaa"), ["lessons/en/a.md", "lessons/qaa/b.md", "lessons/qaa/both.md", "lessons/mine.md"]);
        assert_eq!(paths("en"), ["lessons/en/a.md", "lessons/en/b.md", "lessons/both.md", "lessons/mine.md"]);
    }

    #[cfg(unix)]
    #[test]
    fn nothing_outside_the_course_is_read() {
        let root = std::env::temp_dir().join(format!("tankside-files-{}", std::process::id()));
        let course = root.join("course");
        fs::create_dir_all(course.join("lessons")).expect("the temporary folder can be written");
        fs::write(root.join("secret.md"), "secret").expect("as above");
        fs::write(course.join("lessons/a.md"), "a").expect("as above");
        std::os::unix::fs::symlink(root.join("secret.md"), course.join("lessons/out.md")).expect("as above");
        std::os::unix::fs::symlink(course.join("lessons/a.md"), course.join("lessons/in.md")).expect("as above");
        std::os::unix::fs::symlink(&root, course.join("questions")).expect("as above");
        let disk = Disk::open(&course).expect("it was just made");
        assert_eq!(disk.read("lessons/out.md", 99), Err(ReadError::Outside));
        assert_eq!(disk.read("questions/secret.md", 99), Err(ReadError::Outside));
        assert_eq!(disk.read("../secret.md", 99), Err(ReadError::Outside));
        assert_eq!(disk.read("lessons", 99), Err(ReadError::NotAFile));
        // Nobody writes into this pipe, and nobody waits for it.
        let made = std::process::Command::new("mkfifo").arg(course.join("lessons/pipe.md")).status();
        assert!(made.is_ok_and(|made| made.success()));
        assert_eq!(disk.read("lessons/pipe.md", 99), Err(ReadError::NotAFile));
        let _socket = std::os::unix::net::UnixListener::bind(course.join("lessons/ask.md")).expect("as above");
        assert_eq!(disk.read("lessons/ask.md", 99), Err(ReadError::NotAFile));
        assert_eq!(disk.read("lessons/in.md", 99).as_deref(), Ok(b"a".as_slice()));
        assert!(disk.list("questions").is_empty());
        for wrong in [root.join("nowhere"), root.join("secret.md"), root.join("secret.md/below")] {
            assert_eq!(Disk::open(&wrong).expect_err("no folder").code, "course-missing");
        }
        fs::remove_dir_all(&root).expect("it was just made");
    }
}
