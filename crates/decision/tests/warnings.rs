//! Wind and snow against what the plan lays.

use decision::report::WarningKind;
use decision::warnings;
use garden::file;
use garden::fit::{Lie, covers};

fn kinds(gust: Option<f64>, snow: Option<f64>) -> Vec<WarningKind> {
    let garden =
        file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads");
    let bed = garden.beds.iter().find(|b| b.name == "broccoli").expect("the bed");
    let all = covers(&garden, bed);
    let tunnel = all.iter().find(|c| matches!(c.lie, Lie::LowTunnel { .. })).expect("a tunnel");
    warnings::of(&[(bed, tunnel)], gust, snow).into_iter().map(|w| w.kind).collect()
}

#[test]
fn a_calm_dry_night_warns_of_nothing_and_silence_is_not_calm() {
    assert!(kinds(Some(2.0), Some(0.0)).is_empty());
    assert!(
        kinds(None, None).is_empty(),
        "what is not known is not warned of; the report says it is missing"
    );
}

/// 20 m/s is 245 Pa (0.613 V²): no pins in garden soil hold cloth against that (thin legs, 28 N a pair).
#[test]
fn a_gale_lifts_cloth_and_more_pins_are_asked_for() {
    let found = kinds(Some(20.0), None);
    let lifts = |k: &WarningKind| matches!(k, WarningKind::WindLiftsCloth { pins_needed, holds_m_s, .. } if *pins_needed > 24 && *holds_m_s < 20.0);
    assert!(found.iter().any(lifts), "{found:?}");
}

/// Worked example: ten-gauge wire at this spacing collapses under 10 cm of wet snow.
#[test]
fn ten_centimetres_of_snow_are_warned_of() {
    let found = kinds(None, Some(0.10));
    assert!(
        found.iter().any(|k| matches!(k, WarningKind::SnowLoad { holds_m, .. } if *holds_m < 0.10)),
        "{found:?}"
    );
}
