//! How a repetition runs over time.

/// Smooth step from 0 to 1 with no speed and no jerk at the ends: the minimum-jerk path
/// (Flash and Hogan 1985, J Neurosci 5(7):1688-1703).
pub fn minimum_jerk(u: f64) -> f64 {
    let u = u.clamp(0.0, 1.0);
    u * u * u * (10.0 + u * (-15.0 + 6.0 * u))
}

/// Half a cosine wave from 0 to 1.
pub fn cosine(u: f64) -> f64 {
    0.5 - 0.5 * (std::f64::consts::PI * u.clamp(0.0, 1.0)).cos()
}

/// Which smooth step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ease {
    /// [`minimum_jerk`].
    MinimumJerk,
    /// [`cosine`].
    Cosine,
}

impl Ease {
    /// 0 to 1 over `u` 0 to 1.
    pub fn at(self, u: f64) -> f64 {
        match self {
            Self::MinimumJerk => minimum_jerk(u),
            Self::Cosine => cosine(u),
        }
    }
}

/// Depth over time as smooth steps between knots.
#[derive(Clone, Debug)]
pub struct Depth {
    /// Seconds from the start, depth as a fraction of the full drop; rising times, first (0, 0).
    pub knots: Vec<(f64, f64)>,
    /// How it goes from one to the next.
    pub ease: Ease,
}

impl Depth {
    /// Down, held, up.
    pub fn plain(down_s: f64, pause_s: f64, up_s: f64, depth: f64, ease: Ease) -> Self {
        let bottom = down_s + pause_s;
        let mut knots = vec![(0.0, 0.0), (down_s, depth)];
        if pause_s > 0.0 {
            knots.push((bottom, depth));
        }
        knots.push((bottom + up_s, 0.0));
        Self { knots, ease }
    }

    /// Down, up by `back` and down again at the bottom, up: a double bounce.
    pub fn bounced(down_s: f64, up_s: f64, depth: f64, back: f64, ease: Ease) -> Self {
        let knots = vec![
            (0.0, 0.0),
            (down_s, depth),
            (down_s + 0.35, depth * (1.0 - back)),
            (down_s + 0.70, depth),
            (down_s + 0.70 + up_s, 0.0),
        ];
        Self { knots, ease }
    }

    /// Down, halfway up, down again to the safeties, and after a rest there up without the load.
    pub fn failed(down_s: f64, depth: f64, ease: Ease) -> Self {
        let knots = vec![
            (0.0, 0.0),
            (down_s, depth),
            (down_s + 1.2, 0.5 * depth),
            (down_s + 2.4, 1.05 * depth),
            (down_s + 4.0, 1.05 * depth),
            (down_s + 5.6, 0.0),
        ];
        Self { knots, ease }
    }

    /// Seconds it takes.
    pub fn seconds(&self) -> f64 {
        self.knots.last().map_or(0.0, |k| k.0)
    }

    /// Depth at a time.
    pub fn at(&self, s: f64) -> f64 {
        for pair in self.knots.windows(2) {
            let ((a, from), (b, to)) = (pair[0], pair[1]);
            if s < b {
                return from + (to - from) * self.ease.at((s - a) / (b - a));
            }
        }
        self.knots.last().map_or(0.0, |k| k.1)
    }

    /// First and last time at the deepest knot.
    pub fn bottom(&self) -> (f64, f64) {
        let deepest = self.knots.iter().map(|k| k.1).fold(0.0, f64::max);
        let mut at = self.knots.iter().filter(|k| k.1 >= deepest - 1e-9);
        let first = at.next().map_or(0.0, |k| k.0);
        (first, at.next_back().map_or(first, |k| k.0))
    }

    /// Deepest.
    pub fn deepest(&self) -> f64 {
        self.knots.iter().map(|k| k.1).fold(0.0, f64::max)
    }

    /// Where in the lift: 0 start, 1 bottom, 2 end.
    pub fn phase(&self, s: f64) -> f64 {
        let (a, b) = self.bottom();
        if s <= a {
            (s / a.max(1e-9)).clamp(0.0, 1.0)
        } else if s <= b {
            1.0
        } else {
            1.0 + ((s - b) / (self.seconds() - b).max(1e-9)).clamp(0.0, 1.0)
        }
    }
}
