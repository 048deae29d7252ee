//! What a pose estimator and a phone do to the points and the frames.

use crate::rng::Draw;
use glam::DVec2;
use underfoot::keypoints::Joint;

/// Errors of the points, px per axis where the shank measures 190 px; they scale with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// New in every frame, standard deviation.
    pub white: f64,
    /// Slowly varying part, standard deviation.
    pub slow: f64,
    /// Its time constant, s: drawn from this range for every joint.
    pub slow_s: [f64; 2],
    /// Fixed for the recording, standard deviation.
    pub offset: f64,
    /// Factor for the joints on the side away from the camera, from the side view.
    pub far: f64,
    /// Score of points in the picture.
    pub score: [f64; 2],
    /// Chance in a second that left and right are swapped for 0.1 to 0.5 s.
    pub swaps: f64,
    /// Chance in a second and joint that it jumps by a tenth of the body for 1 to 3 frames.
    pub jumps: f64,
    /// Chance in a frame and joint that its score falls below 0.3.
    pub dropouts: f64,
}

impl Noise {
    /// The accuracy table's noise: 1.5 px in all, partly slow, and a fixed 2 px offset.
    pub const STANDARD: Self = Self {
        white: 1.12,
        slow: 1.0,
        slow_s: [0.3, 1.0],
        offset: 2.0,
        far: 1.0,
        score: [0.75, 0.98],
        swaps: 0.0,
        jumps: 0.0,
        dropouts: 0.0,
    };

    /// Exact points.
    pub const NONE: Self = Self {
        white: 0.0,
        slow: 0.0,
        offset: 0.0,
        ..Self::STANDARD
    };

    /// A poor day: noisier far side, swaps, jumps, dropouts.
    pub const ROUGH: Self = Self {
        white: 1.5,
        slow: 1.3,
        far: 2.0,
        swaps: 0.05,
        jumps: 0.01,
        dropouts: 0.01,
        ..Self::STANDARD
    };

    /// All standard deviations times `k`.
    pub fn scaled(self, k: f64) -> Self {
        Self {
            white: self.white * k,
            slow: self.slow * k,
            offset: self.offset * k,
            ..self
        }
    }
}

/// When frames come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// Frames a second.
    pub fps: f64,
    /// Irregularity, standard deviation as a fraction of the frame time.
    pub jitter: f64,
    /// Fraction of frames in which nobody was found, in bursts of up to 0.4 s.
    pub lost: f64,
    /// Fraction of lost frames that are missing altogether rather than empty.
    pub absent: f64,
    /// Fraction of frames that repeat the time of the frame before.
    pub repeated: f64,
}

impl Timing {
    /// An even 30 frames a second.
    pub const STANDARD: Self = Self {
        fps: 30.0,
        jitter: 0.0,
        lost: 0.0,
        absent: 0.0,
        repeated: 0.0,
    };
}

/// One frame's time, and whether nobody is found in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tick {
    /// When it is stamped, s.
    pub t: f64,
    /// Nobody found.
    pub empty: bool,
}

impl Timing {
    /// The frames of `seconds`.
    pub fn ticks(&self, seconds: f64, draw: &mut Draw) -> Vec<Tick> {
        let step = 1.0 / self.fps;
        let count = (seconds * self.fps).floor() as usize + 1;
        // Bursts of mean 0.2 s that together make up the lost share.
        let chance = self.lost / (1.0 - self.lost).max(0.1) * step / 0.2;
        let mut ticks: Vec<Tick> = Vec::with_capacity(count);
        let (mut burst, mut gone, mut lost) = (0usize, false, false);
        for i in 0..count {
            // Two bursts never touch: together they would last longer than either may.
            if burst == 0 && !lost && self.lost > 0.0 && draw.chance(chance) {
                burst = ((draw.uniform(0.02, 0.4) / step).floor() as usize).max(1);
                gone = draw.chance(self.absent);
            }
            lost = burst > 0;
            burst = burst.saturating_sub(1);
            let last = ticks.last().map_or(0.0, |k| k.t);
            let mut t = i as f64 * step + draw.trimmed(0.0, self.jitter * step, 2.5);
            t = t.max(if ticks.is_empty() { 0.0 } else { last + 1e-3 });
            if draw.chance(self.repeated) && !ticks.is_empty() {
                t = last;
            }
            if !(lost && gone) {
                ticks.push(Tick { t, empty: lost });
            }
        }
        ticks
    }
}

/// The running errors of one person's points.
#[derive(Clone, Debug)]
pub struct Errors {
    noise: Noise,
    /// px at this person's size for the table's px.
    unit: f64,
    offset: [DVec2; Joint::COUNT],
    slow: [DVec2; Joint::COUNT],
    tau: [f64; Joint::COUNT],
    jump: [(usize, DVec2); Joint::COUNT],
    swap_until: f64,
    last: Option<f64>,
}

impl Errors {
    /// For a person whose shank measures `shank_px` in standing.
    pub fn new(noise: Noise, shank_px: f64, draw: &mut Draw) -> Self {
        let unit = shank_px / 190.0;
        let mut pair = |sd: f64| DVec2::new(draw.normal(0.0, sd), draw.normal(0.0, sd)) * unit;
        let offset = [(); Joint::COUNT].map(|()| pair(noise.offset));
        let slow = [(); Joint::COUNT].map(|()| pair(noise.slow));
        let tau = [(); Joint::COUNT].map(|()| draw.uniform(noise.slow_s[0], noise.slow_s[1]));
        Self {
            noise,
            unit,
            offset,
            slow,
            tau,
            jump: [(0, DVec2::ZERO); Joint::COUNT],
            swap_until: f64::NEG_INFINITY,
            last: None,
        }
    }

    /// Errors of the next frame: a shift for every joint, whether its score is low, and whether
    /// left and right are swapped. `far` marks joints on the side away from the camera.
    pub fn next(
        &mut self,
        t: f64,
        far: impl Fn(Joint) -> bool,
        draw: &mut Draw,
    ) -> ([(DVec2, bool); Joint::COUNT], bool) {
        let n = self.noise;
        let dt = self.last.map_or(0.0, |l| (t - l).max(0.0));
        self.last = Some(t);
        let mut out = [(DVec2::ZERO, false); Joint::COUNT];
        for (i, slot) in out.iter_mut().enumerate() {
            let mut pair =
                |sd: f64| DVec2::new(draw.normal(0.0, sd), draw.normal(0.0, sd)) * self.unit;
            let keep = (-dt / self.tau[i]).exp();
            let fresh = pair(n.slow * (1.0 - keep * keep).sqrt());
            self.slow[i] = self.slow[i] * keep + fresh;
            let factor = if far(Joint::ALL[i]) { n.far } else { 1.0 };
            let mut shift = (pair(n.white) + self.slow[i]) * factor + self.offset[i];
            if n.jumps > 0.0 && draw.chance(n.jumps * dt) {
                let way = draw.uniform(0.0, std::f64::consts::TAU);
                let size = 190.0 * self.unit * draw.uniform(0.25, 0.8);
                self.jump[i] = (1 + draw.below(3), DVec2::from_angle(way) * size);
            }
            if self.jump[i].0 > 0 {
                self.jump[i].0 -= 1;
                shift += self.jump[i].1;
            }
            *slot = (shift, n.dropouts > 0.0 && draw.chance(n.dropouts));
        }
        if n.swaps > 0.0 && t > self.swap_until && draw.chance(n.swaps * dt) {
            self.swap_until = t + draw.uniform(0.1, 0.5);
        }
        (out, t <= self.swap_until)
    }
}
