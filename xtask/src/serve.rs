//! A file server for the page: this machine only, strict headers, nothing outside two folders.

mod files;
mod headers;
mod offline;
mod range;

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread::{self, JoinHandle};

use anyhow::{Context, Result, anyhow, bail};
use tiny_http::{Header, Method, Request, Response, StatusCode};

use crate::{bundle, paths, setup};
use files::{Found, Tree};

/// Where `cargo xtask serve` listens unless told.
const PORT: u16 = 8123;
/// Requests answered at the same time.
const WORKERS: usize = 8;

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
    workers: Vec<JoinHandle<()>>,
}

impl Running {
    /// Serves www/ and, as /pkg/, the built package. Port 0 takes any free one.
    pub fn start(port: u16, pkg: PathBuf) -> Result<Self> {
        let server = tiny_http::Server::http((Ipv4Addr::LOCALHOST, port))
            .map_err(|e| anyhow!("{e}"))
            .with_context(|| format!("cannot listen on port {port}; name another with --port"))?;
        let port = server.server_addr().to_ip().context("no port")?.port();
        let tree = Tree::new(paths::root().join("www"), pkg)?;
        let shared = Arc::new((server, tree));
        let workers = (0..WORKERS)
            .map(|_| {
                let shared = Arc::clone(&shared);
                thread::spawn(move || {
                    while let Ok(request) = shared.0.recv() {
                        // A browser that went away is no failure of the server's.
                        let _ = answer(request, &shared.1, port);
                    }
                })
            })
            .collect();
        Ok(Self { port, workers })
    }

    /// The page's address.
    pub fn url(&self) -> String {
        format!("http://localhost:{}/", self.port)
    }

    /// Blocks while it answers.
    pub fn wait(self) {
        for worker in self.workers {
            let _ = worker.join();
        }
    }
}

fn answer(request: Request, tree: &Tree, port: u16) -> std::io::Result<()> {
    if !matches!(request.method(), Method::Get | Method::Head) {
        return plain(request, 405, "only GET and HEAD");
    }
    // A name of somebody else's that points here must not make the page part of their site.
    if !header(&request, "Host").is_some_and(|host| headers::is_own_host(&host, port)) {
        return plain(request, 421, "not this server's name");
    }
    if request.url().split('?').next() == Some("/offline.json") {
        let (www, pkg) = tree.folders();
        let response = Response::from_string(offline::list(www, pkg));
        let kind = text_header("Content-Type", "application/json");
        return request.respond(headers::add_all(response).with_header(kind));
    }
    match tree.find(request.url()) {
        Found::File(path) => file(request, &path),
        Found::Folder(location) => {
            let to = text_header("Location", &location);
            let response = Response::empty(StatusCode(308));
            request.respond(headers::add_all(response).with_header(to))
        }
        Found::Nothing => plain(request, 404, "nothing here"),
    }
}

fn file(request: Request, path: &std::path::Path) -> std::io::Result<()> {
    let (Ok(mut file), Ok(meta)) = (File::open(path), path.metadata()) else {
        return plain(request, 404, "nothing here");
    };
    let tag = headers::tag(&meta);
    if header(&request, "If-None-Match").is_some_and(|seen| seen == tag) {
        let response = headers::add_all(Response::empty(StatusCode(304)));
        return request.respond(response.with_header(text_header("ETag", &tag)));
    }
    let size = meta.len();
    let asked = header(&request, "Range");
    let (status, from, length) = match range::parse(asked.as_deref(), size) {
        range::Part::All => (200, 0, size),
        range::Part::Some { from, length } => (206, from, length),
        range::Part::Outside => {
            let whole = text_header("Content-Range", &format!("bytes */{size}"));
            let response = headers::add_all(Response::empty(StatusCode(416)));
            return request.respond(response.with_header(whole));
        }
    };
    file.seek(SeekFrom::Start(from))?;
    let body = file.take(length);
    let length_known = usize::try_from(length).ok();
    let mut response = Response::new(StatusCode(status), Vec::new(), body, length_known, None)
        // Media elements and progress bars want a length rather than chunks.
        .with_chunked_threshold(usize::MAX);
    response = headers::add_all(response)
        .with_header(text_header("Content-Type", files::media_type(path)))
        .with_header(text_header("ETag", &tag))
        .with_header(text_header("Accept-Ranges", "bytes"));
    if status == 206 {
        let last = from + length.saturating_sub(1);
        let part = format!("bytes {from}-{last}/{size}");
        response = response.with_header(text_header("Content-Range", &part));
    }
    request.respond(response)
}

fn plain(request: Request, status: u16, text: &str) -> std::io::Result<()> {
    let response = Response::from_string(format!("{text}\n")).with_status_code(status);
    request.respond(headers::add_all(response))
}

fn header(request: &Request, name: &'static str) -> Option<String> {
    let all = request.headers();
    let found = all.iter().find(|h| h.field.equiv(name))?;
    Some(found.value.as_str().to_owned())
}

/// A header whose value this program made; what is no ASCII is left out.
fn text_header(name: &'static str, value: &str) -> Header {
    let value: Vec<u8> = value.bytes().filter(u8::is_ascii).collect();
    Header::from_bytes(name, value).unwrap_or_else(|()| {
        // Only an empty name or bytes outside ASCII are refused, and neither can be here.
        unreachable!("a header name of this file's is not ASCII")
    })
}
