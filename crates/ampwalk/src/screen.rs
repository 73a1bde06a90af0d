//! Runs the screens: what the terminal says goes in as events, what comes out as effects is done.

mod inputs;
mod placing;

use std::collections::VecDeque;
use std::io::{Write, stdout};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, TryRecvError};

use ampwalk_tui::effect::Effect;
use ampwalk_tui::event::Event;
use ampwalk_tui::keymap::Keymap;
use ampwalk_tui::model::{Model, Opening, Origin};
use ampwalk_tui::settings;
use ampwalk_tui::theme::Theme;
use ampwalk_tui::update::update;
use ampwalk_tui::view;
use anyhow::{Context, Result, bail};
use crossterm::clipboard::CopyToClipboard;
use crossterm::execute;

use crate::clock;
use crate::keep::{Home, Keeper, NotSaved, Opened, Report};
use crate::memory;
use crate::terminal::{self, Taken};
pub use inputs::end_by;
use inputs::{Input, Signal};
use placing::Worker;

/// Inputs that are taken in before the screen is drawn again.
const BURST: usize = 64;

/// Whose plan is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The user's own.
    Own,
    /// A copy of an example.
    Demo,
}

/// How the screens were left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// Whether the plan on disk is not what it was.
    pub edited: bool,
    /// The plan where it could not be saved, and why.
    pub unsaved: Option<NotSaved>,
    /// The signal that ended them, if it was not the user.
    pub signal: Option<i32>,
}

/// A plan to show.
#[derive(Clone, Debug)]
pub struct Shown {
    /// Where it is.
    pub path: PathBuf,
    /// What it says.
    pub text: String,
    /// What the file is called.
    pub file_name: String,
    /// Whose it is.
    pub kind: Kind,
}

/// Shows a plan until the user leaves.
///
/// # Errors
/// Where the terminal fails. It is given back in any case.
pub fn run(shown: Shown) -> Result<Closed> {
    let configuration = memory::configuration();
    let (mut settings, wrong_settings) = settings::read(&configuration.settings);
    let (keymap, wrong_keys) = Keymap::with_own(&configuration.keys);
    let complaints = [configuration.complaints, wrong_settings, wrong_keys].concat();
    // No colour where none is wanted, whatever was chosen elsewhere.
    if terminal::is_colourless() {
        settings.theme = Some(Theme::Monochrome);
    }
    // A terminal is asked only where it matters: some take their time to answer.
    let theme = settings.theme.unwrap_or_else(terminal::theme);
    let size = crossterm::terminal::size().context("it does not say its size")?;
    let origin = match shown.kind {
        Kind::Own => Origin::File,
        Kind::Demo => Origin::Demo,
    };
    let mut taken = Taken::new().context("it could not be taken over")?;
    let (sender, inputs) = inputs::start().context("it could not be listened to")?;
    let Opened { keeper, held_by, reports } =
        keeper(&shown, &sender).context("there is no thread for the disk")?;
    let model = Model::open(Opening {
        text: shown.text,
        file_name: shown.file_name,
        origin,
        theme,
        keymap,
        settings,
        configuration: configuration.folder.as_deref().map(crate::trouble::shown),
        size,
        held_by,
    });
    let mut host = Host {
        model,
        papers: Home::new(&shown.path, "").papers(),
        keeper,
        configuration: configuration.folder,
        signal: None,
        sender,
        worker: None,
    };
    for report in reports {
        host.take_in(event_of(report), &mut taken)?;
    }
    if !complaints.is_empty() {
        host.take_in(Event::Told(complaints.join("; ")), &mut taken)?;
    }
    host.run(&mut taken, &inputs)
}

/// Begins to keep the plan; what there is to tell comes in as events.
fn keeper(shown: &Shown, sender: &Sender<Input>) -> std::io::Result<Opened> {
    let sender = sender.clone();
    let tell = move |report| {
        // Where nobody listens, the program is ending.
        let _ = sender.send(Input::Event(event_of(report)));
    };
    Keeper::start(&shown.path, &shown.text, memory::journals(), &clock::hour(), tell)
}

/// What the screens hear of a report.
pub fn event_of(report: Report) -> Event {
    match report {
        Report::Saved(outcome) => Event::Saved(outcome),
        Report::Superseded => Event::Superseded,
        Report::Changed { number, before, theirs } => Event::Changed { number, before, theirs },
        Report::Found(found) => Event::Found(found),
        Report::Free => Event::Free,
        Report::Told(words) => Event::Told(words),
    }
}

/// The model with what its effects act on.
struct Host {
    model: Model,
    keeper: Keeper,
    /// Where sheets go.
    papers: PathBuf,
    configuration: Option<PathBuf>,
    signal: Option<i32>,
    /// Where inputs go.
    sender: Sender<Input>,
    /// What works aside.
    worker: Option<Worker>,
}

/// Whether the screens go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Flow {
    On,
    Leave,
}

/// What waiting came to.
enum Waited {
    /// Something came.
    Came(Input),
    /// All that was put off is done, and nothing came.
    Done,
    /// Nothing can come any more.
    Closed,
}

impl Host {
    /// Draws, waits, takes in what came, and again.
    fn run(mut self, taken: &mut Taken, inputs: &Receiver<Input>) -> Result<Closed> {
        loop {
            let model = &self.model;
            taken
                .terminal
                .draw(|frame| {
                    view::draw(model, frame.area(), frame.buffer_mut());
                })
                .context("it could not be drawn on")?;
            let first = match self.wait(inputs) {
                Waited::Came(first) => first,
                Waited::Done => continue,
                Waited::Closed => bail!("nothing can be read from it any more"),
            };
            // A burst, a dragged mouse say, is drawn once.
            for input in std::iter::once(first).chain(inputs.try_iter().take(BURST)) {
                if self.input(input, taken)? == Flow::Leave {
                    return Ok(self.closed());
                }
            }
        }
    }

    /// Waits for an input; meanwhile does what was put off.
    fn wait(&mut self, inputs: &Receiver<Input>) -> Waited {
        if !self.model.has_put_off() {
            return inputs.recv().map_or(Waited::Closed, Waited::Came);
        }
        match inputs.try_recv() {
            Ok(input) => Waited::Came(input),
            Err(TryRecvError::Disconnected) => Waited::Closed,
            Err(TryRecvError::Empty) => {
                update(&mut self.model, Event::Spare);
                Waited::Done
            }
        }
    }

    fn input(&mut self, input: Input, taken: &mut Taken) -> Result<Flow> {
        match input {
            Input::Event(event) => {
                #[cfg(debug_assertions)]
                panic_for_a_test();
                self.take_in(event, taken)
            }
            Input::Failed(error) => Err(error).context("it could not be read"),
            Input::Signal(Signal::Stop) => self.suspend(taken).map(|()| Flow::On),
            Input::Signal(Signal::Continue) => {
                // Stopped without a word; meanwhile the shell had the terminal.
                terminal::give_back();
                self.again(taken).map(|()| Flow::On)
            }
            Input::Signal(Signal::End(signal)) => {
                self.signal = Some(signal);
                Ok(Flow::Leave)
            }
        }
    }

    /// Takes an event in and does what comes out of it, and out of that.
    fn take_in(&mut self, event: Event, taken: &mut Taken) -> Result<Flow> {
        let mut effects = VecDeque::from(update(&mut self.model, event));
        while let Some(effect) = effects.pop_front() {
            match effect {
                Effect::Save { text, seen } => self.keeper.keep(text, seen),
                Effect::SetAside(text) => self.keeper.set_aside(text),
                Effect::Keep(setting) => {
                    if let Err(why) = memory::keep(self.configuration.as_deref(), setting) {
                        let told = format!("Until you leave only, since {why}");
                        effects.extend(update(&mut self.model, Event::Told(told)));
                    }
                }
                Effect::Place(request) => {
                    let worker = Worker::start(request, self.papers.clone(), self.sender.clone());
                    self.worker = Some(worker.context("there is no thread for the solver")?);
                }
                Effect::StopPlacing(number) => {
                    if let Some(worker) = &self.worker {
                        worker.stop(number);
                    }
                }
                Effect::Quit => return Ok(Flow::Leave),
                Effect::Suspend => self.suspend(taken)?,
                Effect::Copy(text) => execute!(stdout(), CopyToClipboard::to_clipboard_from(text))?,
                Effect::AskTime => {
                    effects.extend(update(&mut self.model, Event::Time(clock::moment())));
                }
                Effect::Bell => {
                    stdout().write_all(b"\x07")?;
                    stdout().flush()?;
                }
            }
        }
        Ok(Flow::On)
    }

    fn suspend(&mut self, taken: &mut Taken) -> Result<()> {
        terminal::give_back();
        inputs::stop()?;
        self.again(taken)
    }

    fn again(&mut self, taken: &mut Taken) -> Result<()> {
        taken.again()?;
        let (width, height) = crossterm::terminal::size()?;
        update(&mut self.model, Event::Resize { width, height });
        Ok(())
    }

    /// What is left behind, once all is on disk that can be.
    fn closed(self) -> Closed {
        let signal = self.signal;
        let Some(left) = self.keeper.close() else {
            return Closed { edited: true, unsaved: None, signal };
        };
        Closed { edited: left.is_edited, unsaved: left.unsaved, signal }
    }
}

/// What a panic leaves behind can only be seen from outside, so debug builds, which nobody is given,
/// panic at the first event when a test asks for it.
#[cfg(debug_assertions)]
fn panic_for_a_test() {
    assert!(std::env::var_os("AMPWALK_TEST_PANIC").is_none(), "a test asked for this");
}
