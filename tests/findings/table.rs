//! What a coach would say of a set: finding, foot, cue, and what to film next. Common practice, no
//! source: the expectations are the trade's rules, as the docs of `findings` and `cue` state them.

use crate::sets::{Seen, Set};
use underfoot::measures::Channel::{self, *};
use underfoot::report::Unseen;

const KNEES: [Channel; 2] = [KneeInLeft, KneeInRight];
const ROLLS: [Channel; 2] = [FootRollLeft, FootRollRight];
const HEELS: [Channel; 2] = [HeelLiftLeft, HeelLiftRight];

/// Name, set, and `finding side | cue side | words of what to film next`.
type Case = (&'static str, Set, &'static str);

#[rustfmt::skip] // a table
fn cases() -> Vec<Case> {
    let (front, side, oblique) = (Set::front, Set::side, Set::oblique);
    vec![
        // Nothing to find.
        ("clean front", front(5), "none - | keep - | side-on"),
        ("clean side", side(5), "none - | keep - | Face the phone"),
        ("clean oblique", oblique(5), "none - | keep - | -"),
        ("knees 5 out are ordinary", front(5).all(KneeInLeft, -5.0).all(KneeInRight, -5.0), "none - | keep - | side-on"),
        ("heel marker 7 up is ordinary", side(5).all(HeelLiftLeft, 7.0), "none - | keep - | Face the phone"),
        // Forward.
        ("both heels, oblique", oblique(5).all(HeelLiftLeft, 35.0).all(HeelLiftRight, 33.0), "forward both | heel-print both | -"),
        ("near heel surely, far heel probably, side", side(5).all(HeelLiftLeft, 30.0).all(HeelLiftRight, 20.0), "forward both | heel-print both | Face the phone"),
        ("near heel, far heel not seen, side", side(5).all(HeelLiftLeft, 30.0).unseen(&[HeelLiftRight], Unseen::Missing), "forward - | heel-print both | other side"),
        ("right heel only, oblique", oblique(5).all(HeelLiftRight, 28.0), "forward right | heel-print right | -"),
        ("balance point forward, heels down", side(5).all(Forward, 22.0), "forward - | heel-print both | Face the phone"),
        ("heels and balance point", side(5).all(HeelLiftLeft, 30.0).all(HeelLiftRight, 30.0).all(Forward, 22.0), "forward both | heel-print both | Face the phone"),
        ("heels grow over the set", side(6).each(HeelLiftLeft, &[4.0, 7.0, 10.0, 13.0, 17.0, 20.0]), "forward left | heel-print left | Face the phone"),
        // Inward.
        ("both knees in", front(5).all(KneeInLeft, 14.0).all(KneeInRight, 13.0), "inward both | stretch-the-mat both | side-on"),
        ("left knee in", front(5).all(KneeInLeft, 14.0), "inward left | stretch-the-mat left | side-on"),
        ("right foot rolls in", front(5).all(FootRollRight, 14.0), "inward right | stretch-the-mat right | side-on"),
        ("knee and foot in on one side", front(5).all(KneeInRight, 14.0).all(FootRollRight, 13.0), "inward right | stretch-the-mat right | side-on"),
        ("left knee and right foot in", front(5).all(KneeInLeft, 14.0).all(FootRollRight, 13.0), "inward both | stretch-the-mat both | side-on"),
        ("knees in on the way up", front(5).all(KneeInLeft, 15.0).all(KneeInRight, 15.0).onset(1.3), "inward both | stretch-the-mat both | side-on"),
        ("knee in on 2 of 10", front(10).on(KneeInLeft, &[4, 9], 13.0), "inward left | stretch-the-mat left | side-on"),
        ("knee in on 1 of 10 is a slip", front(10).on(KneeInLeft, &[4], 11.0), "none - | keep - | side-on"),
        ("knee far in on 1 of 10 counts", front(10).on(KneeInLeft, &[4], 19.0), "inward left | stretch-the-mat left | side-on"),
        ("knee drifts in, last one over", front(8).each(KneeInRight, &[-3.0, -1.5, 0.0, 1.6, 3.0, 4.6, 6.0, 10.5]), "inward right | stretch-the-mat right | side-on"),
        // Forward and inward are one.
        ("heels up and knees in, oblique", oblique(5).all(HeelLiftLeft, 30.0).all(HeelLiftRight, 30.0).all(KneeInLeft, 15.0).all(KneeInRight, 15.0), "forward-inward both | heel-print-and-stretch both | -"),
        ("left heel up and left knee in", oblique(5).all(HeelLiftLeft, 30.0).all(KneeInLeft, 15.0), "forward-inward left | heel-print-and-stretch left | -"),
        ("left heel up and right knee in", oblique(5).all(HeelLiftLeft, 30.0).all(KneeInRight, 15.0), "forward-inward both | heel-print-and-stretch both | -"),
        ("balance forward and knees in", oblique(5).all(Forward, 26.0).all(KneeInLeft, 15.0).all(KneeInRight, 15.0), "forward-inward both | heel-print-and-stretch both | -"),
        // Outward.
        ("both feet roll out", front(5).all(FootRollLeft, -13.0).all(FootRollRight, -12.0), "outward both | toe-print both | side-on"),
        ("left foot rolls out", front(5).all(FootRollLeft, -13.0), "outward left | toe-print left | side-on"),
        ("knees too wide", front(5).all(KneeInLeft, -22.0).all(KneeInRight, -21.0), "outward both | toe-print both | side-on"),
        // Sideways.
        ("left out, right in, load even", front(5).all(FootRollLeft, -13.0).all(FootRollRight, 12.0), "sideways left | carrying-toe-print left | side-on"),
        ("left out, right in, load left", front(5).all(FootRollLeft, -13.0).all(FootRollRight, 12.0).all(LoadLeft, 64.0), "sideways left | carrying-toe-print left | side-on"),
        ("left out, right in, load right", front(5).all(FootRollLeft, -13.0).all(FootRollRight, 12.0).all(LoadLeft, 37.0), "sideways right | tape-line right | side-on"),
        ("right out, left in, load unseen", front(5).all(FootRollRight, -13.0).all(KneeInLeft, 13.0).unseen(&[LoadLeft], Unseen::Missing), "sideways right | carrying-toe-print right | side-on"),
        ("load left only", front(5).all(LoadLeft, 64.0), "sideways left | tape-line left | side-on"),
        ("load right only", front(5).all(LoadLeft, 36.0), "sideways right | tape-line right | side-on"),
        ("load right, right foot out", front(5).all(LoadLeft, 36.0).all(FootRollRight, -12.0), "sideways right | carrying-toe-print right | side-on"),
        ("load right, left knee in", front(5).all(LoadLeft, 36.0).all(KneeInLeft, 13.0), "sideways right | tape-line right | side-on"),
        ("load to and fro", front(4).each(LoadLeft, &[63.0, 36.0, 64.0, 37.0]), "sideways both | tape-line both | side-on"),
        ("load left twice, right once", front(3).each(LoadLeft, &[62.0, 64.0, 38.0]), "sideways left | tape-line left | side-on"),
        ("both knees far in, load a little off", front(5).all(KneeInLeft, 24.0).all(KneeInRight, 24.0).all(LoadLeft, 61.0), "inward both | stretch-the-mat both | side-on"),
        ("sideways before heels of like size", oblique(5).all(LoadLeft, 66.0).all(HeelLiftLeft, 26.0).all(HeelLiftRight, 26.0), "sideways left | tape-line left | -"),
        ("heels far up before a small shift", oblique(5).all(LoadLeft, 63.5).all(HeelLiftLeft, 60.0).all(HeelLiftRight, 60.0), "forward both | heel-print both | -"),
        // Not sure, and honest about it.
        ("knee perhaps in", front(5).all(KneeInLeft, 9.0), "not-enough-seen - | film-again - | five or more"),
        ("a heel too uncertain to suspect", front(5).all(HeelLiftLeft, 18.0), "none - | keep - | side-on"),
        ("one knee in, the other probably", front(5).all(KneeInLeft, 14.0).all(KneeInRight, 9.0).sd(KneeInRight, 2.0), "inward both | stretch-the-mat both | five or more"),
        ("far knee not seen, obliquely", oblique(5).unseen(&[KneeInRight], Unseen::View), "not-enough-seen - | film-again - | Face the phone"),
        ("front view, a knee unseen", front(5).all(HeelLiftLeft, 0.0).sd(HeelLiftLeft, 3.0).unseen(&[KneeInLeft], Unseen::View), "not-enough-seen - | film-again - | steady"),
        ("nothing seen from here", front(5).unseen(&Channel::ALL, Unseen::View), "not-enough-seen - | film-again - | steady"),
        ("only the load seen", side(5).unseen(&HEELS, Unseen::View).unseen(&[Forward], Unseen::View), "not-enough-seen - | film-again - | steady"),
        ("no standing", front(5).unseen(&Channel::ALL, Unseen::Standing), "not-enough-seen - | film-again - | Stand still"),
        ("no repetition", front(0), "not-enough-seen - | film-again - | Stand still"),
        ("feet out of the picture", front(5).unseen(&HEELS, Unseen::Missing).unseen(&ROLLS, Unseen::Missing).unseen(&KNEES, Unseen::Missing), "not-enough-seen - | film-again - | in the picture the whole time"),
        ("no heel points in the layout", front(5).unseen(&HEELS, Unseen::Layout).unseen(&ROLLS, Unseen::Layout), "not-enough-seen - | film-again - | pose estimator"),
        ("points shake, already in front", front(5).unseen(&KNEES, Unseen::Noise).unseen(&ROLLS, Unseen::Noise), "not-enough-seen - | film-again - | steady"),
        ("knees in with no roll points", front(5).unseen(&ROLLS, Unseen::Layout).all(KneeInLeft, 14.0).all(KneeInRight, 14.0), "inward both | stretch-the-mat both | pose estimator"),
        // Short sets.
        ("one repetition, knees in", front(1).all(KneeInLeft, 14.0).all(KneeInRight, 14.0), "inward both | stretch-the-mat both | side-on"),
        ("one of two", front(2).on(KneeInLeft, &[2], 14.0), "inward left | stretch-the-mat left | side-on"),
        ("one of three", front(3).on(KneeInLeft, &[2], 14.0), "inward left | stretch-the-mat left | side-on"),
        ("one of four, not far", front(4).on(KneeInLeft, &[2], 12.0), "none - | keep - | side-on"),
    ]
}

#[test]
fn coach_table() {
    let cases = cases();
    assert!(cases.len() >= 40);
    let mut wrong = Vec::new();
    for (name, set, expected) in &cases {
        let c = set.conclude();
        let side = |s: Option<&'static str>| s.unwrap_or("-");
        let said = format!(
            "{} {} | {} {} | ",
            c.finding.kind.name(),
            side(c.finding.side),
            c.cue.id,
            side(c.cue.side)
        );
        let film = c.cue.film_next.as_deref().unwrap_or("-");
        let met = expected
            .strip_prefix(&said)
            .is_some_and(|words| film.contains(words) && (words == "-") == (film == "-"));
        if !met {
            wrong.push(format!(
                "{name}: {said}{film}\n    not {expected}\n    {}",
                c.finding.sentence
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        cases.len(),
        wrong.join("\n")
    );
}

#[test]
fn mirrored_sets_give_mirrored_findings() {
    let swap = |side: Option<&'static str>| match side {
        Some("left") => Some("right"),
        Some("right") => Some("left"),
        other => other,
    };
    for (name, set, _) in cases() {
        let mut turned = set.clone();
        for pair in [0, 2, 4] {
            turned.channels.swap(pair, pair + 1);
        }
        if let Seen::Values(list, _) = &mut turned.channels[LoadLeft.index()] {
            list.iter_mut().for_each(|v| *v = 100.0 - *v);
        }
        turned.about.azimuth_deg = set.about.azimuth_deg.map(|a| -a);
        let (a, b) = (set.conclude(), turned.conclude());
        assert_eq!(a.finding.kind, b.finding.kind, "{name}");
        assert_eq!(a.cue.id, b.cue.id, "{name}");
        assert_eq!(swap(a.finding.side), b.finding.side, "{name}");
        assert_eq!(a.finding.reps, b.finding.reps, "{name}");
        assert!(
            (a.finding.confidence - b.finding.confidence).abs() < 1e-9,
            "{name}"
        );
    }
}
