//! The list of everything that is served, by which the page keeps itself for use without a network.

use std::collections::BTreeMap;
use std::collections::hash_map::DefaultHasher;
use std::fs;
use std::hash::{Hash, Hasher};
use std::path::Path;

use super::headers;

/// The list as JSON: an entity tag for each path, and a version that changes with any of them.
pub fn list(www: &Path, pkg: &Path) -> String {
    let mut files = BTreeMap::new();
    add(www, "", &mut files);
    add(pkg, "pkg/", &mut files);
    let mut hasher = DefaultHasher::new();
    files.hash(&mut hasher);
    let version = format!("{:016x}", hasher.finish());
    serde_json::json!({ "version": version, "files": files }).to_string()
}

fn add(folder: &Path, prefix: &str, files: &mut BTreeMap<String, String>) {
    // A folder that vanished meanwhile has no files to keep.
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Ok(meta) = entry.metadata() else { continue };
        if !is_served(&name) {
            continue;
        }
        if meta.is_dir() {
            add(&entry.path(), &format!("{prefix}{name}/"), files);
        } else if meta.is_file() && !name.ends_with(".d.ts") && !name.ends_with(".d.mts") {
            files.insert(format!("{prefix}{name}"), headers::tag(&meta));
        }
    }
}

/// Whether a part of a path may be followed: no way up, nothing hidden, no other system's
/// separators or drive letters.
pub fn is_served(part: &str) -> bool {
    !part.starts_with('.') && part != "node_modules" && !part.contains(['\\', ':', '\0'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_both_folders_and_changes_with_them() {
        let top = std::env::temp_dir().join(format!("underfoot-offline-{}", std::process::id()));
        for (path, text) in [("www/a/x.js", "1"), ("www/.b", "2"), ("pkg/i.js", "3")] {
            let path = top.join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        let read = || -> serde_json::Value {
            serde_json::from_str(&list(&top.join("www"), &top.join("pkg"))).unwrap()
        };
        let first = read();
        let names: Vec<_> = first["files"]
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect();
        assert_eq!(names, ["a/x.js", "pkg/i.js"]);
        assert_eq!(first, read());
        fs::write(top.join("www/a/x.js"), "longer").unwrap();
        assert_ne!(first["version"], read()["version"]);
        fs::remove_dir_all(top).unwrap();
    }
}
