//! A file server for the page: this machine only, strict headers, nothing outside two folders.

mod answer;
mod connection;
mod files;
pub mod headers;
mod offline;
mod range;

use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::thread::{self, JoinHandle};

use anyhow::{Context, Result, bail};

use crate::{bundle, paths, setup};
use files::Tree;

/// Where `cargo xtask serve` listens unless told.
const PORT: u16 = 8123;

/// `cargo xtask serve [--port N]`
pub fn main(args: Vec<String>) -> Result<()> {
    let port = port(args)?;
    setup::page()?;
    let pkg = bundle::assemble()?;
    let server = Running::start(port, pkg)?;
    println!("\nthe page is at {}  (end with Ctrl+C)", server.url());
    server.wait();
    Ok(())
}

fn port(args: Vec<String>) -> Result<u16> {
    use lexopt::prelude::*;
    let mut parser = lexopt::Parser::from_args(args);
    let mut port = PORT;
    while let Some(arg) = parser.next()? {
        match arg {
            Long("port") => port = parser.value()?.parse()?,
            _ => bail!("{} (usage: cargo xtask serve [--port N])", arg.unexpected()),
        }
    }
    Ok(port)
}

/// A server that answers until the program ends.
pub struct Running {
    port: u16,
    accepting: JoinHandle<()>,
}

impl Running {
    /// Serves www/ and, as /pkg/, the built package. Port 0 takes any free one.
    pub fn start(port: u16, pkg: PathBuf) -> Result<Self> {
        Self::of(Tree::new(paths::root().join("www"), pkg)?, port)
    }

    fn of(tree: Tree, port: u16) -> Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
            .with_context(|| format!("cannot listen on port {port}; name another with --port"))?;
        let port = listener.local_addr()?.port();
        let tree = Arc::new(tree);
        // A thread for each connection: a browser keeps some open without a word, and they must
        // not hold up the others.
        let accepting = thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let tree = Arc::clone(&tree);
                thread::spawn(move || {
                    // A browser that went away is no failure of the server's.
                    let _ = connection::serve(&stream, &tree, port);
                });
            }
        });
        Ok(Self { port, accepting })
    }

    /// The page's address.
    pub fn url(&self) -> String {
        format!("http://localhost:{}/", self.port)
    }

    /// Blocks while it answers.
    pub fn wait(self) {
        let _ = self.accepting.join();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::io::{Read, Write};
    use std::net::TcpStream;
    use std::time::Duration;

    fn server(name: &str) -> (PathBuf, Running) {
        let top = std::env::temp_dir().join(format!("underfoot-{name}-{}", std::process::id()));
        fs::create_dir_all(top.join("www")).unwrap();
        fs::create_dir_all(top.join("pkg")).unwrap();
        fs::write(top.join("www/index.html"), "0123456789").unwrap();
        let tree = Tree::new(top.join("www"), top.join("pkg")).unwrap();
        (top, Running::of(tree, 0).unwrap())
    }

    fn connect(port: u16) -> TcpStream {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(20)))
            .unwrap();
        stream
    }

    /// Everything that the server says to this request before it ends the connection.
    fn ask(port: u16, request: &str) -> String {
        let mut stream = connect(port);
        stream
            .write_all(request.replace("PORT", &port.to_string()).as_bytes())
            .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    #[test]
    fn answers_as_http_asks() {
        let (top, server) = server("http");
        let get = |more: &str| {
            let head = "GET / HTTP/1.1\r\nHost: localhost:PORT\r\nConnection: close\r\n";
            ask(server.port, &format!("{head}{more}\r\n"))
        };
        let whole = get("");
        assert!(
            whole.starts_with("HTTP/1.1 200 OK\r\n") && whole.ends_with("\r\n\r\n0123456789"),
            "{whole}"
        );
        assert!(whole.contains("\r\nContent-Security-Policy: default-src 'self';"));
        let part = get("Range: bytes=2-4\r\n");
        assert!(
            part.starts_with("HTTP/1.1 206 ") && part.ends_with("\r\n\r\n234"),
            "{part}"
        );
        assert!(part.contains("\r\nContent-Range: bytes 2-4/10\r\n"));
        assert!(get("Range: bytes=10-\r\n").starts_with("HTTP/1.1 416 "));
        let tag = whole
            .split("ETag: ")
            .nth(1)
            .unwrap()
            .split("\r\n")
            .next()
            .unwrap();
        let same = get(&format!("If-None-Match: {tag}\r\n"));
        assert!(
            same.starts_with("HTTP/1.1 304 ") && same.ends_with("\r\n\r\n"),
            "{same}"
        );
        let head = ask(
            server.port,
            "HEAD / HTTP/1.0\r\nHost: localhost:PORT\r\n\r\n",
        );
        assert!(
            head.contains("\r\nContent-Length: 10\r\n") && head.ends_with("\r\n\r\n"),
            "{head}"
        );
        fs::remove_dir_all(top).unwrap();
    }

    #[test]
    fn refuses_the_rest() {
        let (top, server) = server("rest");
        let long = "a".repeat(100_000);
        for (request, status) in [
            (
                "POST / HTTP/1.1\r\nHost: localhost:PORT\r\nContent-Length: 3\r\n\r\nabc",
                "405",
            ),
            (
                "GET / HTTP/1.1\r\nHost: example.org\r\nConnection: close\r\n\r\n",
                "421",
            ),
            ("GET / HTTP/1.1\r\nConnection: close\r\n\r\n", "421"),
            (
                "GET /../x HTTP/1.1\r\nHost: localhost:PORT\r\nConnection: close\r\n\r\n",
                "404",
            ),
            ("nonsense\r\n\r\n", "400"),
            (&format!("GET /{long} HTTP/1.1\r\n"), "431"),
        ] {
            let answer = ask(server.port, request);
            assert!(
                answer.starts_with(&format!("HTTP/1.1 {status} ")),
                "{status}: {answer}"
            );
        }
        fs::remove_dir_all(top).unwrap();
    }

    #[test]
    fn silent_connections_hold_up_nobody() {
        let (top, server) = server("silent");
        let silent: Vec<_> = (0..40).map(|_| connect(server.port)).collect();
        let request = format!("GET / HTTP/1.1\r\nHost: localhost:{}\r\n\r\n", server.port);
        let mut kept: Vec<_> = (0..40).map(|_| connect(server.port)).collect();
        // Every connection is used twice.
        for _ in 0..2 {
            for stream in &mut kept {
                stream.write_all(request.as_bytes()).unwrap();
                let mut answer = Vec::new();
                while !answer.ends_with(b"0123456789") {
                    let mut some = [0; 4096];
                    let n = stream.read(&mut some).unwrap();
                    assert!(n > 0);
                    answer.extend_from_slice(&some[..n]);
                }
            }
        }
        drop(silent);
        fs::remove_dir_all(top).unwrap();
    }
}
