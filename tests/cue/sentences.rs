//! Every sentence the tool can say, to be read, and checked for plain words.
//!
//! `cargo test --test cue -- --nocapture` prints them all.

use underfoot::cue::Say;

/// Words that a lifter without training in anatomy or statistics would have to look up, or that
/// claim more than geometry can.
const JARGON: [&str; 30] = [
    "pronat",
    "supinat",
    "valgus",
    "varus",
    "dorsiflex",
    "plantar",
    "medial",
    "lateral",
    "anterior",
    "posterior",
    "sagittal",
    "frontal plane",
    "transverse",
    "metatars",
    "calcane",
    "talus",
    "tibia",
    "gluteus",
    "glute",
    "adductor",
    "abduct",
    "propriocept",
    "azimuth",
    "standard error",
    "confidence interval",
    "covariance",
    "keypoint score",
    "diagnos",
    "injur",
    "treat",
];

/// A cue acts on something outside the body.
const MUSCLES: [&str; 8] = [
    "muscle",
    "squeeze",
    "activate",
    "engage",
    "quad",
    "hamstring",
    "core",
    "calf",
];

/// Nobody is blamed, and nothing is graded.
const BLAME: [&str; 12] = [
    "your fault",
    "you fail",
    "you must",
    "you should",
    "wrong",
    "bad ",
    "mistake",
    "poor",
    "lazy",
    "weak",
    "perfect",
    "excellent",
];

fn sentences() -> impl Iterator<Item = (&'static str, &'static str)> {
    Say::ALL.iter().map(|s| (s.key(), s.english()))
}

#[test]
fn all_are_listed_and_in_plain_words() {
    let mut seen = std::collections::BTreeMap::new();
    for (key, text) in sentences() {
        println!("{key}: {text}");
        let lower = text.to_lowercase();
        for word in JARGON.iter().chain(&MUSCLES).chain(&BLAME) {
            assert!(!lower.contains(word), "{key} says {word:?}");
        }
        for sentence in text.split_inclusive(['.', '?']) {
            let words = sentence.split_whitespace().count();
            assert!(words <= 25, "{key} is {words} words long");
        }
        assert!(
            !text.contains("  ") && text.trim_end() == text,
            "{key} has stray spaces"
        );
        assert_eq!(
            text.matches('{').count(),
            text.matches('}').count(),
            "{key} has an open blank"
        );
        if let Some(other) = seen.insert(text, key) {
            panic!("{key} says the same as {other}");
        }
    }
}

#[test]
fn cues_act_on_the_floor_and_are_short() {
    let outside = ["floor", "mat", "print", "tape line"];
    let cues: Vec<_> = sentences()
        .filter(|(key, _)| key.starts_with("Cue"))
        .filter(|(key, _)| !["CueFilm", "CueStop"].contains(key))
        .collect();
    assert!(cues.len() >= 12);
    for (key, text) in cues {
        assert!(
            outside.iter().any(|w| text.contains(w)),
            "{key}: nothing outside the body"
        );
        assert!(
            text.split_whitespace().count() <= 25,
            "{key} is too long to remember"
        );
    }
}

#[test]
fn blanks_are_filled_with_a_capital_where_asked() {
    assert_eq!(
        Say::CueCarry.with(&[("side", "left")]),
        "Left foot first: press the base of its big toe into the floor, as if to leave a print, until you stand."
    );
    assert!(
        !Say::WhyHeel
            .with(&[("side", "right"), ("value", "24 ± 4"), ("line", "13")])
            .contains('{')
    );
}
