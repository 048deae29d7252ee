//! Names of pose estimators.

/// Variant of an estimator that is meant where none is named.
const FULL: &str = "-full";

/// Letters and digits of a name, in lower case.
fn letters(name: &str) -> impl Iterator<Item = u8> {
    name.bytes()
        .filter(u8::is_ascii_alphanumeric)
        .map(|b| b.to_ascii_lowercase())
}

/// Whether a name is that of a known estimator: how it is written (upper case, blanks, underscores) does not matter, and the
/// variant that was measured may follow.
pub(crate) fn is_estimator(name: &str, known: &'static str) -> bool {
    let with = |more: &'static str| letters(known).chain(letters(more));
    ["", FULL].iter().any(|more| letters(name).eq(with(more)))
}
