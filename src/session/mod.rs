//! One set, frame by frame: push keypoints, read the live state, take the report.

mod assemble;
mod rep_reading;
mod set_reading;

use crate::Error;
use crate::gather::Gather;
use crate::intake::Intake;
use crate::keypoints::{Layout, Marks, Person, Setup, Side, TrackedFeet};
use crate::live::{Live, Seen};
use crate::measures::{Channel, Curves, Estimate, PictureEvidence};
use crate::picture::legs::LegsFollower;
use crate::picture::{FeetPictures, GreyView, Picture};
use crate::pose::{Pose, PoseTracker};
use crate::repetitions::{Detector, Phase, Repetition};
use crate::report::{FootSet, RepResult, Report};
use crate::standing::{Quiet, QuietFinder};
use crate::stands::Stand;
use crate::steady::Motion;
use crate::thresholds::Thresholds;
use crate::turned::{Turn, Upright};
use set_reading::{SetFrames, SetReading};

/// A set is over when no repetition has been done for so long, ms: rests within one, between clusters of
/// repetitions, are 15 to 45 s (G. Haff et al., Strength Cond J 30(1):67-76, 2008, from memory).
const REST_MS: f64 = 60_000.0;

/// What the caller chooses; everything has a default.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Put the curves into the report.
    pub series: bool,
    /// The lifter said that something hurts: the advice to stop comes ahead of any cue.
    pub hurts: bool,
    /// Where the fault lines are.
    pub thresholds: Thresholds,
    /// Days until the next look; a week when `None`.
    pub look_again_days: Option<u32>,
}

/// One set in progress. Keeps the lifter's points of every frame; knows no clock.
#[derive(Clone, Debug)]
pub struct Session {
    /// Of the film as it stands upright, and as it was given.
    pub(crate) setup: Setup,
    given: Setup,
    pub(crate) turn: Turn,
    upright: Upright,
    pub(crate) options: Options,
    intake: Intake,
    pub(crate) poses: Vec<Pose>,
    /// What the feet's pictures said, beside each pose; empty while no picture has come.
    pub(crate) pictures: Vec<Option<PictureEvidence>>,
    feet: FeetPictures,
    /// Follows feet and shins from marks, in place of an estimator.
    legs: Option<Box<LegsFollower>>,
    /// Feet that were set elsewhere, in order; and how far each had been by the last frame.
    pub(crate) feet_set: Vec<FootSet>,
    set_by: [[f64; 3]; 2],
    /// What they said of the last frame.
    tracked: Option<TrackedFeet>,
    tracker: PoseTracker,
    finder: QuietFinder,
    detector: Detector,
    /// Every setting of the feet: its stretch of standing before the first repetition, and the
    /// live fit of it.
    pub(crate) quiets: Vec<Quiet>,
    pub(crate) stand: Option<Stand>,
    pub(crate) reps: Vec<Repetition>,
    /// Where each set after the first begins among the poses, and what those before came to; when this one began, ms.
    set_starts: Vec<usize>,
    set_ms: f64,
    settled: Vec<SetReading>,
    /// What joints may be off by because the camera moved, px.
    pub(crate) left_px: f64,
    live: Live,
}

impl Session {
    /// A session for frames of this set-up.
    pub fn new(setup: Setup, options: Options) -> Self {
        Self {
            tracker: PoseTracker::new(&setup),
            feet: FeetPictures::new(&setup),
            legs: None,
            feet_set: Vec::new(),
            set_by: Default::default(),
            given: setup.clone(),
            turn: Turn::None,
            upright: Upright::default(),
            setup,
            options,
            intake: Intake::default(),
            poses: Vec::new(),
            pictures: Vec::new(),
            tracked: None,
            finder: QuietFinder::new(),
            detector: Detector::new(),
            quiets: Vec::new(),
            stand: None,
            reps: Vec::new(),
            set_starts: Vec::new(),
            set_ms: f64::NEG_INFINITY,
            settled: Vec::new(),
            left_px: 0.0,
            live: Live::default(),
        }
    }

    /// Takes one frame. `people` holds everybody found, in the layout's order; empty when nobody.
    ///
    /// # Errors
    /// A time that is not finite, goes back or is in seconds, or a person with a wrong number of points,
    /// an infinite one, or points in fractions of the picture. The frame is then ignored and the
    /// session goes on. A coordinate or score that is not a number means that its point is unseen.
    pub fn push(&mut self, t_ms: f64, people: &[Person]) -> Result<Live, Error> {
        self.push_with(t_ms, people, None)
    }

    /// Takes one frame with its picture, from which the feet are followed beside the keypoints.
    ///
    /// # Errors
    /// As [`Session::push`].
    pub fn push_with(
        &mut self,
        t_ms: f64,
        people: &[Person],
        picture: Option<&Picture<'_>>,
    ) -> Result<Live, Error> {
        if let (Some(legs), Some(Picture::Whole(view))) = (&mut self.legs, picture) {
            self.intake.take(&self.given, t_ms, &[])?;
            let followed = legs.see(t_ms, view);
            let feet = Picture::Tracked(followed.feet);
            self.take(t_ms, &[followed.person()], Some(&feet));
            return Ok(self.live);
        }
        self.intake.take(&self.given, t_ms, people)?;
        if self.turn == Turn::None {
            let pose = self.take(t_ms, people, picture);
            if let Some(pose) = pose
                && let Some((turn, kept)) = self.upright.take(t_ms, people, &pose)
            {
                self.begin_turned(turn, &kept);
            }
        } else {
            let people = self.turn.of_people(&self.given, people);
            self.take(t_ms, &people, None);
        }
        Ok(self.live)
    }

    /// The film has to be turned: its frames so far are taken again.
    fn begin_turned(&mut self, turn: Turn, kept: &[(f64, Vec<Person>)]) {
        let mut fresh = Self::new(turn.of_setup(&self.given), self.options.clone());
        fresh.given = self.given.clone();
        (fresh.turn, fresh.intake) = (turn, self.intake);
        for (t_ms, people) in kept {
            fresh.take(*t_ms, &turn.of_people(&self.given, people), None);
        }
        *self = fresh;
    }

    /// One set as a camera that stands still would have filmed it.
    fn steadied(&self, motion: &Motion, set: &SetFrames) -> Self {
        let mut still = Self::new(self.setup.clone(), self.options.clone());
        still.given = self.given.clone();
        still.turn = self.turn;
        still.left_px = motion.left_px;
        for (pose, i) in set.poses(self).iter().zip(set.frames.start..) {
            let pose = motion.taken_off(pose);
            still.poses.push(pose);
            if let Some(seen) = self.pictures.get(i) {
                still.pictures.push(*seen);
            }
            still.follow(&pose);
        }
        still.feet_set.clone_from(&self.feet_set);
        still
    }

    fn take(
        &mut self,
        t_ms: f64,
        people: &[Person],
        picture: Option<&Picture<'_>>,
    ) -> Option<Pose> {
        self.live.finished = None;
        self.tracked = None;
        let pose = self.tracker.push(t_ms, people)?;
        self.poses.push(pose);
        if let Some(picture) = picture {
            self.look(&pose, picture);
        }
        self.follow(&pose);
        // A frame that shows nothing is the same as a frame left out.
        if picture.is_none() && pose.joints.iter().all(Option::is_none) {
            self.poses.pop();
        }
        Some(pose)
    }

    /// Follows feet and shins from here on, from where they were marked in one still picture of standing: `views`
    /// are that whole picture and, where there are any, others of the same standing. Frames that come with
    /// their whole picture then need no points. Marked again, in whatever frame, it goes on from there; what was
    /// learnt in standing stays.
    ///
    /// # Errors
    /// Says why the marks can't be followed, or that points of another layout have come before; the session then
    /// goes on as before.
    pub fn mark(&mut self, marks: &Marks, views: &[GreyView<'_>]) -> Result<(), Error> {
        let bad = |why: &str| Error::bad("marks", why);
        if self.legs.is_none() && !self.poses.is_empty() {
            return Err(bad("must come before the set's first frame"));
        }
        if let Some(legs) = &mut self.legs {
            legs.set_right(marks);
            return Ok(());
        }
        // Marks are no estimator's points, whatever the recording names.
        let mut setup = self.setup.clone();
        setup.layout = Layout::of(&Marks::joints());
        setup.estimator = Some(Marks::FOLLOWED.into());
        let legs = LegsFollower::new(&setup, marks, views);
        let legs = legs.map_err(|why| bad(&why.to_string()))?;
        self.setup = setup;
        self.tracker = PoseTracker::new(&self.setup);
        self.given = self.setup.clone();
        self.setup.marks = Some(*marks);
        self.legs = Some(Box::new(legs));
        Ok(())
    }

    // What most frames do without stays out of the way of what every frame does: `inline(never)`.
    #[inline(never)]
    fn look(&mut self, pose: &Pose, picture: &Picture<'_>) {
        let upright = self.detector.phase() == Phase::Standing;
        let seen = self.feet.see(pose, picture, upright);
        self.tracked = Some(seen);
        self.note_set(pose.t_ms, &seen);
        self.pictures.resize(self.poses.len() - 1, None);
        self.pictures.push(Some(PictureEvidence::of_feet(&seen)));
    }

    /// Writes down what has been set elsewhere since the frame before.
    fn note_set(&mut self, at_ms: f64, seen: &TrackedFeet) {
        for side in Side::BOTH {
            let Some(now) = seen[side.index()].and_then(|foot| foot.set_by) else {
                continue;
            };
            let before = std::mem::replace(&mut self.set_by[side.index()], now);
            if now != before {
                let by = |i: usize| Some(now[i] - before[i]);
                self.feet_set.push(FootSet {
                    at_ms,
                    side: side.name(),
                    along_mm: by(0),
                    toward_mm: by(1),
                    turned_out_deg: by(2),
                });
            }
        }
    }

    fn follow(&mut self, pose: &Pose) {
        self.live.finished = self.detector.count(&self.poses, &mut self.reps);
        let upright = self.detector.phase() == Phase::Standing;
        if let Some(quiet) = self.finder.push(pose, upright) {
            self.stood(quiet);
        }
        self.live.reps = self.reps.len();
        self.live.standing_known = self.stand.is_some();
        self.live.phase = self.detector.phase();
        self.note_rest(pose.t_ms);
    }

    /// After a rest another set begins.
    fn note_rest(&mut self, t_ms: f64) {
        let Some(last) = self.reps.last() else { return };
        let rests = matches!(self.live.phase, Phase::Searching | Phase::Standing);
        if rests && last.end_ms > self.set_ms && t_ms - last.end_ms > REST_MS {
            self.set_ms = t_ms;
            self.set_starts.push(self.poses.len() - 1);
        }
    }

    /// The frames of every set.
    fn sets(&self) -> Vec<SetFrames> {
        let end = self.poses.len();
        let mut starts = vec![0];
        starts.extend_from_slice(&self.set_starts);
        (0..starts.len())
            .map(|k| SetFrames {
                frames: starts[k]..starts.get(k + 1).copied().unwrap_or(end),
                last: k + 1 == starts.len(),
            })
            .gather()
    }

    /// Reads the sets that are over, once for all, so that the report needs to read only the one that goes on.
    /// Nothing else changes.
    pub fn settle(&mut self) {
        for set in self.sets().iter().skip(self.settled.len()) {
            if !set.last {
                let read = SetReading::of(self, set, Curves::OfRepetitions);
                self.settled.push(read);
            }
        }
    }

    /// What every set comes to.
    fn read_sets(&self, curves: Curves) -> Vec<SetReading> {
        let sets = self.sets();
        let each = sets.iter().enumerate().map(|(k, set)| {
            let kept = self
                .settled
                .get(k)
                .filter(|_| curves == Curves::OfRepetitions);
            // A repetition may be taken back after a walk.
            let kept = kept.filter(|kept| kept.live == set.live(self).len());
            kept.map_or_else(|| SetReading::of(self, set, curves), SetReading::clone)
        });
        each.gather()
    }

    /// Keeps the stretch that the setting's first repetition will be read against, and fits it.
    #[inline(never)]
    fn stood(&mut self, quiet: Quiet) {
        let fresh = self
            .quiets
            .last()
            .is_none_or(|q| q.feet_epoch != quiet.feet_epoch);
        if fresh {
            if !self.quiets.is_empty() {
                self.set_by = Default::default();
                self.feet_set.push(FootSet {
                    at_ms: quiet.from_ms,
                    side: "both",
                    along_mm: None,
                    toward_mm: None,
                    turned_out_deg: None,
                });
            }
            self.quiets.push(quiet);
            if let Some(stand) = Stand::new(&self.poses, quiet, &self.setup) {
                let worn = self.setup.footwear;
                self.feet
                    .anchor(&stand.fit, worn, quiet.from_ms, quiet.to_ms);
                self.stand = Some(stand);
            }
        } else if let Some(last) = self.quiets.last_mut() {
            // The same stretch grows; a later one of the same setting does not replace it once a
            // repetition has been done.
            let lifted = self.reps.last().is_some_and(|r| r.end_ms > last.to_ms);
            if quiet.from_ms <= last.to_ms || !lifted {
                *last = quiet;
            }
            if let Some(stand) = &self.stand {
                self.feet.settle(&stand.fit, quiet.from_ms, quiet.to_ms);
            }
        }
    }

    /// Names the pose estimator that the points come from, of which the set-up said nothing.
    pub fn name_estimator(&mut self, name: String) {
        self.settled.clear();
        self.given.estimator = Some(name.clone());
        self.setup.estimator = Some(name);
    }

    /// What follows feet and shins from marks; `None` before [`Session::mark`].
    pub fn legs(&self) -> Option<&LegsFollower> {
        self.legs.as_deref()
    }

    /// What is followed of the feet's pictures.
    pub fn feet(&self) -> &FeetPictures {
        &self.feet
    }

    /// The state after the last frame.
    pub fn live(&self) -> Live {
        self.live
    }

    /// Every check in the last frame, by [`Channel::index`]: unsmoothed values less those of standing
    /// (the load share absolute) with their standard errors, in the check's unit. `None` where a
    /// check is unseen, and all `None` until standing is known. For showing while the lifter moves;
    /// a repetition's own values come from [`Session::rep`] and the report.
    pub fn values(&self) -> [Option<Estimate>; Channel::COUNT] {
        let pose = self
            .poses
            .last()
            .filter(|p| Some(p.t_ms) == self.intake.last_ms);
        let (Some(stand), Some(pose)) = (&self.stand, pose) else {
            return [None; Channel::COUNT];
        };
        let seen = self.pictures.get(self.poses.len() - 1);
        let seen = seen.and_then(|p| p.as_ref());
        stand.measurer.frame(pose, seen)
    }

    /// What the feet's pictures said of the last frame, for [`RawFrame::feet`]; `None` when none
    /// came with it. Pushed again as
    /// [`Picture::Tracked`] it gives the same report without the picture.
    ///
    /// [`RawFrame::feet`]: crate::keypoints::RawFrame::feet
    pub fn tracked(&self) -> Option<TrackedFeet> {
        self.tracked
    }

    /// What can be seen from here; `None` until standing is known.
    pub fn seen(&self) -> Option<Seen> {
        let stand = self.stand.as_ref()?;
        Some(Seen {
            view: stand.fit.view(),
            expected_sd: Channel::ALL.map(|c| stand.measurer.expected_sd(c)),
        })
    }

    /// The repetitions of a set; of the last, if the recording ended now.
    #[inline(never)]
    fn counted(&self, set: &SetFrames) -> Vec<Repetition> {
        let mut reps = set.live(self).to_vec();
        let detector = self.detector.clone();
        detector.recount(&mut reps, set.poses(self), set.last);
        apart(&mut reps);
        reps
    }

    /// Repetition `number` (from 1) as soon as it is over; `None` when there is none, or when no
    /// standing could be fitted.
    pub fn rep(&self, number: usize) -> Option<RepResult> {
        assemble::live_rep(self, number)
    }

    /// The report over everything pushed so far.
    pub fn report(&self) -> Report {
        self.report_with(self.options.series)
    }

    /// The report, with or without curves.
    pub fn report_with(&self, series: bool) -> Report {
        assemble::report(self, series)
    }

    /// What each counted repetition looks like to [`plausibility`](crate::plausibility).
    pub fn aspects(&self) -> Vec<crate::plausibility::Aspects> {
        assemble::aspects(self)
    }

    /// Forgets every frame; set-up and options stay.
    pub fn reset(&mut self) {
        *self = Self::new(self.given.clone(), self.options.clone());
    }
}

/// No repetition begins before the one before it has ended.
pub(crate) fn apart(reps: &mut [Repetition]) {
    for k in 1..reps.len() {
        if let [.., before, after] = &mut reps[..=k]
            && before.end_ms > after.start_ms
        {
            let middle = 0.5 * (before.end_ms + after.start_ms);
            before.end_ms = middle.max(before.bottom_end_ms);
            after.start_ms = before.end_ms.min(after.bottom_ms);
            before.end_ms = before.end_ms.min(after.start_ms);
            // Of one within the other the bottoms may come the other way round.
            before.bottom_ms = before.bottom_ms.min(before.end_ms);
            before.bottom_end_ms = before.bottom_end_ms.min(before.end_ms);
        }
    }
}
