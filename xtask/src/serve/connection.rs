//! One connection: request heads in, answers out (RFC 9112), until either side ends it.

use std::io::{self, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

use super::answer::{Answer, answer};
use super::files::Tree;

/// Longest request head, bytes.
const MAX_HEAD: usize = 32 * 1024;
/// Most header fields of a request.
const MAX_FIELDS: usize = 100;
/// How long a connection may be silent.
const SILENCE: Duration = Duration::from_secs(120);

/// What of a request's head decides the answer.
pub struct Request {
    /// `GET`, `HEAD`, ...
    pub method: String,
    /// The path with its query.
    pub target: String,
    fields: Vec<(String, String)>,
    http_1_1: bool,
}

impl Request {
    /// A header field's value; names are compared without regard to case.
    pub fn field(&self, name: &str) -> Option<&str> {
        let found = self
            .fields
            .iter()
            .find(|f| f.0.eq_ignore_ascii_case(name))?;
        Some(&found.1)
    }

    /// Whether the connection stays open after the answer. A body is never read, so what carries
    /// one ends the connection.
    fn keeps_open(&self) -> bool {
        let closing = self
            .field("Connection")
            .is_some_and(|c| c.eq_ignore_ascii_case("close"));
        let has_body = self.field("Transfer-Encoding").is_some()
            || self
                .field("Content-Length")
                .is_some_and(|n| n.trim() != "0");
        self.http_1_1 && !closing && !has_body
    }
}

/// Answers the connection's requests one after the other.
pub fn serve(mut stream: &TcpStream, tree: &Tree, port: u16) -> io::Result<()> {
    stream.set_read_timeout(Some(SILENCE))?;
    stream.set_nodelay(true)?;
    let mut buffer = Vec::new();
    loop {
        let (answer, is_head, open) = match read_head(&mut stream, &mut buffer)? {
            Head::Request(request) => (
                answer(&request, tree, port),
                request.method == "HEAD",
                request.keeps_open(),
            ),
            Head::TooLong => (Answer::text(431, "the request is too long"), false, false),
            Head::Nonsense => (Answer::text(400, "not a request"), false, false),
            Head::Ended => return Ok(()),
        };
        write(&mut stream, answer, is_head, open)?;
        if !open {
            return end(stream);
        }
    }
}

enum Head {
    Request(Request),
    TooLong,
    Nonsense,
    Ended,
}

/// Reads one request head; what follows it stays in the buffer.
fn read_head(stream: &mut impl Read, buffer: &mut Vec<u8>) -> io::Result<Head> {
    loop {
        let mut fields = [httparse::EMPTY_HEADER; MAX_FIELDS];
        let mut parsed = httparse::Request::new(&mut fields);
        match parsed.parse(buffer) {
            Ok(httparse::Status::Complete(length)) => {
                let request = Request {
                    method: parsed.method.unwrap_or_default().to_owned(),
                    target: parsed.path.unwrap_or_default().to_owned(),
                    http_1_1: parsed.version == Some(1),
                    fields: parsed
                        .headers
                        .iter()
                        .map(|h| {
                            (
                                h.name.to_owned(),
                                String::from_utf8_lossy(h.value).into_owned(),
                            )
                        })
                        .collect(),
                };
                buffer.drain(..length);
                return Ok(Head::Request(request));
            }
            Ok(httparse::Status::Partial) if buffer.len() > MAX_HEAD => return Ok(Head::TooLong),
            Ok(httparse::Status::Partial) => {}
            Err(httparse::Error::TooManyHeaders) => return Ok(Head::TooLong),
            Err(_) => return Ok(Head::Nonsense),
        }
        let mut some = [0; 4096];
        match stream.read(&mut some)? {
            0 => return Ok(Head::Ended),
            n => buffer.extend_from_slice(&some[..n]),
        }
    }
}

fn write(stream: &mut impl Write, mut answer: Answer, is_head: bool, open: bool) -> io::Result<()> {
    let mut head = format!("HTTP/1.1 {} {}\r\n", answer.status, answer.reason());
    for (name, value) in &answer.fields {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    if answer.status != 304 {
        head.push_str(&format!("Content-Length: {}\r\n", answer.length));
    }
    head.push_str(if open {
        "\r\n"
    } else {
        "Connection: close\r\n\r\n"
    });
    stream.write_all(head.as_bytes())?;
    if !is_head && answer.length > 0 {
        let sent = io::copy(&mut answer.body, stream)?;
        if sent != answer.length {
            // The file shrank: the browser must see that something is missing.
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
    }
    stream.flush()
}

/// Ends a connection so that the last answer arrives: what the other side still sends is read and
/// dropped for a moment, or the system would throw the answer away (RFC 9112, section 9.6).
fn end(mut stream: &TcpStream) -> io::Result<()> {
    stream.shutdown(std::net::Shutdown::Write)?;
    stream.set_read_timeout(Some(Duration::from_secs(1)))?;
    let mut some = [0; 4096];
    for _ in 0..64 {
        match stream.read(&mut some) {
            Ok(n) if n > 0 => {}
            _ => break,
        }
    }
    Ok(())
}
