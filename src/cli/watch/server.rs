//! A page served on this machine alone: one page, held in memory, and word of when it has changed. No file is served.

use std::{
    io::{self, Read, Write},
    net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream},
    sync::{
        Arc, Condvar, Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
    thread,
    time::Duration,
};

/// Readers at once; more are turned away.
const READERS: usize = 32;

/// A request is no longer than this.
const REQUEST: usize = 8 << 10;

/// How long a request may take to come.
const PATIENCE: Duration = Duration::from_secs(5);

/// How often a waiting reader is asked whether it is still there.
const PULSE: Duration = Duration::from_secs(10);

/// The page that is served.
pub struct Served {
    at: SocketAddr,
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    /// The page, and how often it has changed.
    page: Mutex<(Arc<Vec<u8>>, u64)>,
    changed: Condvar,
    readers: AtomicUsize,
}

impl Served {
    /// Begins to serve, on a free port where it is 0.
    ///
    /// # Errors
    /// When the port cannot be had.
    pub fn start(port: u16) -> io::Result<Served> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let at = listener.local_addr()?;
        let shared = Arc::new(Shared::default());
        let own = Arc::clone(&shared);
        thread::Builder::new().spawn(move || {
            for stream in listener.incoming().flatten() {
                let shared = Arc::clone(&own);
                if shared.readers.fetch_add(1, Ordering::SeqCst) >= READERS {
                    shared.readers.fetch_sub(1, Ordering::SeqCst);
                    continue;
                }
                let answered = Arc::clone(&shared);
                let spawned = thread::Builder::new().spawn(move || {
                    // A reader that goes away is no trouble.
                    let _ = answer(stream, at, &answered);
                    answered.readers.fetch_sub(1, Ordering::SeqCst);
                });
                if spawned.is_err() {
                    shared.readers.fetch_sub(1, Ordering::SeqCst);
                }
            }
        })?;
        Ok(Served { at, shared })
    }

    /// Its address.
    pub fn address(&self) -> String {
        format!("http://{}/", self.at)
    }

    /// Shows another page; those who read it are told if it is not the same.
    pub fn show(&self, page: Vec<u8>) {
        let mut held = self.shared.page.lock().unwrap_or_else(PoisonError::into_inner);
        if *held.0 != page {
            *held = (Arc::new(page), held.1 + 1);
            self.shared.changed.notify_all();
        }
    }
}

fn answer(mut stream: TcpStream, at: SocketAddr, shared: &Shared) -> io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut request = Vec::new();
    let mut piece = [0; 1024];
    while !request.windows(4).any(|end| end == b"\r\n\r\n") {
        let read = stream.read(&mut piece)?;
        if read == 0 || request.len() > REQUEST {
            return plain(&mut stream, "400 Bad Request");
        }
        request.extend_from_slice(piece.get(..read).unwrap_or_default());
    }
    let request = String::from_utf8_lossy(&request).into_owned();
    let mut lines = request.split("\r\n");
    let mut words = lines.next().unwrap_or_default().split(' ');
    let (method, path) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    // Another name that leads here comes from a page elsewhere that wants to look in.
    let host = lines.find_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("host").then(|| value.trim().to_ascii_lowercase())
    });
    let own = [format!("127.0.0.1:{}", at.port()), format!("localhost:{}", at.port())];
    if !host.is_some_and(|host| own.contains(&host)) {
        return plain(&mut stream, "403 Forbidden");
    }
    match (method, path) {
        ("GET", "/") => {
            let page = Arc::clone(&shared.page.lock().unwrap_or_else(PoisonError::into_inner).0);
            write!(
                stream,
                "HTTP/1.1 200 OK\r\nContent-Type: text/html; charset=utf-8\r\nContent-Length: {}\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n",
                page.len()
            )?;
            stream.write_all(&page)
        }
        ("GET", "/events") => events(&mut stream, shared),
        ("GET", _) => plain(&mut stream, "404 Not Found"),
        _ => plain(&mut stream, "405 Method Not Allowed"),
    }
}

/// Tells of each change, until the reader goes away.
fn events(stream: &mut TcpStream, shared: &Shared) -> io::Result<()> {
    stream.write_all(
        b"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n: here\n\n",
    )?;
    let mut known = shared.page.lock().unwrap_or_else(PoisonError::into_inner).1;
    loop {
        let held = shared.page.lock().unwrap_or_else(PoisonError::into_inner);
        let (held, _) = shared
            .changed
            .wait_timeout_while(held, PULSE, |held| held.1 == known)
            .unwrap_or_else(PoisonError::into_inner);
        let now = held.1;
        drop(held);
        if now == known {
            stream.write_all(b": still here\n\n")?;
        } else {
            known = now;
            write!(stream, "data: {now}\n\n")?;
        }
        stream.flush()?;
    }
}

fn plain(stream: &mut TcpStream, status: &str) -> io::Result<()> {
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: text/plain; charset=utf-8\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{status}",
        status.len()
    )
}
