//! The strike order of a setup, step by step: what each circuit and RCD of the head that is struck
//! carries meanwhile, and after.

use crate::network::{At, CircuitAt, Dense, HeadAt, Network, RcdAt, SocketAt};
use crate::physics::residual::odds;
use crate::plan::Line;
use crate::unit::{Amps, MilliAmps};

use super::tally::{chain, line_drawn, struck};
use super::usage::{Certainty, SetupUse};

/// One head is struck.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The head.
    pub head: HeadAt,
    /// Where it is plugged in.
    pub socket: SocketAt,
    /// The circuits that it loads, or may load, nearest first.
    pub circuits: Vec<CircuitStep>,
    /// The RCDs that it leaks through, or may leak through, nearest first.
    pub rcds: Vec<RcdStep>,
}

/// What a circuit carries in a step, on its busiest line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircuitStep {
    /// The circuit.
    pub circuit: CircuitAt,
    /// Whether the head is on it for certain.
    pub certain: bool,
    /// Amps while the head runs up.
    pub striking: Bounds<Amps>,
    /// Amps once it burns.
    pub lit: Bounds<Amps>,
}

/// What leaks through an RCD in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RcdStep {
    /// The RCD.
    pub rcd: RcdAt,
    /// Whether the head is behind it for certain.
    pub certain: bool,
    /// Leakage while the head strikes.
    pub striking: Bounds<MilliAmps>,
    /// Leakage once it burns.
    pub lit: Bounds<MilliAmps>,
}

/// A sum without and with what nobody has traced.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds<T> {
    /// For certain.
    pub certain: T,
    /// With every untraced head that may be there, and what others may draw or leak.
    pub possible: T,
}

/// The steps of a setup, in its strike order. The largest `striking` of an RCD over all steps is its
/// peak in `used`, and its last `lit` its standing leakage.
#[must_use]
pub fn steps(network: &Network, used: &SetupUse) -> Vec<Step> {
    let mut sums = Sums::before_the_first(network, used);
    used.strike_order.iter().filter_map(|head| sums.step(*head)).collect()
}

/// The RCDs that may drop in a step, the likeliest first, of the alike the nearest: that one is
/// expected to go, and the others may go with it or in its stead.
#[must_use]
pub fn may_drop(used: &SetupUse, step: &Step) -> Vec<RcdAt> {
    let chance =
        |part: &RcdStep| Some((part.rcd, odds(part.striking.possible, used.rcds.get(part.rcd)?.room.room)));
    let mut may: Vec<(RcdAt, f64)> =
        step.rcds.iter().filter_map(chance).filter(|(_, odds)| *odds > 0.0).collect();
    may.sort_by(|a, b| b.1.total_cmp(&a.1));
    may.into_iter().map(|(rcd, _)| rcd).collect()
}

/// What flows already, certain and possible.
struct Sums<'a> {
    network: &'a Network,
    used: &'a SetupUse,
    amps: Dense<CircuitAt, Bounds<[Amps; 3]>>,
    leak: Dense<RcdAt, Bounds<MilliAmps>>,
}

impl<'a> Sums<'a> {
    /// Base loads, idle heads and reserves.
    fn before_the_first(network: &'a Network, used: &'a SetupUse) -> Self {
        let leak = used
            .rcds
            .iter()
            .map(|(at, rcd)| Bounds {
                certain: rcd.idle,
                possible: rcd.possible_idle + network.rcds[at].reserve.unwrap_or(MilliAmps::ZERO),
            })
            .collect();
        let mut amps: Dense<CircuitAt, _> = used
            .circuits
            .iter()
            .map(|(_, circuit)| Bounds { certain: circuit.line_base, possible: circuit.line_possible })
            .collect();
        // What the heads may draw is taken off again, which leaves the base loads.
        for head in &used.strike_order {
            let Some((socket, head)) = placed(used, *head) else { continue };
            let reach = network.reach_of(socket);
            for part in &reach.circuits {
                for conductor in line_drawn(network, reach, part.what).conductors() {
                    let left = &mut amps[part.what].possible[*conductor];
                    *left = (*left - head.amps).max(Amps::ZERO);
                }
            }
        }
        Self { network, used, amps, leak }
    }

    fn step(&mut self, head: HeadAt) -> Option<Step> {
        let (socket, head_use) = placed(self.used, head)?;
        let network = self.network;
        let reach = network.reach_of(socket);
        let strike = struck(network, head, head_use);
        let circuits = reach
            .circuits
            .iter()
            .map(|part| {
                let line = line_drawn(network, reach, part.what);
                let reserve = network.plan.circuits.get_index(part.what.get());
                let reserve = reserve.and_then(|(_, circuit)| circuit.reserve).unwrap_or(Amps::ZERO);
                let sums = &mut self.amps[part.what];
                let before = *sums;
                add(sums, line, strike.running, part.certain);
                let mut while_striking = before;
                add(&mut while_striking, line, strike.start, part.certain);
                CircuitStep {
                    circuit: part.what,
                    certain: part.certain,
                    striking: busiest(&while_striking, reserve),
                    lit: busiest(sums, reserve),
                }
            })
            .collect();
        let rcds = chain(network, socket)
            .map(|(rcd, certainty)| {
                let certain = certainty == Certainty::Certain;
                let sums = &mut self.leak[rcd];
                sums.possible += strike.standing;
                if certain {
                    sums.certain += strike.standing;
                }
                let lit = *sums;
                let extra = if certain { strike.strike } else { MilliAmps::ZERO };
                RcdStep {
                    rcd,
                    certain,
                    striking: Bounds { certain: lit.certain + extra, possible: lit.possible + strike.strike },
                    lit,
                }
            })
            .collect();
        Some(Step { head, socket, circuits, rcds })
    }
}

fn placed(used: &SetupUse, head: HeadAt) -> Option<(SocketAt, &super::usage::HeadUse)> {
    let head = used.heads[head].as_ref()?;
    Some((head.socket?, head))
}

fn add(sums: &mut Bounds<[Amps; 3]>, line: Line, amps: Amps, certain: bool) {
    for conductor in line.conductors() {
        sums.possible[*conductor] += amps;
        if certain {
            sums.certain[*conductor] += amps;
        }
    }
}

fn busiest(sums: &Bounds<[Amps; 3]>, reserve: Amps) -> Bounds<Amps> {
    let of = |lines: [Amps; 3]| lines[0].max(lines[1]).max(lines[2]);
    Bounds { certain: of(sums.certain), possible: of(sums.possible) + reserve }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write as _;
    use std::sync::Arc;

    use proptest::prelude::*;

    use super::*;
    use crate::assess::assess;
    use crate::network::SetupAt;

    fn network(text: &str) -> Network {
        Network::of(Arc::new(crate::file::parse(text).plan))
    }

    const HOUSE: &str = r#"
ampwalk = 1
[location]
region = "au"
[supply.house]
kind = "mains"
[rcd.RA]
[circuit.P1]
supply = "house"
rcd = "RA"
base = [ { name = "clock", amps = 0.5 } ]
[circuit.P2]
supply = "house"
rcd = "RA"
reserve_a = 1.0
[floor.ground]
level = 0
[room.living]
floor = "ground"
[socket.G1]
room = "living"
circuit = "P1"
[socket.G2]
room = "living"
circuit = "P2"
[socket.G9]
room = "living"
"#;

    #[test]
    fn each_step_tells_what_its_circuit_and_rcd_carry() {
        let text = format!(
            "{HOUSE}
[head.A]
amps = 3.0
start_a = 5.0
leak_ma = 3.5
strike_ma = 10
socket = \"G1\"
[head.B]
amps = 2.0
leak_ma = 1.0
socket = \"G2\"
[head.C]
amps = 4.0
leak_ma = 0.5
socket = \"G9\"
[setup.day]
minutes = 60
on = [\"A\", \"B\", \"C\"]
"
        );
        let network = network(&text);
        let assessment = assess(&network);
        let steps = steps(&network, &assessment.setups[SetupAt::new(0)]);
        // By hand. A on P1: 0.5 + 5.0 while it runs up, 0.5 + 3.0 after; 13.5 mA, then 3.5.
        let first = &steps[0];
        assert_eq!(network.heads[first.head].id.as_str(), "A");
        assert_eq!(first.circuits[0].striking.certain, Amps(5.5));
        assert_eq!(first.circuits[0].lit.certain, Amps(3.5));
        assert_eq!(first.rcds[0].striking.certain, MilliAmps(13.5));
        assert_eq!(first.rcds[0].lit.certain, MilliAmps(3.5));
        // B on P2: 2.0 A, with others 3.0; 4.5 mA.
        assert_eq!(steps[1].circuits[0].lit, Bounds { certain: Amps(2.0), possible: Amps(3.0) });
        assert_eq!(steps[1].rcds[0].lit.certain, MilliAmps(4.5));
        // C is untraced, on P1 or P2; RA is behind both, so 5.0 mA is certain.
        let third = &steps[2];
        assert!(third.circuits.iter().all(|part| !part.certain), "{third:?}");
        assert_eq!(third.circuits[0].lit, Bounds { certain: Amps(3.5), possible: Amps(7.5) });
        assert!(third.rcds[0].certain);
        assert_eq!(third.rcds[0].lit.certain, MilliAmps(5.0));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn the_steps_add_up_to_what_the_assessment_says(
            heads in prop::collection::vec((0.1..9.0_f64, 0.0..5.0_f64, 0.0..15.0_f64, 0..3_usize), 1..8)
        ) {
            let mut text = HOUSE.to_owned();
            let mut on = Vec::new();
            for (place, (amps, leak, strike, socket)) in heads.iter().enumerate() {
                let socket = ["G1", "G2", "G9"][*socket];
                writeln!(text, "[head.H{place}]\namps = {amps:.3}\nleak_ma = {leak:.3}\nstrike_ma = {strike:.3}\nsocket = \"{socket}\"\n").unwrap();
                on.push(format!("\"H{place}\""));
            }
            writeln!(text, "[setup.day]\nminutes = 60\non = [{}]\n", on.join(", ")).unwrap();
            let network = network(&text);
            let assessment = assess(&network);
            let used = &assessment.setups[SetupAt::new(0)];
            let steps = steps(&network, used);
            prop_assert_eq!(steps.len(), heads.len());
            let rcd = RcdAt::new(0);
            let through = || steps.iter().flat_map(|step| &step.rcds).filter(|part| part.rcd == rcd);
            let peak = through().map(|part| part.striking.possible.0).fold(0.0, f64::max);
            prop_assert!((peak - used.rcds[rcd].possible_peak.0).abs() < 1e-9);
            let last = through().next_back().unwrap();
            prop_assert!((last.lit.certain - used.rcds[rcd].standing).0.abs() < 1e-9);
            for (at, circuit) in used.circuits.iter() {
                let mut on = steps.iter().flat_map(|step| &step.circuits).filter(|part| part.circuit == at);
                if let Some(last) = on.next_back() {
                    prop_assert!((last.lit.certain - circuit.amps).0.abs() < 1e-9);
                    prop_assert!((last.lit.possible - circuit.possible).0.abs() < 1e-9);
                }
            }
        }
    }
}
