//! Every sentence the tool can say, in one place, ready for translation.
//!
//! Words in braces are filled in; a capital is put on ASCII letters only. Plain words only; a cue acts on the floor, the mat or a line on
//! it, never on a muscle; nobody is blamed. A translation is another table with the same keys.

use crate::decimal::decimal;

macro_rules! sentences {
    ($($name:ident => $text:literal,)*) => {
        /// A sentence, or a piece of one.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[allow(missing_docs)] // the text says it
        pub enum Say { $($name),* }

        impl Say {
            /// All of them.
            pub const ALL: &'static [Say] = &[$(Say::$name),*];

            /// Stable key, for translators.
            pub const fn key(self) -> &'static str {
                match self { $(Say::$name => stringify!($name)),* }
            }

            /// The English text, with its blanks.
            #[inline(never)]
            pub const fn english(self) -> &'static str {
                match self { $(Say::$name => $text),* }
            }
        }
    };
}

sentences! {
    // The cues. Each is for one foot or for both.
    CueHeelOne => "Keep the {side} heel heavy on the floor, all the way down and up.",
    CueHeelBoth => "Keep both heels heavy on the floor, all the way down and up.",
    CueSpreadOne => "With your {side} foot, spread the floor to the {side}, as if to stretch a mat between your feet.",
    CueSpreadBoth => "Spread the floor with both feet, as if to stretch a mat between them.",
    CueHeelSpreadOne => "Keep the {side} heel heavy and spread the floor to the {side}.",
    CueHeelSpreadBoth => "Keep both heels heavy and spread the floor with your feet.",
    CueToeOne => "Press the base of the {side} big toe into the floor, as if to leave a print, until you stand.",
    CueToeBoth => "Press the base of both big toes into the floor, as if to leave prints, until you stand.",
    CueCarry => "{Side} foot first: press the base of its big toe into the floor, as if to leave a print, until you stand.",
    CueMiddleOne => "Stay centred over a tape line: push the floor away with your {side} foot.",
    CueMiddleBoth => "Stay centred: keep your belt buckle over a tape line midway between your feet.",
    CueKeep => "Good. Keep heels, big toes and little toes on the floor.",
    CueKeepSeen => "Good in what we could see. Keep your feet on the floor as they are.",
    CueFilm => "Not sure yet: film another set.",
    CueStop => "Stop here for today. Have what hurts looked at by a licensed clinician before the next set.",

    // The finding.
    Finding => "{Signs} {often}{when}.",
    Probably => "Probably the {side} one too.",
    Growing => "It gets worse through the set.",
    FindingFine => "{List} fine.",
    FindingNotSeen => "{List} not seen from here.",
    FindingNotJudged => "{List} couldn't be judged.",
    FindingSlip => "Beyond its line {often} only: {list}. Too little to be a habit.",
    FindingShallow => "But the set was shallow: deeper squats may show more.",
    FindingNoReps => "No repetition was found.",
    FindingNotSquats => "These don't look like squats, so nothing is judged.",
    FindingClose => "Not certain, but perhaps: {signs}.",

    // Signs, as parts of a finding.
    SignHeelOne => "the {side} heel comes up",
    SignHeelBoth => "both heels come up",
    SignForward => "the balance point moves toward the toes",
    SignKneeInOne => "the {side} knee comes inside the foot",
    SignKneeInBoth => "both knees come inside the feet",
    SignRollInOne => "the {side} foot rolls inward",
    SignRollInBoth => "both feet roll inward",
    SignKneeOutOne => "the {side} knee goes far outside the foot",
    SignKneeOutBoth => "both knees go far outside the feet",
    SignRollOutOne => "the {side} foot rolls onto its outer edge",
    SignRollOutBoth => "both feet roll onto their outer edges",
    SignLoadOne => "the load moves onto the {side} foot",
    SignLoadMost => "the load moves from side to side, mostly onto the {side} foot",
    SignLoadBoth => "the load moves from side to side",
    Other => "something else",

    // How often, and when in the lift.
    OftenOnly => "in the one repetition",
    OftenAll => "on every repetition",
    OftenSome => "on {n} of {all} repetitions",
    WhenEarly => ", from early on the way down",
    WhenDown => ", from half-way down",
    WhenBottom => ", near the bottom",
    WhenUp => ", on the way up",

    // Why: the evidence in numbers, then the reason.
    WhyHeel => "The {side} heel rises {value} mm above standing; more than {line} mm counts as a fault.",
    WhyForward => "The balance point moves {value} % of the foot's length toward the toes; more than {line} % counts as a fault.",
    WhyKneeIn => "The {side} knee goes {value}° inside the foot's line; more than {line}° counts as a fault.",
    WhyKneeOut => "The {side} knee goes {value}° outside the foot's line; more than {line}° counts as a fault.",
    WhyRollIn => "The {side} foot rolls {value}° inward; more than {line}° counts as a fault.",
    WhyRollOut => "The {side} foot rolls {value}° outward; more than {line}° counts as a fault.",
    WhyLoad => "The {side} foot carries {value} % of the load; more than {line} % counts as a fault.",
    ReasonForward => "With a heel up, only the front of the foot is left to stand on.",
    ReasonForwardShift => "With the balance point far forward, the heels are the next to come up.",
    ReasonInward => "A knee inside the foot tips the foot onto its inner edge.",
    ReasonBoth => "These two usually happen together, so one cue fixes both.",
    ReasonOutward => "On its outer edge, a foot loses the hold of the big-toe base.",
    ReasonSideways => "The foot that carries more is cued first; the other often follows.",
    ReasonToAndFro => "The side changes, so the middle is cued and not one foot.",
    ReasonAgree => "Load share and feet point to the same side, so that foot is cued first.",
    ReasonDisagree => "The load share says {side}, the feet say {other}: the load share is followed.",
    ReasonEven => "The load looks even, so the foot that the feet's shape points to is cued first.",
    WhyNone => "Looked fine: {list}.",
    WhyHurts => "Something hurts, so no cue is given.",

    // What to film next.
    FilmSide => "Turn side-on to the phone, set between knee and hip height, both feet in the picture.",
    FilmOther => "Turn your other side to the phone, set between knee and hip height, both feet in the picture.",
    FilmFront => "Face the phone, set between knee and hip height, both feet in the picture.",
    FilmStill => "Stand still for two seconds before the first repetition, feet and knees in the picture.",
    FilmFrame => "Keep feet and knees in the picture the whole time.",
    FilmSteady => "Put the phone on something steady, nearer to the feet, in better light.",
    FilmPoints => "Use a pose estimator that finds heels and toes.",
    FilmMore => "Film five or more repetitions from the same place.",
    FilmDeeper => "Film a set at the usual depth from the same place.",

    // The feet at rest.
    RestRoll => "At rest the {side} foot already stands rolled inward, by {value}°.",
    RestKnee => "At rest the {side} knee already stands inside the foot's line, by {value}°.",
    RestSame => "The squat does not change it: a resting shape, not a fault.",
    RestUnknown => "Whether the squat changes it could not be seen.",
    RestMore => "The squat adds to it; only what it adds is counted.",
    RestClinician => "If it hurts or is new, have a licensed clinician look at it.",

    // Notes.
    NoteLayout => "Not judged, because this pose data has no points for it: {list}.",
    NoteView => "Can't be judged from this side: {list}.",
    NoteMissing => "Hidden or out of the picture: {list}.",
    NoteStanding => "You weren't standing still long enough at the start to compare with.",
    NoteNoise => "Tracking was too shaky to judge: {list}.",
    NoteOpen => "Not certain either way: {list}.",
    NoteSlip => "A fault {often} only, too little for a finding: {list}.",
    NoteAlso => "Also seen: {signs} {often}. One thing at a time.",
    NoteOtherHeel => "The {side} heel could not be judged from here.",
    NoteFootMoved => "You moved your {side} foot by {cm} cm after repetition {n}.",
    NoteFootTurned => "You turned your {side} foot by {degrees} degrees after repetition {n}.",
    NoteFeetAnew => "You moved your feet after repetition {n}; what follows is compared with how you stood then.",
    NoteNoPerson => "Nobody standing could be made out: film one person from head to feet, standing still first.",
    NoteTurned => "The picture seems turned: film with the phone upright.",
    NoteSteps => "A foot leaves its place: steps and lunges are not judged.",
    NoteLunges => "These look like lunges: one knee goes much lower than the other.",
    NoteKneeling => "These look like kneeling: a knee comes near the floor.",
    NoteAside => "The hips go far to the side of the feet.",
    NoteBends => "These look like bends from the hips: the trunk goes down and the thighs don't.",
    NoteJumps => "These look like jumps: the hips rise above standing.",
    NoteTiptoe => "These begin on tiptoe: stand on flat feet first.",
    NoteReaching => "These look like lifts from the floor: the hands go below the knees.",
    NoteQuick => "These are too quick for squats.",
    NoteSeat => "These look like sitting down: the weight rests behind the feet.",
    NoteSqueezed => "The picture seems distorted: its width and height don't fit the lifter in it.",
    NoteLeftOut => "{n} of {all} repetitions don't look like squats and were not judged.",
    NoteUpsideDown => "The picture was upside down and was read upright.",
    NoteQuarter => "The picture was turned by a quarter and was read upright.",
    NoteKnock => "The phone moved at {time}: what follows is read from where it stood then.",
    NoteDrift => "The phone drifted by {px} pixels: that was taken off, and the errors are larger.",
    NoteShake => "The phone shook: that was taken off, and the errors are larger.",
    NoteLost => "Feet or knees were out of sight for {seconds} seconds of the repetitions.",
    NoteUnknown => "Not known, and left out: {list}.",
    NoteEstimator => "Which pose estimator found the points isn't known: its errors are taken to be as large as the worst known one's.",
    NoteShallow => "Shallow: {n} of {all} repetitions. Deeper ones may show more.",
    NoteOneRep => "One repetition says little; film three or more.",
    NoteShoes => "Shoes hide the foot: heel and roll are those of the shoe.",
    NoteRaised => "The shoe's raised heel is part of standing; only what comes on top is counted.",
    NoteGeometry => "This is geometry from the picture: where the feet are, not how hard they press.",
    NoteSlow => "Balance point and load share hold for slow lifting; fast movement shifts them.",
    NoteChanged => "Limits set by the coach: {list}.",

    // Names of checks in lists.
    NameHeel => "{side} heel",
    NameKnee => "{side} knee",
    NameRoll => "{side} foot's roll",
    NameHeels => "heels",
    NameKnees => "knees",
    NameRolls => "foot roll",
    NameForward => "balance point",
    NameLoad => "load share",
    Left => "left",
    Right => "right",
    And => "and",

    // Sets over time.
    ChangeBetter => "{Name}: better, by {difference}. Up to {mdc} could be chance.",
    ChangeWorse => "{Name}: worse, by {difference}. Up to {mdc} could be chance.",
    ChangeNone => "{Name}: no real change. It moved by {difference}; up to {mdc} could be chance.",
    ChangeView => "{Name}: not compared, because the camera was moved.",
    BasisOwn => "Using this lifter's own day-to-day variation.",
    BasisPublished => "Using the published day-to-day variation until there are two days before and two after.",
    BasisAssumed => "Using a typical day-to-day variation until there are two days before and two after.",

    BasisView => "Film from the same place to compare.",
    BasisLines => "A limit was changed between these sets: the values are compared, not the verdicts.",
    BasisUndated => "Sets without a day count as one day.",

    // Cautions.
    CautionHurts => "Something hurts: stop, and see a licensed clinician before any further set.",
    CautionPain => "Pain, numbness, swelling, or a foot that looks different at rest: stop, and see a licensed clinician.",
    CautionBar => "Set the safeties, use a spotter, and don't look at the screen while lifting.",
    CautionMirror => "Feedback, not a medical device: a local coach's or clinician's judgement comes first.",
}

impl Say {
    /// The text as it stands, for sentences without blanks.
    #[inline(never)]
    pub fn plain(self) -> String {
        self.english().to_owned()
    }

    /// The text with its blanks filled. `{Name}` is `{name}` with a capital.
    #[inline(never)]
    pub fn with(self, blanks: &[(&str, &str)]) -> String {
        let mut text = String::new();
        let mut rest = self.english();
        while let Some((before, after)) = rest.split_once('{') {
            let (name, then) = after.split_once('}').unwrap_or((after, ""));
            let known = blanks.iter().find(|(n, _)| n.eq_ignore_ascii_case(name));
            let start = text.len() + before.len();
            text.push_str(before);
            text.push_str(known.map_or(name, |(_, value)| value));
            if name.starts_with(|c: char| c.is_ascii_uppercase())
                && let Some(first) = text.get_mut(start..=start)
            {
                first.make_ascii_uppercase();
            }
            rest = then;
        }
        text.push_str(rest);
        text
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn listed(items: &[String]) -> String {
    match items.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {} {last}", rest.join(", "), Say::And.english()),
    }
}

/// A value with its standard error, as few digits as say it: `24 ± 4`, `6.5 ± 1.2`.
pub(crate) fn with_error(value: f64, sd: f64) -> String {
    if value.abs() < 9.95 && sd < 9.95 {
        format!("{} ± {}", number(value), number(sd.max(0.1)))
    } else {
        format!(
            "{} ± {}",
            number(value.round()),
            number(sd.round().max(1.0))
        )
    }
}

/// A line as it was set, to one decimal.
pub(crate) fn exact(line: f64) -> String {
    signed(&decimal(line, 1))
}

/// Whole numbers from 10 on, one decimal below unless it is 0.
pub(crate) fn number(value: f64) -> String {
    signed(&decimal(value, u32::from(value.abs() < 9.95)))
}

/// With a minus sign in place of a hyphen.
fn signed(number: &str) -> String {
    match number.strip_prefix('-') {
        Some(size) => format!("−{size}"),
        None => number.to_owned(),
    }
}
