//! From a request's path to a file in one of two folders, or to nothing.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use percent_encoding::percent_decode_str;

/// What is served, and where it lies.
pub struct Tree {
    www: PathBuf,
    pkg: PathBuf,
}

/// What a path leads to.
#[derive(Debug, PartialEq)]
pub enum Found {
    /// This file.
    File(PathBuf),
    /// A folder named without its closing slash: the address to use instead.
    Folder(String),
    /// Nothing that is served.
    Nothing,
}

impl Tree {
    /// The page's folder at `/`, the package's at `/pkg/`.
    pub fn new(www: PathBuf, pkg: PathBuf) -> Result<Self> {
        let real = |p: PathBuf| {
            p.canonicalize()
                .with_context(|| format!("no {}", p.display()))
        };
        Ok(Self {
            www: real(www)?,
            pkg: real(pkg)?,
        })
    }

    /// Both folders, the page's first.
    pub fn folders(&self) -> (&Path, &Path) {
        (&self.www, &self.pkg)
    }

    /// The file for a request target such as `/pkg/index.js?v=1`.
    pub fn find(&self, target: &str) -> Found {
        let path = target.split(['?', '#']).next().unwrap_or_default();
        let Ok(decoded) = percent_decode_str(path).decode_utf8() else {
            return Found::Nothing;
        };
        let Some(below) = decoded.strip_prefix('/') else {
            return Found::Nothing;
        };
        if !below.split('/').all(is_served) {
            return Found::Nothing;
        }
        let (base, below) = match below.strip_prefix("pkg/") {
            Some(rest) => (&self.pkg, rest),
            None => (&self.www, below),
        };
        let mut file = base.join(below);
        if file.is_dir() {
            if !decoded.ends_with('/') {
                return Found::Folder(format!("{path}/"));
            }
            file.push("index.html");
        }
        // A link may lead out of the folder; what it leads to is then not served.
        match file.canonicalize() {
            Ok(real) if real.is_file() && real.starts_with(base) => Found::File(real),
            _ => Found::Nothing,
        }
    }
}

/// Whether a part of a path may be followed: no way up, nothing hidden, no other system's
/// separators or drive letters.
pub(super) fn is_served(part: &str) -> bool {
    !part.starts_with('.') && part != "node_modules" && !part.contains(['\\', ':', '\0'])
}

/// The media type by the file's extension (IANA's media types registry).
pub fn media_type(path: &Path) -> &'static str {
    let extension = path
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or_default();
    match extension {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" | "map" => "application/json",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "ico" => "image/vnd.microsoft.icon",
        "webm" => "video/webm",
        "mp4" => "video/mp4",
        "woff2" => "font/woff2",
        "txt" | "md" | "ts" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    /// A www and a pkg folder with one file each, beside a file that must never be served.
    fn tree(name: &str) -> (PathBuf, Tree) {
        let top = std::env::temp_dir().join(format!("underfoot-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&top);
        for (file, text) in [
            ("www/index.html", "page"),
            ("www/a b/index.html", "sub"),
            ("www/.hidden", "no"),
            ("www/node_modules/x.js", "no"),
            ("pkg/index.js", "package"),
            ("secret", "no"),
        ] {
            let path = top.join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        let tree = Tree::new(top.join("www"), top.join("pkg")).unwrap();
        (top.canonicalize().unwrap(), tree)
    }

    #[test]
    fn finds_files_folders_and_the_package() {
        let (top, tree) = tree("found");
        assert_eq!(tree.find("/"), Found::File(top.join("www/index.html")));
        assert_eq!(
            tree.find("/index.html?a=/../b#c"),
            Found::File(top.join("www/index.html"))
        );
        assert_eq!(tree.find("/a%20b"), Found::Folder("/a%20b/".into()));
        assert_eq!(
            tree.find("/a%20b/"),
            Found::File(top.join("www/a b/index.html"))
        );
        assert_eq!(
            tree.find("/pkg/index.js"),
            Found::File(top.join("pkg/index.js"))
        );
        fs::remove_dir_all(top).unwrap();
    }

    #[test]
    fn serves_nothing_else() {
        let (top, tree) = tree("nothing");
        for target in [
            "/../secret",
            "/%2e%2e/secret",
            "/..%2fsecret",
            "/pkg/../../secret",
            "/pkg/%2e%2e/secret",
            "//secret",
            "/.hidden",
            "/node_modules/x.js",
            "/..\\secret",
            "/%00",
            "/%ff",
            "secret",
            "",
            "http://other/",
            "/pkg/none.js",
            "/index.html/",
            "/pkg/",
            "/c:/secret",
        ] {
            assert_eq!(tree.find(target), Found::Nothing, "{target}");
        }
        assert_eq!(
            tree.find(&format!("/{}", top.join("secret").display())),
            Found::Nothing
        );
        fs::remove_dir_all(top).unwrap();
    }

    #[cfg(unix)]
    #[test]
    fn follows_no_link_out_of_its_folders() {
        let (top, tree) = tree("link");
        std::os::unix::fs::symlink(top.join("secret"), top.join("www/out")).unwrap();
        assert_eq!(tree.find("/out"), Found::Nothing);
        fs::remove_dir_all(top).unwrap();
    }
}
