//! The one table of commands. Keys, key bar, help, palette and the README's table come from it.

mod compare;
mod entries;
pub(crate) mod layers;
pub(crate) mod moves;
pub(crate) mod papers;
pub(crate) mod placing;
pub(crate) mod plot;
pub(crate) mod program;
mod settings;
mod traced;
pub(crate) mod trip;
mod why;
mod why_not;

use ampwalk_core::edit::Table;
use ampwalk_core::order::Order as _;
use ampwalk_core::shorthand::Subject;

use crate::effect::Effect;
use crate::keymap::Keymap;
use crate::model::{Model, Screen};
use crate::placing::Wish;

/// Where keys go: a screen, a head in hand, or what lies over them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Context {
    /// The Walk screen.
    Walk,
    /// The Board screen.
    Board,
    /// The Plot screen with nothing in hand.
    Plot,
    /// The Plot screen with a head in hand.
    Hand,
    /// The Shoot screen.
    Shoot,
    /// The Papers screen.
    Papers,
    /// A list over a screen.
    List,
    /// The list of the plan's entries.
    Entries,
    /// The keys of one entry.
    Form,
    /// A text over a screen.
    Text,
    /// What tracing tells.
    Traced,
    /// A line that is being typed.
    Prompt,
    /// The question what went.
    Went,
    /// What a trip comes to.
    Recovery,
    /// Heads are being put on sockets.
    Placing,
    /// Moves that were worked out.
    Moves,
    /// Edits that an earlier run could not save.
    Unsaved,
    /// What another program changed as well as the user.
    Compare,
}

impl Context {
    /// Every context with its words, for the table of keys.
    pub const ALL: [(Self, &'static str); 18] = [
        (Self::Walk, "Walk"),
        (Self::Board, "Board"),
        (Self::Plot, "Plot"),
        (Self::Hand, "Plot, a head in hand"),
        (Self::Shoot, "Shoot"),
        (Self::Papers, "Papers"),
        (Self::List, "in a list"),
        (Self::Entries, "in the whole plan"),
        (Self::Form, "in an entry's keys"),
        (Self::Text, "in a text"),
        (Self::Traced, "at what is traced"),
        (Self::Prompt, "while typing"),
        (Self::Went, "asked what went"),
        (Self::Recovery, "after a trip"),
        (Self::Placing, "while heads are put on"),
        (Self::Moves, "at the moves"),
        (Self::Unsaved, "at what was not saved"),
        (Self::Compare, "at what two changed"),
    ];
}

use Context::{
    Board, Compare, Entries, Form, Hand, List, Moves, Papers, Placing, Plot, Prompt, Recovery, Shoot, Text,
    Traced, Unsaved, Walk, Went,
};

const EVERYWHERE: &[Context] = &[
    Walk, Board, Plot, Hand, Shoot, Papers, List, Entries, Form, Text, Traced, Prompt, Went, Recovery,
    Placing, Moves, Unsaved, Compare,
];
const NOT_TYPING: &[Context] = &[
    Walk, Board, Plot, Hand, Shoot, Papers, List, Entries, Form, Text, Traced, Went, Recovery, Placing,
    Moves, Unsaved, Compare,
];
const SCREENS: &[Context] = &[Walk, Board, Plot, Hand, Shoot, Papers];
/// Where the help can be asked for.
const HELPED: &[Context] =
    &[Walk, Board, Plot, Hand, Shoot, Papers, Traced, Went, Recovery, Placing, Moves, Unsaved, Compare];
const EMPTY_HANDED: &[Context] = &[Walk, Board, Plot, Shoot, Papers];
const UNDOABLE: &[Context] = &[Walk, Board, Plot, Hand, Shoot, Papers, Entries, Form, Recovery];
const ON_PLOT: &[Context] = &[Plot, Hand];
/// Where the cursor can be on an entry of the plan.
const ON_ENTRIES: &[Context] = &[Walk, Board, Plot, Shoot, Entries, Form];
const IN_HAND: &[Context] = &[Hand];
const OVER: &[Context] = &[List, Entries, Form, Text, Traced, Prompt, Went, Recovery, Moves];
/// Where the program can be asked to put heads on.
const PLACES: &[Context] = &[Plot, Hand, Moves];
const CHOOSING: &[Context] = &[List, Entries, Form, Prompt];
const READING: &[Context] = &[List, Text, Traced, Moves, Unsaved, Compare];

/// What a key bar may ask of the model: a copy, so that asking changes nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Snapshot {
    /// Where keys go.
    pub context: Context,
    /// Floors with sockets.
    pub floors: usize,
    /// Setups.
    pub setups: usize,
    /// Heads of the setup.
    pub heads: usize,
    /// Whether there is a step to take back.
    pub can_undo: bool,
    /// Whether there is a step to make again.
    pub can_redo: bool,
    /// Problems of the file.
    pub problems: usize,
    /// Whether the guide is shown.
    pub guided: bool,
    /// Resets that may still be tried after a trip.
    pub resets_left: u32,
    /// Heads that are left without a socket, over all setups.
    pub left: usize,
    /// Devices that the next test of what is traced switches off.
    pub to_test: usize,
    /// Moves that are shown and that the plan has not.
    pub offered: usize,
    /// What the moves that are open were asked for.
    pub shown: Option<Wish>,
}

impl Snapshot {
    /// A copy of what matters.
    #[must_use]
    pub fn of(model: &Model) -> Self {
        let network = model.document.network();
        Self {
            context: model.context(),
            floors: model.pages.len(),
            setups: network.setups.len(),
            heads: model.setup.map_or(0, |setup| network.setups[setup].on.len()),
            can_undo: model.document.can_undo(),
            can_redo: model.document.can_redo(),
            problems: model.document.problems().len(),
            guided: !model.guide.is_over(),
            resets_left: trip::resets_left(model),
            left: crate::plot::left(network).len(),
            to_test: if model.context() == Traced { traced::to_test(model) } else { 0 },
            offered: placing::offered(model),
            shown: placing::shown(model),
        }
    }
}

/// One thing that the user can ask for.
pub struct Command {
    /// Stable id, kebab-case: what the key file names it by.
    pub id: &'static str,
    /// What it does, in two to four words.
    pub title: &'static str,
    /// What it does, in a sentence.
    pub doc: &'static str,
    /// Its keys by default.
    pub keys: &'static [&'static str],
    /// Where its keys work.
    pub when: &'static [Context],
    /// Its word in the key bar, and how early it stands there; `None`: it is not in it.
    pub bar: Option<(u8, &'static str)>,
    /// Whether it would do anything.
    pub useful: fn(&Snapshot) -> bool,
    run: fn(&mut Model, &mut Vec<Effect>),
}

impl std::fmt::Debug for Command {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id)
    }
}

impl Command {
    /// Does it.
    pub fn run(&self, model: &mut Model) -> Vec<Effect> {
        let mut effects = Vec::new();
        (self.run)(model, &mut effects);
        effects
    }
}

const fn always(_: &Snapshot) -> bool {
    true
}

const fn command(
    id: &'static str,
    (title, doc): (&'static str, &'static str),
    keys: &'static [&'static str],
    when: &'static [Context],
    run: fn(&mut Model, &mut Vec<Effect>),
) -> Command {
    Command { id, title, doc, keys, when, bar: None, useful: always, run }
}

impl Command {
    const fn in_bar(mut self, rank: u8, word: &'static str) -> Self {
        self.bar = Some((rank, word));
        self
    }

    const fn if_useful(mut self, useful: fn(&Snapshot) -> bool) -> Self {
        self.useful = useful;
        self
    }
}

/// Every command.
#[rustfmt::skip]
pub static COMMANDS: &[Command] = &[
    command("pick-up", ("pick up", "Takes the head under the cursor in hand: every socket shows what would happen there."), &["enter"], &[Plot], plot::pick_up).in_bar(10, "pick up").if_useful(|now| now.heads > 0),
    command("go-to", ("show on the Plot", "Shows on the Plot what the cursor is on."), &["enter"], &[Walk, Board], layers::go_to).in_bar(10, "on the Plot"),
    command("strike", ("struck", "Ticks the step under the cursor as struck and goes on to the next one; once more takes the tick off."), &["enter"], &[Shoot], trip::strike).in_bar(10, "struck").if_useful(|now| now.heads > 0),
    command("show-step", ("show on the Plot", "Shows the head under the cursor on the Plot."), &["o"], &[Shoot], layers::go_to).in_bar(26, "on the Plot"),
    command("trip", ("something went", "Asks what went, then says what to unplug, what to light again where, and what comes back later. In a line that is being typed it is a letter; ctrl-t asks there as well."), &["!", "ctrl-t"], EVERYWHERE, trip::ask).in_bar(18, "trip"),
    command("answer", ("take this answer", "Takes the answer under the cursor."), &["enter"], &[Went], trip::answer).in_bar(10, "take"),
    command("answer-number", ("take an answer by number", "Takes the answer of that number."), &["1", "2", "3", "4", "5", "6", "7", "8", "9"], &[Went], trip::digit),
    command("dark-heads", ("name dark heads", "Names heads that are dark, where nobody knows what went."), &["d"], &[Went], trip::name_dark).in_bar(12, "name dark heads"),
    command("tick", ("done", "Ticks the line as done and goes on to the next; lighting a head again moves it in the plan."), &["enter"], &[Recovery], trip::tick).in_bar(10, "done"),
    command("held", ("it held", "Says that the reset held, and goes on to what is lit then."), &["r"], &[Recovery], trip::held).in_bar(12, "it held").if_useful(|now| now.resets_left > 0),
    command("did-not-hold", ("it did not hold", "Says that the reset did not hold, and goes on to what follows."), &["n"], &[Recovery], trip::did_not_hold).in_bar(13, "it did not").if_useful(|now| now.resets_left > 0),
    command("drop", ("drop", "Plugs the head in hand in at the chosen socket, with the leads that are shown."), &["enter"], IN_HAND, plot::drop).in_bar(10, "drop"),
    command("next-socket", ("next socket", "Goes to the next socket: with a head in hand, those that fit first, then the nearest."), &["tab"], ON_PLOT, moves::next_socket).in_bar(11, "sockets"),
    command("previous-socket", ("previous socket", "Goes back to the socket before."), &["backtab"], ON_PLOT, moves::previous_socket),
    command("put-back", ("put back", "Puts the head in hand back where it was."), &["esc"], IN_HAND, plot::put_back).in_bar(12, "put back"),
    command("drop-here", ("drop for this setup only", "Plugs the head in hand in for this setup; the other setups keep their own socket."), &["o"], IN_HAND, plot::drop_for_this_setup).in_bar(13, "this setup only").if_useful(|now| now.setups > 1),
    command("show-sheet", ("show the sheet", "Shows the sheet under the cursor as it is printed, of the setup that is looked at."), &["enter"], &[Papers], papers::show).in_bar(10, "show"),
    command("hand-out", ("hand the sheets out", "Writes every sheet as PDF, HTML and CSV into a folder beside the plan, each with its letter and the rows marked that have changed since the letter before."), &["o"], &[Papers], papers::hand_out).in_bar(19, "hand out"),
    command("unplug", ("unplug", "Unplugs the head in hand, or the one under the cursor."), &["x"], ON_PLOT, plot::unplug).in_bar(20, "unplug").if_useful(|now| now.heads > 0),
    command("place-rest", ("put on the rest", "Puts the heads that are left on sockets, moving none that have one, in every setup: one step that undo takes back."), &["a"], PLACES, |model, effects| placing::ask(model, Wish::Rest, effects)).in_bar(13, "put on rest").if_useful(|now| now.left > 0 && now.context == Plot),
    command("place-afresh", ("put all on afresh", "Works out sockets for all heads, wherever they are now, pinned ones stay: the moves are shown first."), &["A"], PLACES, |model, effects| placing::ask(model, Wish::Afresh, effects)).in_bar(21, "all afresh").if_useful(|now| now.heads > 0 && now.context != Hand && now.shown != Some(Wish::Afresh)),
    command("place-few", ("put all on, few moves", "Works out sockets for all heads with as few moves as it takes, pinned ones stay: the moves are shown first."), &["m"], PLACES, |model, effects| placing::ask(model, Wish::Few, effects)).in_bar(22, "few moves").if_useful(|now| now.heads > 0 && now.context != Hand && now.shown != Some(Wish::Few)),
    command("take-moves", ("take the moves", "Does the moves that are shown as one step, which undo takes back."), &["enter"], &[Moves], placing::take).in_bar(10, "take").if_useful(|now| now.offered > 0),
    command("take-unsaved", ("put it into the plan", "Puts the edits into the plan that were not saved, as one step that undo takes back."), &["enter"], &[Unsaved], compare::take).in_bar(10, "put it in"),
    command("leave-out", ("leave it out", "Leaves the plan as the file has it; what was not saved is put into a file beside it."), &["esc"], &[Unsaved], compare::leave).in_bar(11, "leave it out"),
    command("take-chosen", ("take as chosen", "Takes of each part whose it says, as one step that undo takes back, and saves."), &["enter"], &[Compare], compare::take).in_bar(10, "take as chosen"),
    command("other-side", ("the other side", "Takes the part under the cursor from the other side: yours, or the file's."), &["tab", "left", "right"], &[Compare], |model, _| crate::outside::turn(model)).in_bar(11, "yours or theirs"),
    command("choose-later", ("choose later", "Leaves it for later: nothing is saved until then, and your edits are kept in the journal."), &["esc"], &[Compare], compare::leave).in_bar(12, "later"),
    command("take-so-far", ("take the best so far", "Stops working it out: what was found so far is put on, or shown."), &["enter"], &[Placing], placing::enough).in_bar(10, "take the best so far"),
    command("stop-placing", ("stop", "Stops working it out: nothing is changed."), &["esc"], &[Placing], placing::stop).in_bar(11, "stop"),
    command("why-not", ("why not here", "Says why the head in hand or under the cursor does not go on the chosen socket, or on any, with needed and there, and what to do."), &["t"], ON_PLOT, why_not::why_not).in_bar(21, "why not").if_useful(|now| now.heads > 0),
    command("why", ("why this number", "Shows the formula, the values and their sources of the number under the cursor."), &["w"], &[Walk, Board, Plot, Hand, Shoot, Papers, List, Recovery], why::why).in_bar(22, "why"),
    command("findings", ("findings", "Lists what is wrong in this setup, worst first, with what to do."), &["f"], SCREENS, layers::findings).in_bar(23, "findings"),
    command("form", ("all its keys", "Opens every key of what is under the cursor, to be read and changed."), &["E"], &[Walk, Board, Plot, Shoot], entries::form).in_bar(28, "keys"),
    command("new-here", ("a new one", "Adds one of what the cursor is among, in one line that is echoed as it is typed."), &["n"], &[Walk, Board, Plot, Entries], entries::new_here).in_bar(25, "new"),
    command("edit-line", ("edit as a line", "Writes what is under the cursor as one line, to be typed over."), &["e"], &[Walk, Board, Plot, Shoot, Entries, Form], entries::edit_line).in_bar(29, "edit"),
    command("ramp-test", ("ramp test", "Enters a ramp test at the socket under the cursor: G1 r10/15, or its steps: G1 10 ok 15 trip."), &["r"], &[Walk], entries::ramp_here).in_bar(15, "ramp test"),
    command("went-dark", ("what went dark", "Enters what was dead and what was live with a breaker or an RCD off: P2 off: G3 G4 dead, G1 live."), &["d"], &[Walk, Board], |model, effects| entries::new_entry(model, Subject::Trace, effects)).in_bar(16, "went dark"),
    command("traced", ("what is traced", "Says what the tests prove of every socket, what clashes, and what to test next."), &["t"], &[Walk], traced::show).in_bar(15, "traced"),
    command("enter-next-test", ("enter the next test", "Opens the line of what went dark with the devices of the next test in it."), &["enter", "d"], &[Traced], traced::enter_next_test).in_bar(10, "enter the test").if_useful(|now| now.to_test > 0),
    command("base-loads", ("house loads off or on", "Says which of the house's own loads on this circuit its owner has switched off for this setup."), &["b"], &[Board], entries::base_loads).in_bar(17, "house loads"),
    command("new-supply", ("new supply", "Adds a supply in one line: mains, a generator, a battery station."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Supply), effects)),
    command("new-rcd", ("new RCD", "Adds an RCD in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Rcd), effects)),
    command("new-circuit", ("new circuit", "Adds a circuit in one line, with its base loads."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Circuit), effects)),
    command("new-floor", ("new floor", "Adds a floor in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Floor), effects)),
    command("new-room", ("new room", "Adds a room in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Room), effects)),
    command("new-socket", ("new socket", "Adds a socket in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Socket), effects)),
    command("new-head", ("new head", "Adds a head in one line; it is on in the setup that is looked at."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Head), effects)),
    command("new-lead", ("new lead", "Adds a type of lead of the truck in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Cable), effects)),
    command("new-block", ("new block", "Adds a type of splitter of the truck in one line."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Block), effects)),
    command("new-setup", ("new setup", "Adds a setup in one line: when, how long, which heads."), &[], SCREENS, |model, effects| entries::new_entry(model, Subject::Entry(Table::Setup), effects)),
    command("complete", ("take the word", "Takes the first of the words that are offered into the line."), &["tab"], &[Prompt], |model, _| entries::complete(model)),
    command("entries", ("the whole plan", "Lists every entry of the plan: supplies, circuits, rooms, heads, leads, setups and the rest."), &["i"], SCREENS, entries::list).in_bar(37, "the whole plan"),
    command("rename", ("rename", "Gives what is under the cursor another name, wherever it is mentioned."), &["R"], ON_ENTRIES, entries::rename).in_bar(38, "rename"),
    command("remove", ("take out of the plan", "Takes what is under the cursor out of the plan, with every mention of it. Undo brings it back."), &["D"], ON_ENTRIES, entries::remove).in_bar(39, "take out"),
    command("clear-key", ("say nothing of it", "Takes the chosen key out: the plan says nothing of it then."), &["x"], &[Form], entries::clear).in_bar(13, "say nothing"),
    command("undo", ("undo", "Takes the last change back, without end."), &["u"], UNDOABLE, program::undo).in_bar(14, "undo").if_useful(|now| now.can_undo),
    command("redo", ("redo", "Makes the change again that was taken back last."), &["U"], UNDOABLE, program::redo).in_bar(31, "redo").if_useful(|now| now.can_redo),
    command("next-setup", ("next setup", "Shows the next setup."), &["s"], SCREENS, program::next_setup).in_bar(32, "setup").if_useful(|now| now.setups > 1),
    command("previous-setup", ("previous setup", "Shows the setup before."), &["S"], SCREENS, program::previous_setup).if_useful(|now| now.setups > 1),
    command("floor-down", ("floor below", "Shows the floor below."), &["["], ON_PLOT, moves::floor_down).if_useful(|now| now.floors > 1),
    command("floor-up", ("floor above", "Shows the floor above."), &["]"], ON_PLOT, moves::floor_up).in_bar(33, "floor").if_useful(|now| now.floors > 1),
    command("find", ("find", "Finds a head or a socket by its name."), &["/"], SCREENS, layers::find).in_bar(34, "find"),
    command("pin", ("pin", "Marks the head under the cursor as one that the program may not move, or takes the mark off."), &["k"], ON_PLOT, plot::pin).in_bar(35, "pin").if_useful(|now| now.heads > 0),
    command("problems", ("problems of the file", "Lists what is wrong with the plan file, with line and column."), &["p"], SCREENS, layers::problems).in_bar(24, "problems").if_useful(|now| now.problems > 0),
    command("up", ("up", "Goes up by one."), &["up"], EVERYWHERE, moves::up),
    command("down", ("down", "Goes down by one."), &["down"], EVERYWHERE, moves::down),
    command("left", ("left", "Goes left: on the Plot screen from the sockets to the heads."), &["left"], ON_PLOT, moves::left),
    command("right", ("right", "Goes right: on the Plot screen from the heads to the sockets."), &["right"], ON_PLOT, moves::right),
    command("up-letter", ("up", "Goes up, by a letter, where the letter is free."), &["k"], &[Walk, Board, Shoot, Papers, List, Entries, Form, Text, Traced, Went, Recovery], moves::up),
    command("down-letter", ("down", "Goes down, by a letter, where the letter is free."), &["j"], &[Walk, Board, Shoot, Papers, List, Entries, Form, Text, Traced, Went, Recovery], moves::down),
    command("page-up", ("page up", "Goes up by ten."), &["pageup"], EVERYWHERE, moves::page_up),
    command("page-down", ("page down", "Goes down by ten."), &["pagedown"], EVERYWHERE, moves::page_down),
    command("first", ("first", "Goes to the first of all."), &["home"], NOT_TYPING, moves::first),
    command("last", ("last", "Goes to the last of all."), &["end"], NOT_TYPING, moves::last),
    command("accept", ("choose", "Goes to what the chosen line is about, or runs it."), &["enter"], CHOOSING, layers::accept).in_bar(10, "choose"),
    command("close", ("close", "Goes back by one."), &["esc"], OVER, layers::close).in_bar(11, "back"),
    command("copy", ("copy", "Copies what is shown, as text."), &["c"], READING, layers::copy).in_bar(40, "copy"),
    command("walk", ("Walk", "The survey: every socket with its test."), &["1"], SCREENS, |model, _| program::show(model, Screen::Walk)),
    command("board", ("Board", "Supplies, RCDs and circuits: used and free."), &["2"], SCREENS, |model, _| program::show(model, Screen::Board)),
    command("plot", ("Plot", "Heads on sockets, floor by floor."), &["3"], SCREENS, |model, _| program::show(model, Screen::Plot)),
    command("shoot", ("Shoot", "The setup that is being shot, in the order of striking."), &["4"], SCREENS, |model, _| program::show(model, Screen::Shoot)),
    command("generator", ("is a generator needed", "Works out whether the house carries every head of every setup without a generator: no, only if, or yes; why, what else would do, and what to hire. The plan stays as it is."), &["G"], SCREENS, |model, effects| placing::ask(model, Wish::OnTheHouse, effects)).in_bar(30, "generator?").if_useful(|now| now.heads > 0),
    command("papers", ("Papers", "The sheets that can be printed."), &["5"], SCREENS, |model, _| program::show(model, Screen::Papers)),
    command("theme", ("change the theme", "Goes through the themes: dark, light, sixteen colours, none."), &[], NOT_TYPING, settings::next_theme),
    command("lengths", ("metres or feet", "Shows lengths in feet, or in metres again. The plan file stays in metres, sheets in what the region measures in."), &[], NOT_TYPING, settings::other_lengths),
    command("bell", ("bell on or off", "Rings the bell where something is refused, or leaves it."), &[], NOT_TYPING, settings::other_bell),
    command("settings", ("where the settings are", "Says in which folder settings.toml and keys.toml are looked for."), &[], NOT_TYPING, settings::whereabouts),
    command("guide", ("hide the guide", "Takes the first-run guide away."), &["g"], SCREENS, program::hide_guide).in_bar(36, "hide the guide").if_useful(|now| now.guided),
    command("back", ("back", "Backs out of what is open. It never leaves: q does."), &["esc"], EMPTY_HANDED, program::back),
    command("help", ("help", "Lists the keys that work here."), &["?"], HELPED, layers::help).in_bar(1, "help"),
    command("palette", ("commands", "Finds a command by its name."), &[":"], NOT_TYPING, layers::palette).in_bar(26, "commands"),
    command("quit", ("leave", "Leaves at once. Everything is saved already."), &["q"], NOT_TYPING, program::quit).in_bar(27, "leave"),
    command("interrupt", ("leave", "Leaves at once, also while a line is being typed."), &["ctrl-c"], EVERYWHERE, program::quit),
    command("suspend", ("suspend", "Goes back to the shell; `fg` comes back."), &["ctrl-z"], EVERYWHERE, program::suspend),
];

/// The command with an id.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static Command> {
    COMMANDS.iter().find(|command| command.id == id)
}

/// One word of a key bar.
#[derive(Clone, Debug)]
pub struct BarWord {
    /// The key.
    pub key: String,
    /// What it does, in a word or two.
    pub word: &'static str,
    /// The command.
    pub command: &'static Command,
}

/// The words of a key bar that fit in so many cells, with `gap` cells between: the most needed are
/// chosen first, then they stand in their order, the program's own last.
#[must_use]
pub fn key_bar(model: &Model, cells: usize, gap: usize) -> Vec<BarWord> {
    let now = Snapshot::of(model);
    let mut ranked: Vec<(u8, BarWord)> = COMMANDS
        .iter()
        .filter(|command| command.when.contains(&now.context) && (command.useful)(&now))
        .filter_map(|command| {
            let (rank, word) = command.bar?;
            let key = model.keymap.keys_of(command).into_iter().next()?;
            Some((rank, BarWord { key, word, command }))
        })
        .collect();
    ranked.order_by_key(|(rank, _)| *rank);
    let mut left = cells;
    ranked.retain(|(_, shown)| {
        let needed = crate::text::width(&shown.key) + 1 + shown.word.len() + gap;
        let fits = needed <= left + gap;
        if fits {
            left = left.saturating_sub(needed);
        }
        fits
    });
    ranked.order_by_key(|(rank, shown)| (["help", "palette", "quit"].contains(&shown.command.id), *rank));
    ranked.into_iter().map(|(_, shown)| shown).collect()
}

/// The keys that work in a context, with what they do: the help's lines.
#[must_use]
pub fn help(keymap: &Keymap, context: Context) -> Vec<(String, &'static Command)> {
    COMMANDS
        .iter()
        .filter(|command| command.when.contains(&context))
        .map(|command| (keymap.keys_of(command).join(" "), command))
        .collect()
}

/// The table of keys of the README, in Markdown.
#[must_use]
pub fn readme_table() -> String {
    let mut rows = vec!["| key | command | what it does | where |\n|---|---|---|---|\n".to_owned()];
    for command in COMMANDS {
        let keys: Vec<String> = command.keys.iter().map(|key| format!("`{key}`")).collect();
        let keys = if keys.is_empty() { "`:`".to_owned() } else { keys.join(" ") };
        let places = where_words(command.when);
        rows.push(format!("| {keys} | `{}` | {} | {places} |\n", command.id, command.doc));
    }
    rows.concat()
}

fn where_words(when: &[Context]) -> String {
    match when {
        _ if when == EVERYWHERE => "everywhere".to_owned(),
        _ if when == NOT_TYPING => "everywhere but while typing".to_owned(),
        _ if when == SCREENS => "every screen".to_owned(),
        _ if when == HELPED => "everywhere but in lists, forms and texts, and while typing".to_owned(),
        _ if when == EMPTY_HANDED => "every screen, nothing in hand".to_owned(),
        _ => {
            let words = Context::ALL.iter().filter(|(context, _)| when.contains(context));
            words.map(|(_, words)| *words).collect::<Vec<_>>().join("; ")
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_command_has_an_id_of_its_own_a_title_a_sentence_and_a_way_to_it() {
        let ids: BTreeSet<_> = COMMANDS.iter().map(|command| command.id).collect();
        assert_eq!(ids.len(), COMMANDS.len());
        for command in COMMANDS {
            assert!(!command.title.is_empty() && command.title.len() <= 28, "{}", command.id);
            assert!(command.doc.ends_with(['.', ';']) && command.doc.len() > 8, "{}", command.id);
            assert!(!command.when.is_empty(), "{}", command.id);
            assert!(!command.keys.is_empty() || command.when.contains(&Plot), "{}", command.id);
        }
    }

    #[test]
    fn the_table_of_the_readme_names_every_command_and_key() {
        let table = readme_table();
        for command in COMMANDS {
            assert!(table.contains(&format!("| `{}` |", command.id)), "{}", command.id);
            for key in command.keys {
                assert!(table.contains(&format!("`{key}`")), "{key}");
            }
        }
        assert_eq!(table.lines().count(), COMMANDS.len() + 2);
    }

    #[test]
    fn every_context_can_be_left_and_asked_about() {
        for (context, words) in Context::ALL {
            let ids: Vec<_> =
                help(&Keymap::default(), context).into_iter().map(|(_, command)| command.id).collect();
            assert!(ids.contains(&"interrupt"), "{words}");
            assert!(
                ids.iter().any(|id| [
                    "close",
                    "put-back",
                    "back",
                    "stop-placing",
                    "leave-out",
                    "choose-later"
                ]
                .contains(id)),
                "{words}"
            );
        }
    }
}
