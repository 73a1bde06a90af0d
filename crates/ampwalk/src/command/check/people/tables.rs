//! The tables behind the findings of one setup.

use ampwalk_core::assess::{HeadUse, RcdUse, SetupUse};
use ampwalk_core::network::{CircuitAt, HeadAt, Network, RcdAt, SetupAt, SupplyAt};
use ampwalk_core::physics::phasor::Phasor;
use ampwalk_core::physics::residual::Outcome;
use ampwalk_core::rule::words::{odds, time};

use crate::command::layout::Stand::{Left, Right};
use crate::command::layout::{table, wrapped};

/// From so many columns on, the tables tell more.
const WIDE: usize = 110;
/// Stands behind a number that rests on a default.
const MARK: &str = "*";

/// Circuits, RCDs, supplies, and heads in the order in which they are struck.
pub fn of_setup(network: &Network, setup: SetupAt, used: &SetupUse, width: usize) -> String {
    let tables = [
        circuits(network, used, width),
        rcds(network, used, width),
        supplies(network, setup, used, width),
        heads(network, used, width),
    ];
    let mut text = tables.into_iter().flatten().collect::<Vec<_>>().join("\n");
    if text.contains(MARK) {
        text.push_str(&wrapped("* assumed: rests on a default, not on a nameplate or a reading", 0, width));
    }
    text
}

/// A number, with room for the mark that it is assumed.
fn number(value: f64, decimals: usize, assumed: Basis) -> String {
    format!("{value:.decimals$}{}", assumed.mark())
}

/// What a number rests on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Basis {
    Known,
    Assumed,
}

impl Basis {
    const fn assumed_if(assumed: bool) -> Self {
        if assumed { Self::Assumed } else { Self::Known }
    }

    const fn mark(self) -> &'static str {
        match self {
            Self::Known => " ",
            Self::Assumed => MARK,
        }
    }
}

fn ids<T: ToString>(ids: impl IntoIterator<Item = T>) -> String {
    ids.into_iter().map(|id| id.to_string()).collect::<Vec<_>>().join(" ")
}

/// Whether the amps of any of these heads are a default.
fn amps_of(network: &Network, heads: &[HeadAt]) -> Basis {
    Basis::assumed_if(heads.iter().any(|head| network.heads[*head].amps_origin().is_assumed()))
}

/// Whether the leakage of any of these heads is a default.
fn leakage_of(network: &Network, heads: &[HeadAt]) -> Basis {
    Basis::assumed_if(heads.iter().any(|head| {
        let node = &network.heads[*head];
        node.leak.origin.max(node.strike.origin).is_assumed()
    }))
}

fn circuits(network: &Network, used: &SetupUse, width: usize) -> Option<String> {
    let wide = width >= WIDE;
    let untraced = used.circuits.iter().any(|(_, used)| used.possible.is_over(used.amps));
    let mut columns = vec![("circuit", Left), ("A", Right)];
    if untraced || wide {
        columns.push(("may be", Right));
    }
    columns.extend([("limit", Right), ("free", Right)]);
    let shared = !network.neutrals.is_empty();
    columns.extend(shared.then_some(("neutral", Right)));
    if wide {
        columns.extend([("start", Right), ("line", Left), ("RCD", Left)]);
    }
    columns.push(("heads", Left));
    let rows = used.circuits.iter().map(|(at, circuit)| {
        let node = &network.circuits[at];
        let limit = Basis::assumed_if(node.breaker.origin.is_assumed());
        let certain = amps_of(network, &circuit.heads);
        let mut row = vec![node.id.to_string(), number(circuit.amps.0, 2, certain)];
        if untraced || wide {
            let possible = amps_of(network, &circuit.possible_heads);
            let possible = if certain == Basis::Assumed { certain } else { possible };
            row.push(number(circuit.possible.0, 2, possible));
        }
        row.push(number(circuit.limit.0, 2, limit));
        row.push(number((circuit.limit - circuit.possible).0, 2, limit));
        if shared {
            row.push(circuit.neutral.map_or_else(String::new, |amps| number(amps.0, 2, Basis::Known)));
        }
        if wide {
            row.push(number(circuit.start_peak.0, 2, certain));
            row.push(node.line.to_string());
            row.push(chain(network, at));
        }
        row.push(heads_on(network, circuit.heads.as_slice(), &circuit.possible_heads));
        row
    });
    (!used.circuits.is_empty()).then(|| table(&columns, rows, width))
}

/// RCDs upstream of a circuit, nearest first.
fn chain(network: &Network, circuit: CircuitAt) -> String {
    let reach = &network.reaches[network.circuits[circuit].reach];
    ids(reach.certain_rcds().map(|rcd| network.rcd_id(rcd)))
}

/// Heads for certain, then with a question mark those that may be.
fn heads_on(network: &Network, certain: &[HeadAt], possible: &[HeadAt]) -> String {
    let certain = certain.iter().map(|head| network.head_id(*head).to_string());
    let possible = possible.iter().map(|head| format!("{}?", network.head_id(*head)));
    ids(certain.chain(possible))
}

fn rcds(network: &Network, used: &SetupUse, width: usize) -> Option<String> {
    let wide = width >= WIDE;
    let mut columns =
        vec![("RCD", Left), ("room mA", Right), ("standing", Right), ("striking", Right), ("outcome", Left)];
    if wide {
        columns.push(("heads", Left));
    }
    columns.push(("darkens", Left));
    let rows = used.rcds.iter().map(|(at, rcd)| {
        let heads: Vec<HeadAt> = rcd.heads.iter().chain(&rcd.possible_heads).copied().collect();
        let leakage = leakage_of(network, &heads);
        let mut row = vec![
            network.rcd_id(at).to_string(),
            room(rcd),
            number(rcd.possible_standing.0, 1, leakage),
            number(rcd.possible_peak.0, 1, leakage),
            outcome(rcd),
        ];
        if wide {
            row.push(heads_on(network, &rcd.heads, &rcd.possible_heads));
        }
        row.push(darkens(network, at));
        row
    });
    (!used.rcds.is_empty()).then(|| table(&columns, rows, width))
}

fn room(rcd: &RcdUse) -> String {
    let room = rcd.room.room;
    let mark = Basis::assumed_if(!rcd.room.tested).mark();
    match room.high {
        Some(high) => format!("{:.1} to {:.1}{mark}", room.low.0, high.0),
        None => format!("over {:.1}{mark}", room.low.0),
    }
}

fn outcome(rcd: &RcdUse) -> String {
    match rcd.outcome {
        Outcome::Holds if rcd.room.absent => "never trips".to_owned(),
        Outcome::Holds => "holds".to_owned(),
        Outcome::MayTrip => format!("may trip {}", odds(rcd.odds)),
        Outcome::Trips => "trips".to_owned(),
    }
}

fn darkens(network: &Network, rcd: RcdAt) -> String {
    ids(network.rcds[rcd].darkens.iter().map(|circuit| network.circuit_id(*circuit)))
}

fn supplies(network: &Network, setup: SetupAt, used: &SetupUse, width: usize) -> Option<String> {
    let lasts = used.supplies.iter().any(|(at, supply)| supply.battery_run(network, at).is_some());
    let burns = used.supplies.iter().any(|(at, supply)| supply.fuel(network, at, setup).is_some());
    let mut columns = vec![
        ("supply", Left),
        ("line", Left),
        ("A", Right),
        ("limit", Right),
        ("used", Right),
        ("kW in all", Right),
    ];
    columns.extend(lasts.then_some(("full, lasts", Right)));
    columns.extend(burns.then_some(("burns", Right)));
    let rows = used.supplies.iter().flat_map(|(at, supply)| {
        let node = &network.supplies[at];
        let amps = supply.lines.map(Phasor::amps);
        let basis = amps_of(network, &supply.heads);
        node.lines().map(move |line| {
            let first = line == 0;
            let on_first = |text: String| if first { text } else { String::new() };
            let mut row = vec![
                on_first(node.id.to_string()),
                format!("L{}", line + 1),
                number(amps[line].0, 2, basis),
                limit(network, at),
                node.limit
                    .map_or_else(String::new, |limit| format!("{:.0} %", 100.0 * (amps[line] / limit.value))),
                on_first(number(supply.kw.0, 2, basis)),
            ];
            if lasts {
                let run = supply.battery_run(network, at);
                row.push(on_first(run.map_or_else(String::new, |run| time(run.into()))));
            }
            if burns {
                let fuel = supply.fuel(network, at, setup);
                row.push(on_first(fuel.map_or_else(String::new, |fuel| format!("{:.1} l", fuel.0))));
            }
            row
        })
    });
    (!used.supplies.is_empty()).then(|| table(&columns, rows, width))
}

fn limit(network: &Network, at: SupplyAt) -> String {
    network.supplies[at].limit.map_or_else(
        || "unknown".to_owned(),
        |limit| number(limit.value.0, 2, Basis::assumed_if(limit.origin.is_assumed())),
    )
}

fn heads(network: &Network, used: &SetupUse, width: usize) -> Option<String> {
    let wide = width >= WIDE;
    let mut columns = vec![("strike", Right), ("head", Left), ("what", Left), ("socket", Left)];
    columns.extend([("circuit", Left), ("A", Right)]);
    if wide {
        columns.extend([("start", Right), ("mA", Right), ("striking", Right)]);
    }
    columns.extend([("lead m", Right), ("takes m", Right)]);
    let on = || used.heads.iter().filter_map(|(at, head)| Some((at, head.as_ref()?)));
    let unplaced = on().filter(|(_, head)| head.socket.is_none()).map(|(at, _)| at);
    let order: Vec<HeadAt> = used.strike_order.iter().copied().chain(unplaced).collect();
    let rows = order.iter().filter_map(|at| {
        let head = used.heads[*at].as_ref()?;
        let node = &network.heads[*at];
        let basis = amps_of(network, &[*at]);
        let mut row = vec![
            head.strike.map_or_else(|| "-".to_owned(), |number| number.to_string()),
            node.id.to_string(),
            what(network, *at),
            head.socket
                .map_or_else(|| "not placed".to_owned(), |socket| network.socket_id(socket).to_string()),
            head.socket.map_or_else(String::new, |socket| {
                let circuit = network.sockets[socket].circuit;
                circuit
                    .map_or_else(|| "untraced".to_owned(), |circuit| network.circuit_id(circuit).to_string())
            }),
            number(head.amps.0, 2, basis),
        ];
        if wide {
            let leakage = leakage_of(network, &[*at]);
            row.push(number(head.start.0, 2, basis));
            row.push(number(node.leak.value.high.0, 1, leakage));
            row.push(number((node.leak.value.high + node.strike.value.high).0, 1, leakage));
        }
        row.extend(leads(head));
        Some(row)
    });
    (!order.is_empty()).then(|| table(&columns, rows, width))
}

/// Metres of lead that it has, and that it takes; nothing for a head that is not placed.
fn leads(head: &HeadUse) -> [String; 2] {
    if head.socket.is_none() {
        return [String::new(), String::new()];
    }
    let needed = head.lead_needed.map(|needed| format!("{:.1}", needed.0));
    [format!("{:.1}", head.lead.0), needed.unwrap_or_else(|| "unknown".to_owned())]
}

/// What the crew calls a head, else its class.
fn what(network: &Network, at: HeadAt) -> String {
    let plan = network.plan.heads.get(network.head_id(at).as_str());
    plan.and_then(|head| {
        let class = head.class.as_ref().map(ToString::to_string);
        head.name.clone().or(class)
    })
    .unwrap_or_default()
}
