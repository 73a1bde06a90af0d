//! Placements of whole plans, each checked again by the assessment, which knows nothing of the solver.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the tests read the example files, and how many cases to try")]

#[path = "recovery/house.rs"]
mod house;
#[path = "random/plan.rs"]
mod plan;

use std::collections::HashSet;
use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, Subject, assess};
use ampwalk_core::edit::apply;
use ampwalk_core::file::parse;
use ampwalk_core::network::{CableAt, HeadAt, Link, Network, SetupAt, lead_needed};
use ampwalk_core::plan::{Placement, Plan, TestOutcome};
use ampwalk_core::rule::Severity;
use ampwalk_core::solve::plan::{Assignment, Start, Untested, Wishes, assign};
use ampwalk_core::solve::{Answer, Effort};
use proptest::prelude::*;

use plan::{network, plan_text};

const QUICK: Effort = Effort { rounds: 200, nodes: 4_000, prover: None };

fn is_hard(finding: &Finding) -> bool {
    finding.severity >= Severity::Dark && finding.rule.id != "head-unplaced"
}

fn hard(assessment: &Assessment) -> HashSet<(&'static str, Option<SetupAt>, Subject)> {
    let hard = assessment.findings.iter().filter(|finding| is_hard(finding));
    hard.map(|finding| (finding.rule.id, finding.setup, finding.subject)).collect()
}

/// The plan with only those heads in place that stay: pinned ones, those on blocks unless it is fresh, and
/// all where all stay.
fn only_fixed(network: &Network, start: Start) -> Network {
    let mut plan = ampwalk_core::plan::Plan::clone(&network.plan);
    let is_block = |placement: &ampwalk_core::plan::Placement| {
        placement.leads.iter().any(|lead| network.plan.blocks.contains_key(lead.as_str()))
    };
    let stays = |pinned: bool, placement: &ampwalk_core::plan::Placement| {
        pinned || start == Start::Staying || start == Start::AsPlanned && is_block(placement)
    };
    let pinned: HashSet<_> =
        plan.heads.iter().filter(|(_, head)| head.pinned).map(|(id, _)| id.clone()).collect();
    for (_, head) in &mut plan.heads {
        let pinned = head.pinned;
        head.placement = head.placement.take().filter(|placement| stays(pinned, placement));
    }
    for (_, setup) in &mut plan.setups {
        for (id, placement) in &mut setup.sockets {
            *placement = placement.take().filter(|placement| stays(pinned.contains(id), placement));
        }
    }
    Network::of(Arc::new(plan))
}

fn check(before: &Network, assignment: &Assignment, wishes: Wishes) -> Result<(), TestCaseError> {
    if assignment.answer == Answer::None {
        prop_assert!(assignment.moves.is_empty());
        return Ok(());
    }
    let allowed = hard(&assess(&only_fixed(before, wishes.start)));
    let now = assess(&Network::of(Arc::clone(&assignment.network.plan)));
    let worse: Vec<_> = now
        .findings
        .iter()
        .filter(|f| is_hard(f) && !allowed.contains(&(f.rule.id, f.setup, f.subject)))
        .collect();
    prop_assert!(worse.is_empty(), "{worse:?}\n{:?}", assignment.moves);
    for moved in &assignment.moves {
        let id = before.head_id(moved.head);
        // A head that is pinned nowhere may be given its first socket.
        let stays = before.plan.heads[id].pinned || wishes.start == Start::Staying;
        prop_assert!(!stays || moved.from.is_none(), "{id} stays");
        let Some(socket) = moved.to else { continue };
        let test = before.sockets[socket].test;
        let may = match test {
            TestOutcome::Ok => true,
            TestOutcome::Untested => wishes.untested == Untested::LetIn,
            TestOutcome::NoEarth => {
                before.reach_of(socket).supply().is_some_and(|at| before.supplies[at].small_floating)
            }
            _ => false,
        };
        prop_assert!(may, "{id} goes to a socket that is {test:?}");
        let setup =
            moved.setup.or_else(|| before.setups.indices().find(|at| before.setups[*at].is_on[moved.head]));
        let placed = setup.and_then(|at| assignment.network.setups[at].placed[moved.head].clone());
        let cables =
            placed.iter().flat_map(|placed| &placed.links).filter(|link| matches!(link, Link::Cable(_)));
        prop_assert!(cables.count() <= 2);
        let changed = |at: SetupAt| match moved.setup {
            Some(own) => own == at,
            None => !before.plan.setups[before.setup_id(at)].sockets.contains_key(id),
        };
        for (_, used) in now.setups.iter().filter(|(at, _)| changed(*at)) {
            let used = used.heads[moved.head].as_ref();
            let drop = used.and_then(ampwalk_core::assess::HeadUse::drop_percent);
            prop_assert!(drop.is_none_or(|drop| drop <= 4.0 + 1e-6), "{drop:?} % lost to {id}");
        }
    }
    let dark: i64 =
        assignment.unplaced.iter().map(|(_, head)| i64::from(before.heads[*head].importance)).sum();
    prop_assert_eq!(dark, assignment.objective.dark_importance);
    prop_assert!(assignment.bound.dark_importance <= assignment.objective.dark_importance);
    prop_assert_eq!(assignment.unplaced.len(), assignment.why_not.len());
    Ok(())
}

fn cases() -> u32 {
    std::env::var("AMPWALK_PLAN_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn no_answer_breaks_a_hard_limit(
        seed in prop::collection::vec(any::<u16>(), 64),
        start in prop::sample::select(vec![Start::AsPlanned, Start::Fresh, Start::Staying]),
        untested in any::<bool>(),
        pin in 0_usize..9,
    ) {
        let mut text = plan_text(&seed);
        text = text.replace(&format!("[head.H{pin}]\n"), &format!("[head.H{pin}]\npinned = true\n"));
        let before = network(&text);
        let wishes = Wishes {
            start,
            untested: if untested { Untested::LetIn } else { Untested::LeftOut },
            effort: QUICK,
            ..Wishes::default()
        };
        let assignment = assign(&before, wishes, &mut |_| true);
        check(&before, &assignment, wishes)?;
        if let Some(edit) = assignment.edit() {
            let written = apply(&text, &edit).unwrap().apply(&text);
            prop_assert_eq!(&parse(&written).plan, &*assignment.network.plan);
        }
    }
}

/// Sockets with heads that no RCD fine enough protects.
fn bare(assessment: &Assessment) -> HashSet<Subject> {
    let is_bare = |finding: &&Finding| matches!(finding.rule.id, "rcd-absent" | "rcd-coarse");
    assessment.findings.iter().filter(is_bare).map(|finding| finding.subject).collect()
}

/// Chances of a trip, added up over setups and RCDs.
fn odds(assessment: &Assessment) -> f64 {
    assessment.setups.iter().flat_map(|(_, used)| used.rcds.iter().map(|(_, rcd)| rcd.odds)).sum()
}

/// Metres of lead of a placement.
fn metres(network: &Network, placement: &Placement) -> f64 {
    let length = |lead: &ampwalk_core::id::LeadId| {
        network
            .cables
            .iter()
            .find(|(_, cable)| cable.id.as_str() == lead.as_str())
            .map_or(0.0, |(_, c)| c.length.0)
    };
    placement.leads.iter().map(length).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn no_head_is_without_a_fine_rcd_where_a_socket_with_one_does_as_well(
        seed in prop::collection::vec(any::<u16>(), 64),
    ) {
        // Where a socket without one is no danger, or all would be barred.
        let us = |text: &str| ["au", "uk", "it"].iter().fold(text.to_owned(), |text, region| {
            text.replace(&format!("region = \"{region}\""), "region = \"us\"")
        });
        let before = network(&us(&plan_text(&seed)).replace("\"rain\"", "\"dry\"").replace("wet = true\n", ""));
        let wishes = Wishes { start: Start::Fresh, effort: QUICK, ..Wishes::default() };
        let assignment = assign(&before, wishes, &mut |_| true);
        let now = &assignment.assessment;
        let (known, was) = (hard(now), odds(now));
        for moved in assignment.moves.iter().filter(|moved| moved.setup.is_none()) {
            let (Some(from), Some(placement)) = (moved.to, &moved.placement) else { continue };
            if !bare(now).contains(&Subject::Socket(from)) {
                continue;
            }
            for place in places(&before, moved.head) {
                let mut plan = (*assignment.network.plan).clone();
                plan.heads.get_mut(before.head_id(moved.head)).unwrap().placement = Some(place.clone());
                let after = assess(&Network::of(Arc::new(plan)));
                let to = before.socket(place.socket.as_str()).unwrap();
                let is_house = before.reach_of(to).supply() == before.reach_of(from).supply();
                let breaks = after.findings.iter().any(|found| {
                    let is_it = is_hard(found) || ["drop-high", "breaker-may-over", "chain-long"].contains(&found.rule.id);
                    is_it && !known.contains(&(found.rule.id, found.setup, found.subject))
                });
                let does_as_well = is_house && !breaks && odds(&after) <= was + 1e-9
                    && metres(&before, &place) <= metres(&before, placement) + 1e-9;
                let is_fine = !bare(&after).contains(&Subject::Socket(to));
                prop_assert!(!(does_as_well && is_fine), "{:?} for {:?}", place, moved);
            }
        }
    }
}

/// Sockets side by side, each behind nothing, behind an RCD of 300 mA or behind one of 30, with so many ways; and
/// heads beside them, small enough that room never decides.
fn side_by_side(sockets: &[(u8, u32)], heads: usize) -> String {
    let mut text =
        "ampwalk = 1\n[location]\nregion = \"us\"\n[supply.house]\nkind = \"mains\"\n[floor.g]\nlevel = 0\n\
                    [room.hall]\nfloor = \"g\"\n"
            .to_owned();
    for (at, (kind, ways)) in sockets.iter().enumerate() {
        let (rcd, ramp) = match kind {
            0 => ("", ""),
            1 => ("rated_ma = 300", "ramp = { held_ma = 150, tripped_ma = 200 }"),
            _ => ("rated_ma = 30", "ramp = { held_ma = 20, tripped_ma = 25 }"),
        };
        let own = if rcd.is_empty() { String::new() } else { format!("rcd = \"R{at}\"") };
        if !rcd.is_empty() {
            let _ = writeln!(text, "[rcd.R{at}]\n{rcd}");
        }
        let _ = writeln!(
            text,
            "[circuit.C{at}]\nsupply = \"house\"\nbreaker_a = 20\ncurve = \"ul\"\n{own}\n[socket.S{at}]\nroom = \"hall\"\n\
             at = [0, 0]\ncircuit = \"C{at}\"\noutlet = \"us-20\"\ntest = \"ok\"\nways = {ways}\n{ramp}"
        );
    }
    let ids: Vec<String> = (0..heads).map(|at| format!("\"H{at}\"")).collect();
    for id in &ids {
        let _ = writeln!(
            text,
            "[head.{}]\nwatts = 100\nleak_ma = 0.1\nroom = \"hall\"\nat = [3, 0]",
            id.trim_matches('"')
        );
    }
    text + &format!("[setup.day]\nminutes = 60\non = [{}]\n", ids.join(", "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn as_many_heads_as_find_a_way_are_behind_a_fine_rcd_and_no_fewer(
        sockets in prop::collection::vec((0_u8..3, 1_u32..4), 2..6),
        heads in 1_usize..7,
    ) {
        let before = network(&side_by_side(&sockets, heads));
        let all: u32 = sockets.iter().map(|(_, ways)| ways).sum();
        let fine: u32 = sockets.iter().filter(|(kind, _)| *kind == 2).map(|(_, ways)| ways).sum();
        let (all, fine) = (usize::try_from(all).unwrap(), usize::try_from(fine).unwrap());
        for start in [Start::Fresh, Start::AsPlanned, Start::Staying] {
            let assignment = assign(&before, Wishes { start, effort: QUICK, ..Wishes::default() }, &mut |_| true);
            let to = assignment.moves.iter().filter_map(|moved| moved.to).collect::<Vec<_>>();
            prop_assert_eq!(to.len(), heads.min(all));
            let bare = to.iter().filter(|socket| {
                let at = sockets.iter().enumerate().find(|(at, _)| before.socket(&format!("S{at}")) == Some(**socket));
                at.is_some_and(|(_, (kind, _))| *kind < 2)
            });
            // What is lit besides what the fine ones have ways for, by counting.
            prop_assert_eq!(bare.count(), heads.min(all).saturating_sub(fine));
        }
    }
}

#[test]
fn of_sockets_side_by_side_the_one_behind_a_fine_rcd_is_taken() {
    // Side by side: one behind nothing, one behind an RCD of 300 mA with all the room there is, one behind 30 mA.
    let circuit = |id: &str, rcd: &str| {
        format!("[circuit.{id}]\nsupply = \"house\"\nbreaker_a = 20\ncurve = \"ul\"\n{rcd}\n")
    };
    let socket = |id: &str, circuit: &str, ramp: &str| {
        format!(
            "[socket.{id}]\nroom = \"hall\"\nat = [0, 0]\ncircuit = \"{circuit}\"\noutlet = \"us-20\"\n\
             test = \"ok\"\n{ramp}\n"
        )
    };
    let text = [
        "ampwalk = 1\n[location]\nregion = \"us\"\n[supply.house]\nkind = \"mains\"\n".to_owned(),
        "[rcd.C]\nrated_ma = 300\n[rcd.F]\nrated_ma = 30\n[floor.g]\nlevel = 0\n".to_owned(),
        "[room.hall]\nfloor = \"g\"\n".to_owned(),
        circuit("C1", ""),
        circuit("C2", "rcd = \"C\""),
        circuit("C3", "rcd = \"F\""),
        socket("S1", "C1", ""),
        socket("S2", "C2", "ramp = { held_ma = 150, tripped_ma = 200 }"),
        socket("S3", "C3", "ramp = { held_ma = 20, tripped_ma = 25 }"),
        "[head.A]\nwatts = 500\nleak_ma = 1\nroom = \"hall\"\nat = [3, 0]\n".to_owned(),
        "[setup.day]\nminutes = 60\non = [\"A\"]\n".to_owned(),
    ];
    let before = network(&text.concat());
    for start in [Start::Fresh, Start::AsPlanned, Start::Staying] {
        let assignment = assign(&before, Wishes { start, ..Wishes::default() }, &mut |_| true);
        assert_eq!(assignment.moves[0].to, before.socket("S3"), "{start:?}");
    }
}

#[test]
fn where_no_rcd_is_asked_for_odds_come_before_protection_and_the_risk_is_told() {
    // As the order of levels has it: behind the RCD that held 4 and tripped at 6 the head strikes at 5 mA, even odds, and
    // where the socket beside it has no RCD there are none. In `us` and `ca` such a socket, dry and indoors, is a
    // risk and no danger; elsewhere it is barred.
    let text = side_by_side(&[(0, 1), (2, 1)], 1)
        .replace("held_ma = 20, tripped_ma = 25", "held_ma = 4, tripped_ma = 6")
        .replace("leak_ma = 0.1", "leak_ma = 2\nstrike_ma = 3");
    let us = assign(&network(&text), Wishes::default(), &mut |_| true);
    assert_eq!(us.moves[0].to, us.network.socket("S0"));
    let told = us.assessment.findings.iter().find(|finding| finding.rule.id == "rcd-absent").unwrap();
    assert_eq!(told.severity, Severity::Risk);
    // In rain it is a danger there as well, and the head goes behind the RCD, odds and all.
    let rain = text.replace("minutes = 60", "minutes = 60\nweather = \"rain\"");
    let rain = assign(&network(&rain), Wishes::default(), &mut |_| true);
    assert_eq!(rain.moves[0].to, rain.network.socket("S1"));
}

/// Two heads of 2300 W, 10 A each at 230 V, on one circuit of 16 A: over by 4 A. A third one waits, and
/// another circuit is free.
const OVER_ALREADY: &str = r#"
ampwalk = 1
[location]
region = "au"
[supply.house]
kind = "mains"
[rcd.R]
[rcd.Q]
[circuit.C]
supply = "house"
breaker_a = 16
rcd = "R"
[circuit.D]
supply = "house"
breaker_a = 16
rcd = "Q"
[floor.ground]
level = 0
[room.hall]
floor = "ground"
[socket.S]
room = "hall"
circuit = "C"
test = "ok"
ways = 4
ramp = { held_ma = 15, tripped_ma = 20 }
[socket.T]
room = "hall"
circuit = "D"
test = "ok"
ways = 2
ramp = { held_ma = 15, tripped_ma = 20 }
[head.A]
watts = 2300
socket = "S"
[head.B]
watts = 2300
socket = "S"
[head.X]
watts = 500
[setup.day]
minutes = 60
on = ["A", "B", "X"]
"#;

#[test]
fn where_all_stay_the_rest_goes_beside_what_is_broken_and_never_on_top_of_it() {
    let before = network(OVER_ALREADY);
    let wishes = Wishes { start: Start::Staying, ..Wishes::default() };
    let assignment = assign(&before, wishes, &mut |_| true);
    assert_eq!(assignment.answer, Answer::Optimal);
    let [moved] = assignment.moves.as_slice() else { panic!("{:?}", assignment.moves) };
    assert_eq!(moved.head, before.head("X").unwrap());
    assert_eq!((moved.from, moved.to), (None, before.socket("T")));
    // The pinned ones break it where nothing bears that.
    let pinned = OVER_ALREADY.replace("watts = 2300\n", "watts = 2300\npinned = true\n");
    let refused = assign(&network(&pinned), Wishes::default(), &mut |_| true);
    assert_eq!(refused.answer, Answer::None);
    // Without the other circuit there is no place, and the reason names the limit.
    let alone = OVER_ALREADY.replace(
        "[circuit.D]\nsupply = \"house\"\nbreaker_a = 16",
        "[circuit.D]\nsupply = \"house\"\nbreaker_a = 2",
    );
    let dark = assign(&network(&alone), wishes, &mut |_| true);
    assert!(dark.moves.is_empty());
    assert_eq!(dark.unplaced.len(), 1);
    let why = &dark.why_not[0];
    assert!(why.needed.unwrap() > why.there.unwrap(), "{why:?}");
}

fn example(name: &str) -> Network {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    network(&std::fs::read_to_string(path).unwrap())
}

#[test]
fn the_examples_are_placed_without_breaking_a_limit() {
    for name in ["first-walk", "mill-house", "office-night", "third-floor-flat"] {
        let before = example(name);
        for start in [Start::AsPlanned, Start::Fresh, Start::Staying] {
            let wishes = Wishes { start, effort: QUICK, ..Wishes::default() };
            let mut seen = Vec::new();
            let assignment = assign(&before, wishes, &mut |now| {
                seen.push(*now);
                true
            });
            assert!(seen.iter().all(|now| now.placed <= now.items), "{name}");
            let last = seen.last().expect("progress is told");
            assert!(last.items - last.placed >= assignment.unplaced.len(), "{name}: {last:?}");
            check(&before, &assignment, wishes).unwrap();
            assert_eq!(assignment.why_not.len(), assignment.unplaced.len(), "{name}");
        }
    }
}

#[test]
fn a_plan_that_is_solved_is_not_moved_again() {
    for name in ["first-walk", "mill-house", "office-night", "third-floor-flat"] {
        let before = example(name);
        let wishes = Wishes { effort: QUICK, ..Wishes::default() };
        let once = assign(&before, wishes, &mut |_| true);
        if once.answer == Answer::None || !once.unplaced.is_empty() {
            continue;
        }
        let again = assign(&once.network, wishes, &mut |_| true);
        if again.answer == Answer::Optimal && (again.objective.odds - once.objective.odds).abs() < 1e-9 {
            assert!(again.moves.is_empty(), "{name}: {:?}", again.moves);
        }
    }
}

/// Every place for a head on a tested socket, by one lead that reaches or two.
fn places(network: &Network, head: HeadAt) -> Vec<Placement> {
    let cables: Vec<CableAt> = network.cables.indices().collect();
    let one = cables.iter().map(|cable| vec![*cable]);
    let leads: Vec<Vec<CableAt>> =
        one.chain(cables.iter().flat_map(|a| cables.iter().map(|b| vec![*a, *b]))).collect();
    let mut places = Vec::new();
    for (socket, node) in network.sockets.iter().filter(|(_, node)| node.test == TestOutcome::Ok) {
        let needed = lead_needed(
            &node.place,
            &network.heads[head].place,
            network.plan.location.stair,
            network.heads[head].tail,
        );
        let reach = |leads: &&Vec<CableAt>| {
            leads.iter().map(|at| network.cables[*at].length.0).sum::<f64>()
                >= needed.map_or(0.0, |needed| needed.0)
        };
        places.extend(leads.iter().filter(reach).map(|leads| Placement {
            socket: network.socket_id(socket).clone(),
            leads: leads.iter().map(|at| network.cables[*at].id.as_str().into()).collect(),
        }));
    }
    places
}

/// The rules that a plan breaks with only these heads plugged in, besides those that are pinned.
fn broken_with(network: &Network, heads: &[(HeadAt, &Placement)]) -> HashSet<&'static str> {
    let mut plan: Plan = (*network.plan).clone();
    for (_, head) in plan.heads.iter_mut().filter(|(_, head)| !head.pinned) {
        head.placement = None;
    }
    for (head, placement) in heads {
        plan.heads.get_mut(network.head_id(*head)).unwrap().placement = Some((*placement).clone());
    }
    let found = assess(&Network::of(Arc::new(plan))).findings;
    let over = ["drop-high", "chain-long", "breaker-may-over"];
    let is_broken = |finding: &&Finding| is_hard(finding) || over.contains(&finding.rule.id);
    found.iter().filter(is_broken).map(|finding| finding.rule.id).collect()
}

#[test]
fn the_limits_named_for_a_dark_head_are_broken_by_every_placement_of_it_with_those_named() {
    const MOST: usize = 3_000;
    let (mut told, mut in_company) = (0, 0);
    for seed in 0..u64::from(cases()) * 5 {
        let before = network(&house::house(seed).replace("breaker_a = 10", "breaker_a = 5"));
        let wishes = Wishes { start: Start::Fresh, ..Wishes::default() };
        let assignment = assign(&before, wishes, &mut |_| true);
        for why in &assignment.why_not {
            assert!(why.heads.is_empty() || why.heads[0] == why.head);
            assert!(why.heads.is_empty() || why.limits.contains(&why.limit), "{why:?}");
            let every: Vec<Vec<Placement>> = why.heads.iter().map(|head| places(&before, *head)).collect();
            let count = every.iter().map(Vec::len).product::<usize>();
            if why.heads.is_empty() || count > MOST {
                continue;
            }
            // On sockets that take a head alone.
            let takes = |head: &HeadAt, place: &Placement| broken_with(&before, &[(*head, place)]).is_empty();
            let alone = why.heads.len() == 1;
            let mut combinations: Vec<Vec<(HeadAt, &Placement)>> = vec![Vec::new()];
            for (head, places) in why.heads.iter().zip(&every) {
                let places: Vec<&Placement> =
                    places.iter().filter(|place| alone || takes(head, place)).collect();
                combinations = combinations
                    .iter()
                    .flat_map(|some| places.iter().map(move |place| [&some[..], &[(*head, *place)]].concat()))
                    .collect();
            }
            for way in combinations {
                let broken = broken_with(&before, &way);
                let is_named = why.limits.iter().any(|limit| broken.contains(limit));
                assert!(is_named, "seed {seed}: {way:?} breaks {broken:?}, not {why:?}");
            }
            told += 1;
            in_company += u32::from(!alone);
        }
    }
    assert!(told > 0 && in_company > 0, "{told} dark heads looked at, {in_company} in company");
}
