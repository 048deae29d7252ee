//! Sets given by their values and standard errors as the views show them.
#![allow(dead_code)] // every test file uses a part of it

use underfoot::cue::{About, Conclusion, conclude};
use underfoot::findings::{RestingShape, judge};
use underfoot::measures::{Channel, Excursion};
use underfoot::report::{Checks, Mark, RepResult, Tempo, Unseen};
use underfoot::thresholds::Thresholds;

/// A set in the making: per channel its values by repetition, or why they were not seen.
#[derive(Clone)]
pub struct Set {
    pub reps: usize,
    pub channels: [Seen; Channel::COUNT],
    pub onset: f64,
    pub shallow: usize,
    pub resting: RestingShape,
    pub thresholds: Thresholds,
    pub about: About,
}

#[derive(Clone)]
pub enum Seen {
    Values(Vec<f64>, f64),
    Not(Unseen),
}

impl Set {
    pub fn new(reps: usize, azimuth_deg: f64, clean: [(f64, f64); Channel::COUNT]) -> Self {
        Self {
            reps,
            channels: clean.map(|(value, sd)| {
                if sd > 0.0 {
                    Seen::Values(vec![value; reps], sd)
                } else {
                    Seen::Not(Unseen::View)
                }
            }),
            onset: 0.7,
            shallow: 0,
            resting: RestingShape::default(),
            thresholds: Thresholds::default(),
            about: About {
                azimuth_deg: Some(azimuth_deg),
                ..About::default()
            },
        }
    }

    /// Clean, from the front: knees, rolls and load are seen, heels hardly.
    pub fn front(reps: usize) -> Self {
        let (heel, knee, roll) = ((4.0, 12.0), (2.0, 1.5), (0.0, 3.0));
        Self::new(
            reps,
            3.0,
            [heel, heel, knee, knee, roll, roll, (0.0, 14.0), (50.0, 2.0)],
        )
    }

    /// Clean, from the lifter's left: the near heel and the forward shift are seen.
    pub fn side(reps: usize) -> Self {
        let no = (0.0, 0.0);
        Self::new(
            reps,
            88.0,
            [(4.0, 3.0), (4.0, 6.0), no, no, no, no, (0.0, 5.0), no],
        )
    }

    /// Clean, from 45 degrees: everything.
    pub fn oblique(reps: usize) -> Self {
        let (heel, knee, roll) = ((4.0, 5.0), (2.0, 3.0), (0.0, 3.4));
        Self::new(
            reps,
            45.0,
            [heel, heel, knee, knee, roll, roll, (0.0, 8.0), (50.0, 4.0)],
        )
    }

    pub fn all(mut self, channel: Channel, value: f64) -> Self {
        if let Seen::Values(list, _) = &mut self.channels[channel.index()] {
            list.fill(value);
        } else {
            panic!("{channel:?} is not seen from here");
        }
        self
    }

    pub fn each(mut self, channel: Channel, values: &[f64]) -> Self {
        assert_eq!(values.len(), self.reps);
        if let Seen::Values(list, _) = &mut self.channels[channel.index()] {
            list.copy_from_slice(values);
        } else {
            panic!("{channel:?} is not seen from here");
        }
        self
    }

    pub fn on(mut self, channel: Channel, reps: &[usize], value: f64) -> Self {
        if let Seen::Values(list, _) = &mut self.channels[channel.index()] {
            for rep in reps {
                list[rep - 1] = value;
            }
        }
        self
    }

    pub fn sd(mut self, channel: Channel, error: f64) -> Self {
        if let Seen::Values(_, sd) = &mut self.channels[channel.index()] {
            *sd = error;
        }
        self
    }

    pub fn unseen(mut self, channels: &[Channel], why: Unseen) -> Self {
        for channel in channels {
            self.channels[channel.index()] = Seen::Not(why);
        }
        self
    }

    pub fn onset(mut self, onset: f64) -> Self {
        self.onset = onset;
        self
    }

    pub fn results(&self) -> Vec<RepResult> {
        (0..self.reps)
            .map(|i| {
                let mut checks = Checks::default();
                for channel in Channel::ALL {
                    let mark = checks.get_mut(channel);
                    *mark = match &self.channels[channel.index()] {
                        Seen::Not(why) => Mark {
                            why: Some(*why),
                            ..Mark::default()
                        },
                        Seen::Values(list, sd) => Mark {
                            sd: Some(*sd),
                            ways: [Some(Excursion {
                                onset: Some(self.onset),
                                ..Excursion::of(list[i], *sd, 1000.0)
                            }); 2],
                            evidence: Some("keypoints"),
                            ..Mark::default()
                        },
                    };
                    judge(channel, mark, &self.thresholds);
                }
                let start_ms = 4000.0 * i as f64;
                RepResult {
                    index: i + 1,
                    start_ms,
                    bottom_ms: start_ms + 1400.0,
                    end_ms: start_ms + 2700.0,
                    depth: Some(0.5),
                    thigh_deg: Mark::default(),
                    shallow: i < self.shallow,
                    tempo: Tempo::default(),
                    checks,
                }
            })
            .collect()
    }

    pub fn conclude(&self) -> Conclusion {
        conclude(
            &self.results(),
            &self.resting,
            &self.thresholds,
            &self.about,
        )
    }
}
