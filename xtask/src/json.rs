//! Recordings as JSON: reading the text, and walking it for the core's reader.

use std::borrow::Cow;
use std::io::Read;

use flate2::read::MultiGzDecoder;
use serde_json::Value;
use underfoot::keypoints::Node;

/// Most bytes of text that are read; a compressed file may claim far more than it holds.
const MAX_BYTES: u64 = 200_000_000;
/// Most values in it: an hour of 33 points at 30 frames a second is 15 million. In memory each takes
/// up to thirty times its text.
const MAX_VALUES: usize = 20_000_000;
/// Stand for a number that is none, and for one that is infinite. No JSON text can mean them by
/// accident.
const NOT_A_NUMBER: &str = "\0NaN";
const INFINITE: &str = "\0infinite";

/// The tree of a recording's bytes, which may be compressed with gzip.
///
/// # Errors
/// One sentence: what is wrong and where.
pub fn parse(bytes: Vec<u8>) -> Result<Value, String> {
    let bytes = if bytes.starts_with(&[0x1f, 0x8b]) {
        unpack(&bytes)?
    } else {
        bytes
    };
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    if text.iter().all(u8::is_ascii_whitespace) {
        return Err("recording: the file is empty".into());
    }
    if text.len() as u64 > MAX_BYTES {
        return Err(format!("recording: more than {MAX_BYTES} bytes"));
    }
    if values(text) > MAX_VALUES {
        return Err(format!("recording: more than {MAX_VALUES} values"));
    }
    let text = mark_non_finite(text);
    serde_json::from_slice(&text).map_err(|e| format!("recording: not JSON: {e}"))
}

fn unpack(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut out = Vec::new();
    MultiGzDecoder::new(bytes)
        .take(MAX_BYTES + 1)
        .read_to_end(&mut out)
        .map_err(|e| format!("recording: not gzip: {e}"))?;
    if out.len() as u64 > MAX_BYTES {
        return Err(format!(
            "recording: more than {MAX_BYTES} bytes when unpacked"
        ));
    }
    Ok(out)
}

/// Puts a mark in place of numbers that JSON lacks: NaN and Infinity, which common writers print,
/// and numbers beyond the largest double. The core's reader can then name the field.
fn mark_non_finite(text: &[u8]) -> Cow<'_, [u8]> {
    let mut out: Option<Vec<u8>> = None;
    let mut kept = 0;
    let mut i = 0;
    while let Some(&byte) = text.get(i) {
        let token = match byte {
            b'"' => {
                i = string_end(text, i);
                continue;
            }
            b'-' | b'0'..=b'9' | b'N' | b'I' => token_end(text, i),
            _ => {
                i += 1;
                continue;
            }
        };
        if let Some(mark) = non_finite(&text[i..token]) {
            let out = out.get_or_insert_default();
            out.extend_from_slice(&text[kept..i]);
            out.extend_from_slice(b"\"\\u0000");
            out.extend_from_slice(&mark.as_bytes()[1..]);
            out.push(b'"');
            kept = token;
        }
        i = token;
    }
    match out {
        None => Cow::Borrowed(text),
        Some(mut out) => {
            out.extend_from_slice(&text[kept..]);
            Cow::Owned(out)
        }
    }
}

/// The place after a string that begins at `i`.
fn string_end(text: &[u8], i: usize) -> usize {
    let mut at = i + 1;
    while let Some(&byte) = text.get(at) {
        match byte {
            b'\\' => at += 2,
            b'"' => return at + 1,
            _ => at += 1,
        }
    }
    text.len()
}

/// The place after a run of letters, digits and signs that begins at `i`.
fn token_end(text: &[u8], i: usize) -> usize {
    let is_part = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'+' | b'-' | b'.');
    let run = text[i..].iter().take_while(|b| is_part(b)).count();
    i + run.max(1)
}

/// At most so many values: each but the first of a list follows a comma.
fn values(text: &[u8]) -> usize {
    text.iter()
        .filter(|b| matches!(b, b',' | b'[' | b'{'))
        .count()
}

fn non_finite(token: &[u8]) -> Option<&'static str> {
    match token {
        b"NaN" | b"-NaN" => Some(NOT_A_NUMBER),
        b"Infinity" | b"-Infinity" => Some(INFINITE),
        // Only with an exponent or over 308 digits can a number leave the range of doubles.
        [b'-' | b'0'..=b'9', ..] if token.len() > 308 || token.iter().any(|b| b | 32 == b'e') => {
            let number = std::str::from_utf8(token)
                .ok()
                .and_then(|t| t.parse::<f64>().ok());
            number.filter(|n| !n.is_finite()).map(|_| INFINITE)
        }
        _ => None,
    }
}

/// A JSON value, for the core's reader.
#[derive(Clone, Copy)]
pub struct Json<'a>(pub &'a Value);

impl Node for Json<'_> {
    fn get(&self, key: &str) -> Option<Self> {
        self.0.get(key).filter(|v| !v.is_null()).map(Self)
    }

    fn keys(&self) -> Vec<String> {
        let members = self.0.as_object();
        members.map_or_else(Vec::new, |m| m.keys().cloned().collect())
    }

    fn list_len(&self) -> Option<usize> {
        self.0.as_array().map(Vec::len)
    }

    fn at(&self, i: usize) -> Option<Self> {
        self.0.as_array()?.get(i).map(Self)
    }

    fn number(&self) -> Option<f64> {
        match self.0 {
            Value::String(text) if text == NOT_A_NUMBER => Some(f64::NAN),
            Value::String(text) if text == INFINITE => Some(f64::INFINITY),
            value => value.as_f64(),
        }
    }

    fn text(&self) -> Option<String> {
        let text = self.0.as_str();
        let text = text.filter(|t| ![NOT_A_NUMBER, INFINITE].contains(t));
        text.map(str::to_owned)
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn number(text: &str) -> Option<f64> {
        let tree = parse(text.as_bytes().to_vec()).unwrap();
        Json(&tree).at(0).unwrap().number()
    }

    #[test]
    fn numbers_that_json_lacks_are_seen_as_such() {
        for text in ["NaN", "-NaN", "Infinity", "-Infinity", "1e999", "-1E+999"] {
            assert!(
                !number(&format!("[{text}, \"a\"]")).unwrap().is_finite(),
                "{text}"
            );
        }
        assert!(
            !number(&format!("[{}]", "9".repeat(400)))
                .unwrap()
                .is_finite()
        );
        assert_eq!(number("[1.5e2]"), Some(150.0));
        assert_eq!(number("[-3]"), Some(-3.0));
        assert_eq!(number("[\"NaN\"]"), None);
    }

    #[test]
    fn text_stays_text() {
        let tree = parse(br#"{"a \" NaN": "Infinity 1e999 \\", "b": [true, null, NaN]}"#.to_vec());
        let tree = tree.unwrap();
        let node = Json(&tree);
        assert_eq!(
            node.get("a \" NaN").unwrap().text().unwrap(),
            "Infinity 1e999 \\"
        );
        let b = node.get("b").unwrap();
        assert_eq!(b.at(0).unwrap().boolean(), Some(true));
        assert!(b.at(1).unwrap().is_null());
        assert_eq!(b.at(2).unwrap().text(), None);
        assert!(b.at(2).unwrap().number().unwrap().is_nan());
    }

    #[test]
    fn what_is_no_json_is_refused_in_one_line() {
        for text in [
            "", " \n", "{", "[1,]", "nan", "[NaNs]", "\"", "\"\\", "\u{1}",
        ] {
            let error = parse(text.as_bytes().to_vec()).unwrap_err();
            assert!(
                error.starts_with("recording: ") && !error.contains('\n'),
                "{error}"
            );
        }
        assert!(parse(vec![0xff, 0xfe, 0]).is_err());
        assert!(parse(vec![b'['; 1_000_000]).is_err());
    }

    /// Kilobytes that unpack to more than is read are refused before they are held.
    #[test]
    fn a_file_that_unpacks_to_too_much_is_refused() {
        let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
        let zeros = vec![b' '; 1 << 20];
        for _ in 0..=MAX_BYTES >> 20 {
            packed.write_all(&zeros).unwrap();
        }
        let packed = packed.finish().unwrap();
        assert!(packed.len() < 1 << 20);
        let error = parse(packed).unwrap_err();
        assert!(error.contains("when unpacked"), "{error}");
        let many = [b"[".to_vec(), vec![b','; MAX_VALUES + 1], b"]".to_vec()].concat();
        assert!(parse(many).unwrap_err().contains("values"));
    }

    #[test]
    fn gzip_and_a_byte_order_mark_are_taken() {
        let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
        packed.write_all(b"\xef\xbb\xbf[7]").unwrap();
        let packed = packed.finish().unwrap();
        assert_eq!(parse(packed.clone()).unwrap(), serde_json::json!([7]));
        assert!(
            parse(packed[..packed.len() - 4].to_vec())
                .unwrap_err()
                .contains("gzip")
        );
    }
}
