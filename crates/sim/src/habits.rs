//! An estimator's systematic errors: what its points make of rendered clips, less the truth.

use crate::clips;
use glam::DVec2;
use underfoot::keypoints::{Joint, Side};
use underfoot::measures::{Channel, Check, Measurer, series};
use underfoot::pose::{Pose, Seen};
use underfoot::standing;

/// Root mean square error of a check at the bottom of the repetitions.
#[derive(Clone, Copy, Debug, Default)]
pub struct Habit {
    squares: f64,
    /// How many values.
    pub count: usize,
}

impl Habit {
    /// The root mean square.
    pub fn rms(&self) -> f64 {
        (self.squares / self.count.max(1) as f64).sqrt()
    }

    fn add(&mut self, error: f64) {
        self.squares += error * error;
        self.count += 1;
    }
}

/// Habits of the checks in the order of [`Check::ALL`]: from the front; from the side; on the far
/// side, seen from the side.
///
/// # Errors
/// A clip that cannot be read or fitted.
pub fn measure() -> Result<[[Habit; 3]; 5], String> {
    let mut out = [[Habit::default(); 3]; 5];
    for name in clips::NAMES {
        let film = clips::load(name, true)?;
        let mut setup = film.recording.setup.clone();
        setup.estimator = None;
        let poses: Vec<Pose> = film
            .recording
            .frames
            .iter()
            .map(|frame| {
                let mut pose = Pose::empty(frame.t_ms);
                for joint in Joint::ALL {
                    let point = setup.layout.index_of(joint).zip(frame.people.first());
                    if let Some([x, y, score]) = point.and_then(|(i, p)| p.get(i).copied()) {
                        let at = DVec2::new(x, y);
                        pose.joints[joint.index()] = at.is_finite().then_some(Seen { at, score });
                    }
                }
                pose
            })
            .collect();
        let [from, to] = *film.truth.standing_ms.first().ok_or("no standing")?;
        let quiet: Vec<Pose> = poses
            .iter()
            .filter(|p| p.t_ms >= from && p.t_ms <= to)
            .copied()
            .collect();
        let fit = standing::fit(&quiet, &setup).map_err(|e| format!("{name}: {e}"))?;
        let curves = series(&Measurer::new(&fit, &setup), &poses, &[], &[]);
        let aside = film.truth.azimuth_deg.to_radians().sin();
        for rep in &film.truth.reps {
            let at = curves.t_ms.partition_point(|&t| t < rep.bottom_ms);
            for channel in Channel::ALL {
                let measured = curves.channels[channel.index()].get(at).copied().flatten();
                let truth = &film.truth.curves;
                let k = truth.t_ms.partition_point(|&t| t < rep.bottom_ms);
                let truth = truth.channels[channel.index()].get(k).copied().flatten();
                let (Some(measured), Some(truth)) = (measured, truth) else {
                    continue;
                };
                let far = match channel.side() {
                    Some(Side::Left) => aside < 0.0,
                    Some(Side::Right) => aside > 0.0,
                    None => false,
                };
                let column = if aside.abs() < 0.5 {
                    0
                } else {
                    1 + usize::from(far)
                };
                let row = Check::ALL.iter().position(|&c| c == channel.check());
                out[row.unwrap_or(0)][column].add(measured.value - truth);
            }
        }
    }
    Ok(out)
}

/// `habits`: the table, for `src/measures/profile.rs`.
///
/// # Errors
/// As [`measure`].
pub fn main() -> Result<(), String> {
    println!("check            front or rear   side   far side   (root mean square, count)");
    for (row, check) in measure()?.iter().zip(Check::ALL) {
        let cells: Vec<String> = row
            .iter()
            .map(|h| format!("{:7.2} ({})", h.rms(), h.count))
            .collect();
        println!("{:16} {}", check.name(), cells.join(" "));
    }
    Ok(())
}
