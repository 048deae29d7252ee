//! The one cue for a pattern, with its reasons.

use super::signs::{evidence, side_word};
use super::text::Say;
use crate::findings::{Foot, Habits, Load, Pattern, Way};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::{Channel, Check};
use crate::report::FindingKind;
use crate::thresholds::Thresholds;

/// A cue and the foot it is for.
pub(super) struct Choice {
    pub id: &'static str,
    pub foot: Foot,
    pub text: String,
    pub why: Vec<String>,
}

/// Forward and inward share one cue; a sideways shift is cued at the carrying foot; a shift of the
/// whole body is cued at both feet.
pub(super) fn choose(pattern: &Pattern, habits: &Habits, thresholds: &Thresholds) -> Choice {
    let foot = pattern.foot.unwrap_or(Foot::Both);
    let (id, one, both) = match pattern.kind {
        FindingKind::Forward => ("heel-print", Say::CueHeelOne, Say::CueHeelBoth),
        FindingKind::Inward => ("stretch-the-mat", Say::CueSpreadOne, Say::CueSpreadBoth),
        FindingKind::ForwardInward => (
            "heel-print-and-stretch",
            Say::CueHeelSpreadOne,
            Say::CueHeelSpreadBoth,
        ),
        FindingKind::Outward => ("toe-print", Say::CueToeOne, Say::CueToeBoth),
        FindingKind::Sideways if rolled_out(pattern, foot) => {
            ("carrying-toe-print", Say::CueCarry, Say::CueToeBoth)
        }
        FindingKind::Sideways => ("tape-line", Say::CueMiddleOne, Say::CueMiddleBoth),
        FindingKind::None | FindingKind::NotEnoughSeen | FindingKind::NotSquats => {
            ("film-again", Say::CueFilm, Say::CueFilm)
        }
    };
    let text = match foot {
        Foot::One(side) => one.with(&[("side", side_word(side))]),
        Foot::Both => both.plain(),
    };
    let mut why: Vec<String> = pattern
        .shown
        .first()
        .and_then(|(c, w)| evidence(*c, *w, habits, thresholds))
        .into_iter()
        .gather();
    why.push(reason(pattern));
    Choice {
        id,
        foot,
        text,
        why,
    }
}

/// The carrying foot itself is what is seen to go outward.
fn rolled_out(pattern: &Pattern, foot: Foot) -> bool {
    let Foot::One(side) = foot else { return false };
    let out = [Check::FootRoll, Check::KneeIn].map(|c| (Channel::of(c, side), Way::Low));
    pattern.shown.iter().any(|s| out.contains(s))
}

fn reason(pattern: &Pattern) -> String {
    let heel = pattern
        .shown
        .iter()
        .any(|(c, _)| c.check() == Check::HeelLift);
    match pattern.kind {
        FindingKind::Forward if heel => Say::ReasonForward.plain(),
        FindingKind::Forward => Say::ReasonForwardShift.plain(),
        FindingKind::Inward => Say::ReasonInward.plain(),
        FindingKind::ForwardInward => Say::ReasonBoth.plain(),
        FindingKind::Outward => Say::ReasonOutward.plain(),
        _ => match (pattern.load, pattern.foot) {
            (Load::Agrees, _) => Say::ReasonAgree.plain(),
            (Load::Disagrees, Some(Foot::One(side))) => {
                let other = match side {
                    Side::Left => Side::Right,
                    Side::Right => Side::Left,
                };
                let words = [("side", side_word(side)), ("other", side_word(other))];
                Say::ReasonDisagree.with(&words)
            }
            (Load::Even, _) => Say::ReasonEven.plain(),
            (_, Some(Foot::Both)) => Say::ReasonToAndFro.plain(),
            _ => Say::ReasonSideways.plain(),
        },
    }
}
