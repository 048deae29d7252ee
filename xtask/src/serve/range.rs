//! One byte range of a file (RFC 9110, section 14), which seeking in a video asks for.

/// The part of a file that an answer holds.
#[derive(Debug, PartialEq)]
pub enum Part {
    /// Everything.
    All,
    /// `length` bytes after the first `from`.
    Some { from: u64, length: u64 },
    /// A range that the file does not have.
    Outside,
}

/// The part that a Range header asks for; what can't be read, and several ranges at once, mean
/// everything, as the standard allows.
pub fn parse(header: Option<&str>, size: u64) -> Part {
    let Some((first, last)) = header
        .and_then(|h| h.trim().strip_prefix("bytes="))
        .and_then(|r| r.split_once('-'))
    else {
        return Part::All;
    };
    let (from, end) = match (number(first), number(last)) {
        (Some(from), Some(last)) if from > last => return Part::All,
        (Some(from), Some(last)) => (from, last.saturating_add(1).min(size)),
        (Some(from), None) if last.trim().is_empty() => (from, size),
        (None, Some(suffix)) if first.trim().is_empty() => {
            if suffix == 0 {
                return Part::Outside;
            }
            (size.saturating_sub(suffix), size)
        }
        _ => return Part::All,
    };
    if from >= size {
        return Part::Outside;
    }
    Part::Some {
        from,
        length: end - from,
    }
}

fn number(text: &str) -> Option<u64> {
    let text = text.trim();
    text.bytes()
        .all(|b| b.is_ascii_digit())
        .then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 9110, section 14.1.2: the examples for a representation of 10000 bytes.
    #[test]
    fn the_standards_examples() {
        let part = |h| parse(Some(h), 10_000);
        assert_eq!(
            part("bytes=0-499"),
            Part::Some {
                from: 0,
                length: 500
            }
        );
        assert_eq!(
            part("bytes=500-999"),
            Part::Some {
                from: 500,
                length: 500
            }
        );
        assert_eq!(
            part("bytes=-500"),
            Part::Some {
                from: 9_500,
                length: 500
            }
        );
        assert_eq!(
            part("bytes=9500-"),
            Part::Some {
                from: 9_500,
                length: 500
            }
        );
        // "a recipient ... ranges that overlap or are out of order": several are not served as parts.
        assert_eq!(part("bytes=0-0,-1"), Part::All);
    }

    #[test]
    fn the_edges() {
        assert_eq!(parse(None, 5), Part::All);
        assert_eq!(
            parse(Some("bytes=0-"), 5),
            Part::Some { from: 0, length: 5 }
        );
        assert_eq!(
            parse(Some("bytes=4-99"), 5),
            Part::Some { from: 4, length: 1 }
        );
        assert_eq!(
            parse(Some("bytes=-99"), 5),
            Part::Some { from: 0, length: 5 }
        );
        assert_eq!(parse(Some("bytes=5-"), 5), Part::Outside);
        assert_eq!(parse(Some("bytes=-0"), 5), Part::Outside);
        assert_eq!(parse(Some("bytes=0-0"), 0), Part::Outside);
        for odd in [
            "bytes=",
            "bytes=-",
            "bytes=3-1",
            "bytes=a-b",
            "lines=0-1",
            "bytes=+1-2",
            "",
        ] {
            assert_eq!(parse(Some(odd), 5), Part::All, "{odd}");
        }
        assert_eq!(
            parse(Some("bytes=0-18446744073709551615"), 5),
            Part::Some { from: 0, length: 5 }
        );
    }
}
