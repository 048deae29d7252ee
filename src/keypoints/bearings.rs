//! Bearings at which estimators were measured.

/// Where the camera stands as a leg sees it, degrees: 0 in front, 90 on its own side, -90 on the other leg's, 180 behind.
/// measured: the views that the rendered people were filmed from
pub const BEARINGS: [f64; 10] = [
    -168.0, -145.0, -90.0, -32.0, 0.0, 32.0, 90.0, 145.0, 168.0, 180.0,
];

/// The bearings on both sides of one, by index, and how far it lies from the first toward the second, 0 to 1; behind, the
/// first one follows on the last.
#[inline(never)]
pub(crate) fn about(bearing: f64) -> (usize, usize, f64) {
    let bearing = (bearing + 180.0).rem_euclid(360.0) - 180.0;
    let after = BEARINGS.iter().position(|&b| b >= bearing).unwrap_or(0);
    let before = (after + BEARINGS.len() - 1) % BEARINGS.len();
    let step = (BEARINGS[after] - BEARINGS[before]).rem_euclid(360.0);
    let part = (bearing - BEARINGS[before]).rem_euclid(360.0) / step;
    (before, after, part)
}
