//! Everything that the screens know. It changes only in [`crate::update`].

use ampwalk_core::id::{HeadId, SetupId};
use ampwalk_core::network::{At, SetupAt, SocketAt};

use crate::command::Context;
use crate::document::Document;
use crate::floors::{self, Page};
use crate::guide::Guide;
use crate::keymap::Keymap;
use crate::layer::Layer;
use crate::outside::{About, Outside};
use crate::plot::{Held, Plot, head_order};
use crate::scene::Scene;
use crate::settings::{Bell, Settings};
use crate::theme::Theme;
use crate::view::Target;

/// The five screens.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Screen {
    /// The survey.
    Walk,
    /// Supplies, RCDs and circuits.
    Board,
    /// Heads on sockets.
    #[default]
    Plot,
    /// The setup that is being shot.
    Shoot,
    /// Sheets.
    Papers,
}

impl Screen {
    /// Every screen with its name, in the order of their keys.
    pub const ALL: [(Self, &'static str); 5] = [
        (Self::Walk, "Walk"),
        (Self::Board, "Board"),
        (Self::Plot, "Plot"),
        (Self::Shoot, "Shoot"),
        (Self::Papers, "Papers"),
    ];
}

/// What kind of plan is open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// The user's own file.
    #[default]
    File,
    /// A copy of the demo.
    Demo,
}

/// How the text on disk compares with the one in hand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Saved {
    /// They are the same.
    #[default]
    Saved,
    /// This many saves are under way.
    Saving(usize),
    /// The last save did not work, for this reason.
    Failed(String),
}

/// What the last key did, or why it did nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Message {
    /// The words.
    pub text: String,
    /// Whether something was done or refused.
    pub tone: Tone,
}

/// Whether something was done or refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// Done.
    #[default]
    Done,
    /// Refused.
    Refused,
}

/// What the mouse is in the middle of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pointer {
    /// What the button went down on, while it is down.
    pub pressed: Option<Target>,
    /// What was clicked last, if nothing else was done since: a second click is a double one.
    pub clicked: Option<Target>,
    /// How far the click that is under way has come.
    pub click: Click,
}

/// How far a click has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Click {
    /// It is the first one here.
    #[default]
    First,
    /// It is the second in a row.
    Second,
    /// It has become a drag.
    Drag,
}

/// How to open the screens.
#[derive(Clone, Debug, Default)]
pub struct Opening {
    /// The plan's text.
    pub text: String,
    /// What the file is called.
    pub file_name: String,
    /// The user's own file, or the demo.
    pub origin: Origin,
    /// Colours; the settings may say others.
    pub theme: Theme,
    /// Keys.
    pub keymap: Keymap,
    /// What the user chose for every plan.
    pub settings: Settings,
    /// The folder where that is kept; `None` where the system has none.
    pub configuration: Option<String>,
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// Who else has the plan open, in words: it may only be looked at.
    pub held_by: Option<String>,
}

/// Everything that the screens know.
#[derive(Clone, Debug)]
pub struct Model {
    /// The open plan.
    pub document: Document,
    /// What the file is called.
    pub file_name: String,
    /// The user's own file, or the demo.
    pub origin: Origin,
    /// Whether the disk has it all.
    pub saved: Saved,
    /// The screen that is shown.
    pub screen: Screen,
    /// The setup that is looked at; `None` where the plan has none.
    pub setup: Option<SetupAt>,
    /// Sockets by floor.
    pub pages: Vec<Page>,
    /// Which of `pages` the Plot screen shows.
    pub page: usize,
    /// Where the user is on the Plot screen.
    pub plot: Plot,
    /// The row of the cursor on the other screens, in the order of [`Screen::ALL`].
    pub rows: [usize; 5],
    /// What lies over the screen; the last has the keys.
    pub layers: Vec<Layer>,
    /// What the last key did.
    pub message: Message,
    /// What the guide still has to say.
    pub guide: Guide,
    /// Colours.
    pub theme: Theme,
    /// Whether somebody chose them; else they follow the terminal.
    pub theme_is_chosen: bool,
    /// Keys.
    pub keymap: Keymap,
    /// Whether the bell rings.
    pub bell: Bell,
    /// The folder of the settings; `None` where the system has none.
    pub configuration: Option<String>,
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// Heads that were ticked as struck, by setup, in that order; kept while the screens are open.
    pub struck: Vec<(SetupId, HeadId)>,
    /// The letter of the key that was pressed last, for commands with several keys.
    pub pressed: Option<char>,
    /// What the mouse is in the middle of.
    pub pointer: Pointer,
    /// Questions that the solver was asked so far.
    pub asked: u64,
    /// Another program's edit that is not taken over yet.
    pub outside: Option<Outside>,
    /// The last of another program's edits that the text has in it, as the host counts; 0: none.
    pub seen: u64,
}

impl Model {
    /// Opens a plan on the Plot screen, with a head under the cursor.
    #[must_use]
    pub fn open(opening: Opening) -> Self {
        let mut document = Document::open(opening.text);
        document.hold(opening.held_by);
        document.tell_lengths_in(opening.settings.lengths);
        let guide = match opening.origin {
            Origin::Demo => Guide::of_demo(),
            Origin::File => Guide::default(),
        };
        let mut model = Self {
            document,
            file_name: opening.file_name,
            origin: opening.origin,
            saved: Saved::Saved,
            screen: Screen::Plot,
            setup: None,
            pages: Vec::new(),
            page: 0,
            plot: Plot::default(),
            rows: [0; 5],
            layers: Vec::new(),
            message: Message::default(),
            guide,
            theme: opening.settings.theme.unwrap_or(opening.theme),
            theme_is_chosen: opening.settings.theme.is_some(),
            keymap: opening.keymap,
            bell: opening.settings.bell,
            configuration: opening.configuration,
            size: opening.size,
            struck: Vec::new(),
            pressed: None,
            pointer: Pointer::default(),
            asked: 0,
            outside: None,
            seen: 0,
        };
        model.settle();
        model.page = model.ground_page();
        if let Some(why) = model.document.read_only() {
            model.refuse(format!("Only to be looked at: {why}"));
        } else if !model.document.problems().is_empty() {
            let found = crate::text::count(model.document.problems().len(), "problem");
            model.refuse(format!("{found} in the file: p lists them"));
        }
        model
    }

    /// Brings every place that the user is at in line with the plan, after it was read anew.
    pub fn settle(&mut self) {
        let network = self.document.network();
        let setups = network.setups.len();
        self.pages = floors::pages(network);
        self.page = self.page.min(self.pages.len().saturating_sub(1));
        self.setup = match self.setup {
            Some(setup) if setup.get() < setups => Some(setup),
            _ => network.setups.indices().next(),
        };
        let order = self.heads();
        if !self.plot.head.is_some_and(|head| order.contains(&head)) {
            self.plot.head = order.first().copied();
        }
        let sockets = self.document.network().sockets.len();
        if self.plot.socket.is_none_or(|socket| socket.get() >= sockets) {
            self.plot.socket = self.pages.get(self.page).and_then(|page| page.sockets().next());
        }
    }

    fn ground_page(&self) -> usize {
        let plan = &self.document.network().plan;
        let is_ground = |page: &Page| {
            page.floor.and_then(|at| plan.floors.get_index(at)).is_some_and(|(_, floor)| floor.level == 0)
        };
        self.pages.iter().position(is_ground).unwrap_or(0)
    }

    /// The heads of the setup in the order of the Plot screen.
    #[must_use]
    pub fn heads(&self) -> Vec<ampwalk_core::network::HeadAt> {
        let Some(setup) = self.setup else { return Vec::new() };
        head_order(self.document.network(), self.document.assessment(), setup)
    }

    /// Where keys go now.
    #[must_use]
    pub fn context(&self) -> Context {
        self.context_under(self.layers.last())
    }

    /// Where keys would go without the topmost layer: where a command from the palette runs.
    #[must_use]
    pub fn context_below(&self) -> Context {
        let below = self.layers.len().checked_sub(2).and_then(|at| self.layers.get(at));
        self.context_under(below)
    }

    fn context_under(&self, layer: Option<&Layer>) -> Context {
        match layer {
            Some(Layer::Findings(_) | Layer::Problems(_)) => Context::List,
            Some(
                Layer::Explanation { .. }
                | Layer::WhyNot(_)
                | Layer::Producer(_)
                | Layer::Sheet(_)
                | Layer::Help(_),
            ) => Context::Text,
            Some(Layer::Compare(compare)) if compare.about == About::Unsaved => Context::Unsaved,
            Some(Layer::Compare(_)) => Context::Compare,
            Some(Layer::Traced(_)) => Context::Traced,
            Some(Layer::Went(_)) => Context::Went,
            Some(Layer::Recovery(_)) => Context::Recovery,
            Some(Layer::Placing(_)) => Context::Placing,
            Some(Layer::Moves(_)) => Context::Moves,
            Some(Layer::Entries(_)) => Context::Entries,
            Some(Layer::Form { .. }) => Context::Form,
            Some(Layer::Palette(_) | Layer::Find(_) | Layer::Ask(_)) => Context::Prompt,
            None => match self.screen {
                Screen::Walk => Context::Walk,
                Screen::Board => Context::Board,
                Screen::Plot if self.plot.held.is_some() => Context::Hand,
                Screen::Plot => Context::Plot,
                Screen::Shoot => Context::Shoot,
                Screen::Papers => Context::Papers,
            },
        }
    }

    /// What the views of the other screens draw from.
    #[must_use]
    pub fn scene(&self) -> Scene<'_> {
        Scene {
            network: self.document.network(),
            assessment: self.document.assessment(),
            setup: self.setup,
            row: self.row(),
            theme: self.theme,
            struck: &self.struck,
            report: self.document.report_once(),
        }
    }

    /// The row of the cursor on the screen that is shown.
    #[must_use]
    pub fn row(&self) -> usize {
        self.rows[self.screen as usize]
    }

    /// Whether something is put off until nothing else is to be done: then [`crate::event::Event::Spare`]
    /// does it.
    #[must_use]
    pub fn has_put_off(&self) -> bool {
        self.plot.held.as_ref().is_some_and(Held::is_unfinished)
    }

    /// Says what was done.
    pub fn say(&mut self, text: impl Into<String>) {
        self.message = Message { text: text.into(), tone: Tone::Done };
    }

    /// Says why nothing was done.
    pub fn refuse(&mut self, text: impl Into<String>) {
        self.message = Message { text: text.into(), tone: Tone::Refused };
    }

    /// Turns to the page of a socket and puts the cursor there.
    pub fn go_to_socket(&mut self, socket: SocketAt) {
        self.plot.socket = Some(socket);
        if let Some(page) = floors::page_of(&self.pages, socket) {
            self.page = page;
        }
    }
}
