//! What a request gets: a file, a part of one, or a short sentence.

use std::fs::File;
use std::io::{self, Cursor, Read, Seek, SeekFrom};
use std::path::Path;

use super::connection::Request;
use super::files::{self, Found, Tree};
use super::{headers, offline, range};

/// An answer that can be sent.
pub struct Answer {
    /// Status code.
    pub status: u16,
    /// Header fields but for the body's length.
    pub fields: Vec<(&'static str, String)>,
    /// Bytes of the body.
    pub length: u64,
    /// The body.
    pub body: Box<dyn Read>,
}

impl Answer {
    fn empty(status: u16) -> Self {
        let fields = headers::ALL.map(|(name, value)| (name, value.to_owned()));
        Self {
            status,
            fields: fields.into(),
            length: 0,
            body: Box::new(io::empty()),
        }
    }

    /// A sentence.
    pub fn text(status: u16, text: &str) -> Self {
        Self::of(status, "text/plain; charset=utf-8", format!("{text}\n"))
    }

    fn of(status: u16, media_type: &str, text: String) -> Self {
        let mut answer = Self::empty(status).with("Content-Type", media_type);
        answer.length = text.len() as u64;
        answer.body = Box::new(Cursor::new(text));
        answer
    }

    fn with(mut self, name: &'static str, value: &str) -> Self {
        self.fields.push((name, value.to_owned()));
        self
    }

    /// The status in words (RFC 9110, section 15).
    pub fn reason(&self) -> &'static str {
        match self.status {
            200 => "OK",
            206 => "Partial Content",
            304 => "Not Modified",
            308 => "Permanent Redirect",
            400 => "Bad Request",
            404 => "Not Found",
            405 => "Method Not Allowed",
            416 => "Range Not Satisfiable",
            421 => "Misdirected Request",
            431 => "Request Header Fields Too Large",
            _ => "",
        }
    }
}

/// The answer to a request that reached this port.
pub fn answer(request: &Request, tree: &Tree, port: u16) -> Answer {
    if !matches!(request.method.as_str(), "GET" | "HEAD") {
        return Answer::text(405, "only GET and HEAD").with("Allow", "GET, HEAD");
    }
    // A name of somebody else's that points here must not make the page part of their site.
    if !request
        .field("Host")
        .is_some_and(|host| headers::is_own_host(host, port))
    {
        return Answer::text(421, "not this server's name");
    }
    if request.target.split('?').next() == Some("/offline.json") {
        let (www, pkg) = tree.folders();
        return Answer::of(200, "application/json", offline::list(www, pkg));
    }
    match tree.find(&request.target) {
        Found::File(path) => {
            file(request, &path).unwrap_or_else(|_| Answer::text(404, "nothing here"))
        }
        Found::Folder(location) => Answer::empty(308).with("Location", &location),
        Found::Nothing => Answer::text(404, "nothing here"),
    }
}

fn file(request: &Request, path: &Path) -> io::Result<Answer> {
    let mut file = File::open(path)?;
    let meta = file.metadata()?;
    let tag = headers::tag(&meta);
    if request.field("If-None-Match") == Some(tag.as_str()) {
        return Ok(Answer::empty(304).with("ETag", &tag));
    }
    let size = meta.len();
    let (from, length, part) = match range::parse(request.field("Range"), size) {
        range::Part::All => (0, size, false),
        range::Part::Some { from, length } => (from, length, true),
        range::Part::Outside => {
            return Ok(Answer::empty(416).with("Content-Range", &format!("bytes */{size}")));
        }
    };
    file.seek(SeekFrom::Start(from))?;
    let mut answer = Answer::empty(if part { 206 } else { 200 })
        .with("Content-Type", files::media_type(path))
        .with("ETag", &tag)
        .with("Accept-Ranges", "bytes");
    if part {
        let last = from + length.saturating_sub(1);
        answer = answer.with("Content-Range", &format!("bytes {from}-{last}/{size}"));
    }
    answer.length = length;
    answer.body = Box::new(file.take(length));
    Ok(answer)
}
