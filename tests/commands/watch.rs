//! `watch`: saves of every sort are seen, and the page is served to this machine alone.

use std::{
    fs,
    io::{BufRead, BufReader, Read, Write},
    net::TcpStream,
    process::{Child, Command, Stdio},
    sync::mpsc::{Receiver, channel},
    thread,
    time::Duration,
};

use super::Yard;

/// How long anything may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A watching program that ends with the test, and the lines it says.
struct Watching {
    child: Child,
    out: Receiver<String>,
    err: Receiver<String>,
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn lines(from: impl Read + Send + 'static) -> Receiver<String> {
    let (send, receive) = channel();
    thread::spawn(move || {
        for line in BufReader::new(from).lines().map_while(Result::ok) {
            if send.send(line).is_err() {
                return;
            }
        }
    });
    receive
}

fn watch(yard: &Yard, more: &[&str]) -> Watching {
    let mut child = Command::new(env!("CARGO_BIN_EXE_batterboard"))
        .current_dir(yard.path())
        .args(["watch", "fine.job"])
        .args(more)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (out, err) = (lines(child.stdout.take().unwrap()), lines(child.stderr.take().unwrap()));
    Watching { child, out, err }
}

/// Waits for a line with these words.
fn wait_for(lines: &Receiver<String>, words: &str) -> String {
    let mut seen = Vec::new();
    loop {
        match lines.recv_timeout(PATIENCE) {
            Ok(line) if line.contains(words) => return line,
            Ok(line) => seen.push(line),
            Err(error) => panic!("`{words}` is not said ({error}): {seen:#?}"),
        }
    }
}

/// Editors write beside the file and rename.
fn rename_over(yard: &Yard, text: &str) {
    yard.put(".fine.job.new", text);
    fs::rename(yard.path().join(".fine.job.new"), yard.path().join("fine.job")).unwrap();
}

#[test]
fn every_sort_of_save_is_seen() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    let broken = fine.replace("height -12\" to 30\"", "height -12\" to 30");
    assert_ne!(fine, broken);
    let watching = watch(&yard, &[]);
    wait_for(&watching.out, "fine.job");
    // Written in place, by renaming, deleted and written again.
    yard.put("fine.job", &broken);
    wait_for(&watching.out, "1 error");
    rename_over(&yard, &fine);
    wait_for(&watching.out, "fine.job");
    fs::remove_file(yard.path().join("fine.job")).unwrap();
    wait_for(&watching.err, "fine.job");
    rename_over(&yard, &broken);
    wait_for(&watching.out, "1 error");
}

fn ask(port: &str, host: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(format!("127.0.0.1:{port}")).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    write!(stream, "{request} HTTP/1.1\r\nHost: {host}\r\n\r\n").unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

#[test]
fn the_page_is_served_to_this_machine_and_told_of_changes() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    let watching = watch(&yard, &["--page"]);
    let line = wait_for(&watching.err, "http://127.0.0.1:");
    let port = line.trim_end_matches('/').rsplit(':').next().unwrap().to_owned();
    let host = format!("localhost:{port}");
    let page = ask(&port, &host, "GET /");
    assert!(
        page.starts_with("HTTP/1.1 200 OK")
            && page.contains("<h1>Work order: Fine</h1>")
            && page.contains("EventSource")
    );
    assert!(ask(&port, &host, "GET /../fine.job").starts_with("HTTP/1.1 404"));
    assert!(ask(&port, &host, "POST /").starts_with("HTTP/1.1 405"));
    assert!(ask(&port, "evil.example", "GET /").starts_with("HTTP/1.1 403"));
    // Word of a change comes without asking again; a broken job is a draft, an unreadable one leaves the page as it was.
    let mut events = TcpStream::connect(format!("127.0.0.1:{port}")).unwrap();
    events.set_read_timeout(Some(PATIENCE)).unwrap();
    write!(events, "GET /events HTTP/1.1\r\nHost: {host}\r\n\r\n").unwrap();
    let mut events = BufReader::new(events);
    let mut line = String::new();
    while !line.starts_with(": here") {
        line.clear();
        events.read_line(&mut line).unwrap();
    }
    rename_over(&yard, &fine.replace("height -12\" to 30\"", "height -12\" to 30"));
    while !line.starts_with("data:") {
        line.clear();
        assert!(events.read_line(&mut line).unwrap() > 0);
    }
    assert!(ask(&port, &host, "GET /").contains("DRAFT"));
    fs::remove_file(yard.path().join("fine.job")).unwrap();
    wait_for(&watching.err, "fine.job");
    assert!(ask(&port, &host, "GET /").contains("DRAFT"));
}

#[test]
fn what_cannot_be_watched_is_told() {
    let yard = Yard::with_jobs();
    for arguments in [&["watch", "nowhere.job"][..], &["watch", "-"], &["watch", "fine.job", "warned.job"]] {
        let ran = yard.run(arguments);
        assert_eq!(ran.exit, Some(2), "{arguments:?}");
        assert!(!ran.err.is_empty());
    }
}
