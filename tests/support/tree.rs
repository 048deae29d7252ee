//! JSON as a host's tree.

use serde_json::Value;
use underfoot::keypoints::Node;

pub struct Tree<'a>(pub &'a Value);

impl Node for Tree<'_> {
    fn get(&self, key: &str) -> Option<Self> {
        self.0.get(key).filter(|v| !v.is_null()).map(Tree)
    }
    fn keys(&self) -> Vec<String> {
        let object = self.0.as_object();
        object
            .map(|o| o.keys().cloned().collect())
            .unwrap_or_default()
    }
    fn list_len(&self) -> Option<usize> {
        self.0.as_array().map(Vec::len)
    }
    fn at(&self, i: usize) -> Option<Self> {
        self.0.get(i).map(Tree)
    }
    fn number(&self) -> Option<f64> {
        self.0.as_f64()
    }
    fn text(&self) -> Option<String> {
        self.0.as_str().map(str::to_owned)
    }
    fn boolean(&self) -> Option<bool> {
        self.0.as_bool()
    }
    fn is_null(&self) -> bool {
        self.0.is_null()
    }
    fn is_object(&self) -> bool {
        self.0.is_object()
    }
}
