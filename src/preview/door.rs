//! The preview's server: who may ask, for what, and how much at a time.
//!
//! Only names of this machine are answered, so that no page of another site reaches in; connections, the time of a
//! request and the size of its head are bounded.

use crate::markdown::page_names;
use std::collections::{BTreeSet, VecDeque};
use std::convert::Infallible;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::task::{Context, Poll};
use std::time::Duration;

use bytes::Bytes;
use http_body_util::{BodyExt, Full, combinators::BoxBody};
use hyper::body::{Body, Frame, Incoming};
use hyper::header::{self, HeaderValue};
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use percent_encoding::percent_decode_str;
use tankside_calc::text::json::map;
use tokio::sync::{oneshot, watch};
use tokio::task::AbortHandle;

use super::builder::Builder;
use super::shown;
use super::version::{Ask, Made, Way};

/// The most connections at a time; beyond that, the one that has been idle longest is closed.
const CONNECTIONS: usize = 200;
/// The most pages that wait for changes at a time.
const LISTENERS: usize = 64;
/// How long the head of a request may take.
const HEAD: Duration = Duration::from_secs(10);
/// How long a connection lasts at most; browsers open the next one by themselves.
const LONGEST: Duration = Duration::from_secs(600);
/// How often a waiting page hears that the preview is still running.
const BEAT: Duration = Duration::from_secs(15);
/// How long a page may take to be made.
const PAGE: Duration = Duration::from_secs(20);

/// Which host names are answered.
#[derive(Clone, Debug, Default)]
pub struct Hosts {
    /// Names besides those of this machine, without a port.
    pub names: BTreeSet<String>,
    /// Whether any numeric address is answered: if the preview was opened to others.
    pub any_address: bool,
}

impl Hosts {
    /// Whether a `Host` header or the host of an origin is one of these.
    fn answers(&self, host: &str) -> bool {
        let name = match host.strip_prefix('[') {
            Some(rest) => rest.split(']').next().unwrap_or_default(),
            None => host
                .rsplit_once(':')
                .map_or(host, |(name, port)| if port.bytes().all(|byte| byte.is_ascii_digit()) { name } else { host }),
        };
        let name = name.to_ascii_lowercase();
        match name.parse::<IpAddr>() {
            Ok(address) => address.is_loopback() || self.any_address,
            Err(_) => name == "localhost" || self.names.contains(&name),
        }
    }
}

/// What is shown now.
#[derive(Clone, Debug, Default)]
struct Now {
    way: Option<Way>,
    look: u64,
    html: String,
    summary: String,
}

/// What the server and the builder share.
#[derive(Clone, Debug)]
pub struct Desk {
    now: Arc<Mutex<Now>>,
    changes: watch::Sender<u64>,
    listeners: Arc<AtomicUsize>,
    hosts: Arc<Hosts>,
}

impl Desk {
    /// Nothing shown yet.
    pub fn new(hosts: Hosts) -> Self {
        let (changes, _) = watch::channel(0);
        Self { now: Arc::default(), changes, listeners: Arc::default(), hosts: Arc::new(hosts) }
    }

    /// Shows what a builder has made.
    pub fn show(&self, builder: &Builder) {
        let (errors, warnings) = builder.problems().count();
        let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
        let kept = match (errors, builder.way()) {
            (0, _) => ".",
            (_, Some(_)) => "; the page is the last good one.",
            (_, None) => "; there is no good page yet.",
        };
        let now = Now {
            way: builder.way(),
            look: builder.look(),
            html: shown::problems(builder.problems()),
            summary: format!("{}, {}{kept}", plural(errors, "error"), plural(warnings, "warning")),
        };
        // A poisoned lock only means that another thread stopped; what is in it is replaced.
        *self.now.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = now;
        self.changes.send_modify(|count| *count += 1);
    }

    fn now(&self) -> Now {
        self.now.lock().unwrap_or_else(std::sync::PoisonError::into_inner).clone()
    }
}

/// An open port at which requests are answered.
#[derive(Debug)]
pub struct Door {
    listener: std::net::TcpListener,
}

impl Door {
    /// Opens a port; with port 0, any free one.
    ///
    /// # Errors
    /// An address that cannot be used.
    pub fn open(address: IpAddr, port: u16) -> io::Result<Self> {
        let listener = std::net::TcpListener::bind(SocketAddr::new(address, port))?;
        listener.set_nonblocking(true)?;
        Ok(Self { listener })
    }

    /// Where it is.
    ///
    /// # Errors
    /// What the system says.
    pub fn address(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// Answers until the end of the program.
    ///
    /// # Errors
    /// Why it cannot be opened at all.
    pub fn answer(self, desk: Desk) -> io::Result<()> {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        runtime.block_on(async move {
            let listener = tokio::net::TcpListener::from_std(self.listener)?;
            let mut open: VecDeque<(AbortHandle, Arc<AtomicBool>)> = VecDeque::new();
            loop {
                let Ok((stream, _)) = listener.accept().await else {
                    // Too many open files, most likely: some will be closed.
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                };
                open.retain(|(task, _)| !task.is_finished());
                if open.len() >= CONNECTIONS {
                    let idle = open.iter().position(|(_, listens)| !listens.load(Ordering::Relaxed)).unwrap_or(0);
                    if let Some((task, _)) = open.remove(idle) {
                        task.abort();
                    }
                }
                let listens = Arc::new(AtomicBool::new(false));
                let (desk, mark) = (desk.clone(), Arc::clone(&listens));
                let task = tokio::spawn(async move {
                    let service = service_fn(move |request| {
                        let (desk, mark) = (desk.clone(), Arc::clone(&mark));
                        async move { Ok::<_, Infallible>(answer(request, &desk, &mark).await) }
                    });
                    let connection = hyper::server::conn::http1::Builder::new()
                        .timer(TokioTimer::new())
                        .header_read_timeout(HEAD)
                        .max_headers(64)
                        .max_buf_size(16 * 1024)
                        .serve_connection(TokioIo::new(stream), service);
                    // Whatever ends a connection ends it for one browser only.
                    let _ = tokio::time::timeout(LONGEST, connection).await;
                });
                open.push_back((task.abort_handle(), listens));
            }
        })
    }
}

type Answer = Response<BoxBody<Bytes, Infallible>>;

async fn answer(request: Request<Incoming>, desk: &Desk, listens: &AtomicBool) -> Answer {
    if request.method() != Method::GET && request.method() != Method::HEAD {
        let mut answer = text(StatusCode::METHOD_NOT_ALLOWED, "A preview only shows pages.\n");
        answer.headers_mut().insert(header::ALLOW, HeaderValue::from_static("GET, HEAD"));
        return answer;
    }
    if !is_at_home(&request, &desk.hosts) {
        return text(StatusCode::FORBIDDEN, "This preview answers only to its own name, and only to its own pages.\n");
    }
    let path = percent_decode_str(request.uri().path()).decode_utf8_lossy().into_owned();
    match path.as_str() {
        "/-/events" => events(desk, listens),
        "/-/desk.js" => file("desk.js", shown::script().as_bytes().to_vec()),
        "/-/desk.css" => file("desk.css", shown::style().as_bytes().to_vec()),
        "/-/state" => state(request.uri().query().unwrap_or_default(), desk).await,
        path => page(path, desk).await,
    }
}

/// Whether a request names this preview as its host, and comes from no page of another site.
fn is_at_home(request: &Request<Incoming>, hosts: &Hosts) -> bool {
    let header = |name| request.headers().get(name).map(|value| value.to_str().unwrap_or("?"));
    let host = header(header::HOST).or_else(|| request.uri().host());
    // An address in full names a host too.
    let other = request.uri().authority().is_some_and(|named| !hosts.answers(named.as_str()));
    if other || !host.is_some_and(|host| hosts.answers(host)) {
        return false;
    }
    let from = header(header::ORIGIN).is_none_or(|origin| {
        origin.strip_prefix("http://").is_some_and(|origin| hosts.answers(origin) && Some(origin) == host)
    });
    let site = |name: &str| request.headers().get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let asked_from_afar = site("sec-fetch-site") == "cross-site" && site("sec-fetch-mode") != "navigate";
    from && !asked_from_afar
}

/// The name of a page in the site: a folder is its first page.
fn name_of(path: &str) -> String {
    let path = path.trim_start_matches('/');
    if path.is_empty() || path.ends_with('/') { format!("{path}index.html") } else { path.to_owned() }
}

async fn made(path: &str, now: &Now) -> Made {
    let (reply, made) = oneshot::channel();
    now.way.as_ref()?.send(Ask { path: path.to_owned(), reply }).ok()?;
    match tokio::time::timeout(PAGE, made).await {
        Ok(made) => made.ok()?,
        Err(_) => {
            let title = "this page takes too long to be made";
            Some(Err(crate::problem::Problem::new(crate::problem::code::PART_FAILS, title, path).into()))
        }
    }
}

/// What a browser gets for a path: status, content type, bytes.
async fn bytes_of(path: &str, now: &Now) -> (StatusCode, String, Vec<u8>) {
    let name = name_of(path);
    if now.way.is_none() {
        return (StatusCode::SERVICE_UNAVAILABLE, "waiting.html".into(), shown::waiting().into_bytes());
    }
    match made(&name, now).await {
        Some(Ok(bytes)) => (StatusCode::OK, name, bytes),
        Some(Err(problem)) => {
            (StatusCode::INTERNAL_SERVER_ERROR, "failed.html".into(), shown::failed(&problem).into_bytes())
        }
        None => match made(page_names::NOT_FOUND, now).await {
            Some(Ok(bytes)) => {
                let bytes = shown::from_below(&bytes, name.matches('/').count());
                (StatusCode::NOT_FOUND, page_names::NOT_FOUND.into(), bytes)
            }
            _ => (StatusCode::NOT_FOUND, "none.txt".into(), b"There is no such page.\n".to_vec()),
        },
    }
}

async fn page(path: &str, desk: &Desk) -> Answer {
    let now = desk.now();
    let (status, name, bytes) = bytes_of(path, &now).await;
    let bytes =
        if name.ends_with(".html") { shown::with_desk(&bytes, &shown::digest(&bytes, now.look)) } else { bytes };
    let mut answer = file(&name, bytes);
    *answer.status_mut() = status;
    answer
}

/// What has become of a page, and what is wrong.
async fn state(query: &str, desk: &Desk) -> Answer {
    let path = query.split('&').find_map(|part| part.strip_prefix("page=")).unwrap_or_default();
    let path = percent_decode_str(path).decode_utf8_lossy().into_owned();
    // The address may itself be percent-encoded, as a browser has it.
    let path = percent_decode_str(&path).decode_utf8_lossy().into_owned();
    let now = desk.now();
    let (_, _, bytes) = bytes_of(&path, &now).await;
    let state = map(vec![
        ("digest", shown::digest(&bytes, now.look).as_str().into()),
        ("html", now.html.as_str().into()),
        ("summary", now.summary.as_str().into()),
    ]);
    file("state.json", state.line().into_bytes())
}

fn events(desk: &Desk, listens: &AtomicBool) -> Answer {
    if desk.listeners.fetch_add(1, Ordering::Relaxed) >= LISTENERS {
        desk.listeners.fetch_sub(1, Ordering::Relaxed);
        return text(StatusCode::SERVICE_UNAVAILABLE, "Too many pages listen already.\n");
    }
    listens.store(true, Ordering::Relaxed);
    let mut changes = desk.changes.subscribe();
    changes.mark_unchanged();
    let (sender, receiver) = tokio::sync::mpsc::channel(1);
    tokio::spawn(async move {
        loop {
            let line = match tokio::time::timeout(BEAT, changes.changed()).await {
                Ok(Ok(())) => "event: change\ndata: 1\n\n",
                Ok(Err(_)) => return,
                Err(_) => ": still here\n\n",
            };
            if sender.send(Bytes::from_static(line.as_bytes())).await.is_err() {
                return;
            }
        }
    });
    let body = Events { receiver, listeners: Arc::clone(&desk.listeners) };
    let mut answer = Response::new(body.boxed());
    head(&mut answer, "text/event-stream");
    answer
}

/// Changes as they come, for one page.
struct Events {
    receiver: tokio::sync::mpsc::Receiver<Bytes>,
    listeners: Arc<AtomicUsize>,
}

impl Body for Events {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        self.receiver.poll_recv(context).map(|line| line.map(|line| Ok(Frame::data(line))))
    }
}

impl Drop for Events {
    fn drop(&mut self) {
        self.listeners.fetch_sub(1, Ordering::Relaxed);
    }
}

fn text(status: StatusCode, words: &'static str) -> Answer {
    let mut answer = file("words.txt", words.as_bytes().to_vec());
    *answer.status_mut() = status;
    answer
}

fn file(name: &str, bytes: Vec<u8>) -> Answer {
    let mut answer = Response::new(Full::new(Bytes::from(bytes)).boxed());
    head(&mut answer, kind(name));
    if name.starts_with("attachments/") {
        answer.headers_mut().insert(header::CONTENT_DISPOSITION, HeaderValue::from_static("attachment"));
    }
    answer
}

fn head(answer: &mut Answer, kind: &'static str) {
    let headers = answer.headers_mut();
    for (name, value) in [
        ("content-type", kind),
        ("cache-control", "no-store"),
        ("x-content-type-options", "nosniff"),
        ("cross-origin-resource-policy", "same-origin"),
        ("content-security-policy", "frame-ancestors 'none'"),
        ("referrer-policy", "no-referrer"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
}

fn kind(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase().as_str() {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" | "webmanifest" => "application/json",
        "txt" | "csv" => "text/plain; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "gif" => "image/gif",
        "webp" => "image/webp",
        "avif" => "image/avif",
        "pdf" => "application/pdf",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_answered() {
        let home = Hosts::default();
        for host in ["localhost", "LOCALHOST:43560", "127.0.0.1:1", "127.9.9.9", "[::1]:80"] {
            assert!(home.answers(host), "{host}");
        }
        for host in [
            "example.org",
            "localhost.example.org",
            "192.168.1.5:80",
            "127.0.0.1.example.org",
            "",
            "[fe80::1]",
            "localhost:80:80",
        ] {
            assert!(!home.answers(host), "{host}");
        }
        let open = Hosts { names: BTreeSet::from(["tablet.local".to_owned()]), any_address: true };
        assert!(open.answers("192.168.1.5:80") && open.answers("tablet.local:80") && !open.answers("evil.example"));
    }

    #[test]
    fn a_folder_is_its_first_page() {
        assert_eq!(name_of("/"), "index.html");
        assert_eq!(name_of("/lessons/a.html"), "lessons/a.html");
        assert_eq!(name_of("//x/"), "x/index.html");
    }
}
