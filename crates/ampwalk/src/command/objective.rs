//! What a placement comes to, level by level, as other programs read it.

use ampwalk_core::solve::plan::Objective;
use serde::Serialize;

/// The levels of an objective, or of what none can beat.
#[derive(Debug, Serialize)]
pub(super) struct Levels {
    dark_importance: i64,
    on_generator: i64,
    odds: f64,
    moves: i64,
    lead_m: f64,
}

/// What was reached.
#[derive(Debug, Serialize)]
pub(super) struct Reached {
    #[serde(flatten)]
    pub levels: Levels,
    pub tightest_percent: f64,
}

pub(super) const fn levels(objective: &Objective) -> Levels {
    Levels {
        dark_importance: objective.dark_importance,
        on_generator: objective.on_generator,
        odds: objective.odds,
        moves: objective.moves,
        lead_m: objective.lead_m,
    }
}
