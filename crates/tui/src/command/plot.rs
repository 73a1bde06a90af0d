//! Commands of the Plot screen: picking up, dropping, unplugging, pinning.

use ampwalk_core::assess::{Finding, Outlook};
use ampwalk_core::edit::{Edit, Override};
use ampwalk_core::network::{At, HeadAt, Network, SetupAt, SocketAt};
use ampwalk_core::plan::Placement;
use ampwalk_core::rule::words::list;

use super::program::{save, verdict, verdict_now};
use crate::effect::Effect;
use crate::guide::Step;
use crate::model::Model;
use crate::plot::{Focus, Held, heads_at, not_placed};
use crate::words;

pub(super) fn pick_up(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(head) = head_under_cursor(model) else {
        refuse_no_head(model, effects);
        return;
    };
    pick_up_head(model, head, effects);
}

/// Takes a head in hand.
pub(crate) fn pick_up_head(model: &mut Model, head: HeadAt, effects: &mut Vec<Effect>) {
    if let Some(why) = model.document.read_only() {
        model.refuse(format!("Only to be looked at: {why}"));
        effects.push(Effect::Bell);
        return;
    }
    let network = model.document.network();
    let Some(setup) = model.setup else { return };
    if network.sockets.is_empty() {
        let words = &network.region.words;
        let told = format!("No {} yet: 1 goes to Walk, n adds one there", words.socket);
        model.refuse(told);
        effects.push(Effect::Bell);
        return;
    }
    let mut carried = Held::pick_up(network, model.document.assessment(), setup, head);
    carried.try_out(network, model.document.assessment(), setup);
    model.plot.head = Some(head);
    model.plot.held = Some(carried);
    model.message = crate::model::Message::default();
    model.guide.done(Step::PickUp);
    show_target(model);
}

/// Turns to the floor of the chosen socket.
pub(crate) fn show_target(model: &mut Model) {
    let chosen = model.plot.held.as_ref().and_then(Held::target);
    if let Some(socket) = chosen {
        model.go_to_socket(socket);
    }
}

/// Chooses a socket: for the head in hand, or for the cursor.
pub(crate) fn choose_socket(model: &mut Model, socket: SocketAt) {
    if let (Some(carried), Some(setup)) = (&mut model.plot.held, model.setup) {
        carried.choose(socket);
        carried.try_out(model.document.network(), model.document.assessment(), setup);
    } else {
        model.plot.focus = Focus::Sockets;
    }
    model.go_to_socket(socket);
}

fn refuse_no_head(model: &mut Model, effects: &mut Vec<Effect>) {
    let network = model.document.network();
    let told = match (model.setup, model.plot.focus, model.plot.socket) {
        (None, ..) => "No setup yet: :new setup adds one, such as day 9:00 4h A B".to_owned(),
        (Some(_), Focus::Sockets, Some(socket)) => {
            format!("Nothing is plugged in at {}: pick a head on the left", network.socket_id(socket))
        }
        _ => "No head is on in this setup: n adds one".to_owned(),
    };
    model.refuse(told);
    effects.push(Effect::Bell);
}

/// The head that a key is about: on the left the one under the cursor, on the right the first at the
/// socket under the cursor.
pub(super) fn head_under_cursor(model: &Model) -> Option<HeadAt> {
    let setup = model.setup?;
    match (&model.plot.held, model.plot.focus) {
        (Some(carried), _) => Some(carried.head),
        (None, Focus::Heads) => model.plot.head,
        (None, Focus::Sockets) => heads_at(model.document.network(), setup, model.plot.socket?).next(),
    }
}

pub(super) fn put_back(model: &mut Model, _: &mut Vec<Effect>) {
    let Some(carried) = model.plot.held.take() else { return };
    let network = model.document.network();
    let id = network.head_id(carried.head);
    let told = match carried.from {
        Some(socket) => format!("{id} is back on {}", network.socket_id(socket)),
        None => format!("{id} is still not placed"),
    };
    if let Some(socket) = carried.from {
        model.go_to_socket(socket);
    }
    model.say(told);
}

pub(super) fn drop(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some((setup, carried)) = model.setup.zip(model.plot.held.clone()) else { return };
    let network = model.document.network();
    let Some(placement) = carried.placement(network) else { return };
    let edit = plug_edit(network, setup, carried.head, Some(placement.clone()));
    let extent = setups_words(network, &carried.affected);
    finish_drop(model, &carried, &edit, &placement, &extent, effects);
}

pub(super) fn drop_for_this_setup(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some((setup, carried)) = model.setup.zip(model.plot.held.clone()) else { return };
    let network = model.document.network();
    let Some(placement) = carried.placement(network) else { return };
    let edit = Edit::PlugForSetup {
        setup: network.setup_id(setup).clone(),
        head: network.head_id(carried.head).clone(),
        placement: Override::Plugged(placement.clone()),
    };
    let extent = format!("in {} only", words::setup_name(network, setup));
    finish_drop(model, &carried, &edit, &placement, &extent, effects);
}

fn finish_drop(
    model: &mut Model,
    carried: &Held,
    edit: &Edit,
    placement: &Placement,
    extent: &str,
    effects: &mut Vec<Effect>,
) {
    let head = model.document.network().head_id(carried.head).clone();
    let warning = carried.chosen().filter(|there| there.outlook == Outlook::Never);
    let network = model.document.network();
    let warning =
        warning.and_then(|there| there.findings.first()).map(|finding| warning_words(network, finding));
    let leads =
        if placement.leads.is_empty() { String::new() } else { format!(" by {}", list(&placement.leads)) };
    let told = format!("{head} on {}{leads} {extent}", placement.socket);
    if change(model, edit, &told, warning.as_deref(), effects) {
        model.plot.held = None;
        model.guide.done(Step::Drop);
        let next = model.setup.and_then(|setup| next_unplaced(model.document.network(), setup));
        model.plot.head = next.or(Some(carried.head));
        model.plot.focus = Focus::Heads;
    }
}

fn warning_words(network: &Network, finding: &Finding) -> String {
    words::told(network, &format!("DANGER {}. {}", finding.text, crate::text::capital(&finding.remedy)))
}

fn next_unplaced(network: &Network, setup: SetupAt) -> Option<HeadAt> {
    not_placed(network, setup).min()
}

/// Changes the plan and says so; whether it worked.
fn change(
    model: &mut Model,
    edit: &Edit,
    told: &str,
    warning: Option<&str>,
    effects: &mut Vec<Effect>,
) -> bool {
    let before = verdict(model);
    if let Err(why) = model.document.edit(edit) {
        model.refuse(why);
        effects.push(Effect::Bell);
        return false;
    }
    model.settle();
    let told = format!("{told}; {}", verdict_now(model, &before));
    match warning {
        Some(warning) => model.refuse(format!("{warning}. {told}")),
        None => model.say(told),
    }
    save(model, effects);
    true
}

/// The edit that plugs a head in for the setup in view: where that setup has a socket of its own for
/// the head, that one changes, else the head's.
fn plug_edit(network: &Network, setup: SetupAt, head: HeadAt, placement: Option<Placement>) -> Edit {
    let id = network.head_id(head).clone();
    if has_own_socket(network, setup, head) {
        let placement = placement.map_or(Override::Unplugged, Override::Plugged);
        return Edit::PlugForSetup { setup: network.setup_id(setup).clone(), head: id, placement };
    }
    Edit::Plug { head: id, placement }
}

fn has_own_socket(network: &Network, setup: SetupAt, head: HeadAt) -> bool {
    let own = network.plan.setups.get_index(setup.get());
    own.is_some_and(|(_, setup)| setup.sockets.contains_key(network.head_id(head)))
}

/// In which setups a change shows.
fn setups_words(network: &Network, affected: &[SetupAt]) -> String {
    if affected.len() == network.setups.len() && affected.len() > 1 {
        return "in every setup".to_owned();
    }
    format!("in {}", list(affected.iter().map(|setup| words::setup_name(network, *setup))))
}

pub(super) fn unplug(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some((setup, head)) = model.setup.zip(head_under_cursor(model)) else {
        refuse_no_head(model, effects);
        return;
    };
    let network = model.document.network();
    let id = network.head_id(head).clone();
    let Some(placed) = &network.setups[setup].placed[head] else {
        model.plot.held = None;
        model.refuse(format!("{id} is not plugged in"));
        return;
    };
    let from = network.socket_id(placed.socket);
    let own = has_own_socket(network, setup, head);
    let extent = if own {
        format!("in {} only", words::setup_name(network, setup))
    } else {
        let sharing = network
            .setups
            .indices()
            .filter(|at| network.setups[*at].is_on[head] && !has_own_socket(network, *at, head));
        setups_words(network, &sharing.collect::<Vec<_>>())
    };
    let told = format!("{id} unplugged from {from} {extent}");
    let edit = plug_edit(network, setup, head, None);
    if change(model, &edit, &told, None, effects) {
        model.plot.held = None;
        model.plot.head = Some(head);
    }
}

pub(super) fn pin(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(head) = head_under_cursor(model) else {
        refuse_no_head(model, effects);
        return;
    };
    let network = model.document.network();
    let id = network.head_id(head).clone();
    let pinned = network.plan.heads.get(&id).is_some_and(|head| head.pinned);
    let (edit, told) = if pinned {
        (Edit::Unpin { head: id.clone() }, format!("{id} may be moved by the program again"))
    } else {
        (Edit::Pin { head: id.clone() }, format!("{id} is pinned: the program leaves it where it is"))
    };
    let carried = model.plot.held.clone();
    change(model, &edit, &told, None, effects);
    model.plot.held = carried;
}
