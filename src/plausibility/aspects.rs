//! What one repetition looks like, in numbers that hardly depend on who squats and where the camera is.

use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Side};
use crate::measures::MeasureSeries;
use crate::order::ascending;
use crate::pose::{Pose, mean};
use crate::repetitions::Repetition;
use crate::standing::StandingFit;
use glam::DVec2;

/// Standing beside a repetition is read over so long, ms.
const BESIDE_MS: f64 = 450.0;
/// Frames looked at within a repetition, evenly spread.
const LOOKS: usize = 28;
/// Hips that are lower by this part of a leg are down.
const DOWN: f64 = 0.06;

/// Thighs and trunk that have gone down by less of their height are not told apart.
const LITTLE: f64 = 0.05;
/// A frame as deep as this, by the deepest, belongs to the lower part.
const LOWER: f64 = 0.7;
/// Hips within this part of their way are at their lowest.
const LOWEST: f64 = 0.05;

/// An aspect of a repetition that can speak against a squat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub enum Aspect {
    /// Logarithm of the standing fit's misfit by its degrees of freedom: proportions and places of the joints.
    Misfit,
    /// Lean of the body in the standing before it, degrees from the picture's vertical.
    Upright,
    /// How far the foot that moves more leaves its place, shank lengths.
    FootMoved,
    /// Difference between how far the two knees go down, of their height above the ankles.
    KneesApart,
    /// How far the lower knee goes down, of that height.
    KneeLow,
    /// How far the hips leave the middle between the feet, leg lengths.
    Aside,
    /// Logarithm of how far the trunk has gone down at the lowest by how far the thighs have, each of its
    /// height in standing.
    Hinge,
    /// How far the hips rise above standing, leg lengths.
    Risen,
    /// How much higher above the toes the hips stand before it than in quiet standing, leg lengths.
    Tiptoe,
    /// How far the hands are below the knees at the lowest, shank lengths.
    Hands,
    /// Less the logarithm of how long it takes, s.
    Quick,
    /// How far the centre of mass seems to be behind the feet in the lower part, by its spread in a lifter in
    /// balance, times the root of the seconds that the hips stay at their lowest.
    ///
    /// Who is out of balance falls: an inverted pendulum as tall as the hips leaves its place within 0.3 s
    /// (A. Hof et al., J Biomech 38(1):1-8, 2005). An error of what is seen lasts no longer for that; a
    /// seat bears for as long as one likes.
    Seat,
    /// How much better a squeezed picture explains standing, as a logarithm of a ratio of likelihoods.
    Squeezed,
}

impl Aspect {
    /// How many there are.
    pub const COUNT: usize = 13;
    /// All, by index.
    pub const ALL: [Self; Self::COUNT] = [
        Self::Misfit,
        Self::Upright,
        Self::FootMoved,
        Self::KneesApart,
        Self::KneeLow,
        Self::Aside,
        Self::Hinge,
        Self::Risen,
        Self::Tiptoe,
        Self::Hands,
        Self::Quick,
        Self::Seat,
        Self::Squeezed,
    ];
}

/// The aspects of a repetition, by [`Aspect`]; `None` where they were not seen.
pub type Aspects = [Option<f64>; Aspect::COUNT];

/// Places of the joints, each the median over a few frames, px.
type Places = [Option<DVec2>; Joint::COUNT];

fn median(poses: &[Pose]) -> Places {
    let (mut xs, mut ys) = (Vec::new(), Vec::new());
    Joint::ALL.map(|joint| {
        xs.clear();
        ys.clear();
        for at in poses.iter().filter_map(|p| p.at(joint)) {
            xs.push(at.x);
            ys.push(at.y);
        }
        ascending(&mut xs);
        ascending(&mut ys);
        (3 * xs.len() > poses.len()).then(|| DVec2::new(xs[xs.len() / 2], ys[ys.len() / 2]))
    })
}

fn of(places: &Places, part: Part, side: Side) -> Option<DVec2> {
    places[Joint::of(part, side).index()]
}

fn middle(places: &Places, part: Part) -> Option<DVec2> {
    mean(Side::BOTH.map(|s| of(places, part, s)))
}

fn between(poses: &[Pose], from_ms: f64, to_ms: f64) -> &[Pose] {
    let a = poses.partition_point(|p| p.t_ms < from_ms);
    let b = poses.partition_point(|p| p.t_ms <= to_ms);
    poses.get(a..b).unwrap_or(&[])
}

/// The largest of what was seen.
fn most(values: impl Iterator<Item = f64>) -> Option<f64> {
    values.fold(None, |most, v| Some(most.map_or(v, |m: f64| m.max(v))))
}

/// Reads a repetition among `poses`, all of them.
pub fn read(
    poses: &[Pose],
    rep: &Repetition,
    fit: Option<&StandingFit>,
    series: Option<&MeasureSeries>,
) -> Aspects {
    let mut out = [None; Aspect::COUNT];
    let before = between(poses, rep.start_ms - BESIDE_MS, rep.start_ms + 50.0);
    let base = median(before);
    let looks = looks(poses, rep);
    let mut set = |aspect: Aspect, value: Option<f64>| {
        out[aspect as usize] = value.filter(|v| v.is_finite());
    };
    set(
        Aspect::Quick,
        Some(-libm::log((rep.end_ms - rep.start_ms).max(1.0) / 1e3)),
    );
    let behind = series.and_then(|s| imbalance(s, rep)).map(|v| -v);
    let stay = || stay_s(between(poses, rep.start_ms, rep.end_ms));
    set(Aspect::Seat, behind.and_then(|v| Some(v * stay()?.sqrt())));
    set(Aspect::Misfit, fit.map(|f| libm::log(f.misfit.max(1e-3))));
    let shank = fit.map(|f| f.shank_px).or_else(|| {
        let of_side = |s| Some((of(&base, Part::Knee, s)? - of(&base, Part::Ankle, s)?).length());
        mean(Side::BOTH.map(of_side))
    });
    let Some(shank) = shank.filter(|&px| px > 3.0) else {
        return out;
    };
    let ankles = middle(&base, Part::Ankle);
    let hips = middle(&base, Part::Hip);
    let up = hips.zip(ankles).map(|(h, a)| a - h);
    let leg = up.map(|u| u.length()).filter(|&px| px > shank);
    let top = middle(&base, Part::Shoulder)
        .or(hips)
        .or_else(|| middle(&base, Part::Knee));
    let tilt = top.zip(ankles).map(|(t, a)| {
        let up = a - t;
        libm::atan2(up.x, up.y).to_degrees().abs()
    });
    set(Aspect::Upright, tilt);
    let feet = Side::BOTH.map(|s| most(looks.iter().filter_map(|now| foot_moved(&base, now, s))));
    set(
        Aspect::FootMoved,
        most(feet.into_iter().flatten()).map(|px| px / shank),
    );
    // How high each knee is above its ankle, by its height in standing.
    let height = |places: &Places, s: Side| {
        Some(of(places, Part::Ankle, s)?.y - of(places, Part::Knee, s)?.y)
    };
    let share = |now: &Places, s: Side| Some(height(now, s)? / height(&base, s)?.max(0.3 * shank));
    let both = |now: &Places| {
        let [left, right] = Side::BOTH.map(|s| share(now, s));
        Some((left? - right?).abs())
    };
    // Without hips the height of a knee rests on how much its shin is foreshortened, which from behind errs by a sixth.
    let apart = high(looks.iter().filter_map(both));
    set(Aspect::KneesApart, apart.filter(|_| hips.is_some()));
    let low = |now: &Places| {
        let lower = Side::BOTH.map(|s| share(now, s));
        most(lower.into_iter().flatten().map(|v| -v)).map(|v| 1.0 + v)
    };
    set(Aspect::KneeLow, high(looks.iter().filter_map(low)));
    if let (Some(fit), Some(leg)) = (fit, leg) {
        // From in front and behind the hips stay between the feet; from the side they go back.
        let azimuth = fit.unknowns[crate::standing::priors::Unknown::Azimuth.index()];
        let (sin, cos) = (crate::angle::sin(azimuth), crate::angle::cos(azimuth));
        let aside = |now: &Places| {
            let off = middle(now, Part::Hip)?.x - middle(now, Part::Ankle)?.x;
            let rest = hips?.x - ankles?.x;
            let drop = (middle(now, Part::Hip)?.y - hips?.y) / leg;
            // Hips go back by about 0.45 of their drop, which from the side shows in the picture.
            let back = 0.45 * drop.max(0.0) * leg * sin;
            Some(((off - rest) - back).abs() / leg * (0.35 + 0.65 * cos.abs()))
        };
        set(Aspect::Aside, high(looks.iter().filter_map(aside)));
    }
    if let Some(leg) = leg {
        // In a squat the thighs lie down and the trunk stays up; who bends does the opposite.
        let steep = |places: &Places, low: Part, high: Part| {
            Some(middle(places, low)?.y - middle(places, high)?.y)
        };
        let share = |now: &Places, low: Part, high: Part| {
            let stands = steep(&base, low, high)?;
            (stands > 0.3 * shank).then_some(steep(now, low, high)? / stands)
        };
        let lowest = looks.iter().filter_map(|now| {
            let down = (middle(now, Part::Shoulder)?.y - middle(&base, Part::Shoulder)?.y) / leg;
            let thigh = share(now, Part::Knee, Part::Hip)?;
            let trunk = share(now, Part::Hip, Part::Shoulder)?;
            let hands = steep(now, Part::Wrist, Part::Knee).map(|px| px / shank);
            let gone = |share: f64| (1.0 - share).max(0.0) + LITTLE;
            Some((down, libm::log(gone(trunk) / gone(thigh)), hands))
        });
        let lowest = lowest.fold(None, |most: Option<(f64, f64, Option<f64>)>, now| {
            most.filter(|m| m.0 >= now.0).or(Some(now))
        });
        let lowest = lowest.filter(|l| l.0 > DOWN);
        set(Aspect::Hinge, lowest.map(|l| l.1));
        set(Aspect::Hands, lowest.and_then(|l| l.2));
        // How much higher the hips stand above the toes than when they stood quietly.
        let over = |places: &Places| {
            let toes = mean([Part::BigToe, Part::SmallToe].map(|p| middle(places, p)))?;
            Some(toes.y - middle(places, Part::Hip)?.y)
        };
        let higher = fit.and_then(|f| Some((over(&base)? - over(&f.seen)?) / leg));
        set(Aspect::Tiptoe, higher);
        let around = between(poses, rep.start_ms - 200.0, rep.end_ms + 700.0);
        let mut rises: Vec<f64> = around
            .iter()
            .filter_map(|p| Some((hips?.y - mean(Side::BOTH.map(|s| p.of(Part::Hip, s)))?.y) / leg))
            .gather();
        ascending(&mut rises);
        // What is seen for a twentieth of the time is no outlier.
        let nth = rises.len().saturating_sub(1 + rises.len() / 20);
        set(Aspect::Risen, rises.get(nth).copied());
    }
    out
}

/// How far the centre of mass seems to be from its place over the feet in the lower part: the median, by
/// its spread, + = toward the toes.
fn imbalance(series: &MeasureSeries, rep: &Repetition) -> Option<f64> {
    let a = series.t_ms.partition_point(|&t| t < rep.start_ms);
    let b = series.t_ms.partition_point(|&t| t <= rep.end_ms);
    let (depth, seen) = (series.depth.get(a..b)?, series.imbalance.get(a..b)?);
    let deepest = most(depth.iter().flatten().copied())?;
    let lower = depth.iter().zip(seen).filter_map(|(depth, seen)| {
        let low = depth.is_some_and(|d| d > LOWER * deepest);
        seen.filter(|_| low)
    });
    let mut list = lower.gather();
    ascending(&mut list);
    list.get(list.len() / 2).copied()
}

/// For how long the hips stay at their lowest, s.
fn stay_s(inside: &[Pose]) -> Option<f64> {
    let hips = |p: &Pose| Some(mean(Side::BOTH.map(|s| p.of(Part::Hip, s)))?.y);
    let ys = inside.iter().filter_map(hips).gather();
    let first = *ys.first()?;
    let mut sorted = ys.clone();
    ascending(&mut sorted);
    // What is seen for a twentieth of the time is no outlier.
    let low = *sorted.get(sorted.len() * 19 / 20)?;
    let near = ys.iter().filter(|y| **y > low - LOWEST * (low - first));
    let lasts = inside.last()?.t_ms - inside.first()?.t_ms;
    Some(near.count() as f64 / ys.len() as f64 * lasts / 1e3)
}

/// All but the two largest: joints jump.
fn high(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut list: Vec<f64> = values.gather();
    ascending(&mut list);
    list.len().checked_sub(3).and_then(|i| list.get(i)).copied()
}

/// How far a foot is from where it stood, px: a planted one has a point that stays.
fn foot_moved(base: &Places, now: &Places, side: Side) -> Option<f64> {
    let moved = |part| Some((of(now, part, side)? - of(base, part, side)?).length());
    let toes = mean([Part::BigToe, Part::SmallToe].map(moved));
    let rest = [toes, moved(Part::Ankle), moved(Part::Heel)];
    rest.into_iter()
        .flatten()
        .fold(None, |least, v| Some(least.map_or(v, |l: f64| l.min(v))))
}

/// Frames of the repetition, each with those beside it.
fn looks(poses: &[Pose], rep: &Repetition) -> Vec<Places> {
    let a = poses.partition_point(|p| p.t_ms < rep.start_ms);
    let b = poses.partition_point(|p| p.t_ms <= rep.end_ms);
    let step = ((b.saturating_sub(a)) as f64 / LOOKS as f64).max(1.0);
    let count = (b.saturating_sub(a)).min(LOOKS);
    (0..count)
        .map(|k| a + ((k as f64 + 0.5) * step) as usize)
        .filter_map(|i| poses.get(i.checked_sub(1)?..(i + 2).min(poses.len())))
        .map(median)
        .gather()
}
