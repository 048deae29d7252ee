//! Brightness of the pictures of a YUV4MPEG2 stream, one at a time.
//!
//! The form is the one that the man page yuv4mpeg(5) of mjpegtools describes: a line
//! `YUV4MPEG2 W.. H.. F.. C..`, then for each picture a line `FRAME` and its planes, brightness first.

use std::io::{BufRead, Read};

/// Most bytes of a header line.
const MAX_LINE: u64 = 1024;
/// Largest width and height, px; keeps every size below within range.
const MAX_SIDE: usize = 16_384;

/// A stream of pictures.
pub struct Clip<R> {
    reader: R,
    /// Width, px.
    pub width: usize,
    /// Height, px.
    pub height: usize,
    /// Bits of a sample; above 8 a sample is two bytes, the low one first.
    depth: usize,
    /// Bytes of the other planes of a picture.
    rest: usize,
    /// Pictures read so far.
    count: usize,
    samples: Vec<u8>,
}

impl<R: BufRead> Clip<R> {
    /// Reads the header.
    ///
    /// # Errors
    /// One sentence: what of the header can't be used.
    pub fn open(mut reader: R) -> Result<Self, String> {
        let line = line(&mut reader)?.unwrap_or_default();
        let mut fields = line.split(' ');
        if fields.next() != Some("YUV4MPEG2") {
            return Err("frames: not a YUV4MPEG2 (.y4m) file".into());
        }
        let (mut width, mut height, mut colour) = (0, 0, "420");
        for field in fields.filter(|f| f.is_ascii()) {
            let Some((tag, value)) = field.split_at_checked(1) else {
                continue;
            };
            match tag {
                "W" => width = side(value)?,
                "H" => height = side(value)?,
                "C" => colour = value,
                _ => {}
            }
        }
        if width == 0 || height == 0 {
            return Err("frames: the header gives no width or height".into());
        }
        let (rest, depth) = colours(colour, width, height)
            .ok_or_else(|| format!("frames: colour form `C{colour}` is not known"))?;
        let bytes = if depth > 8 { 2 } else { 1 };
        Ok(Self {
            reader,
            width,
            height,
            depth,
            rest: rest * bytes,
            count: 0,
            samples: vec![0; width * height * bytes],
        })
    }

    /// The next picture's brightness, row by row from the top left, 0 to 255; `None` at the end.
    ///
    /// # Errors
    /// One sentence that names the picture.
    pub fn next(&mut self) -> Result<Option<&[u8]>, String> {
        let i = self.count;
        let Some(line) = line(&mut self.reader)? else {
            return Ok(None);
        };
        if line != "FRAME" && !line.starts_with("FRAME ") {
            return Err(format!("frames[{i}]: no FRAME line where one must be"));
        }
        let cut = |e: std::io::Error| format!("frames[{i}]: the clip is cut short ({e})");
        self.reader.read_exact(&mut self.samples).map_err(cut)?;
        let rest = self.rest as u64;
        let skipped = std::io::copy(&mut (&mut self.reader).take(rest), &mut std::io::sink());
        if skipped.map_err(cut)? < rest {
            return Err(format!("frames[{i}]: the clip is cut short"));
        }
        self.count += 1;
        let pixels = self.width * self.height;
        if self.depth > 8 {
            for k in 0..pixels {
                let sample = u16::from_le_bytes([self.samples[2 * k], self.samples[2 * k + 1]]);
                self.samples[k] = (sample >> (self.depth - 8)).min(255) as u8;
            }
        }
        Ok(Some(&self.samples[..pixels]))
    }
}

/// One header line without its end; `None` at the end of the stream.
fn line(reader: &mut impl BufRead) -> Result<Option<String>, String> {
    let mut bytes = Vec::new();
    let read = reader.take(MAX_LINE).read_until(b'\n', &mut bytes);
    read.map_err(|e| format!("frames: cannot be read: {e}"))?;
    match bytes.pop() {
        None => Ok(None),
        Some(b'\n') => Ok(Some(String::from_utf8_lossy(&bytes).into_owned())),
        Some(_) => Err("frames: a header line does not end".into()),
    }
}

fn side(value: &str) -> Result<usize, String> {
    let side = value.parse().ok().filter(|s| (1..=MAX_SIDE).contains(s));
    side.ok_or_else(|| format!("frames: width and height must be 1 to {MAX_SIDE}, not `{value}`"))
}

/// Samples of the planes after brightness, and bits a sample.
fn colours(form: &str, width: usize, height: usize) -> Option<(usize, usize)> {
    let (half_w, half_h) = (width.div_ceil(2), height.div_ceil(2));
    let kinds = [
        ("mono", 0),
        ("444alpha", 3 * width * height),
        ("420", 2 * half_w * half_h),
        ("411", 2 * width.div_ceil(4) * height),
        ("422", 2 * half_w * height),
        ("444", 2 * width * height),
    ];
    let (rest, tail) = kinds
        .into_iter()
        .find_map(|(name, rest)| Some((rest, form.strip_prefix(name)?)))?;
    let depth = match tail {
        "" | "jpeg" | "mpeg2" | "paldv" => 8,
        // `420p10`, `mono12`: as common encoders write deep colour.
        _ => tail
            .trim_start_matches('p')
            .parse()
            .ok()
            .filter(|d| (9..=16).contains(d))?,
    };
    Some((rest, depth))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clip(header: &str, frames: &[&[u8]]) -> Vec<u8> {
        let mut out = format!("YUV4MPEG2 {header}\n").into_bytes();
        for frame in frames {
            out.extend_from_slice(b"FRAME\n");
            out.extend_from_slice(frame);
        }
        out
    }

    #[test]
    fn brightness_of_every_picture_and_no_colour() {
        // 3 x 2 with 4:2:0: two colour planes of 2 x 1.
        let one = [1, 2, 3, 4, 5, 6, 90, 91, 92, 93];
        let two = [7, 8, 9, 10, 11, 12, 90, 91, 92, 93];
        let bytes = clip("W3 H2 F30000:1001 Ip A1:1 C420jpeg XA=B", &[&one, &two]);
        let mut clip = Clip::open(&bytes[..]).unwrap();
        assert_eq!((clip.width, clip.height), (3, 2));
        assert_eq!(clip.next().unwrap(), Some(&[1, 2, 3, 4, 5, 6][..]));
        assert_eq!(clip.next().unwrap(), Some(&[7, 8, 9, 10, 11, 12][..]));
        assert_eq!(clip.next().unwrap(), None);
    }

    #[test]
    fn plane_sizes_of_every_form() {
        // 5 x 3, samples after brightness by hand: 3x2, 2x3, 3x3 and 5x3, two of each.
        for (form, rest) in [
            ("mono", 0),
            ("420", 12),
            ("420mpeg2", 12),
            ("411", 12),
            ("422", 18),
            ("444", 30),
            ("444alpha", 45),
        ] {
            assert_eq!(colours(form, 5, 3), Some((rest, 8)), "{form}");
        }
        assert_eq!(colours("420p10", 5, 3), Some((12, 10)));
        assert_eq!(colours("mono16", 5, 3), Some((0, 16)));
        assert_eq!(colours("rgb", 5, 3), None);
        assert_eq!(colours("420p99", 5, 3), None);
    }

    #[test]
    fn deep_samples_become_bytes() {
        let bytes = clip("W2 H1 Cmono10", &[&[0xff, 0x03, 0x00, 0x02]]);
        let mut clip = Clip::open(&bytes[..]).unwrap();
        assert_eq!(clip.next().unwrap(), Some(&[255, 128][..]));
        assert_eq!(clip.next().unwrap(), None);
    }

    #[test]
    fn bad_streams_are_refused_with_their_place() {
        let open = |b: &[u8]| Clip::open(b).err().unwrap_or_default();
        assert!(open(b"").contains("not a YUV4MPEG2"));
        assert!(open(b"RIFF\n").contains("not a YUV4MPEG2"));
        assert!(open(b"YUV4MPEG2 W3 H2").contains("does not end"));
        assert!(open(&[b'Y'; 5000]).contains("does not end"));
        assert!(open(b"YUV4MPEG2 W3\n").contains("no width or height"));
        for size in ["0", "-1", "99999", "18446744073709551615", "x", ""] {
            assert!(
                open(&clip(&format!("W{size} H2"), &[])).contains("1 to 16384"),
                "{size}"
            );
        }
        assert!(open(&clip("W3 H2 Cblue", &[])).contains("`Cblue`"));
        let mut cut = Clip::open(&b"YUV4MPEG2 W3 H2\nFRAME\n123"[..]).unwrap();
        assert!(
            cut.next()
                .unwrap_err()
                .starts_with("frames[0]: the clip is cut short")
        );
        let mut cut = Clip::open(&b"YUV4MPEG2 W2 H1 C444\nFRAME\n12345"[..]).unwrap();
        assert!(
            cut.next()
                .unwrap_err()
                .starts_with("frames[0]: the clip is cut short")
        );
        let mut other = Clip::open(&b"YUV4MPEG2 W1 H1 Cmono\nFRAME\n1OTHER\n"[..]).unwrap();
        assert!(other.next().unwrap().is_some());
        assert!(
            other
                .next()
                .unwrap_err()
                .starts_with("frames[1]: no FRAME line")
        );
    }
}
