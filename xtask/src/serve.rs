//! A file server for the page: this machine only, strict headers, nothing outside two folders.

pub mod headers;
mod offline;

use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::{self, JoinHandle};

use anyhow::{Context, Result, bail};
use axum::Router;
use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::{Next, from_fn};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use percent_encoding::percent_decode_str;
use tower_http::services::ServeDir;

use crate::{bundle, paths, setup};

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
    answering: JoinHandle<()>,
}

impl Running {
    /// Serves www/ and, as /pkg/, the built package. Port 0 takes any free one.
    pub fn start(port: u16, pkg: PathBuf) -> Result<Self> {
        Self::of(&paths::root().join("www"), &pkg, port)
    }

    fn of(www: &Path, pkg: &Path, port: u16) -> Result<Self> {
        for folder in [www, pkg] {
            folder
                .read_dir()
                .with_context(|| format!("no {}", folder.display()))?;
        }
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
            .with_context(|| format!("cannot listen on port {port}; name another with --port"))?;
        listener.set_nonblocking(true)?;
        let port = listener.local_addr()?.port();
        let routes = routes(www, pkg, port);
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()?;
        let answering = thread::spawn(move || {
            runtime.block_on(async {
                match tokio::net::TcpListener::from_std(listener) {
                    Ok(listener) => axum::serve(listener, routes).await.unwrap_or_default(),
                    Err(error) => eprintln!("cannot listen: {error}"),
                }
            });
        });
        Ok(Self { port, answering })
    }

    /// The page's address.
    pub fn url(&self) -> String {
        format!("http://localhost:{}/", self.port)
    }

    /// Blocks while it answers.
    pub fn wait(self) {
        let _ = self.answering.join();
    }
}

fn routes(www: &Path, pkg: &Path, port: u16) -> Router {
    let folders = Arc::new([www.to_owned(), pkg.to_owned()]);
    let [list, guarded] = [Arc::clone(&folders), folders];
    let list = move || async move {
        let list = offline::list(&list[0], &list[1]);
        ([(header::CONTENT_TYPE, "application/json")], list)
    };
    let guard = move |request, next| guard(request, next, Arc::clone(&guarded), port);
    Router::new()
        .route("/offline.json", get(list))
        .nest_service("/pkg", ServeDir::new(pkg))
        .fallback_service(ServeDir::new(www))
        .layer(from_fn(guard))
}

/// Refuses what is not this machine's page, and sets the headers of every answer.
async fn guard(request: Request, next: Next, folders: Arc<[PathBuf; 2]>, port: u16) -> Response {
    let host = request.headers().get(header::HOST);
    let own = host.is_some_and(|host| {
        host.to_str()
            .is_ok_and(|host| headers::is_own_host(host, port))
    });
    // A name of somebody else's that points here must not make the page part of their site.
    let mut response = if !own {
        (StatusCode::MISDIRECTED_REQUEST, "not this server's name\n").into_response()
    } else if !is_inside(request.uri().path(), &folders) {
        (StatusCode::NOT_FOUND, "nothing here\n").into_response()
    } else {
        next.run(request).await
    };
    for (name, value) in headers::ALL {
        if let Ok(name) = HeaderName::try_from(name) {
            let value = HeaderValue::from_static(value);
            response.headers_mut().insert(name, value);
        }
    }
    response
}

/// Whether a path leads to nothing hidden and, over links too, to nothing outside `www` and `pkg`.
fn is_inside(path: &str, [www, pkg]: &[PathBuf; 2]) -> bool {
    let Ok(path) = percent_decode_str(path).decode_utf8() else {
        return false;
    };
    let (folder, below) = match path.strip_prefix("/pkg/") {
        Some(below) => (pkg, below),
        None => (www, path.trim_start_matches('/')),
    };
    let real = |path: &Path| path.canonicalize().ok();
    path.split('/').all(offline::is_served)
        && real(&folder.join(below))
            .is_none_or(|file| real(folder).is_some_and(|folder| file.starts_with(folder)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::io::{Read, Write};
    use std::net::TcpStream;
    use std::time::Duration;

    /// A www and a pkg folder beside a file that must never be served, and their server.
    fn server(name: &str) -> (PathBuf, Running) {
        let top = std::env::temp_dir().join(format!("underfoot-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&top);
        for (file, text) in [
            ("www/index.html", "0123456789"),
            ("www/a b/index.html", "sub"),
            ("www/x.js", "script"),
            ("www/x.webmanifest", "{}"),
            ("www/.hidden", "no"),
            ("www/node_modules/x.js", "no"),
            ("pkg/index.js", "package"),
            ("pkg/index.wasm", "module"),
            ("secret", "no"),
        ] {
            let path = top.join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        let server = Running::of(&top.join("www"), &top.join("pkg"), 0).unwrap();
        (top, server)
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
        let request = request.replace("PORT", &port.to_string());
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    fn get(port: u16, target: &str, more: &str) -> String {
        let fields = format!("Host: localhost:PORT\r\nConnection: close\r\n{more}\r\n");
        ask(port, &format!("GET {target} HTTP/1.1\r\n{fields}"))
    }

    /// Expected values: RFC 9110, sections 13 to 15.
    #[test]
    fn answers_as_http_asks() {
        let (top, server) = server("http");
        let get = |target, more| get(server.port, target, more);
        let whole = get("/", "");
        assert!(
            whole.starts_with("HTTP/1.1 200 OK\r\n") && whole.ends_with("\r\n\r\n0123456789"),
            "{whole}"
        );
        for (name, value) in headers::ALL {
            let field = format!("\r\n{}: {value}\r\n", name.to_lowercase());
            assert!(whole.contains(&field), "{name}");
        }
        let part = get("/", "Range: bytes=2-4\r\n");
        assert!(
            part.starts_with("HTTP/1.1 206 ") && part.ends_with("\r\n\r\n234"),
            "{part}"
        );
        assert!(part.contains("\r\ncontent-range: bytes 2-4/10\r\n"));
        assert!(get("/", "Range: bytes=10-\r\n").starts_with("HTTP/1.1 416 "));
        let (_, tag) = whole.split_once("\r\netag: ").unwrap();
        let tag = tag.split("\r\n").next().unwrap();
        let same = get("/", &format!("If-None-Match: {tag}\r\n"));
        assert!(
            same.starts_with("HTTP/1.1 304 ") && same.ends_with("\r\n\r\n"),
            "{same}"
        );
        let head = "HEAD / HTTP/1.0\r\nHost: localhost:PORT\r\n\r\n";
        let head = ask(server.port, head);
        assert!(
            head.contains("\r\ncontent-length: 10\r\n") && head.ends_with("\r\n\r\n"),
            "{head}"
        );
        fs::remove_dir_all(top).unwrap();
    }

    /// Media types: the HTML standard for scripts (text/javascript), IANA's registry for the rest.
    #[test]
    fn finds_the_page_and_the_package() {
        let (top, server) = server("found");
        for (target, text, media_type) in [
            ("/index.html?a=/../b", "0123456789", "text/html"),
            ("/a%20b/", "sub", "text/html"),
            ("/x.js", "script", "text/javascript"),
            ("/x.webmanifest", "{}", "application/manifest+json"),
            ("/pkg/index.js", "package", "text/javascript"),
            ("/pkg/index.wasm", "module", "application/wasm"),
        ] {
            let answer = get(server.port, target, "");
            assert!(answer.ends_with(&format!("\r\n\r\n{text}")), "{answer}");
            assert!(
                answer.contains(&format!("\r\ncontent-type: {media_type}")),
                "{answer}"
            );
        }
        let list = get(server.port, "/offline.json", "");
        assert!(
            list.contains("pkg/index.wasm") && list.contains("\r\ncontent-type: application/json"),
            "{list}"
        );
        fs::remove_dir_all(top).unwrap();
    }

    #[test]
    fn refuses_the_rest() {
        let (top, server) = server("rest");
        #[cfg(unix)]
        std::os::unix::fs::symlink(top.join("secret"), top.join("www/link")).unwrap();
        for target in [
            "/link",
            "/../secret",
            "/%2e%2e/secret",
            "/..%2fsecret",
            "/pkg/../../secret",
            "/pkg/%2e%2e/secret",
            "//secret",
            "/.hidden",
            "/node_modules/x.js",
            "/..%5csecret",
            "/%00",
            "/%ff",
            "/pkg/none.js",
            "/index.html/",
            "/pkg/",
            "/c:/secret",
            &format!("/{}", top.join("secret").display()),
        ] {
            let answer = get(server.port, target, "");
            assert!(
                answer.starts_with("HTTP/1.1 404 ") && !answer.ends_with("no"),
                "{target}: {answer}"
            );
        }
        for (request, status) in [
            (
                "POST / HTTP/1.1\r\nHost: localhost:PORT\r\nConnection: close\r\nContent-Length: 3\r\n\r\nabc",
                "405",
            ),
            (
                "GET / HTTP/1.1\r\nHost: example.org\r\nConnection: close\r\n\r\n",
                "421",
            ),
            ("GET / HTTP/1.1\r\nConnection: close\r\n\r\n", "421"),
            ("nonsense\r\n\r\n", "400"),
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
