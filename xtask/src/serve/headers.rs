//! Headers of every answer.

use std::fs::Metadata;
use std::time::UNIX_EPOCH;

/// What the page may load and run: its own files only, no inline script, no eval; WebAssembly
/// needs `wasm-unsafe-eval` (Content Security Policy Level 3, section 2.3.1).
const CSP: &str = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; \
    worker-src 'self'; img-src 'self'; media-src 'self' blob:; style-src 'self'; \
    object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Fields of every answer.
pub const ALL: [(&str, &str); 7] = [
    ("Content-Security-Policy", CSP),
    (
        "Permissions-Policy",
        "camera=(self), accelerometer=(self), gyroscope=(self), screen-wake-lock=(self), \
         microphone=(), geolocation=()",
    ),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    // Asked again each time, answered with 304 while the file is the same.
    ("Cache-Control", "no-cache"),
];

/// A file's entity tag, from its size and time of change.
pub fn tag(meta: &Metadata) -> String {
    let changed = meta
        .modified()
        .ok()
        .and_then(|t| t.duration_since(UNIX_EPOCH).ok());
    let nanos = changed.map_or(0, |d| d.as_nanos());
    format!("\"{:x}-{nanos:x}\"", meta.len())
}

/// Whether a Host header names this server on this machine.
pub fn is_own_host(host: &str, port: u16) -> bool {
    let names = ["localhost", "127.0.0.1"];
    names
        .iter()
        .any(|name| host == format!("{name}:{port}") || (port == 80 && host == *name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_this_machine_is_a_host() {
        assert!(is_own_host("localhost:8123", 8123));
        assert!(is_own_host("127.0.0.1:8123", 8123));
        for other in [
            "localhost",
            "localhost:1",
            "example.org:8123",
            "localhost.example.org:8123",
            "",
        ] {
            assert!(!is_own_host(other, 8123), "{other}");
        }
    }

    #[test]
    fn the_policy_allows_no_inline_and_no_other_origin() {
        for never in ["unsafe-inline", "'unsafe-eval'", "http", "*", "data:"] {
            assert!(!CSP.contains(never), "{never}");
        }
    }
}
