//! Commands that change what the user chose for every plan.

use ampwalk_core::library::LengthWord;

use crate::effect::Effect;
use crate::keymap;
use crate::model::Model;
use crate::settings::{self, Bell, Setting};
use crate::theme::Theme;

pub(super) fn next_theme(model: &mut Model, effects: &mut Vec<Effect>) {
    let (theme, word) = match model.theme {
        Theme::Dark => (Theme::Light, "light"),
        Theme::Light => (Theme::Sixteen, "sixteen colours"),
        Theme::Sixteen => (Theme::Monochrome, "no colours"),
        Theme::Monochrome => (Theme::Dark, "dark"),
    };
    model.theme = theme;
    model.theme_is_chosen = true;
    effects.push(Effect::Keep(Setting::Theme(theme)));
    model.say(format!("Theme: {word}"));
}

pub(super) fn other_lengths(model: &mut Model, effects: &mut Vec<Effect>) {
    let (lengths, word) = match model.document.lengths() {
        LengthWord::Metres => (LengthWord::Feet, "feet"),
        LengthWord::Feet => (LengthWord::Metres, "metres"),
    };
    model.document.tell_lengths_in(Some(lengths));
    effects.push(Effect::Keep(Setting::Lengths(lengths)));
    model.say(format!("Lengths on the screens in {word}; the plan file and the sheets stay in metres"));
}

pub(super) fn other_bell(model: &mut Model, effects: &mut Vec<Effect>) {
    let (bell, told) = match model.bell {
        Bell::On => (Bell::Off, "The bell is off"),
        Bell::Off => (Bell::On, "The bell rings where something is refused"),
    };
    model.bell = bell;
    effects.push(Effect::Keep(Setting::Bell(bell)));
    model.say(told);
}

pub(super) fn whereabouts(model: &mut Model, _: &mut Vec<Effect>) {
    let (settings, keys) = (settings::FILE, keymap::FILE);
    match &model.configuration {
        Some(folder) => model.say(format!("{settings} and {keys} are looked for in {folder}")),
        None => model.refuse(format!(
            "This system names no folder for {settings} and {keys}: HOME or XDG_CONFIG_HOME would tell it"
        )),
    }
}
