//! What only the whole plan can tell: loops, lines and figures that say the same thing twice.

use std::collections::HashMap;

use super::check::Reading;
use super::number::shown;
use super::problem::{Gravity, Told, told};
use super::reference::{field, place};
use crate::id::{CircuitId, HeadId};
use crate::library::{RegionCode, library};
use crate::plan::{Circuit, Head, Line, Plan, Wiring};

/// More members of a loop than these are counted, not named.
const MOST_NAMED: usize = 50;

/// More one behind the other than any building has: whoever walks upstream may do so step by step, and keep all
/// that lies there.
const MOST_LEVELS: usize = 32;

/// Checks the plan as a whole. Loops are cut at their first member, and chains where they get too long, so
/// that whoever walks upstream arrives somewhere, and soon.
pub(super) fn check(reading: &mut Reading<'_>, plan: &mut Plan) {
    rcd_loops(reading, plan);
    circuit_loops(reading, plan);
    long_chains(reading, plan);
    own_neutral(reading, plan);
    lines(reading, plan);
    for (id, head) in &plan.heads {
        amps_and_watts(reading, plan.location.region, id, head);
    }
}

/// The loops of a graph in which each of `count` members leads to one other at most.
fn loops(count: usize, next: impl Fn(usize) -> Option<usize>) -> Vec<Vec<usize>> {
    const NEW: usize = 0;
    let mut walked = vec![NEW; count];
    let mut found = Vec::new();
    for start in 0..count {
        let walk = start + 1;
        let mut at = Some(start);
        while let Some(member) = at.filter(|member| walked[*member] == NEW) {
            walked[member] = walk;
            at = next(member);
        }
        let Some(first) = at.filter(|member| walked[*member] == walk) else {
            continue;
        };
        let mut members = vec![first];
        let mut member = next(first);
        while let Some(other) = member.filter(|other| *other != first) {
            members.push(other);
            member = next(other);
        }
        found.push(members);
    }
    found
}

/// The members of a graph without loops from which it is more than `most` to the end, each where a cut brings
/// it to an end and all others within reach.
fn too_far(count: usize, most: usize, next: impl Fn(usize) -> Option<usize>) -> Vec<usize> {
    let mut levels = vec![0; count];
    let mut found = Vec::new();
    for start in 0..count {
        let mut way = Vec::new();
        let mut at = Some(start);
        while let Some(member) = at.filter(|member| levels[*member] == 0) {
            way.push(member);
            at = next(member);
        }
        let mut level = at.map_or(0, |member| levels[member]);
        for member in way.into_iter().rev() {
            level += 1;
            if level > most {
                found.push(member);
                level = 1;
            }
            levels[member] = level;
        }
    }
    found
}

fn long_chains(reading: &mut Reading<'_>, plan: &mut Plan) {
    let rcds = &plan.rcds;
    let found =
        too_far(rcds.len(), MOST_LEVELS, |at| rcds.get_index_of(rcds.get_index(at)?.1.behind.as_ref()?));
    for at in found {
        let Some((id, rcd)) = plan.rcds.get_index_mut(at) else { continue };
        let here = place(reading.tree, "rcd", id.as_str(), "behind");
        reading.problems.error("too-deep", here, || {
            told(
                format!("upstream of RCD `{id}` are more than {MOST_LEVELS} others, each behind the next"),
                "No building has that. Take out the `behind` that is not so.",
            )
        });
        rcd.behind = None;
    }
    let circuits = &plan.circuits;
    let found = too_far(circuits.len(), MOST_LEVELS, |at| {
        circuits.get_index_of(feeding(plan, circuits.get_index(at)?.1)?)
    });
    for at in found {
        let Some((id, circuit)) = plan.circuits.get_index_mut(at) else { continue };
        let here = place(reading.tree, "circuit", id.as_str(), "from");
        reading.problems.error("too-deep", here, || {
            told(
                format!(
                    "upstream of circuit `{id}` are more than {MOST_LEVELS} others, each fed by the next"
                ),
                "No building has that. Write `supply` instead of `from` where one comes from it.",
            )
        });
        circuit.from = None;
    }
}

fn names<'i>(ids: impl ExactSizeIterator<Item = &'i str>) -> String {
    let count = ids.len();
    let mut named: Vec<String> = ids.take(MOST_NAMED).map(|id| format!("`{id}`")).collect();
    if count > MOST_NAMED {
        named.push(format!("{} more", count - MOST_NAMED));
    }
    named.join(" → ")
}

fn rcd_loops(reading: &mut Reading<'_>, plan: &mut Plan) {
    let tree = reading.tree;
    let rcds = &plan.rcds;
    let found = loops(rcds.len(), |at| {
        let behind = rcds.get_index(at)?.1.behind.as_ref()?;
        rcds.get_index_of(behind)
    });
    for members in found {
        let ids: Vec<&str> =
            members.iter().filter_map(|at| plan.rcds.get_index(*at)).map(|(id, _)| id.as_str()).collect();
        let (Some(first), Some(last)) = (ids.first(), ids.last()) else {
            continue;
        };
        let (here, there) = (place(tree, "rcd", first, "behind"), place(tree, "rcd", last, "behind"));
        reading.problems.error("loop", here, || {
            told(
                format!("RCDs stand behind each other in a loop: {} → `{first}`", names(ids.iter().copied())),
                "Take out the `behind` of the one that is nearest to the supply.",
            )
            .and(there, "the loop closes here")
        });
        if let Some((_, rcd)) = plan.rcds.get_index_mut(members[0]) {
            rcd.behind = None;
        }
    }
}

fn circuit_loops(reading: &mut Reading<'_>, plan: &mut Plan) {
    let tree = reading.tree;
    let found = loops(plan.circuits.len(), |at| {
        let (_, circuit) = plan.circuits.get_index(at)?;
        plan.circuits.get_index_of(feeding(plan, circuit)?)
    });
    for members in found {
        let ids: Vec<&str> =
            members.iter().filter_map(|at| plan.circuits.get_index(*at)).map(|(id, _)| id.as_str()).collect();
        let (Some(first), Some(last)) = (ids.first(), ids.last()) else {
            continue;
        };
        let (here, there) = (place(tree, "circuit", first, "from"), place(tree, "circuit", last, "from"));
        reading.problems.error("loop", here, || {
            told(
                format!(
                    "circuits feed each other in a loop: {} → `{first}`",
                    names(ids.iter().copied())
                ),
                "One of them comes from a supply: write `supply` there instead of `from`, or correct the `circuit` of the socket.",
            )
            .and(there, "the loop closes here")
        });
        if let Some((_, circuit)) = plan.circuits.get_index_mut(members[0]) {
            circuit.from = None;
        }
    }
}

/// The circuit that feeds one which comes from a socket.
fn feeding<'p>(plan: &'p Plan, circuit: &Circuit) -> Option<&'p CircuitId> {
    if circuit.supply.is_some() {
        return None;
    }
    plan.sockets.get(circuit.from.as_ref()?)?.circuit.as_ref()
}

fn own_neutral(reading: &mut Reading<'_>, plan: &Plan) {
    for (id, circuit) in &plan.circuits {
        if circuit.neutral_with.as_ref() != Some(id) {
            continue;
        }
        let here = place(reading.tree, "circuit", id.as_str(), "neutral_with");
        reading.problems.error("names-itself", here, || {
            told(
                format!("circuit `{id}` shares its neutral with itself"),
                "Write the id of the other circuit.",
            )
        });
    }
}

/// What brings lines to a circuit, and which.
#[derive(Clone, Copy)]
struct Brought<'p> {
    conductors: &'static [usize],
    by: Bringer<'p>,
}

#[derive(Clone, Copy)]
enum Bringer<'p> {
    Supply(&'p str),
    Circuit(&'p str),
}

/// Checks that each circuit's line is one that its supply has.
fn lines(reading: &mut Reading<'_>, plan: &Plan) {
    let mut carried: HashMap<&CircuitId, Option<&'static [usize]>> = HashMap::new();
    for (id, circuit) in &plan.circuits {
        let Some(brought) = brought(plan, circuit, &mut carried) else {
            continue;
        };
        let is_given = field(reading.tree, "circuit", id.as_str(), "line").is_some();
        let here = place(reading.tree, "circuit", id.as_str(), "line");
        match circuit.line {
            None if !is_given && brought.conductors.len() > 1 => {
                let tree = reading.tree;
                reading.problems.error("line-missing", here, || line_told(tree, id, None, brought));
            }
            Some(line) if !is_among(line.conductors(), brought.conductors) => {
                let tree = reading.tree;
                reading.problems.error("line-not-there", here, || line_told(tree, id, Some(line), brought));
            }
            _ => {}
        }
    }
}

fn is_among(some: &[usize], all: &[usize]) -> bool {
    some.iter().all(|conductor| all.contains(conductor))
}

/// The lines that arrive at a circuit. Climbs to the supply, and remembers what it found on the way.
fn brought<'p>(
    plan: &'p Plan,
    circuit: &'p Circuit,
    carried: &mut HashMap<&'p CircuitId, Option<&'static [usize]>>,
) -> Option<Brought<'p>> {
    if let Some(supply) = &circuit.supply {
        let wiring = plan.supplies.get(supply)?.wiring.unwrap_or_default();
        return Some(Brought { conductors: conductors(wiring), by: Bringer::Supply(supply.as_str()) });
    }
    let feeder = feeding(plan, circuit)?;
    let mut climbed: Vec<&CircuitId> = Vec::new();
    let mut at = Some(feeder);
    let mut above: Option<&'static [usize]> = None;
    while let Some(id) = at {
        if let Some(known) = carried.get(id) {
            above = *known;
            break;
        }
        climbed.push(id);
        let Some(circuit) = plan.circuits.get(id) else {
            break;
        };
        if let Some(supply) = &circuit.supply {
            above = plan.supplies.get(supply).map(|supply| conductors(supply.wiring.unwrap_or_default()));
            break;
        }
        at = feeding(plan, circuit);
    }
    for id in climbed.into_iter().rev() {
        let own = plan.circuits.get(id).and_then(|circuit| circuit.line);
        above = match own {
            Some(line) => Some(line.conductors()),
            None => above.filter(|lines| lines.len() == 1),
        };
        carried.insert(id, above);
    }
    Some(Brought { conductors: above?, by: Bringer::Circuit(feeder.as_str()) })
}

const fn conductors(wiring: Wiring) -> &'static [usize] {
    match wiring {
        Wiring::One => &[0],
        Wiring::Split => &[0, 1],
        Wiring::Star => &[0, 1, 2],
    }
}

fn line_told(tree: &super::tree::Tree<'_>, id: &CircuitId, line: Option<Line>, brought: Brought<'_>) -> Told {
    let (by, table, name, key) = match brought.by {
        Bringer::Supply(id) => ("supply", "supply", id, "wiring"),
        Bringer::Circuit(id) => ("circuit", "circuit", id, "line"),
    };
    let there: Vec<String> = Line::WORDS
        .iter()
        .filter(|(_, line)| is_among(line.conductors(), brought.conductors))
        .map(|(word, _)| format!("\"{word}\""))
        .collect();
    let there = there.join(", ");
    let other_end = place(tree, table, name, key);
    match line {
        None => told(
            format!("circuit `{id}` does not say its `line`, and {by} `{name}` brings several"),
            format!("Add `line = …`, one of {there}: the board or a tester tells which."),
        ),
        Some(line) => told(
            format!("circuit `{id}` is on {line}, and {by} `{name}` does not bring that"),
            format!("Write `line = …`, one of {there}, or correct the {key} of {by} `{name}`."),
        ),
    }
    .and(other_end, format!("{by} `{name}`"))
}

/// Amps win over watts; the user is told what that means.
pub(super) fn amps_and_watts(
    reading: &mut Reading<'_>,
    region: Option<RegionCode>,
    id: &HeadId,
    head: &Head,
) {
    let (Some(amps), Some(watts)) = (head.amps, head.watts) else {
        return;
    };
    let tree = reading.tree;
    let here = place(tree, "head", id.as_str(), "watts");
    let there = place(tree, "head", id.as_str(), "amps");
    reading.problems.add("amps-and-watts", Gravity::Note, here, || {
        let class = head.class.as_ref().and_then(|class| library().heads.get(class));
        let factor = head.power_factor.or_else(|| class.map(|class| class.power_factor)).unwrap_or(1.0);
        let volts = head.volts.map(|volts| volts.0).or_else(|| {
            let region = library().regions.get(&region?)?;
            Some(region.volts.0)
        });
        let difference = volts.map(|volts| {
            let computed = watts.0 / (volts * factor);
            format!(
                " {} W at {} V and power factor {} is {:.2} A: {:+.2} A against the {} A given.",
                shown(watts.0),
                shown(volts),
                shown(factor),
                computed,
                computed - amps.0,
                shown(amps.0)
            )
        });
        told(
            format!("head `{id}` has `amps` and `watts`: amps counts, watts does not"),
            format!(
                "Keep the measured one, or keep both and know which counts.{}",
                difference.unwrap_or_default()
            ),
        )
        .and(there, "what counts")
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loops_are_found_once_each_with_all_their_members() {
        // 0 → 1 → 2 → 1, 3 → 3, 4 → 0, 5 ends
        let next = [Some(1), Some(2), Some(1), Some(3), Some(0), None];
        assert_eq!(loops(6, |at| next[at]), vec![vec![1, 2], vec![3]]);
    }

    #[test]
    fn a_chain_is_cut_where_it_gets_too_long_and_only_there() {
        // 0 → 1 → 2 → 3 → 4 → 5, and 6 → 3
        let next = [Some(1), Some(2), Some(3), Some(4), Some(5), None, Some(3)];
        assert_eq!(too_far(7, 3, |at| next[at]), [2, 6]);
        assert_eq!(too_far(7, 4, |at| next[at]), [1]);
        assert_eq!(too_far(7, 6, |at| next[at]), [0; 0]);
    }
}
