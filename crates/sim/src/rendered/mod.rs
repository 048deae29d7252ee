//! Rendered people with exact truth and a real estimator's view of them, from a folder outside the project:
//! the nearest thing to the world that errors can be measured on.

mod line;
pub mod offsets;
pub mod profile;
mod read;
mod score;
mod table;

pub use line::line;
pub use read::{Clip, ESTIMATOR, load, names};
pub use score::{Scored, Value, score, scored};
pub use table::{Errors, Row, rows, text, wrong};

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Takes every clip of a folder through `each`, on some threads; results in the order of the names.
///
/// # Errors
/// The first clip that can't be read.
pub fn over<T: Send>(
    folder: &Path,
    only: &str,
    jobs: usize,
    each: impl Fn(&Clip) -> Result<T, String> + Sync,
) -> Result<Vec<T>, String> {
    let names: Vec<String> = names(folder)?
        .into_iter()
        .filter(|n| n.contains(only))
        .collect();
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Result<T, String>)>> = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..jobs.max(1) {
            scope.spawn(|| {
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    let Some(name) = names.get(i) else { break };
                    let one = load(folder, name).and_then(|clip| each(&clip));
                    let one = one.map_err(|e| format!("{name}: {e}"));
                    done.lock()
                        .unwrap_or_else(|e| e.into_inner())
                        .push((i, one));
                }
            });
        }
    });
    let mut list = done.into_inner().unwrap_or_else(|e| e.into_inner());
    list.sort_by_key(|(i, _)| *i);
    list.into_iter().map(|(_, one)| one).collect()
}
