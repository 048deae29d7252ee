//! The package's lists of stable names are the core's, and what reports say is in them.

use crate::sets::Set;
use underfoot::cue::{CUE_IDS, FILM_IDS, NOTE_CODES};
use underfoot::measures::Channel::*;
use underfoot::report::Unseen;

/// The quoted words of a list that begins with `start` in a file of the package.
fn listed(text: &str, start: &str, end: char) -> Vec<String> {
    let (_, after) = text.split_once(start).expect("the list is there");
    let (list, _) = after.split_once(end).expect("it ends");
    let words = list.split('\'').skip(1).step_by(2);
    words.map(str::to_owned).collect()
}

#[test]
fn the_package_exports_the_cores_names() {
    let script = include_str!("../../pkg-template/lib/ids.js");
    let types = include_str!("../../pkg-template/index.d.ts");
    for (list, name, of_type) in [
        (CUE_IDS, "cueIds", "CueId"),
        (NOTE_CODES, "noteCodes", "NoteCode"),
        (FILM_IDS, "filmIds", "FilmId"),
    ] {
        let exported = listed(script, &format!("{name} = Object.freeze(["), ']');
        assert_eq!(exported, list, "{name}");
        let declared = listed(types, &format!("export type {of_type} ="), ';');
        assert_eq!(declared, list, "{of_type}");
    }
}

#[test]
fn reports_use_only_listed_names() {
    let mut sets = vec![Set::front(0), Set::front(1), Set::side(5), Set::oblique(3)];
    sets.push(
        Set::front(5)
            .all(KneeInLeft, 14.0)
            .all(FootRollRight, -13.0),
    );
    sets.push(Set::front(4).all(LoadLeft, 64.0));
    sets.push(
        Set::oblique(4)
            .all(HeelLiftLeft, 40.0)
            .all(KneeInRight, 14.0),
    );
    for why in [
        Unseen::Layout,
        Unseen::View,
        Unseen::Missing,
        Unseen::Standing,
        Unseen::Noise,
    ] {
        sets.push(Set::front(4).unseen(&[KneeInLeft, FootRollLeft], why));
    }
    let mut seen = std::collections::BTreeSet::new();
    for set in sets {
        let c = set.conclude();
        assert!(CUE_IDS.contains(&c.cue.id), "{}", c.cue.id);
        assert_eq!(c.cue.film_next.is_some(), c.cue.film_next_id.is_some());
        if let Some(id) = c.cue.film_next_id {
            assert!(FILM_IDS.contains(&id), "{id}");
        }
        for note in &c.notes {
            assert!(NOTE_CODES.contains(&note.code), "{note:?}");
            seen.insert(note.code);
        }
    }
    assert!(seen.len() >= 7, "{seen:?}");
}
