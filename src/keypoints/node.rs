//! A tree of named values of any host, and the fields in it.

use crate::Error;
use crate::decimal::decimal;
use crate::gather::Gather;

/// One value in a host's tree (a JSON value, a JavaScript value).
///
/// The reader walks it and never keeps it. A host says what is there; the reader decides what is
/// allowed.
pub trait Node: Sized {
    /// The member called `key`; `None` when absent or null, or when this is no object.
    fn get(&self, key: &str) -> Option<Self>;
    /// Names of an object's members; empty when this is no object.
    fn keys(&self) -> Vec<String>;
    /// Length when this is a list.
    fn list_len(&self) -> Option<usize>;
    /// Element `i` of a list; `None` when out of range.
    fn at(&self, i: usize) -> Option<Self>;
    /// The number, if it is one (may be non-finite).
    fn number(&self) -> Option<f64>;
    /// The text, if it is text.
    fn text(&self) -> Option<String>;
    /// The truth value, if it is one.
    fn boolean(&self) -> Option<bool>;
    /// Whether this is null or undefined.
    fn is_null(&self) -> bool;
    /// Whether this is an object with named members (not a list).
    fn is_object(&self) -> bool;
}

/// The object called `key`.
pub(super) fn section<N: Node>(root: &N, key: &str) -> Result<Option<N>, Error> {
    match root.get(key) {
        Some(node) if !node.is_object() => Err(Error::bad(key, "must be an object")),
        other => Ok(other),
    }
}

/// The finite number called `key`, from `low` to `high`.
pub(super) fn number_in<N: Node>(
    node: &N,
    key: &str,
    path: &str,
    low: f64,
    high: f64,
) -> Result<Option<f64>, Error> {
    let Some(value) = node.get(key) else {
        return Ok(None);
    };
    let value = value
        .number()
        .ok_or_else(|| Error::bad(path, "must be a number"))?;
    if !value.is_finite() {
        return Err(Error::bad(path, "not a finite number"));
    }
    if !(low..=high).contains(&value) {
        let [low, high] = [low, high].map(|bound| decimal(bound, 3));
        return Err(Error::bad(path, format!("must be from {low} to {high}")));
    }
    Ok(Some(value))
}

/// The whole number called `key`.
pub(super) fn whole<N: Node>(node: &N, key: &str, path: &str) -> Result<usize, Error> {
    let value = node.get(key).and_then(|v| v.number());
    match value {
        Some(v) if v >= 0.0 && v.fract() == 0.0 && v <= f64::from(u16::MAX) => Ok(v as usize),
        _ => Err(Error::bad(path, "must be a whole number")),
    }
}

/// What the text called `key` stands for.
pub(super) fn choice<N: Node, T: Copy>(
    node: &N,
    key: &str,
    path: &str,
    known: &[(&str, T)],
) -> Result<Option<T>, Error> {
    let Some(value) = node.get(key) else {
        return Ok(None);
    };
    let text = value.text();
    let found = text.and_then(|t| known.iter().find(|(name, _)| *name == t));
    let found = found.ok_or_else(|| {
        let names: Vec<&str> = known.iter().map(|k| k.0).gather();
        Error::bad(path, format!("must be one of {}", names.join(", ")))
    })?;
    Ok(Some(found.1))
}

/// Most fields that are told as not known, and the longest name of one.
const TOLD: usize = 8;
const LONGEST: usize = 60;

/// Notes which of an object's members are not among those `known`, with their path.
pub(super) fn unknown<N: Node>(node: &N, path: &str, known: &[&str], out: &mut Vec<String>) {
    for key in node.keys() {
        if out.len() < TOLD && !known.contains(&&*key) {
            let name = crate::error::shown(&key, LONGEST);
            let path = format!("{path}{name}");
            if !out.contains(&path) {
                out.push(path);
            }
        }
    }
}
