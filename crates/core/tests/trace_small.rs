//! Tracing held against enumeration of every building: sets, proofs, clashes, shared neutrals.
//!
//! `AMPWALK_TRACE_CASES` says how many random houses; 300 by default.

#![expect(clippy::disallowed_methods, reason = "how many cases is asked of the environment")]

#[path = "tracing/house.rs"]
mod house;

use std::collections::{BTreeMap, BTreeSet};

use ampwalk_core::network::{At, CircuitAt};
use ampwalk_core::trace::{
    Circuit, CircuitSet, Device, Evidence, Problem, Readings, Socket, shared_neutrals,
};
use house::{House, Kind, agrees, circuit, reads, socket};
use itertools::Itertools;
use proptest::prelude::*;

fn cases() -> u32 {
    std::env::var("AMPWALK_TRACE_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(300)
}

fn places(set: &CircuitSet) -> Vec<usize> {
    set.iter().map(CircuitAt::get).collect()
}

/// Circuits of the building on which a socket agrees with some of the evidence.
fn agreeing(problem: &Problem, at: usize, some: &[usize], hidden: Option<(usize, usize)>) -> Vec<usize> {
    let evidence = || some.iter().map(|place| &problem.evidence[*place]);
    (0..problem.circuits.len())
        .filter(|on| evidence().all(|evidence| agrees(problem, evidence, at, *on, hidden)))
        .collect()
}

fn all(problem: &Problem) -> Vec<usize> {
    (0..problem.evidence.len()).collect()
}

/// The fewest pieces of evidence with a property; `None` where no choice has it.
fn fewest(problem: &Problem, has: impl Fn(&[usize]) -> bool) -> Option<usize> {
    all(problem).into_iter().powerset().find(|some| has(some)).map(|some| some.len())
}

fn seeds() -> impl Strategy<Value = (Vec<u16>, usize, usize, usize)> {
    (prop::collection::vec(any::<u16>(), 40..120), 1..=8_usize, 1..=14_usize, 0..=7_usize)
}

/// Sockets whose clashes a neutral explains, each with its circuits then.
type Explained = Vec<(usize, Vec<usize>)>;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn the_sets_are_those_of_enumeration_and_the_truth_is_in_them((seed, circuits, sockets, tests) in seeds()) {
        let house = House::random(&seed, circuits, sockets, tests, Kind::True);
        let problem = &house.problem;
        let readings = Readings::of(problem);
        for at in 0..sockets {
            let expected = agreeing(problem, at, &all(problem), None);
            prop_assert_eq!(places(readings.agreeing(socket(at))), expected.clone());
            let set = readings.circuits(socket(at));
            prop_assert!(set.contains(circuit(house.truth[at])), "the truth is in the set");
            prop_assert!(!readings.clashes(socket(at)));
            if problem.sockets[socket(at)].given.is_none() {
                prop_assert_eq!(places(&set), expected);
            }
        }
        prop_assert!(shared_neutrals(problem, &readings).is_empty());
    }

    #[test]
    fn a_proof_leaves_the_same_set_and_none_is_shorter((seed, circuits, sockets, tests) in seeds()) {
        let house = House::random(&seed, circuits, sockets, tests, Kind::True);
        let problem = &house.problem;
        let readings = Readings::of(problem);
        for at in 0..sockets {
            let proof = readings.proof(socket(at));
            let left = agreeing(problem, at, &all(problem), None);
            if let Some(given) = problem.sockets[socket(at)].given && left != [given.get()] {
                prop_assert!(proof.is_empty());
                continue;
            }
            prop_assert_eq!(agreeing(problem, at, &proof, None), left.clone());
            prop_assert_eq!(fewest(problem, |some| agreeing(problem, at, some, None) == left), Some(proof.len()));
        }
    }

    #[test]
    fn clashes_are_found_and_no_smaller_set_of_entries_clashes((seed, circuits, sockets, tests) in seeds()) {
        let house = House::random(&seed, circuits, sockets, tests, Kind::Slips);
        let problem = &house.problem;
        let readings = Readings::of(problem);
        for at in 0..sockets {
            let given = problem.sockets[socket(at)].given.map(CircuitAt::get);
            let is_left = |some: &[usize], with_given: bool| {
                let left = agreeing(problem, at, some, None);
                given.filter(|_| with_given).map_or(!left.is_empty(), |given| left.contains(&given))
            };
            let Some(clash) = readings.clash(socket(at)) else {
                prop_assert!(is_left(&all(problem), true));
                continue;
            };
            prop_assert!(!is_left(&clash.evidence, clash.with_given));
            let fewest_of = |with_given: bool| {
                fewest(problem, |some| !is_left(some, with_given)).map(|count| count + usize::from(with_given))
            };
            let with_given = given.and_then(|_| fewest_of(true));
            let least = fewest_of(false).into_iter().chain(with_given).min();
            prop_assert_eq!(Some(clash.evidence.len() + usize::from(clash.with_given)), least);
            if given.is_none() {
                prop_assert_eq!(readings.circuits(socket(at)), problem.building.clone(), "none of it counts");
            }
        }
    }

    #[test]
    fn neutrals_that_would_explain_a_clash_are_those_of_enumeration((seed, circuits, sockets, tests) in seeds()) {
        let house = House::random(&seed, circuits, sockets, tests, Kind::Slips);
        let problem = &house.problem;
        let readings = Readings::of(problem);
        let leader = |one: usize| (0..circuits).find(|other| house::share(problem, None, one, *other)).unwrap_or(one);
        let leaders: BTreeSet<usize> = (0..circuits).map(leader).collect();
        let mut expected: BTreeMap<(usize, usize), Explained> = BTreeMap::new();
        for (one, other) in leaders.iter().copied().tuple_combinations() {
            for at in readings.clashing() {
                let mut left = agreeing(problem, at.get(), &all(problem), Some((one, other)));
                if let Some(given) = problem.sockets[at].given {
                    left.retain(|on| *on == given.get());
                }
                if !left.is_empty() {
                    expected.entry((one, other)).or_default().push((at.get(), left));
                }
            }
        }
        let told = shared_neutrals(problem, &readings);
        prop_assert!(told.iter().map(|neutral| neutral.explains.len()).is_sorted_by(|a, b| a >= b));
        let told: BTreeMap<(usize, usize), Explained> = told
            .into_iter()
            .map(|neutral| {
                let [one, other] = neutral.between.map(CircuitAt::get);
                let explains = neutral.explains.iter().map(|(at, left)| (at.get(), places(left))).collect();
                ((one, other), explains)
            })
            .collect();
        prop_assert_eq!(told, expected);
    }

    #[test]
    fn a_neutral_that_nobody_knows_of_is_among_the_guesses_where_it_shows((seed, circuits, sockets, tests) in seeds()) {
        let house = House::random(&seed, circuits, sockets, tests, Kind::HiddenNeutral);
        let problem = &house.problem;
        let readings = Readings::of(problem);
        let told = shared_neutrals(problem, &readings);
        for at in readings.clashing() {
            let (one, other) = house.hidden.unwrap();
            let is_it = |between: [CircuitAt; 2]| {
                let [a, b] = between.map(CircuitAt::get);
                let same = |x, y| house::share(problem, None, x, y);
                same(a, one) && same(b, other) || same(a, other) && same(b, one)
            };
            let explains = told.iter().filter(|neutral| is_it(neutral.between)).flat_map(|neutral| &neutral.explains);
            let truth = circuit(house.truth[at.get()]);
            prop_assert!(explains.clone().any(|(socket, left)| *socket == at && left.contains(truth)));
            // Any circuit is possible then, so the truth is not lost.
            prop_assert!(readings.circuits(at).contains(truth));
        }
        // The truth is lost of sockets on that neutral alone.
        for at in 0..sockets {
            let (one, other) = house.hidden.unwrap_or_default();
            let truth = house.truth[at];
            let is_of_it = |on: usize| house::share(problem, None, on, one) || house::share(problem, None, on, other);
            prop_assert!(readings.circuits(socket(at)).contains(circuit(truth)) || is_of_it(truth));
        }
    }

    /// Sockets on distribution boxes, and the sockets that feed them, in every building at once.
    #[test]
    fn readings_on_a_distribution_box_tell_of_the_socket_that_feeds_it(
        seed in prop::collection::vec(any::<u16>(), 30..60), tests in 1..=4_usize
    ) {
        let (problem, truth) = boxed(&seed, tests);
        let readings = Readings::of(&problem);
        let mut possible: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); 2];
        for (first, second) in (0..HOUSE).cartesian_product(0..HOUSE) {
            let on = [first, second, BOX, BOX];
            let fits = problem.evidence.iter().all(|evidence| match evidence {
                Evidence::Off { off, dead, live } => (0..on.len()).all(|at| {
                    let (may_be_dead, may_be_live) = on_box(&problem, off, &on, at);
                    (!dead.contains(&socket(at)) || may_be_dead) && (!live.contains(&socket(at)) || may_be_live)
                }),
                Evidence::Dropped { .. } => true,
            });
            if fits {
                possible[0].insert(first);
                possible[1].insert(second);
            }
        }
        for (at, possible) in possible.iter().enumerate() {
            let set: BTreeSet<usize> = places(&readings.circuits(socket(at))).into_iter().collect();
            prop_assert!(set.contains(&truth[at]));
            prop_assert_eq!(&set, possible, "{:#?}", problem);
        }
    }
}

/// Circuits of the house; one more is that of the box.
const HOUSE: usize = 4;
const BOX: usize = HOUSE;

/// A house of four circuits, two sockets that nobody traced, and a box of one circuit on the first of them, with
/// two sockets; the readings are those of the truth.
fn boxed(seed: &[u16], tests: usize) -> (Problem, [usize; 2]) {
    let dice = &mut house::Dice::of(seed);
    let mut circuits: Vec<Circuit> = (0..HOUSE)
        .map(|place| Circuit {
            rcds: if place > 1 && dice.one_in(3) { Vec::new() } else { vec![house::rcd(place % 2)] },
            dies_alone: dice.one_in(6),
            ..Circuit::default()
        })
        .collect();
    circuits.push(Circuit {
        rcds: vec![house::rcd(2)],
        from: Some(socket(0)),
        dies_alone: dice.one_in(6),
        ..Circuit::default()
    });
    let on_the_box = Socket { given: Some(circuit(BOX)), ..Socket::default() };
    let mut problem = Problem {
        building: CircuitSet::of(circuits.len(), (0..HOUSE).map(circuit)),
        circuits: circuits.into(),
        sockets: vec![Socket::default(), Socket::default(), on_the_box.clone(), on_the_box].into(),
        evidence: Vec::new(),
    };
    let truth = [dice.roll(HOUSE), dice.roll(HOUSE)];
    let on = [truth[0], truth[1], BOX, BOX];
    for _ in 0..tests {
        let device = match dice.roll(8) {
            place if place <= BOX => Device::Breaker(circuit(place)),
            place => Device::Rcd(house::rcd(place - BOX - 1)),
        };
        let off = vec![device];
        let (mut dead, mut live) = (Vec::new(), Vec::new());
        for at in 0..on.len() {
            let is_dead = match on_box(&problem, &off, &on, at) {
                (true, true) => dice.one_in(2),
                (is_dead, _) => is_dead,
            };
            if dice.one_in(4) {
                continue;
            }
            if is_dead { dead.push(socket(at)) } else { live.push(socket(at)) }
        }
        problem.evidence.push(Evidence::Off { off, dead, live });
    }
    (problem, truth)
}

/// As `reads`, with what hangs on the box dead as well where the socket that feeds it may be.
fn on_box(problem: &Problem, off: &[Device], on: &[usize; 4], at: usize) -> (bool, bool) {
    let here = reads(problem, &Socket::default(), off, on[at], None);
    if on[at] != BOX {
        return here;
    }
    let feed = reads(problem, &Socket::default(), off, on[0], None);
    (here.0 || feed.0, here.1 && feed.1)
}
