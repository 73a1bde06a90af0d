//! Commands that let the program put heads on sockets. It works aside; nothing else can be changed
//! meanwhile, and `!` stops it.

use ampwalk_core::assess::Verdict;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::rule::words::list;
use ampwalk_core::solve::plan::Move;
use ampwalk_core::solve::{Answer, Effort};

use super::entries::change;
use super::program::open;
use crate::effect::Effect;
use crate::guide::Step;
use crate::layer::Layer;
use crate::model::Model;
use crate::placing::{Fate, Moves, Placed, Placing, Progress, Request, State, Wish};
use crate::plot::left as left_dark;
use crate::producer::{self, Answered};
use crate::text::count;
use crate::view::moves::{SAFETY, proof};

/// Asks the solver.
pub(super) fn ask(model: &mut Model, wish: Wish, effects: &mut Vec<Effect>) {
    if let Some(why) = cannot(model, wish) {
        if wish == Wish::Rest {
            model.guide.done(Step::Rest);
        }
        model.refuse(why);
        effects.push(Effect::Bell);
        return;
    }
    if matches!(model.layers.last(), Some(Layer::Moves(_))) {
        model.layers.pop();
    }
    model.plot.held = None;
    begin(model, wish, effects);
}

/// Has a question worked out aside.
pub(super) fn begin(model: &mut Model, wish: Wish, effects: &mut Vec<Effect>) {
    model.asked += 1;
    let text = model.document.text().to_owned();
    let request = Request { number: model.asked, text, wish, effort: Effort::default() };
    open(model, Layer::Placing(Placing { request: request.clone(), progress: None, state: State::Working }));
    effects.push(Effect::Place(request));
}

/// Why there is nothing to ask, in words.
fn cannot(model: &Model, wish: Wish) -> Option<String> {
    let network = model.document.network();
    if let Some(why) = model.document.read_only().filter(|_| wish != Wish::OnTheHouse) {
        return Some(format!("Only to be looked at: {why}"));
    }
    if network.setups.is_empty() {
        return Some("No setup yet: :new setup adds one, such as day 9:00 4h A B".to_owned());
    }
    if network.sockets.is_empty() {
        return Some(format!("No {} yet: 1 goes to Walk, n adds one there", network.region.words.socket));
    }
    if network.setups.iter().all(|(_, setup)| setup.on.is_empty()) {
        return Some("No head is on in any setup: n adds one".to_owned());
    }
    let is_done = wish == Wish::Rest && left_dark(network).is_empty();
    is_done.then(|| {
        let key = key_of(model, Wish::Afresh);
        format!("Every head that is on is plugged in already; {key} puts all on afresh")
    })
}

fn key_of(model: &Model, wish: Wish) -> String {
    let command = super::by_id(wish.command());
    command.and_then(|own| model.keymap.keys_of(own).into_iter().next()).unwrap_or_else(|| ":".to_owned())
}

/// Notes how far a question is.
pub(crate) fn progress(model: &mut Model, number: u64, progress: Progress) {
    for layer in &mut model.layers {
        if let Layer::Placing(placing) = layer
            && placing.request.number == number
        {
            placing.progress = Some(progress);
        }
    }
}

/// Takes the best so far: it comes as an answer does.
pub(super) fn enough(model: &mut Model, effects: &mut Vec<Effect>) {
    if let Some(Layer::Placing(placing)) = model.layers.last_mut() {
        placing.state = State::Enough;
        effects.push(Effect::StopPlacing(placing.request.number));
    }
}

/// Stops working a question out; nothing is taken.
pub(super) fn stop(model: &mut Model, effects: &mut Vec<Effect>) {
    drop_question(model, effects);
    model.say("Stopped: nothing was changed");
}

/// Whoever waits for an answer does so no more: something else has come up.
pub(super) fn drop_question(model: &mut Model, effects: &mut Vec<Effect>) {
    model.layers.retain(|layer| match layer {
        Layer::Placing(placing) => {
            effects.push(Effect::StopPlacing(placing.request.number));
            false
        }
        _ => true,
    });
}

/// Takes an answer in. One that nobody waits for any more is passed over.
pub(crate) fn placed(model: &mut Model, placed: Placed) -> Vec<Effect> {
    let mut effects = Vec::new();
    let Some(place) = closed(model, &placed.request) else { return effects };
    let refused = if model.document.text() != placed.request.text {
        Some(stale(model, &placed.request))
    } else if placed.assignment.answer == Answer::None {
        Some(
            "Nothing can be taken: pinned heads break a limit already. f lists it, k takes a pin off"
                .to_owned(),
        )
    } else {
        None
    };
    if let Some(why) = refused {
        model.refuse(why);
        effects.push(Effect::Bell);
        return effects;
    }
    let is_dark = !placed.assignment.unplaced.is_empty();
    match placed.request.wish {
        Wish::Rest => put_on(model, placed, place, &mut effects),
        _ if placed.assignment.moves.is_empty() && !is_dark => {
            model.say(format!("Nothing to move. {}", proof(&placed)));
        }
        _ => {
            let offered = Moves { placed: Box::new(placed), fate: Fate::Offered, row: 0 };
            model.layers.insert(place, Layer::Moves(offered));
        }
    }
    effects
}

/// Takes the producer's answer in. One that nobody waits for any more is passed over.
pub(crate) fn answered(model: &mut Model, answered: &Answered) -> Vec<Effect> {
    show(model, &answered.request, |_| Layer::Producer(producer::page(answered)))
}

/// Shows an answer where its question stood, if anybody waits for it and it is of the plan as it is.
pub(super) fn show(model: &mut Model, request: &Request, layer: impl FnOnce(&Model) -> Layer) -> Vec<Effect> {
    let Some(place) = closed(model, request) else { return Vec::new() };
    if model.document.text() != request.text {
        let why = stale(model, request);
        model.refuse(why);
        return vec![Effect::Bell];
    }
    let layer = layer(model);
    model.layers.insert(place, layer);
    Vec::new()
}

/// Closes a question that is answered; where it stood, if anybody still waits for it.
pub(super) fn closed(model: &mut Model, request: &Request) -> Option<usize> {
    let is_own = |layer: &Layer| matches!(layer, Layer::Placing(own) if own.request.number == request.number);
    let place = model.layers.iter().position(is_own)?;
    model.layers.remove(place);
    Some(place)
}

fn stale(model: &Model, request: &Request) -> String {
    let key = key_of(model, request.wish);
    format!("The plan has changed since it was asked, so the answer was dropped: {key} asks anew")
}

/// Puts on what found a place; where heads stay dark, says why.
fn put_on(model: &mut Model, placed: Placed, place: usize, effects: &mut Vec<Effect>) {
    model.guide.done(Step::Rest);
    let told = told(&placed, model.setup);
    if let Some(edit) = placed.assignment.edit()
        && !change(model, &edit, &told, effects)
    {
        return;
    }
    if placed.assignment.unplaced.is_empty() {
        let mends = if is_still_dark(model) { mends(model) } else { String::new() };
        add(model, &format!("{}{mends} {SAFETY}", proof(&placed)));
        return;
    }
    let taken = Moves { placed: Box::new(placed), fate: Fate::Taken, row: 0 };
    model.layers.insert(place, Layer::Moves(taken));
    model.message.text.clear();
}

/// Adds a sentence to what is said.
fn add(model: &mut Model, words: &str) {
    model.message.text.push_str(". ");
    model.message.text.push_str(words);
}

/// Whether something is dark or worse in the setup that is looked at, though all is put on.
fn is_still_dark(model: &Model) -> bool {
    let verdict = model.setup.map(|setup| model.document.assessment().verdict_in(setup));
    verdict.is_some_and(|verdict| verdict >= Verdict::Dark)
}

fn mends(model: &Model) -> String {
    format!(" {} looks for the few moves that mend the rest.", key_of(model, Wish::Few))
}

/// `2 heads put on, none moved: A on G7 by b20 and F on G3`
fn told(placed: &Placed, shown: Option<SetupAt>) -> String {
    let (network, moves) = (&placed.before, &placed.assignment.moves);
    let is_elsewhere = |moved: &&Move| match (moved.setup, shown) {
        (Some(only), Some(shown)) => only != shown,
        (None, Some(shown)) => !network.setups[shown].is_on[moved.head],
        (_, None) => false,
    };
    let elsewhere = match moves.iter().filter(is_elsewhere).count() {
        0 => String::new(),
        some => format!(", {some} for other setups"),
    };
    let names = list(moves.iter().map(|moved| name(network, moved)));
    format!("{} put on, none moved{elsewhere}: {names}", count(moves.len(), "head"))
}

fn name(network: &Network, moved: &Move) -> String {
    let head = network.head_id(moved.head);
    let Some(placement) = &moved.placement else { return head.to_string() };
    let by = if placement.leads.is_empty() { "" } else { " by " };
    format!("{head} on {}{by}{}", placement.socket, list(&placement.leads))
}

/// How many moves are shown that the plan has not.
pub(super) fn offered(model: &Model) -> usize {
    match model.layers.last() {
        Some(Layer::Moves(moves)) if moves.fate == Fate::Offered => moves.placed.assignment.moves.len(),
        _ => 0,
    }
}

/// What the moves that are open were asked for.
pub(super) fn shown(model: &Model) -> Option<Wish> {
    match model.layers.last() {
        Some(Layer::Moves(moves)) => Some(moves.placed.request.wish),
        _ => None,
    }
}

/// Does the moves that are shown.
pub(super) fn take(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(Layer::Moves(moves)) = model.layers.last() else { return };
    if moves.fate == Fate::Taken {
        model.layers.pop();
        return;
    }
    let placed = moves.placed.clone();
    model.layers.pop();
    if model.document.text() != placed.request.text {
        let key = key_of(model, placed.request.wish);
        model.refuse(format!("The plan has changed since: nothing was moved. {key} asks anew"));
        effects.push(Effect::Bell);
        return;
    }
    let Some(edit) = placed.assignment.edit() else {
        model.say("There is nothing to move");
        return;
    };
    let told = format!("{} moved; one u takes all of it back", count(placed.assignment.moves.len(), "head"));
    if change(model, &edit, &told, effects) {
        add(model, SAFETY);
    }
}

/// Leaves the moves.
pub(super) fn left(model: &mut Model, moves: &Moves) {
    if moves.fate == Fate::Offered {
        model.say("All is as it was");
    }
}
