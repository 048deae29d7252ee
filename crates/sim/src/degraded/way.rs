//! What happens to a clip on its way from the camera to the page, and the clip's pictures after it.
//!
//! ffmpeg does the work (its documentation, "Filters" and "Codecs"); the pictures come back as grey
//! bytes of the full range, which is what a page reads from a canvas.

use std::io::{BufReader, Read};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

/// One way.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// Its row in the table.
    pub name: &'static str,
    /// ffmpeg's filter; `None` leaves the pictures alone.
    filter: Option<&'static str>,
    /// Codec and its options, which the pictures pass through once more.
    codec: &'static [&'static str],
    /// The camera shakes, px each way.
    shake: f64,
    /// Every so many frames one is lost, at random; 0 loses none.
    pub one_lost_of: u32,
}

const PLAIN: Way = Way {
    name: "as given (VP8)",
    filter: None,
    codec: &[],
    shake: 0.0,
    one_lost_of: 0,
};
const VP8_250: &[&str] = &[
    "-c:v",
    "libvpx",
    "-b:v",
    "250k",
    "-deadline",
    "good",
    "-cpu-used",
    "4",
    "-f",
    "webm",
];
/// The light falls by a third and comes back within three quarters of a second; the camera shakes by 2 px:
/// `n` and `on` count frames, and [`Way::shaken`] is the same shake.
const SHAKE_AND_LIGHT: &str = "perspective=\
    x0='-2*sin(1.9*on)':y0='-2*cos(1.3*on)':x1='W-2*sin(1.9*on)':y1='-2*cos(1.3*on)':\
    x2='-2*sin(1.9*on)':y2='H-2*cos(1.3*on)':x3='W-2*sin(1.9*on)':y3='H-2*cos(1.3*on)':\
    sense=source:interpolation=cubic:eval=frame,\
    eq=eval=frame:contrast='0.835+0.165*cos(0.28*n)':brightness='-(0.165-0.165*cos(0.28*n))*128/255'";

/// The ways that are measured.
pub const WAYS: [Way; 7] = [
    PLAIN,
    Way {
        name: "JPEG, ffmpeg's q 12",
        codec: &["-c:v", "mjpeg", "-q:v", "12", "-f", "matroska"],
        ..PLAIN
    },
    Way {
        name: "VP8 anew, 250 kbit/s",
        codec: VP8_250,
        ..PLAIN
    },
    Way {
        name: "blurred, Gaussian of 1.5 px",
        filter: Some("gblur=sigma=1.5"),
        ..PLAIN
    },
    Way {
        name: "shake of 2 px, light down by a third and back",
        filter: Some(SHAKE_AND_LIGHT),
        shake: 2.0,
        ..PLAIN
    },
    Way {
        name: "every tenth frame lost, at random",
        one_lost_of: 10,
        ..PLAIN
    },
    Way {
        name: "shake, light, VP8 at 250 kbit/s and every tenth frame lost",
        filter: Some(SHAKE_AND_LIGHT),
        codec: VP8_250,
        shake: 2.0,
        one_lost_of: 10,
    },
];

impl Way {
    /// How far the camera has shaken in frame `n`, px: an estimator's points go with it.
    pub fn shaken(&self, n: usize) -> [f64; 2] {
        let n = n as f64;
        [self.shake * (1.9 * n).sin(), self.shake * (1.3 * n).cos()]
    }

    /// The clip's pictures, this way.
    ///
    /// # Errors
    /// ffmpeg can't be started.
    pub fn pictures(&self, clip: &Path, size: (usize, usize)) -> Result<Pictures, String> {
        let ffmpeg = || {
            let mut command = Command::new("ffmpeg");
            command.args(["-v", "error", "-nostdin", "-i"]);
            command.stdout(Stdio::piped());
            command
        };
        let start = |command: &mut Command| {
            let child = command.spawn();
            child.map_err(|e| format!("ffmpeg can't be started: {e}"))
        };
        let grey = ["-f", "rawvideo", "-pix_fmt", "gray", "pipe:1"];
        let mut first = ffmpeg();
        first.arg(clip);
        if let Some(filter) = self.filter {
            first.args(["-vf", filter]);
        }
        let mut running = Vec::new();
        if self.codec.is_empty() {
            running.push(start(first.args(grey))?);
        } else {
            let mut coding = start(first.args(self.codec).arg("pipe:1"))?;
            let coded = coding.stdout.take().ok_or("ffmpeg gives no output")?;
            running.push(coding);
            running.push(start(ffmpeg().arg("pipe:0").args(grey).stdin(coded))?);
        }
        let out = running.last_mut().and_then(|c| c.stdout.take());
        Ok(Pictures {
            out: BufReader::new(out.ok_or("ffmpeg gives no output")?),
            running,
            picture: vec![0; size.0 * size.1],
        })
    }
}

/// Pictures of a clip, one after another.
pub struct Pictures {
    out: BufReader<ChildStdout>,
    running: Vec<Child>,
    picture: Vec<u8>,
}

impl Pictures {
    /// The next one; `None` after the last.
    pub fn next(&mut self) -> Option<&[u8]> {
        self.out.read_exact(&mut self.picture).ok()?;
        Some(&self.picture)
    }
}

impl Drop for Pictures {
    fn drop(&mut self) {
        for child in &mut self.running {
            // One that has ended already is no fault.
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}
