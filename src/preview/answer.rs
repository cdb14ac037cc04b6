//! What a browser gets: pages of the site, what is wrong with the course, and news of changes.

use crate::markdown::page_names;
use std::convert::Infallible;
use std::pin::Pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Poll};
use std::time::Duration;

use bytes::Bytes;
use http_body_util::{BodyExt, Full, combinators::BoxBody};
use hyper::body::{Body, Frame, Incoming};
use hyper::header::{self, HeaderValue};
use hyper::{Method, Request, Response, StatusCode};
use percent_encoding::percent_decode_str;
use tankside_calc::text::json::map;
use tokio::sync::oneshot;

use super::desk::{Desk, Listener, Now};
use super::hosts::is_at_home;
use super::shown;
use super::version::{Ask, Made};

/// How often a waiting page hears that the preview is still running.
const BEAT: Duration = Duration::from_secs(15);
/// How long a page may take to be made.
const PAGE: Duration = Duration::from_secs(20);

type Answer = Response<BoxBody<Bytes, Infallible>>;

/// The answer to a request; `listens` is set where it waits for changes.
pub(super) async fn answer(request: Request<Incoming>, desk: &Desk, listens: &AtomicBool) -> Answer {
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
    let Some((listener, mut changes)) = desk.listen() else {
        return text(StatusCode::SERVICE_UNAVAILABLE, "Too many pages listen already.\n");
    };
    listens.store(true, Ordering::Relaxed);
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
    let body = Events { receiver, _listener: listener };
    let mut answer = Response::new(body.boxed());
    head(&mut answer, "text/event-stream");
    answer
}

/// Changes as they come, for one page.
struct Events {
    receiver: tokio::sync::mpsc::Receiver<Bytes>,
    _listener: Listener,
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
    fn a_folder_is_its_first_page() {
        assert_eq!(name_of("/"), "index.html");
        assert_eq!(name_of("/lessons/a.html"), "lessons/a.html");
        assert_eq!(name_of("//x/"), "x/index.html");
    }
}
