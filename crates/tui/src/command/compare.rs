//! Commands at two texts of one plan.

use crate::effect::Effect;
use crate::model::Model;
use crate::outside;

pub(super) fn take(model: &mut Model, effects: &mut Vec<Effect>) {
    effects.extend(outside::take_chosen(model));
}

pub(super) fn leave(model: &mut Model, effects: &mut Vec<Effect>) {
    effects.extend(outside::leave(model));
}
