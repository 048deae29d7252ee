//! What JPEG makes of a grey picture.

/// Quantises as JPEG does: 8 x 8 blocks, cosine transform (ITU-T T.81, annex A.3.3), the luminance
/// table of its annex K.1 scaled by `coarse`; noise and rounding first.
pub fn compressed(picture: &[f64], width: usize, coarse: f64, seed: u64) -> Vec<u8> {
    let height = picture.len() / width;
    let mut h = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut noise = || {
        h ^= h << 13;
        h ^= h >> 7;
        h ^= h << 17;
        ((h >> 11) as f64 / (1u64 << 53) as f64 - 0.5) * 7.0
    };
    let noisy: Vec<f64> = picture
        .iter()
        .map(|v| (v + noise()).clamp(0.0, 255.0))
        .collect();
    if coarse <= 0.0 {
        return noisy.iter().map(|v| (v + 0.5) as u8).collect();
    }
    let cosine: Vec<[f64; 8]> = (0..8)
        .map(|u| {
            std::array::from_fn(|x| {
                let c = if u == 0 { (0.125f64).sqrt() } else { 0.5 };
                c * ((2 * x + 1) as f64 * u as f64 * std::f64::consts::PI / 16.0).cos()
            })
        })
        .collect();
    let mut out = vec![0u8; picture.len()];
    for by in (0..height).step_by(8) {
        for bx in (0..width).step_by(8) {
            let at = |x: usize, y: usize| {
                noisy[(by + y).min(height - 1) * width + (bx + x).min(width - 1)] - 128.0
            };
            let mut coefficients = [[0.0; 8]; 8];
            for (v, row) in coefficients.iter_mut().enumerate() {
                for (u, c) in row.iter_mut().enumerate() {
                    for y in 0..8 {
                        for x in 0..8 {
                            *c += at(x, y) * cosine[u][x] * cosine[v][y];
                        }
                    }
                    let step = (LUMINANCE[v][u] * coarse).max(1.0);
                    *c = (*c / step).round() * step;
                }
            }
            for y in 0..8.min(height - by) {
                for x in 0..8.min(width - bx) {
                    let mut value = 128.0;
                    for (v, row) in coefficients.iter().enumerate() {
                        for (u, c) in row.iter().enumerate() {
                            value += c * cosine[u][x] * cosine[v][y];
                        }
                    }
                    out[(by + y) * width + bx + x] = (value + 0.5).clamp(0.0, 255.0) as u8;
                }
            }
        }
    }
    out
}

/// ITU-T T.81 annex K, table K.1.
const LUMINANCE: [[f64; 8]; 8] = [
    [16.0, 11.0, 10.0, 16.0, 24.0, 40.0, 51.0, 61.0],
    [12.0, 12.0, 14.0, 19.0, 26.0, 58.0, 60.0, 55.0],
    [14.0, 13.0, 16.0, 24.0, 40.0, 57.0, 69.0, 56.0],
    [14.0, 17.0, 22.0, 29.0, 51.0, 87.0, 80.0, 62.0],
    [18.0, 22.0, 37.0, 56.0, 68.0, 109.0, 103.0, 77.0],
    [24.0, 35.0, 55.0, 64.0, 81.0, 104.0, 113.0, 92.0],
    [49.0, 64.0, 78.0, 87.0, 103.0, 121.0, 120.0, 101.0],
    [72.0, 92.0, 95.0, 98.0, 112.0, 100.0, 103.0, 99.0],
];
