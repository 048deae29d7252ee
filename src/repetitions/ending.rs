//! What becomes of a lift: it is counted, it takes back what was counted before, or it is none.

use super::detector::{Detector, State};
use super::feet::Stance;
use super::habits::Known;
use super::judge::{NOD, SHALLOW, STOOD_MS, least, shortest_ms};
use super::lift::Lift;
use super::phase::{Phase, Progress, Repetition};
use super::refine::refine;
use super::station::Candidate;
use super::together::BEND;
use super::under_way::STANDING_STILL;
use super::whereabouts::Place;

/// Spread of the shape of one lifter's movements, SD.
const SHAPE_SD: f64 = 0.15;

impl Detector {
    /// The recording ends: a failed attempt under way is reported, any other one is dropped.
    pub fn finish(&mut self) -> Progress {
        let mut out = Progress::default();
        if let Some(t_ms) = self.t_ms {
            self.abandon(self.feet.stance(), t_ms, &mut out);
            let (none, instead) = self.station.close(self.left_ms.unwrap_or(t_ms));
            // What became final just now is not yet the caller's.
            if none && out.finished.take().is_none() {
                out.withdrawn += 1;
            }
            out.finished = out.finished.or(instead);
        }
        out.phase = self.phase;
        out
    }

    /// The feet leave their place.
    pub(super) fn step(&mut self, t_ms: f64) {
        self.state = State::Searching;
        self.phase = Phase::Searching;
        self.left_ms.get_or_insert(t_ms);
    }

    /// The lifter stands here: what was counted elsewhere may have been a dip under the bar.
    pub(super) fn arrive(&mut self, stance: Stance, out: &mut Progress) {
        let place = self.place(stance);
        // Feet that never left their place have not walked, whatever lengths look like.
        if let Some(t_ms) = self.left_ms
            && self.station.left_for(&place)
        {
            let none = usize::from(self.station.leave(t_ms, &place));
            out.withdrawn += none;
        }
    }

    pub(super) fn place(&self, stance: Stance) -> Place {
        Place {
            feet: stance.feet,
            height: self.signal.height(),
            shank: self.scale,
        }
    }

    /// The lift under way comes to nothing, unless it is a failed attempt.
    pub(super) fn abandon(&mut self, stance: Stance, t_ms: f64, out: &mut Progress) {
        if let State::Lifting(lift) = self.state
            && (lift.failed || lift.done())
        {
            let failed = lift.failed && !lift.done();
            self.finalise(Lift { failed, ..lift }, stance, t_ms, out);
        }
        self.feet.lift();
        self.step(t_ms);
    }

    /// A lift too small to count tells at least where it was done.
    fn slight(&mut self, lift: &Lift, stance: Stance) {
        if lift.body && lift.deepest < STANDING_STILL && lift.stood_ms > STOOD_MS && stance.planted
        {
            self.station.dipped(self.place(stance));
        }
    }

    pub(super) fn finalise(&mut self, lift: Lift, stance: Stance, t_ms: f64, out: &mut Progress) {
        // Smoothing takes some of a small drop; the curve itself is looked at below.
        if lift.deepest < 0.92 * least(lift.body) {
            self.slight(&lift, stance);
            return;
        }
        if stance.planted {
            self.arrive(stance, out);
        }
        let candidate = Candidate {
            drop: 0.0,
            stood_ms: lift.stood_ms,
            bent: lift.evidence.bent(),
        };
        // A bend to the camera follows on the last step, a squat on a moment of standing.
        let hasty = self.station.fresh() && lift.stood_ms < STOOD_MS;
        // Between two steps somebody may seem to stand.
        let stepping = !stance.planted && lift.stood_ms < STOOD_MS && lift.deepest < STANDING_STILL;
        // After the set, elsewhere, and all but out of the picture: bent down to the camera.
        let gone = self.station.after()
            && (self.signal.hips_stood() || lift.body && hasty)
            && !lift.evidence.hips_seen();
        let none = stepping
            || lift.evidence.stiff()
            || lift.evidence.apart()
            || candidate.bent && hasty
            || candidate.bent && lift.deepest < NOD
            || lift.evidence.bowed()
            || !lift.evidence.feet()
            || lift.evidence.guessed()
            || gone
            || !lift.body && lift.evidence.stepped(lift.deepest);
        if none {
            return;
        }
        let (curve, from, to) = self.curve.within(lift.since_ms, t_ms);
        let known = Known::new(self.shape, BEND);
        let beside = [f64::NEG_INFINITY, f64::INFINITY];
        let Some((times, fitted)) = refine(curve, (from, to), known, beside) else {
            return;
        };
        // More than the whole height is no lifter: somebody too close to the camera to be read.
        if !(least(lift.body)..if lift.body { 0.95 } else { 9.0 }).contains(&times.depth)
            || times.end_ms - times.start_ms < shortest_ms(lift.body, times.depth)
        {
            self.slight(&lift, stance);
            return;
        }
        self.signal.end(times.depth);
        // A lifter's way of moving differs a little from one repetition to the next.
        if let Some(shape) = fitted.map(|f| f.shape) {
            self.shape = (shape.0, shape.1.max(SHAPE_SD));
        }
        let rep = Repetition {
            start_ms: times.start_ms,
            bottom_ms: times.bottom_ms,
            bottom_end_ms: times.bottom_end_ms,
            end_ms: times.end_ms,
            depth: lift.body.then_some(times.depth),
            shallow: times.depth < SHALLOW,
            complete: !lift.failed,
        };
        // A bend takes shoulders and head farther than any squat would, and so does an early lean.
        let hips = lift.evidence.hips();
        let drop = hips.map_or(times.depth, |hips| times.depth.min(hips));
        let place = self.place(stance);
        let none = self.station.overshadowed(times.depth, lift.body);
        out.withdrawn += none;
        self.dips.add(&rep, drop, place, self.curve.sunk());
        let candidate = Candidate { drop, ..candidate };
        [out.held, out.finished] = self.station.add(rep, candidate, place);
        self.left_ms = None;
        // The standing after it is the standing before the next one.
        self.curve.keep_from(times.end_ms - 300.0);
    }
}
