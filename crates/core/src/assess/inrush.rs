//! Inrush on a circuit: of the heads that one switch brings on together, and of all of them at a reset.
//!
//! Heads on one plug in the wall, through a block, come on together; every other head by itself. What
//! burns already is left out, as it is in the published counts of drivers for a breaker.

use crate::network::{BlockAt, CircuitAt, Dense, HeadAt, Link, Network, SocketAt};
use crate::physics::breaker::magnetic_band;
use crate::physics::inrush::Inrush;
use crate::plan::Line;
use crate::unit::Amps;

use super::usage::HeadUse;

/// Inrush on a circuit against the magnetic band of its breaker.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitInrush {
    /// Lasting amps from which its breaker may open at once: the lower magnetic bound. Warmth moves the
    /// thermal trip only, so this is of the rating as printed.
    pub limit: Amps,
    /// All of its heads at once, as after a reset, on the busiest line. A head whose inrush is not known
    /// counts with its start amps.
    pub all: Inrush,
    /// The most that one switch brings on together.
    pub most: Inrush,
    /// The heads of `most`.
    pub together: Vec<HeadAt>,
}

/// The inrush of a circuit that `draws` say its heads and lines of.
pub(super) fn circuit_inrush(
    network: &Network,
    circuit: CircuitAt,
    draws: &[(HeadAt, Line)],
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> Option<CircuitInrush> {
    let node = &network.circuits[circuit];
    let (lower, _) = magnetic_band(node.curve.value)?;
    let mut lines = [Inrush::default(); 3];
    let mut most: Option<(HeadAt, Inrush)> = None;
    let mut on_blocks = Vec::new();
    for (head, line) in draws {
        let Some(used) = heads[*head].as_ref() else { continue };
        let inrush = counted(used);
        for conductor in line.conductors() {
            lines[*conductor] = lines[*conductor] + inrush;
        }
        if used.inrush.is_some() && most.is_none_or(|(_, most)| inrush.counts.is_over(most.counts)) {
            most = Some((*head, inrush));
        }
        if let (Some(Link::Block(block)), Some(socket)) = (used.links.first(), used.socket) {
            on_blocks.push((socket, *block, *head));
        }
    }
    let (head, alone) = most?;
    let all = lines.into_iter().reduce(|a, b| if b.counts.is_over(a.counts) { b } else { a })?;
    let (together, most) = match most_on_a_block(network, on_blocks, heads) {
        Some((group, sum)) if sum.counts.is_over(alone.counts) => (group, sum),
        _ => (vec![head], alone),
    };
    Some(CircuitInrush { limit: node.breaker.value * lower, all, most, together })
}

/// How many of these heads may be switched on at one go for sure, whichever they are: the largest that
/// `limit` bears together.
#[must_use]
pub fn at_once(heads: &[HeadAt], used: &Dense<HeadAt, Option<HeadUse>>, limit: Amps) -> usize {
    let mut counts: Vec<Amps> =
        heads.iter().filter_map(|head| Some(counted(used[*head].as_ref()?).counts)).collect();
    counts.sort_by(|a, b| b.total_cmp(*a));
    let mut sum = Amps::ZERO;
    counts
        .iter()
        .take_while(|counts| {
            sum += **counts;
            !sum.is_over(limit)
        })
        .count()
}

fn counted(used: &HeadUse) -> Inrush {
    used.inrush.unwrap_or_else(|| Inrush::lasting(used.start))
}

/// The heads on one block whose inrush counts most together. Blocks of a kind at one socket fill up in
/// the order of the plan.
fn most_on_a_block(
    network: &Network,
    mut on_blocks: Vec<(SocketAt, BlockAt, HeadAt)>,
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> Option<(Vec<HeadAt>, Inrush)> {
    on_blocks.sort_unstable();
    let sum = |group: &[(SocketAt, BlockAt, HeadAt)]| {
        let inrush = group.iter().filter_map(|(.., head)| heads[*head].as_ref()).map(counted);
        inrush.fold(Inrush::default(), |sum, one| sum + one)
    };
    let (group, sum) = on_blocks
        .chunk_by(|a, b| (a.0, a.1) == (b.0, b.1))
        .flat_map(|kind| kind.chunks(network.blocks[kind[0].1].ways.value.max(1) as usize))
        .map(|group| (group, sum(group)))
        .reduce(|best, next| if next.1.counts.is_over(best.1.counts) { next } else { best })?;
    Some((group.iter().map(|(.., head)| *head).collect(), sum))
}
