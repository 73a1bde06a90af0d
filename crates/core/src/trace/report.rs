//! All that tracing tells of a plan.

use crate::network::{At, CircuitAt, Dense, HeadAt, Network, Part, PlateAt, RcdAt, SocketAt};
use crate::plan::{Board, ClockTime, HeldBy, Hours, TestOutcome};
use crate::trace::allowed::{GoesDark, kept_on, switches};
use crate::trace::next::{Options, Switch, Test};
use crate::trace::room::{Story, stories};
use crate::trace::{
    CircuitSet, Clash, Device, Labels, Readings, SharedNeutral, Source, Survey, shared_neutrals,
};

/// All that tracing tells of a plan.
#[derive(Clone, Debug)]
pub struct Report {
    /// The problem, and where its evidence stands.
    pub survey: Survey,
    /// What is known of each socket.
    pub sockets: Dense<SocketAt, SocketTrace>,
    /// Sockets whose evidence clashes, each with the fewest entries that do.
    pub clashes: Vec<Clash>,
    /// Neutrals that would explain clashes, those that explain most first: guesses.
    pub shared_neutrals: Vec<SharedNeutral>,
    /// RCDs that dropped as a head was struck that is not behind them.
    pub stray_trips: Vec<StrayTrip>,
    /// Plates with outlets on different circuits.
    pub splits: Vec<Split>,
    /// Labels, against what tests proved.
    pub labels: Labels,
    /// What is to be tested at another hour.
    pub retests: Vec<Retest>,
    /// What ramp tests tell besides the room that is left.
    pub stories: Vec<Story>,
    /// What to test next.
    pub advice: Advice,
}

/// What is known of where a socket is.
#[derive(Clone, Debug, PartialEq)]
pub struct SocketTrace {
    /// Circuits that it may be on.
    pub circuits: CircuitSet,
    /// RCDs before it: certain, or before some of these circuits.
    pub rcds: Vec<Part<RcdAt>>,
    /// What that rests on.
    pub basis: Basis,
    /// The fewest entries that prove it. For a circuit that the plan gives: those that bear it out without the
    /// plan, none where they do not.
    pub proof: Vec<Source>,
}

impl SocketTrace {
    /// Whether one circuit is left, with nothing seen against it, and not only because something may have gone
    /// off by itself.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.circuits.len() == 1 && !matches!(self.basis, Basis::ByItself | Basis::Clash)
    }
}

/// What the knowledge of a socket rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The plan gives its circuit.
    Given,
    /// Evidence leaves one circuit.
    Proven,
    /// Evidence leaves one circuit, which goes off by itself, and only so is it explained: a guess until it is tested
    /// at the hours of that circuit.
    ByItself,
    /// Evidence leaves several circuits.
    Narrowed,
    /// Nothing says anything of it: any circuit of the building.
    Nothing,
    /// Its evidence clashes, so that none of it counts.
    Clash,
}

impl Basis {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Proven => "proven",
            Self::ByItself => "by-itself",
            Self::Narrowed => "narrowed",
            Self::Nothing => "nothing",
            Self::Clash => "clash",
        }
    }
}

/// An RCD dropped as a head was struck that is not behind it: a neutral between the two circuits, or one that
/// touches earth. Heads off do not cure it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StrayTrip {
    /// Its place among the trips of the plan, counted from 0.
    pub trip: usize,
    /// What dropped.
    pub rcd: RcdAt,
    /// The head that was struck last.
    pub head: HeadAt,
    /// The circuits that it may be on.
    pub on: Vec<CircuitAt>,
    /// Circuits behind the RCD, any of which may share its neutral with those.
    pub with: Vec<CircuitAt>,
}

/// A plate with outlets on different circuits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Split {
    /// The plate.
    pub plate: PlateAt,
    /// Its sockets, each with the circuits that it may be on.
    pub sockets: Vec<(SocketAt, Vec<CircuitAt>)>,
}

/// Sockets that are to be tested again at another hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Retest {
    /// The sockets.
    pub sockets: Vec<SocketAt>,
    /// Why.
    pub why: WhyAgain,
    /// When: as setups begin for which they are wanted; all setups where none is. Empty where no setup says it.
    pub at: Vec<ClockTime>,
}

/// Why a socket is to be tested again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyAgain {
    /// It was dead: switched, timed or broken.
    Dead,
    /// It is on a circuit that is live at certain hours only.
    Hours(CircuitAt, Hours),
    /// It is on a circuit that something else holds on.
    HeldBy(CircuitAt, HeldBy),
}

/// What to test next.
#[derive(Clone, Debug, PartialEq)]
pub enum Advice {
    /// Every socket is known.
    Known,
    /// This test.
    Test(Box<Next>),
    /// None is appropriate: a portable RCD in these sockets instead.
    NoTest {
        /// Why none.
        why: WhyNone,
        /// Sockets that are not known.
        sockets: Vec<SocketAt>,
    },
}

/// The next test, with what to know before.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// The test that takes fewer minutes to the end.
    pub test: Test,
    /// The best test of the other kind, for comparison.
    pub other: Option<Test>,
    /// What goes dark.
    pub dark: GoesDark,
    /// Sockets that are not known, where a lamp is to be plugged in or the tester to be brought.
    pub sockets: Vec<SocketAt>,
}

/// Why no test is appropriate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyNone {
    /// Nobody has found the board.
    NotFound,
    /// The board is locked.
    Locked,
    /// Every test that would teach something darkens, or may, what must stay on: these circuits.
    KeptOn(Vec<CircuitAt>),
    /// The plan has no circuit of the building yet.
    NoCircuit,
    /// What was seen of each of them clashes: that comes first.
    Clash,
    /// No test teaches anything more.
    Nothing,
}

impl Report {
    /// Works out all that tracing tells of a plan.
    #[must_use]
    pub fn of(network: &Network) -> Self {
        let survey = Survey::of(network);
        let readings = Readings::of(&survey.problem);
        let sockets = network.sockets.indices().map(|at| known(network, &survey, &readings, at)).collect();
        Self {
            clashes: readings.clashing().filter_map(|socket| readings.clash(socket)).collect(),
            shared_neutrals: shared_neutrals(&survey.problem, &readings),
            stray_trips: stray_trips(network),
            splits: splits(network, &sockets),
            labels: Labels::of(network, &readings),
            retests: retests(network, &sockets),
            stories: stories(network),
            advice: advice(network, &survey, &readings),
            sockets,
            survey,
        }
    }

    /// Sockets of which nobody knows for certain which circuit they are on.
    pub fn uncertain(&self) -> impl Iterator<Item = SocketAt> {
        self.sockets.iter().filter(|(_, socket)| !socket.is_certain()).map(|(at, _)| at)
    }

    /// Where the entries of a clash stand.
    pub fn sources<'a>(&'a self, clash: &'a Clash) -> impl Iterator<Item = Source> + 'a {
        clash.evidence.iter().map(|place| self.survey.sources[*place])
    }
}

fn known(network: &Network, survey: &Survey, readings: &Readings<'_>, at: SocketAt) -> SocketTrace {
    let circuits = readings.circuits(at);
    let basis = if readings.clashes(at) {
        Basis::Clash
    } else if survey.problem.sockets[at].given.is_some() {
        Basis::Given
    } else if circuits == survey.problem.building {
        Basis::Nothing
    } else if readings.rests_on_chance(at) {
        Basis::ByItself
    } else if circuits.only().is_some() {
        Basis::Proven
    } else {
        Basis::Narrowed
    };
    let portable = network.sockets[at].portable.map(|what| Part { what, certain: true });
    SocketTrace {
        circuits,
        rcds: portable.into_iter().chain(network.reach_of(at).rcds.iter().copied()).collect(),
        basis,
        proof: readings.proof(at).into_iter().map(|place| survey.sources[place]).collect(),
    }
}

fn stray_trips(network: &Network) -> Vec<StrayTrip> {
    let stray = |(trip, logged): (usize, &crate::plan::Trip)| {
        let rcd = network.rcd(logged.device.as_ref()?.as_str())?;
        let head = network.head(logged.last_struck.as_ref()?.as_str())?;
        let setup = logged.setup.as_ref().and_then(|setup| network.setup(setup.as_str()));
        let setup = setup.or_else(|| network.setups.indices().next())?;
        let socket = network.setups[setup].placed[head].as_ref()?.socket;
        let is_behind = crate::assess::chain(network, socket).any(|(own, _)| own == rcd);
        let with = network.rcds[rcd].darkens.clone();
        let on = network.reach_of(socket).candidates.clone();
        (!is_behind && !with.is_empty() && !on.is_empty()).then_some(StrayTrip { trip, rcd, head, on, with })
    };
    network.plan.trips.iter().enumerate().filter_map(stray).collect()
}

fn splits(network: &Network, sockets: &Dense<SocketAt, SocketTrace>) -> Vec<Split> {
    let is_sound = |basis: Basis| !matches!(basis, Basis::Clash | Basis::ByItself);
    let split = |(plate, node): (PlateAt, &crate::network::PlateNode)| {
        let sure: Vec<SocketAt> =
            node.sockets.iter().copied().filter(|at| is_sound(sockets[*at].basis)).collect();
        let is_apart =
            |one: &SocketAt, other: &SocketAt| !sockets[*one].circuits.meets(&sockets[*other].circuits);
        let is_split = sure
            .iter()
            .enumerate()
            .any(|(place, one)| sure[place + 1..].iter().any(|other| is_apart(one, other)));
        is_split.then(|| Split {
            plate,
            sockets: sure.iter().map(|at| (*at, sockets[*at].circuits.iter().collect())).collect(),
        })
    };
    network.plates.iter().filter(|(_, node)| node.sockets.len() > 1).filter_map(split).collect()
}

fn retests(network: &Network, sockets: &Dense<SocketAt, SocketTrace>) -> Vec<Retest> {
    let mut again: Vec<(WhyAgain, Vec<SocketAt>)> = Vec::new();
    let dead: Vec<SocketAt> = network
        .sockets
        .iter()
        .filter(|(_, socket)| socket.test == TestOutcome::Dead)
        .map(|(at, _)| at)
        .collect();
    again.extend((!dead.is_empty()).then_some((WhyAgain::Dead, dead)));
    for (place, circuit) in network.plan.circuits.values().enumerate() {
        let at = CircuitAt::new(place);
        let hours = circuit.hours.map(|hours| WhyAgain::Hours(at, hours));
        let held_by = circuit.held_by.map(|by| WhyAgain::HeldBy(at, by));
        for why in hours.into_iter().chain(held_by) {
            let there = sockets.iter().filter(|(_, socket)| socket.circuits.contains(at)).map(|(at, _)| at);
            let there: Vec<SocketAt> = there.collect();
            again.extend((!there.is_empty()).then_some((why, there)));
        }
    }
    again
        .into_iter()
        .map(|(why, sockets)| Retest { at: hours_wanted(network, &sockets), sockets, why })
        .collect()
}

/// When setups begin that have a head on any of these sockets, or all of them.
fn hours_wanted(network: &Network, sockets: &[SocketAt]) -> Vec<ClockTime> {
    let mut is_there = Dense::filled(network.sockets.len(), false);
    for socket in sockets {
        is_there[*socket] = true;
    }
    let is_wanted = |setup: &crate::network::SetupNode| {
        setup.on.iter().any(|head| setup.placed[*head].as_ref().is_some_and(|placed| is_there[placed.socket]))
    };
    let starts = |all: bool| -> Vec<ClockTime> {
        let setups = network.setups.iter().filter(|(_, setup)| all || is_wanted(setup));
        setups.filter_map(|(_, setup)| setup.start).collect()
    };
    let mut wanted = starts(false);
    if wanted.is_empty() {
        wanted = starts(true);
    }
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

fn advice(network: &Network, survey: &Survey, readings: &Readings<'_>) -> Advice {
    let problem = &survey.problem;
    let sockets: Vec<SocketAt> = network
        .sockets
        .indices()
        .filter(|at| problem.sockets[*at].given.is_none() && readings.circuits(*at).only().is_none())
        .collect();
    if sockets.is_empty() {
        return Advice::Known;
    }
    if problem.building.is_empty() {
        return Advice::NoTest { why: WhyNone::NoCircuit, sockets };
    }
    match network.plan.location.board.unwrap_or_default() {
        Board::Found => {}
        Board::NotFound => return Advice::NoTest { why: WhyNone::NotFound, sockets },
        Board::Locked => return Advice::NoTest { why: WhyNone::Locked, sockets },
    }
    let options = Options::of(problem, readings, switches(network, problem, readings));
    let Some((test, other)) = options.best() else {
        return Advice::NoTest { why: why_none(network, survey, readings, &options), sockets };
    };
    let dark = GoesDark::with(network, problem, readings, &test.dark);
    Advice::Test(Box::new(Next { other: other.filter(|other| other.off != test.off), test, dark, sockets }))
}

/// Why no test is left that may be made.
fn why_none(network: &Network, survey: &Survey, readings: &Readings<'_>, options: &Options<'_>) -> WhyNone {
    if options.unknown.is_empty() && readings.clashing().next().is_some() {
        return WhyNone::Clash;
    }
    let free = Options::of(&survey.problem, readings, every_breaker(survey));
    if free.single().is_some() {
        WhyNone::KeptOn(kept_on(network, readings).iter().collect())
    } else {
        WhyNone::Nothing
    }
}

/// Every breaker of the building, whatever must stay on: to tell why no test is left, never to be proposed.
fn every_breaker(survey: &Survey) -> Vec<Switch> {
    let problem = &survey.problem;
    let breaker = |circuit| {
        let device = Device::Breaker(circuit);
        Switch { device, off: problem.hit(&[device]), to_ask: 0 }
    };
    problem.building.iter().map(breaker).collect()
}
