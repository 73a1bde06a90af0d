//! Commands of the Papers screen: a sheet as it is printed, and all of them handed out.

use super::placing;
use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::Model;
use crate::placing::{Request, Wish};
use crate::sheets::{Made, Shown};
use crate::view::papers::kind;

/// Makes the sheet under the cursor aside, to be shown.
pub(super) fn show(model: &mut Model, effects: &mut Vec<Effect>) {
    let wish = Wish::Sheet { kind: kind(model.row()), setup: model.setup };
    placing::begin(model, wish, effects);
}

/// Has every sheet written beside the plan.
pub(super) fn hand_out(model: &mut Model, effects: &mut Vec<Effect>) {
    placing::begin(model, Wish::HandOut, effects);
}

/// Takes a sheet in. One that nobody waits for any more is passed over.
pub(crate) fn made(model: &mut Model, made: Made) -> Vec<Effect> {
    let Made { request, sheet } = made;
    placing::show(model, &request, |model| Layer::Sheet(Shown::of(Box::new(sheet), model.size.0)))
}

/// Takes in what became of handing sheets out.
pub(crate) fn handed_out(
    model: &mut Model,
    request: &Request,
    outcome: Result<String, String>,
) -> Vec<Effect> {
    if placing::closed(model, request).is_none() {
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
