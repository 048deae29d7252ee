//! Drop over time: every sample of the recording, and the last one smoothed.

use super::feet::gain;
use super::instants::Sample;

/// Time constant of the signal that decides, ms.
/// tuned: `reps`
const SMOOTH_MS: f64 = 45.0;
/// Time constant of its speed, ms.
/// tuned: `reps`
const SPEED_MS: f64 = 90.0;
/// A repetition may have begun so long before it shows, ms.
/// tuned: `reps`
const BEFORE_MS: f64 = 6000.0;
/// Room for so many samples at first; it grows by doubling, as the list of poses does.
/// tuned: two minutes at 30 frames a second
const AT_FIRST: usize = 4096;

/// The smoothed drop of a frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub t_ms: f64,
    pub drop: f64,
    /// Change per second.
    pub speed: f64,
}

/// The samples of the whole recording in order of time, and the smoothed last one.
#[derive(Clone, Debug)]
pub(super) struct DropSignal {
    /// Drops against where standing was first taken.
    samples: Vec<Sample>,
    /// The first that may belong to what is under way.
    from: usize,
    /// Baseline drift since: how much lower standing has been taken, of the drop and of the hips.
    drift: [f64; 2],
    last: Option<Frame>,
    /// Samples against standing as it was taken at one time.
    level: Vec<Sample>,
}

impl Default for DropSignal {
    fn default() -> Self {
        Self {
            samples: Vec::with_capacity(AT_FIRST),
            from: 0,
            drift: [0.0; 2],
            last: None,
            level: Vec::new(),
        }
    }
}

impl DropSignal {
    /// Nothing so far belongs to what follows.
    pub fn clear(&mut self) {
        self.from = self.samples.len();
        self.last = None;
    }

    /// The last frame, smoothed.
    pub fn last(&self) -> Option<Frame> {
        self.last
    }

    /// Keeps a sample, and what the hips say by themselves where they are seen; gives the smoothed frame.
    pub fn note(&mut self, t_ms: f64, drop: f64, hips: Option<f64>) -> Frame {
        self.samples.push(Sample {
            t_ms,
            drop: drop + self.drift[0],
            hips: hips.map_or(f64::NAN, |hips| hips + self.drift[1]),
        });
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

    /// Adds baseline drift: standing is taken lower from now on, by this `share` of the drop and of the
    /// hips'.
    pub fn add_drift(&mut self, share: f64, drop: f64, hips: Option<f64>) {
        self.drift[0] += share * drop;
        self.drift[1] += share * hips.unwrap_or(drop);
    }

    /// Leaves out what is too old to be the standing before a repetition.
    pub fn prune(&mut self) {
        if let Some(last) = self.samples.last().copied() {
            self.keep_from(last.t_ms - BEFORE_MS);
        }
    }

    /// Leaves out what lies before `t_ms`.
    pub fn keep_from(&mut self, t_ms: f64) {
        self.from = self.index(t_ms).max(self.from);
    }

    /// Baseline drift by now.
    pub fn drift(&self) -> [f64; 2] {
        self.drift
    }

    fn index(&self, t_ms: f64) -> usize {
        self.samples.partition_point(|s| s.t_ms < t_ms)
    }

    fn under_way(&self) -> &[Sample] {
        self.samples.get(self.from..).unwrap_or(&[])
    }

    /// All samples of what is under way, and the range of those from `from_ms` to `to_ms`.
    pub fn within(&mut self, from_ms: f64, to_ms: f64) -> (&[Sample], usize, usize) {
        let first = self.under_way().first().map_or(0.0, |s| s.t_ms);
        self.between(first, to_ms, self.drift);
        let samples = &self.level;
        let from = samples.partition_point(|s| s.t_ms < from_ms);
        (samples, from, samples.len().saturating_sub(1))
    }

    /// The samples between two times, less this baseline `drift`.
    pub fn between(&mut self, from_ms: f64, to_ms: f64, drift: [f64; 2]) -> &[Sample] {
        let (from, to) = (self.index(from_ms), self.index(to_ms + 1e-6));
        self.level.clear();
        for s in self.samples.get(from..to).unwrap_or(&[]) {
            self.level.push(Sample {
                t_ms: s.t_ms,
                drop: s.drop - drift[0],
                hips: s.hips - drift[1],
            });
        }
        &self.level
    }

    /// How much the drop has shrunk from the `ms` before the last to the last.
    pub fn rise(&self, t_ms: f64, ms: f64) -> f64 {
        let mut sums = [(0.0, 0.0); 2];
        for s in self.under_way().iter().rev() {
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
