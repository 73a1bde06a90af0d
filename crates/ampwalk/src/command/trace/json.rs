//! The JSON of `trace`: keys are added, never renamed.

use ampwalk_core::network::{CircuitAt, Network, SocketAt};
use ampwalk_core::plan::{Board, FORMAT_VERSION, HeldBy, word_of};
use ampwalk_core::trace::next::{Mode, Test};
use ampwalk_core::trace::room::{FirstStepCause, Story};
use ampwalk_core::trace::{
    Advice, Base, ClampReading, Clash, GoesDark, LabelStand, Next, Report, Retest, SocketTrace, Source,
    WhyAgain, words,
};
use indexmap::IndexMap;
use serde::Serialize;

use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Serialize)]
struct Whole<'a> {
    ampwalk: u32,
    board: &'static str,
    sockets: IndexMap<&'a str, Socket<'a>>,
    conflicts: Vec<Conflict<'a>>,
    shared_neutrals: Vec<SharedNeutral<'a>>,
    stray_trips: Vec<StrayTrip<'a>>,
    splits: Vec<Split<'a>>,
    labels: Labels<'a>,
    retests: Vec<Again<'a>>,
    ramps: Vec<Told<'a>>,
    clamps: Vec<Clamp<'a>>,
    next: Option<NextTest<'a>>,
    advice: String,
}

#[derive(Serialize)]
struct Socket<'a> {
    circuits: Vec<&'a str>,
    /// RCDs before it whichever of these circuits it is on.
    rcds: Vec<&'a str>,
    /// RCDs before it on some of them.
    possible_rcds: Vec<&'a str>,
    basis: &'static str,
    proof: Vec<Entry<'a>>,
}

/// An entry of the plan, numbered from 1.
#[derive(Serialize)]
struct Entry<'a> {
    kind: &'static str,
    socket: Option<&'a str>,
    number: usize,
    text: String,
}

#[derive(Serialize)]
struct Conflict<'a> {
    socket: &'a str,
    /// The circuit that the plan gives it, where that is one of what clashes.
    given: Option<&'a str>,
    entries: Vec<Entry<'a>>,
    text: String,
}

#[derive(Serialize)]
struct SharedNeutral<'a> {
    between: [&'a str; 2],
    explains: IndexMap<&'a str, Vec<&'a str>>,
    text: String,
}

#[derive(Serialize)]
struct StrayTrip<'a> {
    trip: usize,
    rcd: &'a str,
    head: &'a str,
    circuits: Vec<&'a str>,
    text: String,
}

#[derive(Serialize)]
struct Split<'a> {
    plate: Option<&'a str>,
    sockets: IndexMap<&'a str, Vec<&'a str>>,
    text: String,
}

#[derive(Serialize)]
struct Labels<'a> {
    right: usize,
    wrong: usize,
    untested: usize,
    distrusted: bool,
    wrong_ones: Vec<WrongLabel<'a>>,
}

#[derive(Serialize)]
struct WrongLabel<'a> {
    socket: &'a str,
    label: &'a str,
    circuits: Vec<&'a str>,
    text: String,
}

#[derive(Serialize)]
struct Again<'a> {
    sockets: Vec<&'a str>,
    why: &'static str,
    circuit: Option<&'a str>,
    at: Vec<String>,
    text: String,
}

#[derive(Serialize)]
struct Told<'a> {
    kind: &'static str,
    rcd: Option<&'a str>,
    socket: Option<&'a str>,
    base_load: Option<String>,
    /// More than the first and less than the second, which is null where no step tripped.
    leaks_ma: Option<[Option<f64>; 2]>,
    gain_ma: Option<f64>,
    causes: Vec<&'static str>,
    text: String,
}

#[derive(Serialize)]
struct Clamp<'a> {
    circuit: &'a str,
    setup: &'a str,
    measured_a: f64,
    amps: f64,
    possible_amps: f64,
    stand: &'static str,
    doubt: Vec<&'a str>,
    text: String,
}

#[derive(Serialize)]
struct NextTest<'a> {
    #[serde(flatten)]
    test: TestOf,
    goes_dark: Dark<'a>,
    /// Base loads whose owner has not agreed yet.
    ask: Vec<String>,
    text: String,
    caution: &'static str,
    other: Option<TestOf>,
}

#[derive(Serialize)]
struct TestOf {
    off: Vec<String>,
    mode: &'static str,
    /// Sockets that are expected to be left without a certain circuit.
    expected_left: f64,
    bits_before: f64,
    bits_left: f64,
    rounds: f64,
    flips: f64,
    visits: f64,
    minutes: f64,
}

#[derive(Serialize)]
struct Dark<'a> {
    circuits: Vec<&'a str>,
    possible_circuits: Vec<&'a str>,
    sockets: Vec<&'a str>,
    possible_sockets: Vec<&'a str>,
    heads: Vec<&'a str>,
    base: Vec<String>,
    delicate: Vec<&'a str>,
}

pub(super) fn text(network: &Network, report: &Report, clamps: &[ClampReading]) -> Result<String, Trouble> {
    let whole = Whole {
        ampwalk: FORMAT_VERSION,
        board: word_of(&Board::WORDS, &network.plan.location.board.unwrap_or_default()),
        sockets: report
            .sockets
            .iter()
            .map(|(at, known)| (network.socket_id(at).as_str(), socket(network, at, known)))
            .collect(),
        conflicts: conflicts(network, report),
        shared_neutrals: shared_neutrals(network, report),
        stray_trips: stray_trips(network, report),
        splits: splits(network, report),
        labels: labels(network, report),
        retests: report.retests.iter().map(|retest| again(network, retest)).collect(),
        ramps: report.stories.iter().map(|story| told(network, story)).collect(),
        clamps: clamps.iter().map(|reading| clamp(network, reading)).collect(),
        next: match &report.advice {
            Advice::Test(next) => Some(next_test(network, next)),
            Advice::Known | Advice::NoTest { .. } => None,
        },
        advice: words::advice(network, &report.advice),
    };
    as_json(&whole)
}

fn circuits(network: &Network, circuits: impl IntoIterator<Item = CircuitAt>) -> Vec<&str> {
    circuits.into_iter().map(|at| network.circuit_id(at).as_str()).collect()
}

fn sockets<'a>(network: &'a Network, sockets: &[SocketAt]) -> Vec<&'a str> {
    sockets.iter().map(|at| network.socket_id(*at).as_str()).collect()
}

fn entry(network: &Network, at: SocketAt, source: Source) -> Entry<'_> {
    let text = words::reading(network, source, at);
    match source {
        Source::Trace(place) => Entry { kind: "trace", socket: None, number: place + 1, text },
        Source::Ramp { socket, place } => {
            Entry { kind: "ramp", socket: Some(network.socket_id(socket).as_str()), number: place + 1, text }
        }
    }
}

fn socket<'a>(network: &'a Network, at: SocketAt, known: &SocketTrace) -> Socket<'a> {
    let rcds = |certain: bool| -> Vec<&'a str> {
        let those = known.rcds.iter().filter(|part| part.certain == certain);
        those.map(|part| network.rcd_id(part.what).as_str()).collect()
    };
    Socket {
        circuits: circuits(network, known.circuits.iter()),
        rcds: rcds(true),
        possible_rcds: rcds(false),
        basis: known.basis.word(),
        proof: known.proof.iter().map(|source| entry(network, at, *source)).collect(),
    }
}

fn conflicts<'a>(network: &'a Network, report: &Report) -> Vec<Conflict<'a>> {
    let conflict = |clash: &Clash| {
        let given = network.sockets[clash.socket].circuit.filter(|_| clash.with_given);
        Conflict {
            socket: network.socket_id(clash.socket).as_str(),
            given: given.map(|at| network.circuit_id(at).as_str()),
            entries: report.sources(clash).map(|source| entry(network, clash.socket, source)).collect(),
            text: words::clash(network, &report.survey, clash),
        }
    };
    report.clashes.iter().map(conflict).collect()
}

fn shared_neutrals<'a>(network: &'a Network, report: &Report) -> Vec<SharedNeutral<'a>> {
    let neutral = |neutral: &ampwalk_core::trace::SharedNeutral| SharedNeutral {
        between: neutral.between.map(|at| network.circuit_id(at).as_str()),
        explains: neutral
            .explains
            .iter()
            .map(|(at, left)| (network.socket_id(*at).as_str(), circuits(network, left.iter())))
            .collect(),
        text: words::shared_neutral(network, neutral),
    };
    report.shared_neutrals.iter().map(neutral).collect()
}

fn stray_trips<'a>(network: &'a Network, report: &Report) -> Vec<StrayTrip<'a>> {
    let stray = |trip: &ampwalk_core::trace::StrayTrip| StrayTrip {
        trip: trip.trip + 1,
        rcd: network.rcd_id(trip.rcd).as_str(),
        head: network.head_id(trip.head).as_str(),
        circuits: circuits(network, trip.on.iter().copied()),
        text: words::stray_trip(network, trip),
    };
    report.stray_trips.iter().map(stray).collect()
}

fn splits<'a>(network: &'a Network, report: &Report) -> Vec<Split<'a>> {
    let split = |split: &ampwalk_core::trace::Split| Split {
        plate: network.plates[split.plate].id.as_ref().map(ampwalk_core::id::PlateId::as_str),
        sockets: split
            .sockets
            .iter()
            .map(|(at, left)| (network.socket_id(*at).as_str(), circuits(network, left.iter().copied())))
            .collect(),
        text: words::split(network, split),
    };
    report.splits.iter().map(split).collect()
}

fn labels<'a>(network: &'a Network, report: &'a Report) -> Labels<'a> {
    let wrong = |label: &'a ampwalk_core::trace::Label| WrongLabel {
        socket: network.socket_id(label.socket).as_str(),
        label: &label.says,
        circuits: match &label.stand {
            LabelStand::Wrong(left) => circuits(network, left.iter().copied()),
            LabelStand::Right | LabelStand::Untested => Vec::new(),
        },
        text: words::label(network, label),
    };
    Labels {
        right: report.labels.right(),
        wrong: report.labels.wrong().count(),
        untested: report.labels.untested().count(),
        distrusted: report.labels.are_distrusted(),
        wrong_ones: report.labels.wrong().map(wrong).collect(),
    }
}

fn again<'a>(network: &'a Network, retest: &Retest) -> Again<'a> {
    let (why, circuit) = match retest.why {
        WhyAgain::Dead => ("dead", None),
        WhyAgain::Hours(at, _) => ("hours", Some(at)),
        WhyAgain::HeldBy(at, by) => (word_of(&HeldBy::WORDS, &by), Some(at)),
    };
    Again {
        sockets: sockets(network, &retest.sockets),
        why,
        circuit: circuit.map(|at| network.circuit_id(at).as_str()),
        at: retest.at.iter().map(ToString::to_string).collect(),
        text: words::retest(network, retest),
    }
}

fn told<'a>(network: &'a Network, story: &Story) -> Told<'a> {
    let told = |kind| Told {
        kind,
        rcd: None,
        socket: None,
        base_load: None,
        leaks_ma: None,
        gain_ma: None,
        causes: Vec::new(),
        text: words::story(network, story),
    };
    match story {
        Story::BaseLoad(leaks) => Told {
            rcd: Some(network.rcd_id(leaks.rcd).as_str()),
            base_load: Some(base(network, leaks.load)),
            leaks_ma: Some([Some(leaks.leaks.0.0), leaks.leaks.1.map(|most| most.0)]),
            gain_ma: Some(leaks.gain.0),
            ..told("base-load")
        },
        Story::FirstStep { rcd, socket, causes } => Told {
            rcd: Some(network.rcd_id(*rcd).as_str()),
            socket: Some(network.socket_id(*socket).as_str()),
            causes: causes
                .iter()
                .map(|cause| match cause {
                    FirstStepCause::Leaking => "leaking",
                    FirstStepCause::TenMilliamp => "ten-milliamp",
                    FirstStepCause::GroundFault => "gfci",
                })
                .collect(),
            ..told("first-step")
        },
        Story::NeverTripped { socket, .. } => Told {
            socket: Some(network.socket_id(*socket).as_str()),
            causes: vec!["none", "faulty", "tester"],
            ..told("never-tripped")
        },
    }
}

fn clamp<'a>(network: &'a Network, reading: &ClampReading) -> Clamp<'a> {
    Clamp {
        circuit: network.circuit_id(reading.circuit).as_str(),
        setup: network.setup_id(reading.setup).as_str(),
        measured_a: reading.measured.0,
        amps: reading.certain.0,
        possible_amps: reading.possible.0,
        stand: reading.stand.word(),
        doubt: reading.doubt.iter().map(|head| network.head_id(*head).as_str()).collect(),
        text: words::clamp(network, reading),
    }
}

/// `P2.fridge`, as the plan names a base load; one without a name goes by its number.
fn base(network: &Network, (circuit, place): Base) -> String {
    let name = network.circuits[circuit].base[place].name.clone();
    format!("{}.{}", network.circuit_id(circuit), name.unwrap_or_else(|| (place + 1).to_string()))
}

fn next_test<'a>(network: &'a Network, next: &Next) -> NextTest<'a> {
    NextTest {
        test: test(network, &next.test),
        goes_dark: dark(network, &next.dark),
        ask: next.dark.to_ask(network).map(|load| base(network, load)).collect(),
        text: words::test(network, &next.test),
        caution: words::CAUTION,
        other: next.other.as_ref().map(|other| test(network, other)),
    }
}

fn test(network: &Network, test: &Test) -> TestOf {
    TestOf {
        off: test.off.iter().map(|device| words::device(network, *device)).collect(),
        mode: match test.mode {
            Mode::Single => "single",
            Mode::Halving => "halving",
        },
        expected_left: test.sockets_left,
        bits_before: test.bits_before,
        bits_left: test.bits_left,
        rounds: test.effort.rounds,
        flips: test.effort.flips,
        visits: test.effort.visits,
        minutes: test.effort.minutes(),
    }
}

fn dark<'a>(network: &'a Network, dark: &GoesDark) -> Dark<'a> {
    Dark {
        circuits: circuits(network, dark.circuits.iter().copied()),
        possible_circuits: circuits(network, dark.perhaps.iter().copied()),
        sockets: sockets(network, &dark.sockets),
        possible_sockets: sockets(network, &dark.sockets_perhaps),
        heads: dark.heads.iter().map(|at| network.head_id(*at).as_str()).collect(),
        base: dark.base.iter().map(|load| base(network, *load)).collect(),
        delicate: sockets(network, &dark.delicate),
    }
}
