//! The preview's server: connections, the time of a request and the size of its head are bounded.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::task::AbortHandle;

use super::answer::answer;
use super::desk::Desk;

/// The most connections at a time; beyond that, the one that has been idle longest is closed.
const CONNECTIONS: usize = 200;
/// How long the head of a request may take.
const HEAD: Duration = Duration::from_secs(10);
/// How long a connection lasts at most; browsers open the next one by themselves.
const LONGEST: Duration = Duration::from_secs(600);

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
