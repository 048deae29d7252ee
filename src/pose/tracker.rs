//! Follows everybody, and hands on the lifter.

use super::person::{Extent, Person, extent};
use super::post::Post;
use super::reader::Reader;
use super::types::Pose;
use crate::keypoints::{self, Setup};
use glam::DVec2;

/// People followed at once; more are ignored.
const PEOPLE: usize = 6;
/// The lifter has been away for so long: somebody else may be the lifter, ms.
const LOST_MS: f64 = 2500.0;
/// Not seen for so long counts as away, ms.
const AWAY_MS: f64 = 1000.0;
/// Others are forgotten after this time, ms.
const FORGOTTEN_MS: f64 = 1500.0;
/// Somebody else must look this much more like the lifter to be taken instead.
const RATHER: f64 = 1.18;
/// ... and this much to be clearly so.
const CLEARLY: f64 = 1.8;
/// Standing still for so long makes somebody a lifter who clearly looks like one, or at all, ms.
const STOOD_MS: [f64; 2] = [250.0, 700.0];
/// Seen so lately counts as present, ms.
const LATELY_MS: f64 = 300.0;

/// Turns frames of people into the lifter's poses. Causal; no allocation per frame.
///
/// Everybody in the picture is followed, so that somebody who crosses in front of the lifter
/// accounts for their own points. The lifter is the largest and most central person who stands
/// still, and stays the lifter.
#[derive(Clone, Debug)]
pub struct PoseTracker {
    reader: Reader,
    middle: DVec2,
    people: [Option<Person>; PEOPLE],
    /// The last frame's poses, in memory that is used again.
    poses: Vec<Pose>,
    lifter: Option<usize>,
    post: Option<Post>,
    t_ms: Option<f64>,
}

impl PoseTracker {
    /// A tracker for frames of this set-up.
    pub fn new(setup: &Setup) -> Self {
        Self {
            reader: Reader::new(setup),
            middle: DVec2::new(setup.image.width, setup.image.height) / 2.0,
            people: [None; PEOPLE],
            poses: Vec::with_capacity(PEOPLE),
            lifter: None,
            post: None,
            t_ms: None,
        }
    }

    /// Takes one frame's people (each in the layout's order; lists of another length and
    /// non-finite points are passed over). `None` when the time does not rise.
    #[inline(never)]
    pub fn push(&mut self, t_ms: f64, people: &[keypoints::Person]) -> Option<Pose> {
        if !t_ms.is_finite() || self.t_ms.is_some_and(|t| t_ms <= t) {
            return None;
        }
        self.t_ms = Some(t_ms);
        self.forget(t_ms);
        self.poses.clear();
        for person in people {
            if self.poses.len() < PEOPLE {
                self.poses.push(Pose::empty(t_ms));
                let read = |pose| self.reader.read(person, pose);
                if !self.poses.last_mut().is_some_and(read) {
                    self.poses.pop();
                }
            }
        }
        let mut extents = [None; PEOPLE];
        for (extent_of, pose) in extents.iter_mut().zip(&self.poses) {
            *extent_of = extent(pose);
        }
        let mut near = self.only_near();
        if near.is_none() && self.follow_knock() {
            near = self.only_near();
        }
        let mut owner = [None; PEOPLE];
        if near.is_some() {
            owner[0] = near;
        } else {
            owner = self.assign(&extents);
        }
        self.relieve(&mut owner);
        for ((pose, owner), whole) in self.poses.iter_mut().zip(owner).zip(extents) {
            match owner.and_then(|i| self.people.get_mut(i)) {
                Some(Some(person)) => person.follow(pose, whole, owner == near),
                Some(slot) => *slot = Person::new(pose),
                None => {}
            }
        }
        let before = self.lifter;
        self.choose(t_ms);
        if before != self.lifter {
            self.post = None;
        }
        let mine = |o: &Option<usize>| o.is_some() && *o == self.lifter;
        let pose = self.poses.iter().zip(owner).find(|(_, o)| mine(o));
        let person = self.lifter.and_then(|i| self.people[i].as_ref());
        if let (Some((pose, _)), Some(person)) = (pose, person) {
            Post::follow(&mut self.post, pose, person.stood_ms());
        }
        Some(pose.map_or_else(|| Pose::empty(t_ms), |(p, _)| *p))
    }

    /// Forgets everybody.
    pub fn reset(&mut self) {
        self.people = [None; PEOPLE];
        self.lifter = None;
        self.post = None;
        self.t_ms = None;
    }

    /// Whose pose is whose: the likeliest pair first; what is left over is somebody new.
    #[inline(never)]
    fn assign(&self, extents: &[Option<Extent>; PEOPLE]) -> [Option<usize>; PEOPLE] {
        let mut owner = [None; PEOPLE];
        let mut taken = [false; PEOPLE];
        let mut costs = [[None; PEOPLE]; PEOPLE];
        for ((row, pose), extent) in costs.iter_mut().zip(&self.poses).zip(extents) {
            let Some(extent) = extent else {
                continue;
            };
            for (cost, person) in row.iter_mut().zip(&self.people) {
                *cost = person.as_ref().and_then(|p| p.cost(pose, *extent));
            }
        }
        for _ in 0..self.poses.len() {
            let mut best: Option<(f64, usize, usize)> = None;
            for (k, row) in costs.iter().enumerate().take(self.poses.len()) {
                for (i, cost) in row.iter().enumerate() {
                    if let Some(c) = *cost
                        && owner[k].is_none()
                        && !taken[i]
                        && best.is_none_or(|b| c < b.0)
                    {
                        best = Some((c, k, i));
                    }
                }
            }
            let Some((_, k, i)) = best else { break };
            owner[k] = Some(i);
            taken[i] = true;
        }
        for owner in owner.iter_mut().take(self.poses.len()) {
            if owner.is_none() {
                let free = (0..PEOPLE).find(|&i| self.people[i].is_none() && !taken[i]);
                if let Some(i) = free {
                    *owner = Some(i);
                    taken[i] = true;
                }
            }
        }
        owner
    }

    /// Who is followed, when that is one person, and one about there is all that is seen: as in most
    /// frames, which need no likeliest pair.
    fn only_near(&self) -> Option<usize> {
        let [pose] = self.poses.as_slice() else {
            return None;
        };
        let one = self.people.iter().position(Option::is_some)?;
        let more = self.people.iter().skip(one + 1).any(Option::is_some);
        let person = self.people[one].as_ref().filter(|_| !more)?;
        person.is_near(pose).then_some(one)
    }

    /// Everything known of the lifter goes along with a knock of the camera, if there was one.
    #[inline(never)]
    fn follow_knock(&mut self) -> bool {
        let person = self.lifter.and_then(|i| self.people[i].as_mut());
        let (Some(person), [pose]) = (person, self.poses.as_slice()) else {
            return false;
        };
        let jolt = person.jolt(pose);
        if let Some(by) = jolt {
            person.moved(by);
            if let Some(post) = &mut self.post {
                post.moved(by);
            }
        }
        jolt.is_some()
    }

    /// Whoever stands on the lifter's footprints is the lifter; who leaps away from there is not.
    #[inline(never)]
    fn relieve(&mut self, owner: &mut [Option<usize>; PEOPLE]) {
        let (Some(post), Some(lifter)) = (self.post, self.lifter) else {
            return;
        };
        let mine = (0..self.poses.len()).find(|&k| owner[k] == Some(lifter));
        let mut on = [false; PEOPLE];
        for (on, pose) in on.iter_mut().zip(&self.poses) {
            *on = post.on(pose);
        }
        if mine.is_some_and(|k| on[k]) {
            for i in owner
                .iter()
                .zip(on)
                .filter_map(|(o, on)| o.filter(|&i| on && i != lifter))
            {
                if let Some(person) = &mut self.people[i] {
                    person.beside |= person.stood_ms() > STOOD_MS[0];
                }
            }
            return;
        }
        // Somebody else on the way past is known to walk, or to stand behind.
        let other = |i: usize| {
            let person = self.people[i].as_ref();
            person.is_some_and(|p| p.beside || p.stood_ms() < STOOD_MS[0])
        };
        let back = owner
            .iter()
            .zip(on)
            .position(|(o, on)| on && !o.is_some_and(other));
        if let Some(k) = back {
            if let Some(mine) = mine {
                owner[mine] = owner[k];
            }
            owner[k] = Some(lifter);
            if let Some(person) = &mut self.people[lifter] {
                person.resume(&self.poses[k]);
            }
        } else if let Some(k) = mine
            && let Some(person) = self.people[lifter].as_ref()
            && post.leapt(&self.poses[k], person.down)
        {
            owner[k] = (0..PEOPLE).find(|&i| self.people[i].is_none());
        }
    }

    /// Lets go of everybody who has not been seen for long: before a frame is looked at, so that frames
    /// with nobody in them are the same as frames left out.
    fn forget(&mut self, t_ms: f64) {
        for (i, slot) in self.people.iter_mut().enumerate() {
            let keep = if self.lifter == Some(i) {
                LOST_MS
            } else {
                FORGOTTEN_MS
            };
            if slot.as_ref().is_some_and(|p| t_ms - p.t_ms > keep) {
                *slot = None;
            }
        }
        if self.lifter.is_some_and(|i| self.people[i].is_none()) {
            (self.lifter, self.post) = (None, None);
        }
    }

    #[inline(never)]
    fn choose(&mut self, t_ms: f64) {
        let mut best: Option<(f64, usize)> = None;
        for (i, person) in self.people.iter().enumerate() {
            let Some(person) = person else { continue };
            let looks = self.looks(person, t_ms);
            if best.is_none_or(|b| looks > b.0) {
                best = Some((looks, i));
            }
        }
        let Some((looks, i)) = best else { return };
        let now = self.lifter.and_then(|i| self.people[i].as_ref());
        let rather = now.is_none_or(|person| {
            // Kept while squatting and ever after; before that, somebody else has to stand still
            // to be taken instead, the shorter the clearer.
            let away = t_ms - person.t_ms > AWAY_MS;
            let more = looks / self.looks(person, t_ms).max(1e-9);
            let stood = STOOD_MS[usize::from(more < CLEARLY)];
            let other = self.people[i]
                .as_ref()
                .is_some_and(|p| p.stood_ms() > stood && t_ms - p.t_ms < LATELY_MS);
            let kept = person.squatted || person.down && !away || !other;
            !kept && more > RATHER
        });
        if rather {
            self.lifter = Some(i);
        }
    }

    /// How much somebody looks like the lifter: large, central, standing still.
    fn looks(&self, person: &Person, t_ms: f64) -> f64 {
        let off = (person.centre.x - self.middle.x).abs() / self.middle.x.max(1.0);
        let here = t_ms - person.t_ms < AWAY_MS;
        person.full
            * (1.0 - 0.6 * off.min(1.0))
            * if person.stood_ms() > STOOD_MS[0] {
                1.6
            } else {
                1.0
            }
            * if person.squatted { 2.0 } else { 1.0 }
            * if here { 1.0 } else { 0.3 }
    }
}
