//! Everything about a clip as one line of JSON, for whoever looks for causes.

use super::read::Clip;
use super::score::Scored;
use serde_json::{Value, json};
use underfoot::measures::Channel;

/// Values, and every third instant of the curves: time, depth, what was said and what is true by channel, and
/// what the pictures alone said.
pub fn line(clip: &Clip, scored: &Scored) -> String {
    let truth = &clip.film.truth;
    let series = serde_json::to_value(&scored.report.series).unwrap_or_default();
    let said = |channel: Channel, of: &Value| {
        let of = &of[channel.check().name()];
        match channel.side() {
            Some(side) => of[side.name()].clone(),
            None => of.clone(),
        }
    };
    let times: Vec<f64> = series["t_ms"]
        .as_array()
        .map(|list| list.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default();
    let curves: Vec<Value> = Channel::ALL
        .iter()
        .map(|&channel| {
            let (said, sd) = (said(channel, &series), said(channel, &series["sd"]));
            let list = &truth.curves.channels[channel.index()];
            let rows = times.iter().enumerate().step_by(3).map(|(i, t)| {
                let k = truth.curves.t_ms.partition_point(|v| v < &(t - 1.0));
                json!([said[i], sd[i], list.get(k).copied().flatten()])
            });
            json!(rows.collect::<Vec<_>>())
        })
        .collect();
    let depth: Vec<Value> = times
        .iter()
        .step_by(3)
        .map(|t| {
            let k = truth.curves.t_ms.partition_point(|v| v < &(t - 1.0));
            json!(truth.curves.depth.get(k))
        })
        .collect();
    let feet: Vec<Value> = scored
        .feet
        .iter()
        .step_by(3)
        .map(|feet| {
            let of = |i: usize| {
                let foot = feet.and_then(|f| f[i]);
                json!(foot.map(|f| json!([f.heel_lift_mm, f.foot_roll_deg])))
            };
            json!([of(0), of(1)])
        })
        .collect();
    json!({
        "clip": clip.name,
        "view": clip.view,
        "azimuth_deg": truth.azimuth_deg,
        "footwear": format!("{:?}", clip.film.recording.setup.footwear),
        "knee_standing_deg": clip.knee_standing_deg,
        "said_view": serde_json::to_value(&scored.report.view).unwrap_or_default(),
        "values": scored.values,
        "t_ms": times.iter().step_by(3).collect::<Vec<_>>(),
        "depth": depth,
        "curves": curves,
        "feet": feet,
    })
    .to_string()
}
