//! Recordings from any format that serde reads.

use super::{Node, Recording, read_recording};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// A tree of named values read by serde, from JSON or any other format that describes itself.
///
/// Only needed to read something beside a recording, which is itself `Deserialize`: thresholds
/// ([`crate::thresholds::read`]) or earlier reports ([`crate::record::read_history`]).
///
/// ```
/// use underfoot::keypoints::Tree;
///
/// let tree: Tree = serde_json::from_str(r#"{ "knee_in_deg": { "high": 12 } }"#)?;
/// let thresholds = underfoot::thresholds::read(&&tree)?;
/// # let _ = thresholds;
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub enum Tree {
    /// No value.
    Null,
    /// A truth value.
    Boolean(bool),
    /// A number.
    Number(f64),
    /// Text.
    Text(String),
    /// A list.
    List(Vec<Tree>),
    /// An object's members in their order.
    Object(Vec<(String, Tree)>),
}

impl Node for &Tree {
    fn get(&self, key: &str) -> Option<Self> {
        let Tree::Object(members) = self else {
            return None;
        };
        // Of members of one name the last counts, as for most readers of JSON.
        let found = members.iter().rev().find(|m| m.0 == key).map(|m| &m.1);
        found.filter(|value| !value.is_null())
    }
    fn keys(&self) -> Vec<String> {
        match self {
            Tree::Object(members) => members.iter().map(|m| m.0.clone()).collect(),
            _ => Vec::new(),
        }
    }
    fn list_len(&self) -> Option<usize> {
        match self {
            Tree::List(list) => Some(list.len()),
            _ => None,
        }
    }
    fn at(&self, i: usize) -> Option<Self> {
        match self {
            Tree::List(list) => list.get(i),
            _ => None,
        }
    }
    fn number(&self) -> Option<f64> {
        match self {
            Tree::Number(number) => Some(*number),
            _ => None,
        }
    }
    fn text(&self) -> Option<String> {
        match self {
            Tree::Text(text) => Some(text.clone()),
            _ => None,
        }
    }
    fn boolean(&self) -> Option<bool> {
        match self {
            Tree::Boolean(value) => Some(*value),
            _ => None,
        }
    }
    fn is_null(&self) -> bool {
        matches!(self, Tree::Null)
    }
    fn is_object(&self) -> bool {
        matches!(self, Tree::Object(_))
    }
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Any)
    }
}

/// Takes whatever comes.
struct Any;

impl<'de> Visitor<'de> for Any {
    type Value = Tree;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }
    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Null)
    }
    fn visit_none<E>(self) -> Result<Tree, E> {
        Ok(Tree::Null)
    }
    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Tree, D::Error> {
        Tree::deserialize(deserializer)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Tree, E> {
        Ok(Tree::Boolean(value))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Tree, E> {
        Ok(Tree::Number(value as f64))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Tree, E> {
        Ok(Tree::Number(value as f64))
    }
    fn visit_f64<E>(self, value: f64) -> Result<Tree, E> {
        Ok(Tree::Number(value))
    }
    fn visit_str<E>(self, value: &str) -> Result<Tree, E> {
        Ok(Tree::Text(value.to_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Tree, A::Error> {
        let mut out = Vec::new();
        while let Some(value) = list.next_element()? {
            out.push(value);
        }
        Ok(Tree::List(out))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Tree, A::Error> {
        let mut out = Vec::new();
        while let Some(member) = members.next_entry()? {
            out.push(member);
        }
        Ok(Tree::Object(out))
    }
}

/// As [`read_recording`]: the same checks and the same words for what is wrong.
impl<'de> Deserialize<'de> for Recording {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let tree = Tree::deserialize(deserializer)?;
        read_recording(&&tree).map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"{ "schema": 1, "layout": "coco-17", "image": { "width": 640, "height": 480 },
        "lifter": { "height_m": 1.8 }, "frames": [{ "t_ms": 0, "people": [] }, { "t_ms": 33.5 }] }"#;

    #[test]
    fn a_recording_comes_from_text() {
        let recording: Recording = serde_json::from_str(TEXT).expect("a recording");
        assert_eq!(recording.frames.len(), 2);
        assert_eq!(recording.frames[1].t_ms, 33.5);
        assert_eq!(recording.setup.lifter.height_m, Some(1.8));
    }

    #[test]
    fn what_is_wrong_is_named_by_its_field() {
        for (from, to, named) in [
            ("33.5", "\"soon\"", "frames[1].t_ms"),
            ("33.5", "-1", "frames[1].t_ms"),
            ("coco-17", "none", "layout"),
            ("640", "0", "image"),
            ("[]", "[[1, 2]]", "frames[0].people[0]"),
        ] {
            let text = TEXT.replace(from, to);
            let error = serde_json::from_str::<Recording>(&text).expect_err(from);
            assert!(error.to_string().contains(named), "{from}: {error}");
        }
    }
}
