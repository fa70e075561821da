//! A PostgreSQL server of the test's own: in a folder that goes with it, on a socket in
//! that folder, never on the network (with TLS on the loopback address as well, because
//! sockets have none). PostgreSQL refuses to run as root, so then it runs as
//! `postgres` (Debian's package makes that account). Without PostgreSQL there is no server,
//! and that is said loudly. SLOWSTONE_NEED_POSTGRES=1 makes it a failure.

#![allow(dead_code)]

use std::cell::Cell;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A running server; it stops when this is dropped.
pub struct Server {
    bin: PathBuf,
    dir: tempfile::TempDir,
    root: bool,
    port: Cell<u16>,
}

impl Server {
    /// Starts one, if this machine has PostgreSQL.
    pub fn start() -> Option<Self> {
        let Some(bin) = bin() else {
            let said = "SKIPPED: no PostgreSQL here (Debian: apt-get install postgresql), so nothing was tried on it";
            assert!(
                std::env::var_os("SLOWSTONE_NEED_POSTGRES").is_none(),
                "{said}"
            );
            eprintln!("\n*** {said}\n");
            return None;
        };
        let root = Command::new("id").arg("-u").output().unwrap().stdout == b"0\n";
        let dir = tempfile::tempdir().unwrap();
        let port = Cell::new(5432);
        let server = Self {
            bin,
            dir,
            root,
            port,
        };
        if root {
            let done = Command::new("chown")
                .arg("postgres")
                .arg(server.dir.path())
                .status();
            assert!(done.unwrap().success());
        }
        std::fs::set_permissions(server.dir.path(), PermissionsExt::from_mode(0o700)).unwrap();
        server.run(
            "initdb",
            &[
                "-U",
                "postgres",
                "-A",
                "trust",
                "-N",
                "-E",
                "UTF8",
                "--locale=C",
                "-D",
                &server.data(),
            ],
        );
        server.up();
        Some(server)
    }

    /// Starts the server on its data.
    pub fn up(&self) {
        self.up_with("-c listen_addresses=");
    }

    /// Starts it anew so that it speaks TLS on the loopback address; the port there.
    pub fn encrypted(&self, cert_pem: &str, key_pem: &str) -> u16 {
        self.down();
        for (name, text) in [("server.crt", cert_pem), ("server.key", key_pem)] {
            let path = self.dir.path().join("data").join(name);
            std::fs::write(&path, text).unwrap();
            std::fs::set_permissions(&path, PermissionsExt::from_mode(0o600)).unwrap();
            if self.root {
                let done = Command::new("chown").arg("postgres").arg(&path).status();
                assert!(done.unwrap().success());
            }
        }
        let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        self.port.set(free.local_addr().unwrap().port());
        drop(free);
        self.up_with("-c listen_addresses=127.0.0.1 -c ssl=on");
        self.port.get()
    }

    fn up_with(&self, more: &str) {
        // The power does not go out in a test.
        let options = format!(
            "-k {} -p {} {more} -c fsync=off",
            self.dir.path().display(),
            self.port.get()
        );
        let log = self.dir.path().join("log").display().to_string();
        self.run(
            "pg_ctl",
            &[
                "start",
                "-w",
                "-D",
                &self.data(),
                "-l",
                &log,
                "-o",
                &options,
            ],
        );
    }

    /// Stops it at once, whoever is connected.
    pub fn down(&self) {
        self.run("pg_ctl", &["stop", "-m", "fast", "-w", "-D", &self.data()]);
    }

    /// The address of a new, empty database.
    pub fn database(&self, name: &str) -> String {
        self.ask("postgres", &format!("CREATE DATABASE {name}"));
        let socket = self.dir.path().display().to_string().replace('/', "%2F");
        format!("postgres://postgres@{socket}/{name}")
    }

    /// What a statement answers in plain form; also when it is refused.
    pub fn ask(&self, database: &str, statement: &str) -> String {
        let socket = self.dir.path().display().to_string();
        let port = self.port.get().to_string();
        let out = self
            .command("psql")
            .args(["-U", "postgres", "-h", &socket, "-p", &port])
            .args(["-At", "-d", database, "-c", statement])
            .output()
            .unwrap();
        String::from_utf8_lossy(&[out.stdout, out.stderr].concat())
            .trim()
            .to_owned()
    }

    fn data(&self) -> String {
        self.dir.path().join("data").display().to_string()
    }

    fn command(&self, program: &str) -> Command {
        let path = self.bin.join(program);
        let mut command = if self.root {
            let mut c = Command::new("runuser");
            c.args(["-u", "postgres", "--"]).arg(path);
            c
        } else {
            Command::new(path)
        };
        command.current_dir("/");
        command
    }

    fn run(&self, program: &str, args: &[&str]) {
        let done = self
            .command(program)
            .args(args)
            .stdout(Stdio::null())
            .status()
            .unwrap();
        assert!(done.success(), "{program} {args:?}");
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self
            .command("pg_ctl")
            .args(["stop", "-m", "immediate", "-D", &self.data()])
            .stdout(Stdio::null())
            .status();
    }
}

/// The folder of the server's programs, the newest if there are several.
fn bin() -> Option<PathBuf> {
    let versions = std::fs::read_dir("/usr/lib/postgresql").ok()?;
    let mut found: Vec<PathBuf> = versions
        .flatten()
        .map(|v| v.path().join("bin"))
        .filter(|bin: &PathBuf| Path::new(bin).join("initdb").exists())
        .collect();
    found.sort();
    found.pop()
}
