//! What tracing found, in sentences.

use crate::network::{At, CircuitAt, Network, SocketAt};
use crate::plan::{ClockTime, HeldBy, Trace, TraceMeans, word_of};
use crate::rule::words::{heads, list, number, pair};
use crate::trace::next::{Mode, Test};
use crate::trace::room::{BaseLoadLeaks, FirstStepCause, Story, TESTER_LEAKS};
use crate::trace::{
    Advice, Base, Basis, ClampReading, ClampStand, Clash, Device, GoesDark, Label, LabelStand, Labels, Next,
    Report, Retest, SharedNeutral, Source, Split, StrayTrip, Survey, WhyAgain, WhyNone,
};

/// A device by its id, as the crew says it.
#[must_use]
pub fn device(network: &Network, device: Device) -> String {
    match device {
        Device::Breaker(circuit) => network.circuits[circuit].id.to_string(),
        Device::Rcd(rcd) => network.rcds[rcd].id.to_string(),
    }
}

/// Circuits of which it may be any: `P1 or P2`, `P1, P2, P3 or 4 more`.
#[must_use]
pub fn any_circuit(network: &Network, circuits: &[CircuitAt]) -> String {
    const SHOWN: usize = 4;
    let ids = |circuits: &[CircuitAt]| -> Vec<&str> {
        circuits.iter().map(|at| network.circuit_id(*at).as_str()).collect()
    };
    match circuits {
        [] => "no circuit".to_owned(),
        [only] => network.circuit_id(*only).to_string(),
        [first @ .., last] if circuits.len() <= SHOWN => {
            format!("{} or {}", ids(first).join(", "), network.circuit_id(*last))
        }
        _ => format!("{} or {} more", ids(&circuits[..SHOWN - 1]).join(", "), circuits.len() + 1 - SHOWN),
    }
}

/// Sockets by their ids, the first few of them.
#[must_use]
pub fn sockets(network: &Network, sockets: impl IntoIterator<Item = SocketAt>) -> String {
    list(sockets.into_iter().map(|at| network.socket_id(at)))
}

/// What went off in a trace: `P2 off`, `P2 and P4 off`, `RA dropped`.
fn went_off(trace: &Trace) -> String {
    let happened = match trace.means {
        TraceMeans::SwitchedOff => "off",
        TraceMeans::RampDropped => "dropped",
    };
    format!("{} {happened}", list(trace.devices()))
}

/// Where a piece of evidence stands, in words: `trace 2 (P2 off)`.
#[must_use]
pub fn source(network: &Network, source: Source) -> String {
    match source {
        Source::Trace(place) => {
            let what = network.plan.traces.get(place).map(went_off).unwrap_or_default();
            format!("trace {} ({what})", place + 1)
        }
        Source::Ramp { socket, place } => {
            let (id, ramp) = network
                .plan
                .sockets
                .get_index(socket.get())
                .map(|(id, node)| (id.as_str(), node.ramps.get(place)))
                .unwrap_or_default();
            let what = ramp.and_then(|ramp| {
                Some(format!(" ({} dropped at {} mA)", ramp.dropped.as_ref()?, number(ramp.tripped?.0)))
            });
            format!("the ramp test at {id}{}", what.unwrap_or_default())
        }
    }
}

/// What one piece of evidence says of a socket: `trace 2 (P2 off): dead`.
#[must_use]
pub fn reading(network: &Network, from: Source, socket: SocketAt) -> String {
    let id = network.socket_id(socket);
    let told = source(network, from);
    let Source::Trace(place) = from else { return told };
    let Some(trace) = network.plan.traces.get(place) else { return told };
    match (trace.dead.contains(id), trace.live.contains(id)) {
        (true, _) => format!("{told}: dead"),
        (_, true) => format!("{told}: live"),
        // Read at a socket of the distribution box that it feeds.
        _ => told,
    }
}

/// Evidence that clashes: what it says, entry by entry.
#[must_use]
pub fn clash(network: &Network, survey: &Survey, clash: &Clash) -> String {
    let id = network.socket_id(clash.socket);
    let entries = clash.evidence.iter().map(|place| reading(network, survey.sources[*place], clash.socket));
    let entries = entries.collect::<Vec<_>>().join("; ");
    let given = network.sockets[clash.socket].circuit.filter(|_| clash.with_given);
    match given {
        Some(circuit) => {
            format!("{id} is given as on {}, and that clashes with {entries}", network.circuit_id(circuit))
        }
        None => format!("no circuit is left for {id}: {entries}"),
    }
}

/// What is known of a socket, and why: `G3 is on P2: trace 1 (P2 off): dead`.
#[must_use]
pub fn socket(network: &Network, report: &Report, at: SocketAt) -> String {
    let known = &report.sockets[at];
    let id = network.socket_id(at);
    let circuits: Vec<CircuitAt> = known.circuits.iter().collect();
    let on = any_circuit(network, &circuits);
    let proof = known.proof.iter().map(|from| reading(network, *from, at)).collect::<Vec<_>>().join("; ");
    match known.basis {
        Basis::Given if proof.is_empty() => format!("{id} is on {on}, as the plan gives it"),
        Basis::Given => format!("{id} is on {on}, as the plan gives it; borne out by {proof}"),
        Basis::Proven => format!("{id} is on {on}: {proof}"),
        Basis::ByItself => {
            format!(
                "{id} is on {on} if that went off by itself meanwhile: {proof}; test it again while {on} is live"
            )
        }
        Basis::Narrowed => format!("{id} is on {on}, nobody knows which: {proof}"),
        Basis::Nothing => format!("{id} may be on {on}: nothing was tested"),
        Basis::Clash => format!("{id} may be on {on}: what was seen of it clashes"),
    }
}

/// A neutral that would explain clashes.
#[must_use]
pub fn shared_neutral(network: &Network, neutral: &SharedNeutral) -> String {
    let [one, other] = neutral.between.map(|at| network.circuit_id(at));
    let explained = sockets(network, neutral.explains.iter().map(|(socket, _)| *socket));
    format!(
        "a {} that {one} and {other} share would explain {explained}; so would a slip of the pen: test again \
         before anybody relies on it",
        network.region.words.neutral
    )
}

/// An RCD that dropped as a head was struck that is not behind it.
#[must_use]
pub fn stray_trip(network: &Network, trip: &StrayTrip) -> String {
    let words = &network.region.words;
    format!(
        "trip {}: {} dropped as {} was struck, which is on {} and not behind it: a {} that {} shares with {}, or one \
         that touches {}; heads off do not cure it. Stop, no more resets; a licensed electrician finds it",
        trip.trip + 1,
        network.rcd_id(trip.rcd),
        network.head_id(trip.head),
        any_circuit(network, &trip.on),
        words.neutral,
        any_circuit(network, &trip.on),
        any_circuit(network, &trip.with),
        words.earth
    )
}

/// A plate with outlets on different circuits.
#[must_use]
pub fn split(network: &Network, split: &Split) -> String {
    let name = network.plates[split.plate].id.as_ref().map_or_else(String::new, |id| format!(" {id}"));
    let outlets = split.sockets.iter().map(|(socket, circuits)| {
        format!("{} on {}", network.socket_id(*socket), any_circuit(network, circuits))
    });
    format!("plate{name} is split: {}; one breaker does not make both dead", list(outlets))
}

/// A label that is wrong.
#[must_use]
pub fn label(network: &Network, label: &Label) -> String {
    let id = network.socket_id(label.socket);
    let says = &label.says;
    match &label.stand {
        LabelStand::Right => format!("{id} says {says} on the wall, and is"),
        LabelStand::Wrong(left) => {
            format!("{id} says {says} on the wall, the trace says {}", any_circuit(network, left))
        }
        LabelStand::Untested => format!("{id} says {says} on the wall, and nothing bore it out"),
    }
}

/// How far labels are to be trusted, and those that are wrong one by one; nothing where there are none.
#[must_use]
pub fn all_labels(network: &Network, all: &Labels) -> Vec<String> {
    if all.all.is_empty() {
        return Vec::new();
    }
    std::iter::once(labels(all)).chain(all.wrong().map(|wrong| label(network, wrong))).collect()
}

/// Sockets of which nothing was tested, together; `None` where there are none.
#[must_use]
pub fn untested(network: &Network, report: &Report, at: &[SocketAt]) -> Option<String> {
    let on = any_circuit(network, &report.survey.problem.building.iter().collect::<Vec<_>>());
    let told = || format!("{} may be on {on}: nothing was tested", sockets(network, at.iter().copied()));
    (!at.is_empty()).then(told)
}

/// How far labels are to be trusted.
#[must_use]
pub fn labels(labels: &Labels) -> String {
    let (right, wrong, untested) = (labels.right(), labels.wrong().count(), labels.untested().count());
    let checked = right + wrong;
    let trust = match (wrong, untested) {
        (0, _) if checked == 0 => "; a label is no evidence".to_owned(),
        (0, _) => String::new(),
        (_, 0) => "; leave the owner's labels, tell the owner".to_owned(),
        (_, 1) => "; so do not trust the one that no test bore out".to_owned(),
        (_, untested) => format!("; so trust none of the {untested} that no test bore out"),
    };
    if checked == 0 {
        return format!("no label was checked{trust}");
    }
    format!("{wrong} of {} wrong{trust}", counted(checked, "checked label", "checked labels"))
}

/// `1 socket`, `2 sockets`.
fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// What is to be tested again, why and when.
#[must_use]
pub fn retest(network: &Network, retest: &Retest) -> String {
    let at = sockets(network, retest.sockets.iter().copied());
    let circuit = |at: CircuitAt| network.circuit_id(at);
    let is = if retest.sockets.iter().all(|at| network.reach_of(*at).candidates.len() == 1) {
        "is"
    } else {
        "may be"
    };
    let why = match retest.why {
        WhyAgain::Dead => "was dead: switched, timed or broken".to_owned(),
        WhyAgain::Hours(on, hours) => {
            format!("{is} on {}, live from {} to {} only", circuit(on), hours.from, hours.until)
        }
        WhyAgain::HeldBy(on, by) => {
            format!("{is} on {}, which a {} holds on", circuit(on), word_of(&HeldBy::WORDS, &by))
        }
    };
    let when = match retest.at.as_slice() {
        [] => "at the hour of shooting".to_owned(),
        times => format!("at {}, as it is shot", list(times.iter().map(ClockTime::to_string))),
    };
    format!("{at} {why}: test again {when}")
}

/// A clamp reading, and which heads to doubt.
#[must_use]
pub fn clamp(network: &Network, reading: &ClampReading) -> String {
    let at = format!("{} in {}", network.circuit_id(reading.circuit), network.setup_id(reading.setup));
    let planned = if reading.stand == ClampStand::More { reading.possible } else { reading.certain };
    let (measured, added) = pair(reading.measured.0, planned.0);
    let told = format!("{at}: the clamp says {measured} A, the plan adds up {added} A");
    let doubt = match reading.doubt.as_slice() {
        [] => String::new(),
        doubted => format!("doubt {}, or ", heads(network, doubted)),
    };
    match reading.stand {
        ClampStand::Agrees => format!("{told}: they agree"),
        ClampStand::More => format!(
            "{told}: {} A more than anybody knows of; {doubt}somebody else draws from it. Reckon with the clamp",
            number((reading.measured - planned).0)
        ),
        ClampStand::Less => format!(
            "{told}: {} A less; {doubt}a load of the house was off as it was read, and comes on again: a reading is not \
             the most that may flow",
            number((planned - reading.measured).0)
        ),
    }
}

fn base_load(network: &Network, (circuit, place): Base) -> String {
    let name = network.circuits[circuit].base[place].name.as_deref().unwrap_or("a load");
    format!("{name} on {}", network.circuit_id(circuit))
}

/// What ramp tests tell of a device or a socket.
#[must_use]
pub fn story(network: &Network, story: &Story) -> String {
    let words = &network.region.words;
    let tester = format!(
        "unplug socket testers first: one that is left in leaks {} to {} mA",
        number(TESTER_LEAKS.0.0),
        number(TESTER_LEAKS.1.0)
    );
    match story {
        Story::BaseLoad(leaks) => base_load_leaks(network, leaks),
        Story::FirstStep { rcd, socket, causes } if causes.as_slice() == [FirstStepCause::GroundFault] => {
            format!(
                "{} dropped at the first step, at {}, as any sound ground-fault interrupter does: it has 4 to 6 mA by its \
             standard, and a ramp measures nothing of it",
                network.rcd_id(*rcd),
                network.socket_id(*socket)
            )
        }
        Story::FirstStep { rcd, socket, causes } => {
            let causes = causes.iter().map(|cause| match cause {
                FirstStepCause::Leaking => {
                    "something behind it leaks already: find what its owner may switch off"
                }
                FirstStepCause::TenMilliamp => "it is a unit of 10 mA: read its rating",
                FirstStepCause::GroundFault => "it is a ground-fault interrupter, which drops at 4 to 6 mA",
            });
            let causes = causes.collect::<Vec<_>>().join("; or ");
            format!(
                "{} dropped at the first step, at {}: 0 mA is left, not 10. {}{causes}; {tester}",
                network.rcd_id(*rcd),
                network.socket_id(*socket),
                if causes.contains("; or ") { "Either " } else { "" }
            )
        }
        Story::NeverTripped { socket, claimed } => {
            let (rcd, earth) = (&words.rcd, &words.earth);
            let (said, no_earth) = match claimed.as_slice() {
                [] => (String::new(), String::new()),
                claimed => (
                    format!(
                        ", though {} is said to be before it",
                        list(claimed.iter().map(|at| network.rcd_id(*at)))
                    ),
                    format!("; or it has no {earth}, or a floating supply, and nothing can drop"),
                ),
            };
            format!(
                "a ramp at {} dropped nothing{said}. Either there is no {rcd} on it: a plug-in one of 30 mA in the {}, \
                 which is not unlimited; or it is faulty: out of use, tell the owner; or the tester is: try it on one \
                 that is known to drop{no_earth}",
                network.socket_id(*socket),
                words.socket
            )
        }
    }
}

fn base_load_leaks(network: &Network, leaks: &BaseLoadLeaks) -> String {
    let range = match leaks.leaks {
        (least, Some(most)) => format!("{} to {} mA", number(least.0), number(most.0)),
        (least, None) => format!("{} mA or more", number(least.0)),
    };
    let filters = leaks
        .at_most
        .map_or_else(String::new, |most| format!(", up to {} if through filters", number(most.0)));
    let ask = if leaks.owner_can_switch_off {
        "its owner agreed that it may be off: note it for the restore list"
    } else {
        "ask its owner, and note it for the restore list"
    };
    format!(
        "{} leaks {range}{filters}: {} holds {} mA with it and {} without, {} gained; {ask}",
        base_load(network, leaks.load),
        network.rcd_id(leaks.rcd),
        number(leaks.held_with.0),
        number(leaks.held_without.0),
        number(leaks.gain.0)
    )
}

/// What to test next, in a sentence.
#[must_use]
pub fn advice(network: &Network, advice: &Advice) -> String {
    match advice {
        Advice::Known => format!("every {} is known", network.region.words.socket),
        Advice::Test(next) => test(network, &next.test),
        Advice::NoTest { why, sockets } => no_test(network, why, sockets),
    }
}

/// A test: what to switch off, and what it is expected to leave.
#[must_use]
pub fn test(network: &Network, test: &Test) -> String {
    let off = test.off.iter().map(|one| device(network, *one)).collect::<Vec<_>>().join(", ");
    let how = match test.mode {
        Mode::Single => "then see which sockets went dead",
        Mode::Halving if test.off.len() == 1 => {
            "a lamp in each socket that is not known, then see which are dark"
        }
        Mode::Halving => "all at once, a lamp in each socket that is not known, then see which are dark",
    };
    format!(
        "switch off {off}, {how}: about {} left uncertain, about {} to go, {} min",
        counted_tenths(test.sockets_left, "socket", "sockets"),
        counted_tenths(test.effort.rounds, "round", "rounds"),
        minutes(test)
    )
}

fn counted_tenths(value: f64, one: &str, many: &str) -> String {
    let number = number(value);
    format!("{number} {}", if number == "1" { one } else { many })
}

fn minutes(test: &Test) -> String {
    format!("{:.0}", test.effort.minutes().ceil())
}

/// The other way to test, for comparison.
#[must_use]
pub fn other(network: &Network, other: &Test) -> String {
    let off = other.off.iter().map(|one| device(network, *one)).collect::<Vec<_>>().join(", ");
    let how = match other.mode {
        Mode::Single => "one at a time",
        Mode::Halving => "by halves",
    };
    format!(
        "{how}, {off} first: about {}, {} min",
        counted_tenths(other.effort.rounds, "round", "rounds"),
        minutes(other)
    )
}

fn no_test(network: &Network, why: &WhyNone, at: &[SocketAt]) -> String {
    let words = &network.region.words;
    let board = &words.board;
    let why = match why {
        WhyNone::NotFound => format!("no test before the {board} is found"),
        WhyNone::Locked => match network.plan.location.board_key.as_deref() {
            Some(key) => format!("no test while the {board} is locked; its key: {key}"),
            None => {
                format!("no test while the {board} is locked; ask who has its key, and how long that takes")
            }
        },
        WhyNone::KeptOn(circuits) => {
            let kept = circuits.iter().map(|at| {
                let why =
                    network.plan.circuits.get_index(at.get()).and_then(|(_, node)| node.keep_on.as_deref());
                format!("{} ({})", network.circuit_id(*at), why.unwrap_or("a medical outlet"))
            });
            format!("no test: each that is left darkens, or may, what must stay on: {}", list(kept))
        }
        WhyNone::NoCircuit => format!("enter the circuits of the {board} first: none is in the plan"),
        WhyNone::Clash => "what was seen of these clashes: test them again first".to_owned(),
        WhyNone::Nothing => "no test tells these apart any more".to_owned(),
    };
    format!("{why}. Until then a plug-in {} in {}", words.rcd_long, sockets(network, at.iter().copied()))
}

/// What goes dark in a test.
#[must_use]
pub fn goes_dark(network: &Network, dark: &GoesDark) -> String {
    let circuits = list(dark.circuits.iter().map(|at| network.circuit_id(*at)));
    let mut parts = vec![circuits];
    if !dark.perhaps.is_empty() {
        parts.push(format!("perhaps {}", list(dark.perhaps.iter().map(|at| network.circuit_id(*at)))));
    }
    if !dark.sockets.is_empty() {
        parts.push(sockets(network, dark.sockets.iter().copied()));
    }
    if !dark.sockets_perhaps.is_empty() {
        let socket = &network.region.words.socket;
        parts.push(counted(
            dark.sockets_perhaps.len(),
            &format!("{socket} perhaps"),
            &format!("{socket}s perhaps"),
        ));
    }
    if !dark.heads.is_empty() {
        parts.push(format!("heads {}", list(dark.heads.iter().map(|at| network.head_id(*at)))));
    }
    if !dark.base.is_empty() {
        parts.push(list(dark.base.iter().map(|load| base_load(network, *load))));
    }
    format!("goes dark: {}", parts.join("; "))
}

/// Whom to ask before a test.
#[must_use]
pub fn ask(network: &Network, next: &Next) -> String {
    let loads: Vec<String> = next.dark.to_ask(network).map(|load| base_load(network, load)).collect();
    let delicate = match next.dark.delicate.as_slice() {
        [] => String::new(),
        outlets => format!("; who uses {}", sockets(network, outlets.iter().copied())),
    };
    match loads.as_slice() {
        [] => format!("ask the owner{delicate}"),
        _ => format!("ask the owner of {}{delicate}", list(loads)),
    }
}

/// What is said before anybody switches something off (common practice, no source).
pub const CAUTION: &str = "It darkens what nobody listed as well: ask first, save what is open on computers, think of \
                           alarms, lifts, pumps and medical devices; no covers off the board; all on again after each test.";
