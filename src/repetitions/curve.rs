//! The drop over time, as far back as a repetition may reach.

use super::feet::gain;
use super::refine::Sample;
use std::collections::VecDeque;

/// Time constant of the signal that decides, ms.
const SMOOTH_MS: f64 = 45.0;
/// Time constant of its speed, ms.
const SPEED_MS: f64 = 90.0;
/// Samples kept before a repetition begins, ms.
const BEFORE_MS: f64 = 6000.0;
/// Samples kept at most; a curve that would be longer is thinned.
const KEPT: usize = 4096;
/// A drop that stays within this band is flat.
const BAND: f64 = 0.05;

/// The smoothed drop of a frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub t_ms: f64,
    pub drop: f64,
    /// Change per second.
    pub speed: f64,
}

/// Samples in order of time, and the smoothed last one. No allocation per frame.
#[derive(Clone, Debug)]
pub(super) struct Curve {
    /// Drops against where standing was first taken.
    samples: VecDeque<Sample>,
    /// How much lower standing has been taken since.
    sunk: f64,
    last: Option<Frame>,
}

impl Default for Curve {
    fn default() -> Self {
        Self {
            samples: VecDeque::with_capacity(KEPT + 1),
            sunk: 0.0,
            last: None,
        }
    }
}

impl Curve {
    /// Forgets every sample.
    pub fn clear(&mut self) {
        self.samples.clear();
        self.sunk = 0.0;
        self.last = None;
    }

    /// The last frame, smoothed.
    pub fn last(&self) -> Option<Frame> {
        self.last
    }

    /// Keeps a sample; gives the smoothed frame.
    pub fn note(&mut self, t_ms: f64, drop: f64) -> Frame {
        if self.samples.len() >= KEPT {
            let mut odd = false;
            self.samples.retain(|_| {
                odd = !odd;
                odd
            });
        }
        let seen = drop + self.sunk;
        self.samples.push_back(Sample { t_ms, drop: seen });
        let frame = match self.last {
            None => Frame {
                t_ms,
                drop,
                speed: 0.0,
            },
            Some(last) => {
                let dt = t_ms - last.t_ms;
                let smooth = last.drop + gain(dt, SMOOTH_MS) * (drop - last.drop);
                let speed = (smooth - last.drop) / (dt / 1e3).max(1e-3);
                Frame {
                    t_ms,
                    drop: smooth,
                    speed: last.speed + gain(dt, SPEED_MS) * (speed - last.speed),
                }
            }
        };
        self.last = Some(frame);
        frame
    }

    /// Standing is taken `by` lower from now on.
    pub fn sink(&mut self, by: f64) {
        self.sunk += by;
    }

    /// Drops what is too old to be the standing before a repetition.
    pub fn prune(&mut self) {
        if let Some(last) = self.samples.back().copied() {
            self.keep_from(last.t_ms - BEFORE_MS);
        }
    }

    /// Drops what lies before `t_ms`.
    pub fn keep_from(&mut self, t_ms: f64) {
        while self.samples.front().is_some_and(|s| s.t_ms < t_ms) {
            self.samples.pop_front();
        }
    }

    /// All samples, against standing as it is taken now, and the range of those from `from_ms` to `to_ms`.
    pub fn within(&mut self, from_ms: f64, to_ms: f64) -> (&[Sample], usize, usize) {
        let samples = self.samples.make_contiguous();
        for s in samples.iter_mut() {
            s.drop -= self.sunk;
        }
        self.sunk = 0.0;
        let from = samples.partition_point(|s| s.t_ms < from_ms);
        let to = samples.partition_point(|s| s.t_ms <= to_ms);
        (samples, from, to.saturating_sub(1))
    }

    /// The drop has stayed the same for `ms`.
    pub fn flat(&self, t_ms: f64, ms: f64) -> bool {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for s in self.samples.iter().rev() {
            low = low.min(s.drop);
            high = high.max(s.drop);
            if high - low > BAND {
                return false;
            }
            if t_ms - s.t_ms > ms {
                return true;
            }
        }
        false
    }

    /// How much the drop has shrunk from the `ms` before the last to the last.
    pub fn rise(&self, t_ms: f64, ms: f64) -> f64 {
        let mut sums = [(0.0, 0.0); 2];
        for s in self.samples.iter().rev() {
            let k = ((t_ms - s.t_ms) / ms) as usize;
            let Some(sum) = sums.get_mut(k) else { break };
            sum.0 += s.drop;
            sum.1 += 1.0;
        }
        match sums {
            [(a, n), (b, m)] if n > 0.0 && m > 0.0 => b / m - a / n,
            _ => 0.0,
        }
    }
}
