//! The page as a folder for any static host.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use sha1_smol::Sha1;

use crate::serve::headers;
use crate::size::{self, Size};
use crate::{bundle, paths, setup};

const USAGE: &str = "usage: cargo xtask site [--to FOLDER]";

/// What the page itself never asks for: declarations, the package's other entries, its papers.
const LEFT_OUT: [&str; 7] = [
    "pkg/examples/",
    "pkg/README.md",
    "pkg/package.json",
    "pkg/inline",
    "pkg/adapters",
    "pkg/element",
    "pkg/define",
];
/// Large, and fetched when the page is at rest or first used.
const LATER: &str = "vendor/pose/";

/// `cargo xtask site [--to FOLDER]`
pub fn main(args: Vec<String>) -> Result<()> {
    let out = match to(args)? {
        Some(folder) => folder,
        None => paths::target()?.join("site"),
    };
    setup::page()?;
    let pkg = bundle::assemble()?;
    let files = make(&out, &pkg)?;
    sizes(&out, &files)?;
    println!("{}", out.display());
    Ok(())
}

fn to(args: Vec<String>) -> Result<Option<PathBuf>> {
    use lexopt::prelude::*;
    let mut parser = lexopt::Parser::from_args(args);
    let mut folder = None;
    while let Some(arg) = parser.next()? {
        match arg {
            Long("to") => folder = Some(PathBuf::from(parser.value()?)),
            _ => bail!("{} ({USAGE})", arg.unexpected()),
        }
    }
    Ok(folder)
}

/// Fills the folder; gives the page's files with their hashes.
pub fn make(out: &Path, pkg: &Path) -> Result<BTreeMap<String, String>> {
    clear(out)?;
    let mut files = BTreeMap::new();
    copy(&paths::root().join("www"), out, "", &mut files)?;
    copy(pkg, out, "pkg/", &mut files)?;
    let version = hash(format!("{files:?}").as_bytes());
    let list = serde_json::json!({ "version": version, "files": files });
    put(out, "offline.json", &list.to_string())?;
    put(out, "404.html", LOST)?;
    // One kind of host leaves out folders called vendor unless this file is there.
    put(out, ".nojekyll", "")?;
    put(out, "_headers", &underscore_headers())?;
    put(out, ".htaccess", &htaccess())?;
    put(out, "headers.nginx.conf", &nginx())?;
    put(out, "web.config", &web_config())?;
    Ok(files)
}

/// Takes away what this command put there before, and nothing else: a folder may be somebody's repository.
fn clear(out: &Path) -> Result<()> {
    fs::create_dir_all(out).with_context(|| format!("cannot make {}", out.display()))?;
    let Ok(list) = fs::read_to_string(out.join("offline.json")) else {
        let visible = |e: &fs::DirEntry| !e.file_name().to_string_lossy().starts_with('.');
        if fs::read_dir(out)?.flatten().any(|e| visible(&e)) {
            bail!(
                "{} holds something else: name an empty folder",
                out.display()
            );
        }
        return Ok(());
    };
    let list: serde_json::Value = serde_json::from_str(&list).context("offline.json")?;
    let listed = list["files"]
        .as_object()
        .into_iter()
        .flat_map(|files| files.keys());
    for path in listed.filter(|path| path.split('/').all(|part| part != "..")) {
        let file = out.join(path.trim_start_matches('/'));
        if file.is_file() {
            fs::remove_file(&file).with_context(|| format!("cannot remove {}", file.display()))?;
        }
    }
    Ok(())
}

/// A page for addresses that lead nowhere: links whose `#` a chat program encoded arrive here.
const LOST: &str = r#"<!doctype html>
<html lang="en" data-lost>
<head>
  <meta charset="utf-8">
  <meta name="viewport" content="width=device-width, initial-scale=1">
  <title>Underfoot: nothing at this address</title>
  <script src="app/first.js"></script>
</head>
<body>
  <main>
    <h1>There is nothing at this address</h1>
    <p>If somebody sent you this link, it is not whole: ask for it again. <a href="./">To the page</a></p>
  </main>
</body>
</html>
"#;

/// Copies what a page asks for, and notes each file's hash by its path in the folder.
fn copy(from: &Path, out: &Path, prefix: &str, files: &mut BTreeMap<String, String>) -> Result<()> {
    let entries = fs::read_dir(from).with_context(|| format!("cannot read {}", from.display()))?;
    for entry in entries {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = format!("{prefix}{name}");
        if entry.file_type()?.is_dir() {
            if !name.starts_with('.') && name != "node_modules" {
                copy(&entry.path(), out, &format!("{path}/"), files)?;
            }
        } else if wanted(&path) {
            let bytes = fs::read(entry.path()).with_context(|| format!("cannot read {path}"))?;
            let to = out.join(&path);
            if let Some(folder) = to.parent() {
                fs::create_dir_all(folder)?;
            }
            fs::write(&to, &bytes).with_context(|| format!("cannot write {}", to.display()))?;
            files.insert(path, hash(&bytes));
        }
    }
    Ok(())
}

fn wanted(path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or_default();
    let declares = [".d.ts", ".d.mts", "base64.js"];
    !name.starts_with('.')
        && name != "tsconfig.json"
        && !declares.iter().any(|end| name.ends_with(end))
        && !LEFT_OUT.iter().any(|start| path.starts_with(start))
}

/// Tells one version of a file from another; nothing is trusted because of it.
fn hash(bytes: &[u8]) -> String {
    Sha1::from(bytes).digest().to_string()[..16].to_owned()
}

fn put(out: &Path, name: &str, text: &str) -> Result<()> {
    fs::write(out.join(name), text).with_context(|| format!("cannot write {name}"))
}

/// For hosts that read a file `_headers` at the top of the site.
fn underscore_headers() -> String {
    let mut text =
        "# For hosts that read this file; it must lie at the top of the site.\n/*\n".to_owned();
    for (name, value) in headers::ALL {
        text += &format!("  {name}: {value}\n");
    }
    text
}

/// For Apache's httpd, where `.htaccess` files are allowed and mod_headers is loaded.
fn htaccess() -> String {
    let mut text = "# For Apache httpd with mod_headers.\n<IfModule mod_headers.c>\n".to_owned();
    for (name, value) in headers::ALL {
        text += &format!("  Header always set {name} \"{value}\"\n");
    }
    text + "</IfModule>\n<IfModule mod_mime.c>\n  AddType application/wasm .wasm\n  AddType text/javascript .js .mjs\n  AddType application/manifest+json .webmanifest\n</IfModule>\n"
}

/// For nginx: to be included in the page's `location`.
fn nginx() -> String {
    let mut text = "# For nginx: `include` this file in the page's `location`.\n".to_owned();
    for (name, value) in headers::ALL {
        text += &format!("add_header {name} \"{value}\" always;\n");
    }
    text
}

/// For Microsoft's IIS.
fn web_config() -> String {
    let mut text = "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<configuration><system.webServer>\n  <httpProtocol><customHeaders>\n".to_owned();
    for (name, value) in headers::ALL {
        text += &format!("    <add name=\"{name}\" value=\"{value}\" />\n");
    }
    text += "  </customHeaders></httpProtocol>\n  <staticContent>\n";
    for (end, kind) in [
        (".wasm", "application/wasm"),
        (".mjs", "text/javascript"),
        (".webmanifest", "application/manifest+json"),
        (".tflite", "application/octet-stream"),
        (".binarypb", "application/octet-stream"),
        (".data", "application/octet-stream"),
    ] {
        text += &format!(
            "    <remove fileExtension=\"{end}\" /><mimeMap fileExtension=\"{end}\" mimeType=\"{kind}\" />\n"
        );
    }
    text + "  </staticContent>\n</system.webServer></configuration>\n"
}

/// Prints what the folder weighs: what opens the page as the host sends it compressed, then the estimator as it lies there.
fn sizes(out: &Path, files: &BTreeMap<String, String>) -> Result<()> {
    let page: Vec<_> = files.keys().filter(|p| !p.starts_with(LATER)).collect();
    let each = size::sizes(out, page.iter().copied())?;
    println!("{:>9} {:>9} {:>9}  bytes", "raw", "gzip", "brotli");
    for (what, start) in [
        ("the page, all of it", ""),
        ("of it module and glue", "pkg/"),
    ] {
        let mut sum = Size::default();
        for (_, one) in page.iter().zip(&each).filter(|(p, _)| p.starts_with(start)) {
            sum.add(one);
        }
        size::row(&sum, what);
    }
    let mut later = 0;
    for path in files.keys().filter(|p| p.starts_with(LATER)) {
        later += fs::metadata(out.join(path))?.len();
    }
    println!(
        "{later:>9} {:>9} {:>9}  the estimator, fetched when it is needed",
        "", ""
    );
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pages_own_policy_is_the_headers() {
        let page = fs::read_to_string(paths::root().join("www/index.html")).unwrap();
        let (_, policy) = headers::ALL
            .iter()
            .find(|(name, _)| *name == "Content-Security-Policy")
            .unwrap();
        // What a page can't say of itself (Content Security Policy Level 3, section 3.3).
        let own = policy.replace("; frame-ancestors 'none'", "");
        assert!(
            page.contains(&format!("content=\"{own}\"")),
            "index.html has another policy"
        );
    }

    #[test]
    fn every_header_is_in_every_hosts_file() {
        for text in [underscore_headers(), htaccess(), nginx(), web_config()] {
            for (name, value) in headers::ALL {
                assert!(
                    text.contains(name) && text.contains(value),
                    "{name}: {text}"
                );
            }
        }
    }

    #[test]
    fn what_is_somebodys_own_stays() {
        let top = std::env::temp_dir().join(format!("underfoot-site-{}", std::process::id()));
        fs::create_dir_all(top.join(".git")).unwrap();
        fs::write(top.join(".git/HEAD"), "main").unwrap();
        // A repository without anything else is taken for empty.
        clear(&top).unwrap();
        fs::write(top.join("thesis.txt"), "all of it").unwrap();
        assert!(clear(&top).is_err());
        // Once it is a site, what the site lists goes, and the rest stays.
        fs::write(top.join("old.js"), "1").unwrap();
        fs::write(
            top.join("offline.json"),
            r#"{"files":{"old.js":"a","../old.js":"b"}}"#,
        )
        .unwrap();
        clear(&top).unwrap();
        assert!(!top.join("old.js").exists());
        assert!(top.join("thesis.txt").exists() && top.join(".git/HEAD").exists());
        fs::remove_dir_all(top).unwrap();
    }

    #[test]
    fn takes_what_the_page_asks_for() {
        for path in [
            "index.html",
            "app/main.js",
            "pkg/index.js",
            "pkg/worker-main.js",
            "pkg/wasm/underfoot_bg.wasm",
            "vendor/pako/LICENSE",
        ] {
            assert!(wanted(path), "{path}");
        }
        for path in [
            "tsconfig.json",
            "vendor/pako/pako.d.ts",
            "pkg/wasm/underfoot_bg.base64.js",
            "pkg/examples/a.html",
            "app/.hidden",
        ] {
            assert!(!wanted(path), "{path}");
        }
    }
}
