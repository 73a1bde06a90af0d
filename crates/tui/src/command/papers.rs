//! Commands of the Papers screen: a sheet as it is printed, and all of them handed out.

use ampwalk_core::solve::Effort;

use super::program::open;
use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::Model;
use crate::placing::{Placing, Request, State, Wish};
use crate::sheets::{Made, Shown};
use crate::view::papers::kind;

/// Makes the sheet under the cursor aside, to be shown.
pub(super) fn show(model: &mut Model, effects: &mut Vec<Effect>) {
    let wish = Wish::Sheet { kind: kind(model.row()), setup: model.setup };
    ask(model, wish, effects);
}

/// Has every sheet written beside the plan.
pub(super) fn hand_out(model: &mut Model, effects: &mut Vec<Effect>) {
    ask(model, Wish::HandOut, effects);
}

fn ask(model: &mut Model, wish: Wish, effects: &mut Vec<Effect>) {
    model.asked += 1;
    let text = model.document.text().to_owned();
    let request = Request { number: model.asked, text, wish, effort: Effort::default() };
    open(model, Layer::Placing(Placing { request: request.clone(), progress: None, state: State::Working }));
    effects.push(Effect::Place(request));
}

/// Takes a sheet in. One that nobody waits for any more is passed over.
pub(crate) fn made(model: &mut Model, made: Made) -> Vec<Effect> {
    let Some(place) = super::placing::closed(model, &made.request) else { return Vec::new() };
    if model.document.text() != made.request.text {
        let why = super::placing::stale(model, &made.request);
        model.refuse(why);
        return vec![Effect::Bell];
    }
    let shown = Shown::of(Box::new(made.sheet), model.size.0);
    model.layers.insert(place, Layer::Sheet(shown));
    Vec::new()
}

/// Takes in what became of handing sheets out.
pub(crate) fn handed_out(
    model: &mut Model,
    request: &Request,
    outcome: Result<String, String>,
) -> Vec<Effect> {
    if super::placing::closed(model, request).is_none() {
        return Vec::new();
    }
    match outcome {
        Ok(told) => {
            model.say(told);
            Vec::new()
        }
        Err(why) => {
            model.refuse(why);
            vec![Effect::Bell]
        }
    }
}
