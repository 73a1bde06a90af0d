//! What people read before they switch on: a line a head, in order.

use ampwalk_core::assess::{Step, Verdict};
use ampwalk_core::network::Network;
use ampwalk_core::physics::residual::{Outcome, odds, outcome};
use ampwalk_core::rule::words::{list, number, odds as chance, pair};

use super::{Cost, Order};
use crate::command::layout::Stand::{Left, Right};
use crate::command::layout::{HEADING, style, styled, table, wrapped};

pub(super) fn text(network: &Network, orders: &[Order<'_>], width: usize) -> String {
    if orders.is_empty() {
        return wrapped("The plan has no setup, so nothing is struck.", 0, width);
    }
    let mut text = String::new();
    for order in orders {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&of_setup(network, order, width));
    }
    text.push_str(&wrapped(
        "\nOne head at a time, by its own switch, each once the one before has run up. A hot discharge head waits \
         until it is cold.",
        0,
        width,
    ));
    text
}

fn of_setup(network: &Network, order: &Order<'_>, width: usize) -> String {
    let mut text = styled(&format!("{}\n", network.setup_id(order.setup)), HEADING);
    if order.steps.is_empty() {
        text.push_str("no head is plugged in\n");
        return text;
    }
    let columns = [
        ("", Right),
        ("head", Left),
        ("at", Left),
        ("circuit", Left),
        ("A striking", Right),
        ("then", Right),
        ("RCD", Left),
        ("mA striking", Right),
        ("then", Right),
        ("", Left),
    ];
    let rows = order.steps.iter().enumerate().flat_map(|(place, step)| rows(network, order, place + 1, step));
    text.push_str(&table(&columns, rows, width));
    if order.steps.iter().any(is_unsure) {
        text.push_str(&wrapped("? may be there, by what was traced: the most that may flow", 0, width));
    }
    if !order.used.spared_breakers.is_empty() {
        let spared = list(order.used.spared_breakers.iter().map(|at| network.circuit_id(*at)));
        text.push_str(&wrapped(
            &format!("The order spares {spared}, which falling leakage would not."),
            0,
            width,
        ));
    }
    match &order.cost {
        Some(cost) => text.push_str(&costs(network, cost, width)),
        None if network.setups[order.setup].strike.is_empty() => {}
        None => text.push_str(&wrapped("The crew's own order costs nothing.", 0, width)),
    }
    text
}

fn is_unsure(step: &Step) -> bool {
    step.circuits.iter().any(|part| !part.certain) || step.rcds.iter().any(|part| !part.certain)
}

/// A line for each circuit and RCD of the head; the head stands on the first.
fn rows(network: &Network, order: &Order<'_>, place: usize, step: &Step) -> Vec<Vec<String>> {
    let mark = |id: &str, certain: bool| if certain { id.to_owned() } else { format!("{id}?") };
    let circuit = |at: usize| match step.circuits.get(at) {
        None => [String::new(), String::new(), String::new()],
        Some(part) => {
            let (striking, then) = pair(part.striking.possible.0, part.lit.possible.0);
            [mark(network.circuit_id(part.circuit).as_str(), part.certain), striking, then]
        }
    };
    let rcd = |at: usize| match step.rcds.get(at) {
        None => [String::new(), String::new(), String::new(), String::new()],
        Some(part) => {
            let room = order.used.rcds[part.rcd].room.room;
            let (striking, then) = pair(part.striking.possible.0, part.lit.possible.0);
            let told = match outcome(part.striking.possible, room) {
                Outcome::Holds => String::new(),
                Outcome::MayTrip => format!("may trip {}", chance(odds(part.striking.possible, room))),
                Outcome::Trips => "trips".to_owned(),
            };
            [mark(network.rcd_id(part.rcd).as_str(), part.certain), striking, then, told]
        }
    };
    (0..step.circuits.len().max(step.rcds.len()).max(1))
        .map(|at| {
            let first = if at == 0 {
                [
                    place.to_string(),
                    network.head_id(step.head).to_string(),
                    network.socket_id(step.socket).to_string(),
                ]
            } else {
                [String::new(), String::new(), String::new()]
            };
            first.into_iter().chain(circuit(at)).chain(rcd(at)).collect()
        })
        .collect()
}

/// What the crew's own order does worse, or better, than the best one.
fn costs(network: &Network, cost: &Cost, width: usize) -> String {
    let mut text = styled(&wrapped("What the crew's own order costs:", 0, width), style(Verdict::Risk));
    for (at, own, best) in &cost.rcds {
        let (peak, least) = pair(own.milliamps, best.milliamps);
        let odds = if (own.odds - best.odds).abs() > super::TOLERANCE {
            format!("; it drops {} instead of {}", chance(own.odds), chance(best.odds))
        } else {
            String::new()
        };
        let line =
            format!("{}: {peak} mA at most while striking instead of {least}{odds}", network.rcd_id(*at));
        text.push_str(&wrapped(&line, 3, width));
    }
    for (at, own, best) in &cost.circuits {
        let line = format!(
            "{}: {} A at most while heads run up instead of {}",
            network.circuit_id(*at),
            number(*own),
            number(*best)
        );
        text.push_str(&wrapped(&line, 3, width));
    }
    let order: Vec<&str> = cost.best_order.iter().map(|head| network.head_id(*head).as_str()).collect();
    text.push_str(&wrapped(&format!("the best order: {}", order.join(", ")), 3, width));
    text
}
