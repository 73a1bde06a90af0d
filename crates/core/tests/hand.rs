//! What a head in hand shows at a socket is what the whole assessment finds after the drop.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Extent, Finding, Hand, Subject, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::{HeadAt, Network, SetupAt, SocketAt};
use proptest::prelude::*;

/// A random plan: a star supply, nested and portable RCDs, a distribution box, untraced sockets.
fn plan_text(seed: &[u16]) -> String {
    let mut dice = seed.iter().cycle().copied();
    let mut roll = |sides: u16| dice.next().unwrap_or(0) % sides;
    let region = ["au", "uk", "us", "it"][usize::from(roll(4))];
    let weather = ["dry", "rain"][usize::from(roll(2))];
    let mut text = format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nweather = \"{weather}\"\nboard = \"found\"\nstair = [3, 3]\n\
         [supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 32\ncontract_kw = 6\n\
         [supply.set]\nkind = \"generator\"\nkva = 5\nearth = \"floating\"\n\
         [rcd.R0]\nrated_ma = 100\n[rcd.R1]\nrated_ma = 30\nbehind = \"R0\"\n[rcd.R2]\nrated_ma = 30\n\
         [rcd.PR]\nrated_ma = 10\nclass = \"portable\"\n"
    );
    for (circuit, line) in ["C1", "C2", "C3", "C4"].iter().zip(["L1", "L2", "L3", "L1"]) {
        let rcd = ["", "rcd = \"R1\"", "rcd = \"R2\"", "rcd = \"R0\""][usize::from(roll(4))];
        let others = ["", "others = true", "reserve_a = 4"][usize::from(roll(3))];
        let _ = writeln!(
            text,
            "[circuit.{circuit}]\nsupply = \"house\"\nline = \"{line}\"\nbreaker_a = {}\n{rcd}\n{others}\n\
             base = [{{ name = \"b\", amps = 1.{}, leak_ma = {} }}]",
            10 + roll(12),
            roll(9),
            roll(5)
        );
    }
    text.push_str(
        "[circuit.G]\nsupply = \"set\"\nbreaker_a = 16\n\
         [circuit.W]\nsupply = \"house\"\nline = \"L1-L2-L3\"\nbreaker_a = 32\nrcd = \"R2\"\n\
         [circuit.D]\nfrom = \"S0\"\nline = \"L2\"\nbreaker_a = 16\n\
         [floor.g]\nlevel = 0\n[floor.u]\nlevel = 1\n[room.in]\nfloor = \"g\"\n[room.up]\nfloor = \"u\"\nwet = true\n\
         [room.out]\nfloor = \"g\"\noutdoor = true\n\
         [socket.S0]\nroom = \"in\"\noutlet = \"cee-16-3\"\ncircuit = \"W\"\n",
    );
    for socket in 1..8 {
        let circuit = ["", "C1", "C2", "C3", "C4", "G", "D"][usize::from(roll(7))];
        let circuit = if circuit.is_empty() { String::new() } else { format!("circuit = \"{circuit}\"") };
        let outcome = ["ok", "ok", "ok", "reversed", "no-earth", "untested"][usize::from(roll(6))];
        let ramp =
            ["", "ramp = { held_ma = 10, tripped_ma = 15 }", "ramp = { held_ma = 20, tripped_ma = 25 }"]
                [usize::from(roll(3))];
        let portable = if roll(5) == 0 { "portable_rcd = \"PR\"" } else { "" };
        let plate = if roll(3) == 0 { "plate = \"K\"" } else { "" };
        let room = ["in", "up", "out"][usize::from(roll(3))];
        let _ = writeln!(
            text,
            "[socket.S{socket}]\nroom = \"{room}\"\nat = [{}, {}]\nways = {}\n{circuit}\ntest = \"{outcome}\"\n{ramp}\n{portable}\n{plate}",
            roll(20),
            roll(9),
            1 + roll(3)
        );
    }
    for head in 0..8 {
        let class = ["discharge-1k2", "led-600", "tungsten-1k", "discharge-1k2-magnetic", "led-1k2"]
            [usize::from(roll(5))];
        let socket = roll(8);
        let placed = if socket == 0 {
            String::new()
        } else {
            format!(
                "socket = \"S{socket}\"\nleads = [{}]",
                [
                    "",
                    "\"c\"",
                    "\"k\"",
                    "\"k\", \"c\"",
                    "\"t\", \"k\"",
                    "\"t\", \"k\", \"d\"",
                    "\"t\", \"k\", \"k\""
                ][usize::from(roll(7))]
            )
        };
        let room = ["in", "up", "out"][usize::from(roll(3))];
        let _ = writeln!(
            text,
            "[head.H{head}]\nclass = \"{class}\"\nroom = \"{room}\"\nat = [{}, {}]\n{placed}",
            roll(20),
            roll(9)
        );
    }
    text.push_str(
        "[cable.c]\nlength_m = 20\nmm2 = 2.5\ncount = 5\n[cable.d]\nlength_m = 10\nmm2 = 1.5\ncount = 3\n\
         [cable.t]\nlength_m = 60\nmm2 = 1.5\ncount = 2\n\
         [block.k]\nways = 3\nrated_a = 10\ncount = 2\n\
         [setup.one]\nstart = \"09:00\"\nminutes = 100\non = [\"H0\", \"H1\", \"H2\", \"H3\", \"H4\", \"H5\"]\n\
         [setup.two]\nstart = \"10:40\"\nminutes = 100\non = [\"H0\", \"H2\", \"H4\", \"H6\", \"H7\"]\n\
         sockets = { H4 = { socket = \"S1\" } }\n",
    );
    text
}

fn network(text: &str) -> Network {
    let parsed = parse(text);
    let errors: Vec<_> = parsed
        .problems
        .iter()
        .filter(|problem| problem.gravity != ampwalk_core::file::Gravity::Note)
        .collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    Network::of(Arc::new(parsed.plan))
}

fn key(finding: &Finding) -> (String, String, Option<SetupAt>, Subject, String) {
    let crossing = finding.crossing.map_or(String::new(), |c| format!("{:.6} {:.6}", c.value, c.limit));
    (finding.rule.id.to_owned(), finding.severity.to_string(), finding.setup, finding.subject, crossing)
}

/// The subjects that a head at a socket touches.
fn touched(network: &Network, head: HeadAt, socket: SocketAt) -> BTreeSet<Subject> {
    let reach = network.reach_of(socket);
    let node = &network.sockets[socket];
    let mut subjects = BTreeSet::from([Subject::Head(head), Subject::Socket(socket)]);
    subjects.extend(network.plates[node.plate].sockets.first().map(|first| Subject::Socket(*first)));
    subjects.extend(reach.sockets.iter().map(|part| Subject::Socket(part.what)));
    subjects.extend(reach.circuits.iter().map(|part| Subject::Circuit(part.what)));
    subjects.extend(reach.rcds.iter().map(|part| Subject::Rcd(part.what)));
    if let Some(portable) = node.portable {
        subjects.insert(Subject::Rcd(portable));
    }
    subjects.extend(reach.supplies.iter().map(|part| Subject::Supply(part.what.0)));
    subjects
}

/// Rules of the wall and the stock that a drop does not change, or that another head tells.
fn compared(finding: &Finding) -> bool {
    !matches!(
        finding.rule.id,
        "label-wrong"
            | "ramp-conflict"
            | "trace-conflict"
            | "fumes"
            | "two-lines"
            | "two-sources"
            | "contract-over"
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn a_drop_turns_out_as_the_hand_showed(seed in prop::collection::vec(any::<u16>(), 64), head in 0_usize..8) {
        let network = network(&plan_text(&seed));
        let before: Assessment = assess(&network);
        let setup = network.setups.indices().find(|at| {
            network.setups[*at].is_on[network.head(&format!("H{head}")).unwrap()]
        }).unwrap();
        let head = network.head(&format!("H{head}")).unwrap();
        let hand = Hand::pick_up_for(&network, &before, setup, head, Extent::EverySetup);
        for consequence in hand.ranked(&network) {
            let mut plan = (*network.plan).clone();
            let placement = Hand::placement(&network, &consequence);
            let id = network.head_id(head).clone();
            let own = plan.setups.get(network.setup_id(setup).as_str()).unwrap().sockets.contains_key(&id);
            if own {
                plan.setups.get_mut(network.setup_id(setup).as_str()).unwrap().sockets.insert(id, Some(placement));
            } else {
                plan.heads.get_mut(id.as_str()).unwrap().placement = Some(placement);
            }
            let after_network = Network::of(Arc::new(plan));
            let after = assess(&after_network);
            let subjects = touched(&network, head, consequence.socket);
            // Heads behind blocks at the socket see what one more takes from the leads before the block.
            let takes_from = |finding: &Finding| {
                let Subject::Head(other) = finding.subject else { return false };
                let plugs = finding.setup.map(|setup| &after.setups[setup].sockets[consequence.socket].plugs);
                finding.rule.id == "drop-high"
                    && plugs.is_some_and(|plugs| {
                        plugs.iter().any(|plug| plug.block.is_some() && plug.heads.contains(&other))
                    })
            };
            let found: BTreeSet<_> = after
                .findings
                .iter()
                .filter(|finding| finding.setup.is_some_and(|setup| hand.affected.contains(&setup)))
                .filter(|finding| subjects.contains(&finding.subject) || takes_from(finding))
                .filter(|finding| compared(finding))
                .filter(|finding| {
                    // The first socket of the plate speaks for the plate only.
                    let boxes = &network.reach_of(consequence.socket).sockets;
                    let own = finding.subject == Subject::Socket(consequence.socket)
                        || boxes.iter().any(|part| finding.subject == Subject::Socket(part.what));
                    own || !matches!(finding.subject, Subject::Socket(_)) || finding.rule.id == "plate-over"
                })
                .map(key)
                .collect();
            let shown: BTreeSet<_> = consequence.findings.iter().filter(|finding| compared(finding)).map(key).collect();
            prop_assert_eq!(&found, &shown, "{:?} on {:?}", network.head_id(head), network.socket_id(consequence.socket));
        }
    }
}
