//! What the neutrals carry that several circuits share.

use crate::network::{Dense, HeadAt, Network, NeutralAt, Reach};
use crate::physics::harmonic::{Draw, LineLoad};
use crate::plan::Line;
use crate::unit::Amps;

use super::tally::line_drawn;
use super::usage::{HeadUse, SetupUse, head_draw};

/// Nothing in any of them yet.
pub(super) fn empty_neutrals(network: &Network) -> Dense<NeutralAt, LineLoad> {
    network.neutrals.iter().map(|(_, node)| LineLoad::new(node.wiring.unwrap_or_default())).collect()
}

/// Calls `add` for each shared neutral that a load with this reach draws through for certain, with its
/// line there.
pub(super) fn draw_through(network: &Network, reach: &Reach, mut add: impl FnMut(NeutralAt, Line)) {
    for part in reach.circuits.iter().filter(|part| part.certain) {
        if let Some(neutral) = network.circuits[part.what].neutral {
            add(neutral, line_drawn(network, reach, part.what));
        }
    }
}

/// Puts a load into a neutral. Where the circuits hang on several supplies, loads between lines leave it
/// alone, and all others add.
pub(super) fn add(network: &Network, neutral: NeutralAt, load: &mut LineLoad, draw: &Draw<'_>) {
    match network.neutrals[neutral].wiring {
        Some(_) => load.add(draw),
        None if draw.line.conductors().len() == 1 => load.add(&Draw { line: Line::L1, ..*draw }),
        None => {}
    }
}

/// What a neutral carries in a setup with one head more.
pub(super) fn with_head(
    network: &Network,
    lifted: &SetupUse,
    reach: &Reach,
    (head, used): (HeadAt, &HeadUse),
    neutral: NeutralAt,
) -> Amps {
    let mut load = lifted.neutrals[neutral].clone();
    draw_through(network, reach, |at, line| {
        if at == neutral {
            add(network, neutral, &mut load, &head_draw(&network.heads[head], used, line));
        }
    });
    load.neutral()
}
