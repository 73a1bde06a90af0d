//! What must be known before a tester is plugged in, and what the tester cannot tell.

use ampwalk_core::network::{At, CircuitAt, Network, SocketAt};
use ampwalk_core::plan::Board;
use ampwalk_core::rule::words::list;
use ampwalk_core::trace::{Advice, words};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::circuits;
use crate::widget::text::visible;

/// What a plug-in tester cannot see (HSE, Electrical safety: socket testers, www.hse.gov.uk/electricity).
pub(super) fn blind_spots(network: &Network) -> String {
    let words = &network.region.words;
    format!(
        "A plug-in tester cannot see a poor {earth}, {neutral} and {earth} swapped, or a false {earth} (HSE).",
        earth = words.earth,
        neutral = words.neutral
    )
}

/// What to test next, in a line; all of it is one key away. `None` where all is known.
pub(super) fn next_test(scene: &Scene<'_>) -> Option<(String, Role)> {
    let (network, report) = (scene.network, scene.report());
    let clashes = match report.clashes.len() {
        0 => String::new(),
        1 => "1 CLASH in what was tested · ".to_owned(),
        count => format!("{count} CLASHES in what was tested · "),
    };
    let told = match &report.advice {
        Advice::Known if clashes.is_empty() => return None,
        Advice::Known => "t says which".to_owned(),
        Advice::Test(next) => {
            let off = next.test.off.iter().map(|one| words::device(network, *one)).collect::<Vec<_>>();
            format!("next test: {} off, but ask first: t says whom", off.join(" "))
        }
        Advice::NoTest { .. } => "no test now: t says why".to_owned(),
    };
    let role = if report.clashes.is_empty() { Role::Text } else { Role::Risk };
    Some((format!("{clashes}{told}"), role))
}

/// What a ramp test at a socket takes down, or why there must be none. That no test is proposed
/// where something must stay on, or before the board is found, is common practice, no source.
pub(super) fn before_a_ramp_test(network: &Network, socket: SocketAt) -> (String, Role) {
    let node = &network.sockets[socket];
    let words = &network.region.words;
    let reach = network.reach_of(socket);
    let mut behind: Vec<CircuitAt> = reach.candidates.clone();
    for part in &reach.rcds {
        behind.extend(&network.rcds[part.what].darkens);
    }
    behind.sort_unstable();
    behind.dedup();
    let plan = |circuit: &CircuitAt| network.plan.circuits.get_index(circuit.get());
    let kept =
        behind.iter().filter_map(plan).find_map(|(id, circuit)| Some((id, circuit.keep_on.as_deref()?)));
    if let Some((id, why)) = kept {
        let text = format!(
            "NO RAMP TEST HERE: it would take down, or may, what must stay on: {id} ({}). A plug-in {} in the {} instead.",
            visible(why),
            words.rcd_long,
            words.socket
        );
        return (text, Role::Danger);
    }
    match network.plan.location.board.unwrap_or_default() {
        Board::Found => {}
        Board::NotFound => {
            return (format!("No ramp test before the {} is found.", words.board), Role::Risk);
        }
        Board::Locked => {
            return (format!("No ramp test while the {} is locked.", words.board), Role::Risk);
        }
    }
    let rcds: Vec<_> = node.portable.into_iter().chain(reach.rcds.iter().map(|part| part.what)).collect();
    let device = match rcds.first() {
        Some(rcd) if rcds.len() == 1 || reach.rcds.first().is_some_and(|part| part.certain) => {
            network.rcds[*rcd].id.to_string()
        }
        _ => format!("its {}", words.rcd),
    };
    let loads: Vec<String> = behind
        .iter()
        .flat_map(|circuit| &network.circuits[*circuit].base)
        .filter_map(|load| load.name.as_deref().map(visible))
        .collect();
    let loads = if loads.is_empty() { String::new() } else { format!(": {}", list(loads)) };
    let text = format!(
        "Before a ramp test: everything behind {device} goes dark ({}){loads}. Ask the owner first.",
        circuits(network, &behind)
    );
    (text, Role::Risk)
}
