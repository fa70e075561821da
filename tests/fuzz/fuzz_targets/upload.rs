//! Heads and queries of what phones send in pieces, against a real hub on a real socket:
//! pieces of photos, photos, and batches. Whatever stands in the address, the headers and the
//! body, the answer is never a fault of the hub, and it goes on answering.
//!
//! The first byte chooses the address; then the query up to the end of the line, header lines
//! up to an empty one, and the body.
#![no_main]

use libfuzzer_sys::fuzz_target;
use slowstone_hub::{Clock, Config, Demo, Running, start};
use std::io::{Read, Write};
use std::net::{Shutdown, TcpStream};
use std::sync::OnceLock;
use std::time::Duration;
use tokio::runtime::Runtime;

struct Hub {
    _runtime: Runtime,
    running: Running,
    token: String,
}

fn hub() -> &'static Hub {
    static HUB: OnceLock<Hub> = OnceLock::new();
    HUB.get_or_init(|| {
        let dir = tempfile::tempdir().unwrap().keep();
        let runtime = Runtime::new().unwrap();
        let config = Config {
            data_dir: dir,
            port: 0,
            demo: Demo::Empty,
            clock: Clock::default(),
            lan: Default::default(),
        };
        let running = runtime.block_on(start(config)).unwrap();
        let token = running.url().split_once("?t=").unwrap().1.to_owned();
        Hub {
            _runtime: runtime,
            running,
            token,
        }
    })
}

/// Sends raw bytes; the status of the answer, none if the connection was dropped.
fn send(request: &[u8]) -> Option<u16> {
    let mut socket = TcpStream::connect(hub().running.addr()).unwrap();
    let wait = Some(Duration::from_secs(20));
    socket.set_read_timeout(wait).unwrap();
    let _ = socket.write_all(request);
    let _ = socket.shutdown(Shutdown::Write);
    let mut answer = Vec::new();
    let _ = socket.read_to_end(&mut answer);
    let text = String::from_utf8_lossy(&answer);
    text.split(' ').nth(1)?.parse().ok()
}

fuzz_target!(|data: &[u8]| {
    let Some((choice, rest)) = data.split_first() else {
        return;
    };
    let (query, rest) = split(rest, b"\n");
    let (head, body) = split(rest, b"\n\n");
    let address = match choice % 4 {
        0 => "PUT /api/uploads/photo-0001",
        1 => "GET /api/uploads/photo-0001",
        2 => "POST /api/sites/site-0001/photos",
        _ => "POST /api/streams",
    };
    let mut request = format!("{address}?").into_bytes();
    request.extend(query.iter().filter(|b| b.is_ascii_graphic()));
    let Hub { running, token, .. } = hub();
    let own = format!(
        " HTTP/1.1\r\nhost: {}\r\nauthorization: Bearer {token}\r\nconnection: close\r\n",
        running.addr()
    );
    request.extend_from_slice(own.as_bytes());
    for line in head.split(|b| *b == b'\n').filter(|l| !l.is_empty()) {
        request.extend_from_slice(line);
        request.extend_from_slice(b"\r\n");
    }
    if !head.to_ascii_lowercase().windows(7).any(|w| w == b"content") {
        request.extend_from_slice(format!("content-length: {}\r\n", body.len()).as_bytes());
    }
    request.extend_from_slice(b"\r\n");
    request.extend_from_slice(body);
    if let Some(status) = send(&request) {
        assert!(status < 500, "{status} to {}", String::from_utf8_lossy(&request));
    }
});

fn split<'a>(data: &'a [u8], at: &[u8]) -> (&'a [u8], &'a [u8]) {
    match data.windows(at.len()).position(|w| w == at) {
        Some(n) => (&data[..n], &data[n + at.len()..]),
        None => (data, &[]),
    }
}
