//! The next best test, against exhaustive search; what it never darkens; and how many rounds it takes.
//!
//! `AMPWALK_TRACE_CASES` says how many random houses; by default 300 small ones, and 100 that are walked.

#![expect(clippy::disallowed_methods, reason = "how many cases is asked of the environment")]
#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

#[path = "tracing/house.rs"]
mod house;
#[path = "tracing/walk.rs"]
mod walk;

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::file::{Gravity, parse};
use ampwalk_core::network::{At, CircuitAt, Network};
use ampwalk_core::trace::next::{Mode, Options, Switch};
use ampwalk_core::trace::{Advice, CircuitSet, Device, Evidence, Problem, Readings, Report, Source, WhyNone};
use house::{Dice, House, Kind, agrees, circuit, rcd, socket};
use itertools::Itertools;
use proptest::prelude::*;
use walk::{Building, Walk, mean};

fn cases(default: u32) -> u32 {
    std::env::var("AMPWALK_TRACE_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(default)
}

/// Circuits that agree with all the evidence, and one more piece of it.
fn left(problem: &Problem, at: usize, more: Option<&Evidence>) -> Vec<usize> {
    (0..problem.circuits.len())
        .filter(|on| problem.evidence.iter().chain(more).all(|seen| agrees(problem, seen, at, *on, None)))
        .collect()
}

/// What is expected to be left after devices were off: each circuit that a socket may be on as likely, what it reads
/// worked out for each, and what is left then.
fn expected(problem: &Problem, off: &[Device], worth: impl Fn(usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for at in 0..problem.sockets.len() {
        let node = &problem.sockets[socket(at)];
        let now = left(problem, at, None);
        if node.given.is_some() || node.reads_dead || now.len() < 2 {
            continue;
        }
        let mut of_socket = 0.0;
        for on in &now {
            let (_, may_be_live) =
                house::reads(problem, &ampwalk_core::trace::Socket::default(), off, *on, None);
            let (dead, live) =
                if may_be_live { (vec![], vec![socket(at)]) } else { (vec![socket(at)], vec![]) };
            let seen = Evidence::Off { off: off.to_vec(), dead, live };
            of_socket += worth(left(problem, at, Some(&seen)).len());
        }
        sum += of_socket / f64::from(u32::try_from(now.len()).unwrap());
    }
    sum
}

fn bits(left: usize) -> f64 {
    f64::from(u32::try_from(left).unwrap()).log2()
}

fn unsure(left: usize) -> f64 {
    if left > 1 { 1.0 } else { 0.0 }
}

/// A house without timers and shared neutrals, where a reading is what the circuit does.
fn plain(seed: &[u16], circuits: usize, sockets: usize, tests: usize) -> Problem {
    let mut problem = House::random(seed, circuits, sockets, 0, Kind::True).problem;
    for at in 0..circuits {
        problem.circuits[circuit(at)].shares.clear();
        problem.circuits[circuit(at)].dies_alone = false;
    }
    // Tests of a house of the same sockets, so that the sets are of many shapes.
    let dice = &mut Dice::of(seed);
    let truth: Vec<usize> = (0..sockets).map(|_| dice.roll(circuits)).collect();
    for _ in 0..tests {
        let off: Vec<Device> =
            (0..=dice.roll(3)).map(|_| Device::Breaker(circuit(dice.roll(circuits)))).collect();
        let is_off = |on: usize| off.contains(&Device::Breaker(circuit(on)));
        let read: Vec<usize> = (0..sockets).filter(|_| !dice.one_in(3)).collect();
        let (dead, live) = read.into_iter().partition::<Vec<usize>, _>(|at| is_off(truth[*at]));
        let sockets = |places: Vec<usize>| places.into_iter().map(socket).collect();
        problem.evidence.push(Evidence::Off { off, dead: sockets(dead), live: sockets(live) });
    }
    for at in 0..sockets {
        problem.sockets[socket(at)].given = None;
    }
    problem
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(300)))]

    #[test]
    fn no_device_and_no_set_of_breakers_is_expected_to_leave_less(
        seed in prop::collection::vec(any::<u16>(), 40..100), circuits in 1..=6_usize, sockets in 1..=8_usize,
        tests in 0..=4_usize
    ) {
        let problem = plain(&seed, circuits, sockets, tests);
        let readings = Readings::of(&problem);
        let dice = &mut Dice::of(&seed);
        let all = (0..circuits).map(|at| Device::Breaker(circuit(at))).chain((0..3).map(|at| Device::Rcd(rcd(at))));
        let allowed: Vec<Device> = all.filter(|_| !dice.one_in(4)).collect();
        let switches: Vec<Switch> = allowed
            .iter()
            .map(|device| Switch { device: *device, off: problem.hit(&[*device]), to_ask: 0 })
            .filter(|switch| !switch.off.is_empty())
            .collect();
        let allowed: Vec<Device> = switches.iter().map(|switch| switch.device).collect();
        let options = Options::of(&problem, &readings, switches);
        let now = expected(&problem, &[], bits);
        prop_assert!((options.bits() - now).abs() < 1e-9);

        let least = allowed.iter().map(|device| expected(&problem, &[*device], bits)).fold(now, f64::min);
        let breakers: Vec<Device> =
            allowed.iter().copied().filter(|device| matches!(device, Device::Breaker(_))).collect();
        let least_of_sets =
            breakers.into_iter().powerset().map(|off| expected(&problem, &off, bits)).fold(now, f64::min);
        for (test, least) in [(options.single(), least), (options.halving(), least_of_sets)] {
            let Some(test) = test else {
                prop_assert!(least > now - 1e-9, "a test leaves {} of {}", least, now);
                continue;
            };
            prop_assert!(test.off.iter().all(|device| allowed.contains(device)));
            prop_assert!((test.bits_left - least).abs() < 1e-9, "{:?} leaves {}, the best {}", test.off, test.bits_left, least);
            prop_assert!((test.bits_left - expected(&problem, &test.off, bits)).abs() < 1e-9);
            prop_assert!((test.sockets_left - expected(&problem, &test.off, unsure)).abs() < 1e-9);
        }
    }

    #[test]
    fn nothing_is_proposed_that_darkens_or_may_what_must_stay_on(
        seed in prop::collection::vec(any::<u16>(), 40..120)
    ) {
        let text = guarded(&seed);
        let network = network(&text);
        let report = Report::of(&network);
        let found = network.plan.location.board == Some(ampwalk_core::plan::Board::Found);
        match &report.advice {
            Advice::Known => {}
            Advice::NoTest { why, .. } => {
                prop_assert_eq!(found, !matches!(why, WhyNone::NotFound | WhyNone::Locked), "{}", text);
            }
            Advice::Test(next) => {
                prop_assert!(found, "no test before the board is found\n{}", text);
                for test in std::iter::once(&next.test).chain(&next.other) {
                    let dark = may_be_dark(&network, &test.off);
                    for (place, (id, node)) in network.plan.circuits.iter().enumerate() {
                        prop_assert!(
                            node.keep_on.is_none() || !dark[place],
                            "{:?} darkens {} in\n{}", test.off, id, text
                        );
                    }
                    prop_assert!(test.bits_left < test.bits_before);
                }
            }
        }
        // The network reckons with the circuits that the report tells.
        for (at, known) in report.sockets.iter() {
            let told: Vec<CircuitAt> = known.circuits.iter().collect();
            prop_assert_eq!(&network.reach_of(at).candidates, &told, "{}", text);
        }
        // What is told of what goes dark is what goes dark.
        if let Advice::Test(next) = &report.advice {
            let dark = may_be_dark(&network, &next.test.off);
            let mut told = next.dark.circuits.clone();
            told.extend(&next.dark.perhaps);
            let expected: Vec<CircuitAt> = (0..dark.len()).filter(|place| dark[*place]).map(circuit).collect();
            told.sort_unstable();
            prop_assert_eq!(told, expected, "{}", text);
        }
        let is_there = |from: &Source| match from {
            Source::Trace(place) => *place < network.plan.traces.len(),
            Source::Ramp { .. } => true,
        };
        let all_there = report.sockets.iter().all(|(_, known)| known.proof.iter().all(is_there));
        prop_assert!(all_there);
    }
}

/// A random plan with circuits that must stay on, shared neutrals, boxes on sockets that nobody traced, and RCDs one
/// behind the other.
fn guarded(seed: &[u16]) -> String {
    let dice = &mut Dice::of(seed);
    let board = ["found", "found", "found", "found", "not-found", "locked"][dice.roll(6)];
    let mut text = format!(
        "ampwalk = 1\n[location]\nregion = \"au\"\nboard = \"{board}\"\n[supply.house]\nkind = \"mains\"\n\
         [rcd.R0]\nrated_ma = 30\n[rcd.R1]\nrated_ma = 30\nbehind = \"R0\"\n[rcd.R2]\nrated_ma = 30\n\
         [floor.g]\nlevel = 0\n[room.in]\nfloor = \"g\"\n"
    );
    let circuits = 2 + dice.roll(6);
    for place in 0..circuits {
        let _ = writeln!(text, "[circuit.C{place}]\nsupply = \"house\"\nbreaker_a = 16");
        if !dice.one_in(4) {
            let _ = writeln!(text, "rcd = \"R{}\"", dice.roll(3));
        }
        if dice.one_in(4) {
            text.push_str("keep_on = \"tills\"\n");
        }
        let other = dice.roll(circuits);
        if dice.one_in(4) && other != place {
            let _ = writeln!(text, "neutral_with = \"C{other}\"");
        }
    }
    for place in 0..dice.roll(3) {
        let _ = writeln!(text, "[circuit.D{place}]\nfrom = \"S{place}\"\nbreaker_a = 16");
        if dice.one_in(2) {
            text.push_str("keep_on = \"server\"\n");
        }
    }
    let sockets = 3 + dice.roll(6);
    for place in 0..sockets {
        let _ = writeln!(text, "[socket.S{place}]\nroom = \"in\"");
        if dice.one_in(4) {
            let _ = writeln!(text, "circuit = \"C{}\"", dice.roll(circuits));
        }
    }
    for _ in 0..dice.roll(4) {
        let (one, other) = (dice.roll(sockets), dice.roll(sockets));
        let _ = writeln!(text, "[[trace]]\noff = \"C{}\"", dice.roll(circuits));
        let _ = writeln!(text, "live = [\"S{one}\"]");
        if one != other && dice.one_in(3) {
            let _ = writeln!(text, "dead = [\"S{other}\"]");
        }
    }
    text
}

fn network(text: &str) -> Network {
    let parsed = parse(text);
    let errors: Vec<_> = parsed.problems.iter().filter(|problem| problem.gravity == Gravity::Error).collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    Network::of(Arc::new(parsed.plan))
}

/// Circuits that these devices darken, or may, worked out from the plan: behind the device, on a neutral with one
/// that is, or in a box on a socket that may be on one.
fn may_be_dark(network: &Network, off: &[Device]) -> Vec<bool> {
    let plan = &network.plan;
    let count = plan.circuits.len();
    let behind = |place: usize, device: &Device| match device {
        Device::Breaker(breaker) => breaker.get() == place,
        Device::Rcd(at) => {
            let (wanted, _) = plan.rcds.get_index(at.get()).unwrap();
            let mut next = plan.circuits[place].rcd.as_ref();
            while let Some(id) = next {
                if id == wanted {
                    return true;
                }
                next = plan.rcds[id].behind.as_ref();
            }
            false
        }
    };
    let mut dark: Vec<bool> =
        (0..count).map(|place| off.iter().any(|device| behind(place, device))).collect();
    for _ in 0..=count {
        for (place, (id, node)) in plan.circuits.iter().enumerate() {
            let shares = node
                .neutral_with
                .as_ref()
                .is_some_and(|other| dark[plan.circuits.get_index_of(other).unwrap()])
                || plan
                    .circuits
                    .values()
                    .enumerate()
                    .any(|(at, other)| dark[at] && other.neutral_with.as_ref() == Some(id));
            let on_a_box = node.from.as_ref().is_some_and(|from| {
                let reach = network.reach_of(network.socket(from.as_str()).unwrap());
                reach.candidates.iter().any(|circuit| dark[circuit.get()])
            });
            dark[place] |= shares || on_a_box;
        }
    }
    dark
}

/// A number of a walk.
type Part = fn(&Walk) -> f64;

/// Twelve circuits and forty sockets, as many houses as asked for.
fn walks(mode: Mode) -> Vec<Walk> {
    (0..u64::from(cases(100))).map(|number| Building::random(number, 12, 40).walk(mode)).collect()
}

#[test]
fn halving_takes_the_rounds_of_the_information_bound() {
    let walks = walks(Mode::Halving);
    assert!(walks.iter().all(|walk| walk.unknown == 0), "every socket is known at the end, and rightly");
    let rounds = mean(&walks, |walk| walk.took.rounds);
    // Twelve circuits cannot be told apart in fewer than four rounds of dead or live: 2^3 < 12 <= 2^4.
    assert!((rounds / 4.0 - 1.0).abs() <= 0.10, "{rounds} rounds");
}

#[test]
fn what_a_walk_is_expected_to_take_is_what_walks_take() {
    for (mode, walks) in [(Mode::Single, walks(Mode::Single)), (Mode::Halving, walks(Mode::Halving))] {
        assert!(walks.iter().all(|walk| walk.unknown == 0), "{mode:?}");
        let parts: [(&str, Part, Part); 4] = [
            ("rounds", |walk| walk.took.rounds, |walk| walk.expected.rounds),
            ("flips", |walk| walk.took.flips, |walk| walk.expected.flips),
            ("visits", |walk| walk.took.visits, |walk| walk.expected.visits),
            ("minutes", |walk| walk.took.minutes(), |walk| walk.expected.minutes()),
        ];
        for (name, took, expected) in parts {
            let (took, expected) = (mean(&walks, took), mean(&walks, expected));
            assert!((took / expected - 1.0).abs() < 0.10, "{mode:?} {name}: {took}, expected {expected}");
        }
    }
}

#[test]
fn a_set_of_many_breakers_is_halved_in_each_part_that_is_possible() {
    // Forty circuits in two parts of which nothing is common: twenty of each are possible for ten sockets each, so
    // ten breakers of each leave least; there is no shorter way to log2(20) - 1 bits each.
    let circuits = 40;
    let set = |from: usize| CircuitSet::of(circuits, (from..from + 20).map(circuit));
    let mut problem = Problem {
        circuits: vec![ampwalk_core::trace::Circuit::default(); circuits].into(),
        building: CircuitSet::of(circuits, (0..circuits).map(circuit)),
        sockets: vec![ampwalk_core::trace::Socket::default(); 20].into(),
        evidence: Vec::new(),
    };
    let off = (0..20).map(|at| Device::Breaker(circuit(at))).collect();
    problem.evidence.push(Evidence::Off {
        off,
        dead: (0..10).map(socket).collect(),
        live: (10..20).map(socket).collect(),
    });
    let readings = Readings::of(&problem);
    let switches = (0..circuits).map(|at| {
        let device = Device::Breaker(circuit(at));
        Switch { device, off: problem.hit(&[device]), to_ask: 0 }
    });
    let options = Options::of(&problem, &readings, switches.collect());
    let test = options.halving().unwrap();
    assert_eq!((test.dark.shared(&set(0)), test.dark.shared(&set(20))), (10, 10));
    assert!((test.bits_left - 20.0 * (20_f64.log2() - 1.0)).abs() < 1e-9);
}
