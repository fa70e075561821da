//! Somebody who connects and holds everything they can: silent connections, slow senders, slow
//! readers, heads without an end. A hub in a process of its own and real sockets; the attackers
//! come from other addresses of this computer. Others are answered while they are still there.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(target_os = "linux")]

mod phone;
mod running;

use phone::{Phone, address};
use running::{Hub, PICTURE, log, send_photo, slowstone, the_site, with_files};
use serde_json::json;
use std::io::{ErrorKind, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpStream};
use std::path::Path;
use std::time::{Duration, Instant};
use tokio::net::TcpSocket;
use tokio::runtime::Runtime;

/// So long a test waits for what it waits for before it fails.
const DEADLINE: Duration = Duration::from_secs(120);

fn with_lan(dir: &Path, more: &[&str]) -> Hub {
    Hub::start(dir, &[&["--empty", "--lan", "127.0.0.1:0"], more].concat())
}

/// Where a door is: `http://127.0.0.1:8477` and the like.
fn socket(url: &str) -> SocketAddr {
    url.rsplit('/').next().unwrap().parse().unwrap()
}

/// Connections that say nothing, `each` from every one of these addresses 127.0.0.N. What the
/// hub ends of them stays ended.
fn silent(to: SocketAddr, from: std::ops::Range<u8>, each: usize) -> Vec<TcpStream> {
    let runtime = Runtime::new().unwrap();
    let mut open = Vec::new();
    for last in from {
        for _ in 0..each {
            let connected = runtime.block_on(async {
                let socket = TcpSocket::new_v4()?;
                socket.bind(SocketAddr::new(Ipv4Addr::new(127, 0, 0, last).into(), 0))?;
                let soon = tokio::time::timeout(Duration::from_millis(300), socket.connect(to));
                soon.await.map_err(|_| ErrorKind::TimedOut)?
            });
            // A hub that takes nobody more is what some of these tests are about.
            let Ok(stream) = connected else { continue };
            let stream: TcpStream = stream.into_std().unwrap();
            stream.set_nonblocking(false).unwrap();
            open.push(stream);
        }
    }
    open
}

fn still_open(streams: &[TcpStream]) -> usize {
    let open = |s: &&TcpStream| {
        s.set_nonblocking(true).unwrap();
        matches!(s.peek(&mut [0]), Err(e) if e.kind() == ErrorKind::WouldBlock)
    };
    streams.iter().filter(open).count()
}

/// A request of this computer by hand, with its head and nothing behind it.
fn begun(hub: &Hub, head: &str) -> TcpStream {
    let to = socket(&hub.base);
    let mut stream = TcpStream::connect(to).unwrap();
    stream.set_read_timeout(Some(DEADLINE)).unwrap();
    stream.set_write_timeout(Some(DEADLINE)).unwrap();
    let (first, rest) = head.split_once("\r\n").unwrap_or((head, ""));
    write!(
        stream,
        "{first} HTTP/1.1\r\nHost: {to}\r\nAuthorization: Bearer {}\r\n{rest}\r\n",
        hub.token
    )
    .unwrap();
    stream
}

/// Everything until the hub hangs up; fails if it does not.
fn to_the_end(mut stream: TcpStream) -> String {
    let mut said = Vec::new();
    match stream.read_to_end(&mut said) {
        Err(e) if e.kind() == ErrorKind::WouldBlock => panic!("the hub still waits"),
        _ => String::from_utf8_lossy(&said).into_owned(),
    }
}

/// Sockets of a hub that nobody is connected to: what it opens for a moment is left out.
fn own_sockets(hub: &Hub) -> usize {
    let counts = (0..20).map(|_| {
        std::thread::sleep(Duration::from_millis(10));
        sockets(hub)
    });
    counts.min().unwrap()
}

/// Sockets that the hub has open, as the system lists them.
fn sockets(hub: &Hub) -> usize {
    let files = std::fs::read_dir(format!("/proc/{}/fd", hub.child.id())).unwrap();
    let target = |f: std::io::Result<std::fs::DirEntry>| std::fs::read_link(f.unwrap().path());
    let names = files.filter_map(|f| target(f).ok());
    names
        .filter(|n| n.to_string_lossy().starts_with("socket:"))
        .count()
}

#[test]
fn silent_connections_keep_no_phone_out() {
    let dir = tempfile::tempdir().unwrap();
    // No time limit helps here: only that the silent give way.
    let hub = with_lan(dir.path(), &["--patience", "600"]);
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "viewer");
    let door = socket(&address(&hub));
    // From one address, and from many that together have all the places.
    let one = silent(door, 2..3, 400);
    assert_eq!(phone.get("/api/me").status, 200);
    assert!(still_open(&one) > 0, "the attacker is gone");
    drop(one);
    let many = silent(door, 10..60, 10);
    assert_eq!(phone.get("/api/me").status, 200);
    // One that is not paired gets its answer as well.
    let stranger = Phone::of(&hub, dir.path());
    assert_eq!(stranger.get("/api/me").status, 401);
    assert_eq!(hub.get("/api/sites"), json!([]));
    assert!(still_open(&many) > 0, "the attackers are gone");
    hub.stop();
}

#[test]
fn nobody_takes_the_last_files_of_the_hub() {
    let dir = tempfile::tempdir().unwrap();
    let more = [
        "--empty",
        "--lan",
        "127.0.0.1:0",
        "--guest",
        "--patience",
        "600",
    ];
    let hub = Hub::launch(with_files(160), dir.path(), &more);
    log(&hub, json!([the_site()]));
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "helper");
    let plain = hub.get("/api/lan")["guest_address"]
        .as_str()
        .unwrap()
        .to_owned();
    let attackers = [
        silent(socket(&hub.base), 2..12, 20),
        silent(socket(&address(&hub)), 12..22, 20),
        silent(socket(&plain), 22..32, 20),
    ];
    // The page on this computer, the log and the photos behind it, and a phone.
    assert_eq!(hub.get("/api/sites")[0]["id"], "site-0001");
    assert_eq!(send_photo(&hub, 1)["known"], json!(false));
    assert_eq!(phone.get("/api/me").status, 200);
    let guest = ureq::get(format!("{plain}/api/sites")).call().unwrap();
    assert_eq!(guest.status(), 200);
    for (door, held) in attackers.iter().enumerate() {
        assert!(still_open(held) > 0, "door {door}: the attacker is gone");
    }
    hub.stop();
}

#[test]
fn who_connects_has_so_long_for_every_step() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &["--patience", "0.4"]);
    log(&hub, json!([the_site()]));
    // No handshake.
    let mut shaking = TcpStream::connect(socket(&address(&hub))).unwrap();
    shaking.set_read_timeout(Some(DEADLINE)).unwrap();
    shaking.write_all(&[22, 3, 1]).unwrap();
    to_the_end(shaking);
    // No end of the head.
    let mut head = TcpStream::connect(socket(&hub.base)).unwrap();
    head.set_read_timeout(Some(DEADLINE)).unwrap();
    head.write_all(b"GET /api/health HTTP/1.1\r\nHo").unwrap();
    to_the_end(head);
    // No further request.
    let said = to_the_end(begun(&hub, "GET /api/health"));
    assert!(said.starts_with("HTTP/1.1 200"), "{said}");
    // A byte now and then.
    let mut slow = begun(&hub, "POST /api/events\r\nContent-Length: 100000\r\n");
    let mut trickle = slow.try_clone().unwrap();
    let sending = std::thread::spawn(move || {
        let began = Instant::now();
        while began.elapsed() < DEADLINE && trickle.write_all(b" ").is_ok() {
            std::thread::sleep(Duration::from_millis(50));
        }
    });
    let mut said = [0; 12];
    slow.read_exact(&mut said).unwrap();
    assert_eq!(&said, b"HTTP/1.1 408");
    drop(slow);
    sending.join().unwrap();
    // A weak signal, which is slow and no more: 2 kB in five pieces over ten times as long.
    let events = json!({ "events": [], "why": "x".repeat(40_000) }).to_string();
    let head = format!(
        "POST /api/events\r\nConnection: close\r\nContent-Length: {}\r\n",
        events.len()
    );
    let mut weak = begun(&hub, &head);
    for piece in events.as_bytes().chunks(1000) {
        weak.write_all(piece).unwrap();
        std::thread::sleep(Duration::from_millis(100));
    }
    let said = to_the_end(weak);
    assert!(!said.starts_with("HTTP/1.1 408"), "{said}");
    hub.stop();
}

#[test]
fn an_answer_that_nobody_reads_is_given_up_and_a_watcher_is_not() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &["--patience", "0.4"]);
    let own = own_sockets(&hub);
    log(&hub, json!([the_site()]));
    let mut watching = begun(&hub, "GET /api/watch");
    let large = [PICTURE, &vec![7; 30 << 20]].concat();
    let path = "/api/sites/site-0001/photos?by=Jonas&name=large.jpg";
    let said = hub.post(path, &large);
    let hash = said["photo"]["hash"].as_str().unwrap();
    let unread: Vec<TcpStream> = (0..3)
        .map(|_| begun(&hub, &format!("GET /api/photos/{hash}?size=original")))
        .collect();
    for stream in &unread {
        // They are being answered.
        stream.peek(&mut [0]).unwrap();
    }
    let began = Instant::now();
    // Only the watcher is left.
    while sockets(&hub) > own + 1 {
        assert!(began.elapsed() < DEADLINE, "the hub still waits");
        std::thread::sleep(Duration::from_millis(50));
    }
    for stream in unread {
        assert!(to_the_end(stream).len() < large.len());
    }
    // Whoever watches was silent all the while, and hears what happens.
    send_photo(&hub, 2);
    let mut said = String::new();
    let mut bytes = [0; 512];
    while !said.contains("event: changed") {
        let n = watching.read(&mut bytes).unwrap();
        assert!(n > 0, "the hub hung up: {said}");
        said.push_str(&String::from_utf8_lossy(&bytes[..n]));
    }
    hub.stop();
}

/// RFC 9112 and RFC 9110 say what may be in a request; this may not.
#[test]
fn requests_that_no_client_sends_are_refused_and_cost_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty", "--patience", "2"]);
    let own = own_sockets(&hub);
    log(&hub, json!([the_site()]));
    let sent = send_photo(&hub, 1);
    let hash = sent["photo"]["hash"].as_str().unwrap();
    let many = "X: y\r\n".repeat(5000);
    let long = format!("X: {}\r\n", "y".repeat(1 << 20));
    let odd = [
        // Lengths that cannot be, or are many.
        (
            "POST /api/events\r\nContent-Length: 18446744073709551615\r\n",
            "{}",
        ),
        (
            "POST /api/events\r\nContent-Length: 99999999999999999999999\r\n",
            "{}",
        ),
        ("POST /api/events\r\nContent-Length: -1\r\n", "{}"),
        (
            "POST /api/events\r\nContent-Length: 2\r\nContent-Length: 3\r\n",
            "{}",
        ),
        // Two readers could see two requests in it.
        (
            "POST /api/events\r\nContent-Length: 2\r\nTransfer-Encoding: chunked\r\n",
            "zz",
        ),
        // Chunks that are none.
        (
            "POST /api/events\r\nTransfer-Encoding: chunked\r\n",
            "zz\r\n",
        ),
        (
            "POST /api/events\r\nTransfer-Encoding: chunked\r\n",
            "ffffffffffffffffff\r\n{}",
        ),
        (
            "POST /api/events\r\nTransfer-Encoding: chunked\r\n",
            "1;x=\r\n{",
        ),
        ("POST /api/events\r\nTransfer-Encoding: gzip\r\n", "{}"),
        (
            "PUT /api/uploads/photo-0009?offset=0\r\nContent-Length: 4000000000\r\n",
            "x",
        ),
        // Heads without measure.
        (&format!("GET /api/sites\r\n{many}"), ""),
        (&format!("GET /api/sites\r\n{long}"), ""),
        (&format!("GET /{}", "a".repeat(100_000)), ""),
        // Another protocol.
        ("PRI * HTTP/2.0\r\n\r\nSM\r\n", ""),
    ];
    for (head, body) in odd {
        let shown: String = head.chars().take(70).collect();
        let mut stream = TcpStream::connect(socket(&hub.base)).unwrap();
        stream.set_read_timeout(Some(DEADLINE)).unwrap();
        let (first, rest) = head.split_once("\r\n").unwrap_or((head, ""));
        let to = socket(&hub.base);
        let whole = format!(
            "{first} HTTP/1.1\r\nHost: {to}\r\nAuthorization: Bearer {}\r\n{rest}\r\n{body}",
            hub.token
        );
        // The hub may have hung up before the end.
        let _ = stream.write_all(whole.as_bytes());
        let said = to_the_end(stream);
        let refused = said.is_empty() || said.starts_with("HTTP/1.1 4");
        assert!(refused, "{shown}: {said}");
        assert_eq!(hub.get("/api/sites")[0]["id"], "site-0001", "{shown}");
    }
    // Ranges are not offered: the whole is given once, however many were asked for.
    let ranges = vec!["0-"; 500].join(",");
    let head = format!(
        "GET /api/photos/{hash}?size=original\r\nConnection: close\r\nRange: bytes={ranges}\r\n"
    );
    let mut whole = Vec::new();
    begun(&hub, &head).read_to_end(&mut whole).unwrap();
    assert!(whole.starts_with(b"HTTP/1.1 200"));
    assert!(whole.len() < PICTURE.len() + 4096, "{}", whole.len());
    let began = Instant::now();
    while sockets(&hub) > own {
        assert!(began.elapsed() < DEADLINE, "connections are left");
        std::thread::sleep(Duration::from_millis(50));
    }
    assert_eq!(hub.get("/api/sites/site-0001")["events"], json!(2));
    hub.stop();
}

#[test]
fn slow_senders_and_parts_left_alone_hold_only_their_own_places() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &["--patience", "600"]);
    log(&hub, json!([the_site()]));
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "helper");
    let path = "/api/sites/site-0001/photos?by=Jonas&name=slow.jpg";
    let head = format!("POST {path}\r\nContent-Length: 10000000\r\n");
    let slow: Vec<TcpStream> = (0..8)
        .map(|_| {
            let mut stream = begun(&hub, &head);
            stream.write_all(&PICTURE[..1000]).unwrap();
            stream
        })
        .collect();
    let import = begun(&hub, "POST /api/import\r\nContent-Length: 10000000\r\n");
    for n in 0..32 {
        let upload = format!("/api/uploads/abandoned-{n:03}?offset=0");
        assert_eq!(put(&hub, &upload, b"x"), 200);
    }
    assert_eq!(put(&hub, "/api/uploads/one-too-many?offset=0", b"x"), 429);
    // Another device.
    let half = PICTURE.len() / 2;
    let upload = |offset: usize, piece: &[u8]| {
        let path = format!("/api/uploads/photo-0001?offset={offset}");
        phone.ask("PUT", &path, &[], piece)
    };
    assert_eq!(upload(0, &PICTURE[..half]).json["bytes"], json!(half));
    assert_eq!(upload(half, &PICTURE[half..]).status, 200);
    let path = "/api/sites/site-0001/photos?by=Tuva&name=quick.jpg&id=photo-0001";
    let whole = format!("{path}&from=photo-0001&bytes={}", PICTURE.len());
    let said = phone.ask("POST", &whole, &[], b"");
    assert_eq!((said.status, &said.json["known"]), (200, &json!(false)));
    let other = [PICTURE, b"x"].concat();
    let path = "/api/sites/site-0001/photos?by=Tuva&name=whole.jpg";
    let said = phone.ask("POST", path, &[], &other);
    assert_eq!((said.status, &said.json["known"]), (200, &json!(false)));
    assert_eq!(still_open(&slow), 8, "the attackers are gone");
    assert_eq!(still_open(&[import]), 1);
    hub.stop();
}

fn put(hub: &Hub, path: &str, bytes: &[u8]) -> u16 {
    let sent = ureq::put(format!("{}{path}", hub.base))
        .config()
        .http_status_as_error(false)
        .build()
        .header("authorization", format!("Bearer {}", hub.token))
        .send(bytes);
    sent.unwrap().status().as_u16()
}

#[test]
fn a_clock_that_jumped_deletes_no_part() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    assert_eq!(put(&hub, "/api/uploads/photo-0001?offset=0", b"abc"), 200);
    hub.stop();
    // As if the clock had gone on by years, or had been years ahead.
    let year = Duration::from_secs(366 * 24 * 3600);
    let now = std::time::SystemTime::now();
    for (n, at) in [now - year * 3, now + year * 3].into_iter().enumerate() {
        let part = walk(&dir.path().join("uploads"));
        std::fs::File::options()
            .write(true)
            .open(part)
            .unwrap()
            .set_modified(at)
            .unwrap();
        let hub = Hub::launch(slowstone(), dir.path(), &["--empty"]);
        assert_eq!(hub.get("/api/uploads/photo-0001")["bytes"], json!(3));
        let other = format!("/api/uploads/photo-100{n}?offset=0");
        assert_eq!(put(&hub, &other, b"x"), 200);
        assert_eq!(hub.get("/api/uploads/photo-0001")["bytes"], json!(3));
        hub.stop();
    }
}

/// The part of the first photo, wherever it lies.
fn walk(folder: &Path) -> std::path::PathBuf {
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.ends_with("photo-0001.part") {
                return path;
            }
        }
    }
    panic!("the part is not there");
}
