//! The one error type: what was wrong, where, and a stable code.

use std::fmt;

/// A stable, machine-readable kind of failure.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ErrorCode {
    /// A field is missing, has the wrong type, or holds a value that cannot be used.
    BadInput,
    /// The recording holds no frame.
    Empty,
    /// A frame's time does not rise.
    TimeOrder,
    /// An option (threshold, check name) is not known or out of range.
    BadOption,
}

impl ErrorCode {
    /// The code as the package's `Error.code`.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::BadInput => "bad-input",
            Self::Empty => "empty",
            Self::TimeOrder => "time-order",
            Self::BadOption => "bad-option",
        }
    }
}

/// Why an input was refused. Displays as `field: reason`, for example
/// `frames[12].points[27].x: not a finite number`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    code: ErrorCode,
    field: String,
    reason: String,
}

impl Error {
    /// An error about `field` (a path such as `frames[3].t_ms`) for `reason`.
    pub fn new(code: ErrorCode, field: impl AsRef<str>, reason: impl AsRef<str>) -> Self {
        Self::about(code, field.as_ref(), reason.as_ref())
    }

    /// Compiled once: the reader has a hundred errors to tell.
    #[inline(never)]
    fn about(code: ErrorCode, field: &str, reason: &str) -> Self {
        Self {
            code,
            field: shown(field, 120),
            reason: shown(reason, 300),
        }
    }

    /// Shorthand for [`ErrorCode::BadInput`].
    pub fn bad(field: impl AsRef<str>, reason: impl AsRef<str>) -> Self {
        Self::new(ErrorCode::BadInput, field, reason)
    }

    /// The stable kind.
    pub fn code(&self) -> ErrorCode {
        self.code
    }

    /// Path of the field that was refused.
    pub fn field(&self) -> &str {
        &self.field
    }

    /// What is wrong with it, in plain words.
    pub fn reason(&self) -> &str {
        &self.reason
    }
}

/// What a stranger's name may say on somebody's screen: so many characters, none of which steer a
/// terminal or turn the way of writing.
pub(crate) fn shown(text: &str, most: usize) -> String {
    let steers = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    let mut out = String::new();
    for (i, c) in text.chars().enumerate() {
        if i == most {
            out.push('…');
            break;
        }
        out.push(if steers(c) { '\u{fffd}' } else { c });
    }
    out
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.field, self.reason)
    }
}

impl std::error::Error for Error {}
