//! What came from outside while the plan was open: another program's edit of the file, or edits of ours that
//! an earlier run of the program could not save any more.
//!
//! What others changed elsewhere than we did is taken over at once, as a step that undo takes back. What both
//! changed is shown side by side. Until it is settled nothing is written over anybody's words: the host keeps
//! what is in hand in its journal.

use ampwalk_core::file::merge::{self, Clash, Difference, Side, merge};
use ampwalk_core::file::{NOT_TOML, parse, position};
use ampwalk_core::rule::words::list;

use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::{Model, Saved};

/// Another program's edit that is not taken over yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outside {
    /// Which of them it is, as the host counts.
    pub number: u64,
    /// What the file said before it.
    pub before: String,
    /// What it says now; `Err`: why that cannot be read, in words.
    pub theirs: Result<String, String>,
    /// What is waited for before it is taken over.
    pub waits_for: Waits,
}

/// What another program's edit waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waits {
    /// Nothing but what it would upset.
    ForNothing,
    /// Something is open, and the user would have to choose: nobody is asked in the middle of a line.
    ForTheScreen,
    /// The next edit, ours or theirs.
    ForAnEdit,
}

/// Edits that an earlier run could not save.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsaved {
    /// The plan as that run saved it last.
    pub before: String,
    /// The plan as that run had it last.
    pub text: String,
}

/// Two texts of one plan, to choose from.
#[derive(Clone, Debug)]
pub struct Compare {
    /// What this is about.
    pub about: About,
    /// What both came of.
    pub before: String,
    /// The one in hand, or found in the journal.
    pub mine: String,
    /// The one in the file.
    pub theirs: String,
    /// Where they differ.
    pub parts: Vec<Part>,
    /// The chosen part, counted from 0.
    pub row: usize,
}

/// What two texts are compared for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Edits that an earlier run could not save: all of them are taken, or none.
    Unsaved,
    /// Those, where the file was changed since in the same parts: each is chosen from.
    UnsavedClash,
    /// An edit of another program, by its number, and ours, of the same parts: each is chosen from.
    Clash(u64),
}

/// One part of a plan in two texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub name: String,
    /// What is in hand; `None`: nothing.
    pub mine: Option<String>,
    /// What is in the file; `None`: nothing.
    pub theirs: Option<String>,
    /// Whose is taken.
    pub side: Side,
}

impl Compare {
    fn of_unsaved(found: Unsaved, on_disk: &str) -> Self {
        let part = |Difference { name, one, other }: Difference| Part {
            name,
            mine: other,
            theirs: one,
            side: Side::Mine,
        };
        let parts = merge::differences(on_disk, &found.text).into_iter().map(part).collect();
        let (before, mine) = (found.before, found.text);
        Self { about: About::Unsaved, before, mine, theirs: on_disk.to_owned(), parts, row: 0 }
    }

    fn of_clash(about: About, texts: (String, String, String), clashes: Vec<Clash>) -> Self {
        let part = |Clash { name, mine, theirs, .. }: Clash| Part { name, mine, theirs, side: Side::Mine };
        let (before, mine, theirs) = texts;
        Self { about, before, mine, theirs, parts: clashes.into_iter().map(part).collect(), row: 0 }
    }

    /// The text that comes of what is chosen.
    fn chosen(&self) -> Result<String, Vec<Clash>> {
        let side = |name: &str| {
            // All of what was not saved is wanted, but nothing of it over somebody else's words.
            let is_asked = self.about != About::Unsaved;
            self.parts.iter().find(|part| is_asked && part.name == name).map(|part| part.side)
        };
        merge(&self.before, &self.mine, &self.theirs, &side)
    }
}

/// Takes in that another program wrote the file.
pub(crate) fn changed(model: &mut Model, number: u64, before: String, theirs: Result<String, String>) {
    // What was there before an edit that is not taken over yet is what ours came of.
    let before = model.outside.take().map_or(before, |earlier| earlier.before);
    model.outside = Some(Outside { number, before, theirs, waits_for: Waits::ForNothing });
}

/// Offers edits that an earlier run could not save.
pub(crate) fn offer(model: &mut Model, found: Unsaved) {
    let compare = Compare::of_unsaved(found, model.document.text());
    model.layers.clear();
    model.layers.push(Layer::Compare(compare));
}

/// Takes over what another program wrote, as soon as nothing is open that it could upset.
pub(crate) fn settle(model: &mut Model) -> Vec<Effect> {
    let Some(outside) = &model.outside else { return Vec::new() };
    let is_followed = model.document.held_by().is_some();
    let may_be_now = match outside.waits_for {
        Waits::ForNothing => is_followed || !model.layers.iter().any(is_upset),
        Waits::ForTheScreen => model.layers.is_empty(),
        Waits::ForAnEdit => false,
    };
    if !may_be_now {
        return Vec::new();
    }
    let Outside { number, before, theirs, .. } = outside.clone();
    let theirs = match theirs.and_then(|theirs| readable(model, theirs)) {
        Ok(theirs) => theirs,
        Err(why) => {
            wait(model, Waits::ForAnEdit);
            model.refuse(format!(
                "Another program wrote the file, and {why}. Nothing of it is taken over yet"
            ));
            return Vec::new();
        }
    };
    if is_followed {
        model.plot.held = None;
        model.layers.clear();
        model.outside = None;
        model.seen = number;
        model.document.follow(theirs);
        model.settle();
        model.say("The plan was changed elsewhere: this is what it says now");
        return Vec::new();
    }
    let mine = model.document.text().to_owned();
    match merge(&before, &mine, &theirs, &|_| None) {
        Ok(text) => {
            model.outside = None;
            let parts = merge::differences(&before, &theirs);
            let told =
                format!("Another program changed {}: taken over", list(parts.iter().map(|part| &part.name)));
            take(model, text, number, "another program's change", &told)
        }
        Err(_) if !model.layers.is_empty() => {
            wait(model, Waits::ForTheScreen);
            Vec::new()
        }
        Err(clashes) => {
            model.outside = None;
            let told = format!("Another program changed what you changed: {}", clash_words(&clashes));
            let compare = Compare::of_clash(About::Clash(number), (before, mine, theirs), clashes);
            model.layers.push(Layer::Compare(compare));
            model.refuse(told);
            vec![Effect::Bell]
        }
    }
}

/// Does what was chosen.
pub(crate) fn take_chosen(model: &mut Model) -> Vec<Effect> {
    let Some(Layer::Compare(compare)) = model.layers.last() else { return Vec::new() };
    let about = compare.about;
    match (compare.chosen(), about) {
        (Ok(text), About::Clash(number)) => {
            model.layers.pop();
            take(model, text, number, "what you chose", "Taken as you chose")
        }
        (Ok(text), About::Unsaved | About::UnsavedClash) => {
            model.layers.pop();
            let number = model.seen;
            take(model, text, number, "what was not saved", "What was not saved is in the plan")
        }
        (Err(clashes), _) => {
            let texts = (compare.before.clone(), compare.mine.clone(), compare.theirs.clone());
            model.layers.pop();
            let told =
                format!("The file was changed since then in the same places: {}", clash_words(&clashes));
            model.layers.push(Layer::Compare(Compare::of_clash(About::UnsavedClash, texts, clashes)));
            model.refuse(told);
            Vec::new()
        }
    }
}

/// Leaves the choice for later, or what was found out of the plan; it is kept either way.
pub(crate) fn leave(model: &mut Model) -> Vec<Effect> {
    let Some(Layer::Compare(compare)) = model.layers.pop() else { return Vec::new() };
    match compare.about {
        About::Unsaved | About::UnsavedClash => vec![Effect::SetAside(compare.mine)],
        About::Clash(number) => {
            let (number, theirs) = match model.outside.take() {
                Some(later) => (later.number, later.theirs),
                None => (number, Ok(compare.theirs)),
            };
            model.outside =
                Some(Outside { number, before: compare.before, theirs, waits_for: Waits::ForAnEdit });
            model.saved = Saved::Failed("another program changed what you changed".to_owned());
            model.refuse(
                "Nothing is saved until you choose; your edits are in the journal. The next edit asks again",
            );
            Vec::new()
        }
    }
}

/// Whether the user is choosing.
pub(crate) fn is_open(model: &Model) -> bool {
    model.layers.iter().any(|layer| matches!(layer, Layer::Compare(_)))
}

/// Takes the other side of the chosen part.
pub(crate) fn turn(model: &mut Model) {
    let Some(Layer::Compare(Compare { about, parts, row, .. })) = model.layers.last_mut() else { return };
    if *about == About::Unsaved {
        return;
    }
    if let Some(part) = parts.get_mut(*row) {
        part.side = if part.side == Side::Mine { Side::Theirs } else { Side::Mine };
    }
}

/// Before an edit: what was put off is asked about again.
pub(crate) fn ask_again(model: &mut Model) {
    wait(model, Waits::ForNothing);
}

fn wait(model: &mut Model, waits_for: Waits) {
    if let Some(outside) = &mut model.outside {
        outside.waits_for = waits_for;
    }
}

/// Whether something that is open holds on to places in the plan.
fn is_upset(layer: &Layer) -> bool {
    matches!(
        layer,
        Layer::Went(_) | Layer::Recovery(_) | Layer::Placing(_) | Layer::Moves(_) | Layer::Compare(_)
    )
}

fn take(model: &mut Model, text: String, number: u64, label: &str, told: &str) -> Vec<Effect> {
    model.seen = number;
    model.plot.held = None;
    let is_new = model.document.replace(text, label);
    model.settle();
    let undo = if is_new { "; u takes it back" } else { "" };
    model.say(format!("{told}{undo}"));
    crate::command::program::hand_out_to_save(model)
}

/// A text that can be worked with, unless ours is none either.
fn readable(model: &Model, theirs: String) -> Result<String, String> {
    // Also what is no plan, or not yet: somebody may have written half of it.
    let is_bad = |code: &'static str| NOT_TOML.contains(&code) || code.starts_with("version-");
    if model.document.problems().iter().any(|problem| is_bad(problem.code)) {
        return Ok(theirs);
    }
    let parsed = parse(&theirs);
    let Some(problem) = parsed.problems.iter().find(|problem| is_bad(problem.code)) else {
        return Ok(theirs);
    };
    let (line, column) = position(&theirs, problem.span.start);
    Err(format!("its line {line}, column {column}, cannot be read: {}", problem.message))
}

fn clash_words(clashes: &[Clash]) -> String {
    list(clashes.iter().map(|clash| &clash.name))
}
