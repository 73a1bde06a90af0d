//! The key that asks how a number came about.

use ampwalk_core::assess::assess_by;
use ampwalk_core::explain::{Explanation, Topic, explain, explain_all};
use ampwalk_core::network::{SetupAt, SocketAt};

use super::plot::head_under_cursor;
use super::program::open;
use crate::cores::Cores;
use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::{Model, Screen};
use crate::plot::{Focus, Held, troubles};
use crate::view;

pub(super) fn why(model: &mut Model, effects: &mut Vec<Effect>) {
    if super::trip::why(model) {
        return;
    }
    let told = model.setup.and_then(|setup| match &model.plot.held {
        Some(held) if on_the_plot(model) => in_hand(model, setup, held),
        _ => under_the_cursor(model, setup),
    });
    let Some((title, explained)) = told else {
        model.refuse("There is no number under the cursor");
        effects.push(Effect::Bell);
        return;
    };
    if explained.is_empty() {
        model.refuse("That number is not in use in this setup");
        effects.push(Effect::Bell);
        return;
    }
    open(model, Layer::Explanation { title, explained, row: 0 });
}

fn on_the_plot(model: &Model) -> bool {
    model.layers.is_empty() && model.screen == Screen::Plot
}

/// The numbers under the cursor of a list or of the Plot, and those of the same thing.
fn under_the_cursor(model: &Model, setup: SetupAt) -> Option<(String, Vec<Explanation>)> {
    let (network, assessment) = (model.document.network(), model.document.assessment());
    let title = "Why this number".to_owned();
    if !on_the_plot(model) {
        let topics = view::topics(model);
        let of_one = |topic: Topic| explain_all(network, assessment, setup, topic.subject(), Some(topic));
        let explained = match topics.as_slice() {
            [] => return None,
            [only] => of_one(*only),
            several => several.iter().filter_map(|at| explain(network, assessment, setup, *at)).collect(),
        };
        return Some((title, explained));
    }
    if let Some(socket) = socket_under_the_cursor(model) {
        let of_socket = explain(network, assessment, setup, Topic::SocketAmps(socket));
        let circuit = network.sockets[socket].circuit.map(Topic::CircuitAmps);
        let mut explained = circuit.map_or_else(Vec::new, |topic| {
            explain_all(network, assessment, setup, topic.subject(), Some(topic))
        });
        explained.extend(of_socket);
        return Some((title, explained));
    }
    let head = head_under_cursor(model)?;
    let binding = troubles(network, assessment, setup)[head].and_then(view::topic_of_finding);
    let topic = binding.unwrap_or(Topic::HeadAmps(head));
    Some((title, explain_all(network, assessment, setup, topic.subject(), Some(topic))))
}

/// The numbers at the chosen socket, as they would be with the head in hand on it: what binds there
/// first, then its circuit, then the head.
fn in_hand(model: &Model, setup: SetupAt, held: &Held) -> Option<(String, Vec<Explanation>)> {
    let (trial, chosen) = (held.trial.as_ref()?, held.chosen()?);
    // A trial knows what is found in the setup in view; how a number came about may hang on the others.
    let (network, assessment) = (&trial.network, &assess_by(&trial.network, &Cores));
    let circuit = network.sockets[chosen.socket].circuit.map(Topic::CircuitAmps);
    let rcd = chosen.rcd.map(|(rcd, _)| Topic::RcdPeak(rcd));
    let binding = chosen.findings.first().and_then(view::topic_of_finding);
    let wanted = binding.into_iter().chain(circuit).chain(rcd).chain([
        Topic::SocketAmps(chosen.socket),
        Topic::HeadAmps(held.head),
        Topic::HeadVolts(held.head),
        Topic::LeadNeeded(held.head),
    ]);
    let mut topics: Vec<Topic> = Vec::new();
    for topic in wanted {
        if !topics.contains(&topic) {
            topics.push(topic);
        }
    }
    let explained =
        topics.into_iter().filter_map(|topic| explain(network, assessment, setup, topic)).collect();
    let title = format!(
        "Why, with {} on {}",
        model.document.network().head_id(held.head),
        network.socket_id(chosen.socket)
    );
    Some((title, explained))
}

/// The socket under the Plot's cursor.
fn socket_under_the_cursor(model: &Model) -> Option<SocketAt> {
    model.plot.socket.filter(|_| model.plot.focus == Focus::Sockets)
}
