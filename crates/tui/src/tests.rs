//! Scripts of keys against the model, and drawings at many sizes.

mod choices;
mod colour;
mod drawing;
mod edits;
mod entries;
mod flows;
mod letters;
mod moving;
mod outside;
mod over;
mod papers;
mod placing;
mod producer;
mod storm;
mod traced;
mod trip;

use ampwalk_core::solve::Effort;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::effect::Effect;
use crate::event::Event;
use crate::fixture;
use crate::model::{Model, Opening, Origin};
use crate::placing::{Request, answer, work_out};
use crate::theme::Theme;
use crate::update::update;
use crate::view;

/// The screens on a plan, and what the host was told.
struct Desk {
    model: Model,
    effects: Vec<Effect>,
    /// The question that the solver has not answered yet.
    question: Option<Request>,
    /// Whether the solver answers at once, or when it is told to.
    solver: Solver,
}

/// When the solver of a desk answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Solver {
    AtOnce,
    WhenTold,
}

/// Enough for small plans, and quick in a build for tests.
const QUICK: Effort = Effort { rounds: 200, nodes: 2_000, prover: None };

impl Desk {
    fn of(text: &str) -> Self {
        Self::opened(text, (80, 24), Origin::File)
    }

    fn house() -> Self {
        Self::of(fixture::HOUSE)
    }

    fn opened(text: &str, size: (u16, u16), origin: Origin) -> Self {
        let opening = Opening {
            text: text.to_owned(),
            file_name: "house.toml".to_owned(),
            origin,
            theme: Theme::Dark,
            size,
            ..Opening::default()
        };
        Self::with(Model::open(opening))
    }

    fn with(model: Model) -> Self {
        Self { model, effects: Vec::new(), question: None, solver: Solver::AtOnce }
    }

    fn event(&mut self, event: Event) {
        let effects = update(&mut self.model, event);
        for effect in &effects {
            if let Effect::Place(request) = effect {
                self.question = Some(Request { effort: QUICK, ..request.clone() });
            }
        }
        self.effects.extend(effects);
        if self.solver == Solver::AtOnce {
            self.answer();
        }
    }

    /// The solver answers what it was asked, if it was.
    fn answer(&mut self) {
        let Some(request) = self.question.take() else { return };
        self.event(answer(request, &mut |_| true));
    }

    /// Presses keys by their names, with spaces between.
    fn keys(&mut self, names: &str) -> &mut Self {
        for name in names.split_whitespace() {
            self.event(Event::Key(key(name)));
        }
        self
    }

    /// Types a text letter by letter.
    fn types(&mut self, text: &str) -> &mut Self {
        for c in text.chars() {
            self.event(Event::Key(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE)));
        }
        self
    }

    fn mouse(&mut self, kind: MouseEventKind, column: u16, row: u16) {
        self.event(Event::Mouse(MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE }));
    }

    /// What is on the screen, row by row.
    fn screen(&self) -> String {
        let area = Rect::new(0, 0, self.model.size.0, self.model.size.1);
        let mut buffer = Buffer::empty(area);
        view::draw(&self.model, area, &mut buffer);
        let mut text = String::new();
        for y in 0..area.height {
            let symbols: String = (0..area.width)
                .filter_map(|x| buffer.cell((x, y)))
                .map(ratatui::buffer::Cell::symbol)
                .collect();
            text.push_str(symbols.trim_end());
            text.push('\n');
        }
        text
    }

    fn says(&self, words: &str) {
        assert!(self.model.message.text.contains(words), "{:?} has no {words:?}", self.model.message.text);
    }

    fn shows(&self, words: &str) {
        let screen = self.screen();
        assert!(screen.contains(words), "no {words:?} in\n{screen}");
    }

    /// Where a head is plugged in, in the setup that is shown.
    fn socket_of(&self, head: &str) -> Option<String> {
        let network = self.model.document.network();
        let placed = network.setups[self.model.setup?].placed[network.head(head)?].as_ref()?;
        Some(network.socket_id(placed.socket).to_string())
    }

    fn in_hand(&self) -> Option<(String, String)> {
        let held = self.model.plot.held.as_ref()?;
        let network = self.model.document.network();
        let chosen = network.socket_id(held.chosen()?.socket).to_string();
        Some((network.head_id(held.head).to_string(), chosen))
    }
}

fn key(name: &str) -> KeyEvent {
    let (name, modifiers) = match name.strip_prefix("ctrl-") {
        Some(rest) => (rest, KeyModifiers::CONTROL),
        None => (name, KeyModifiers::NONE),
    };
    let code = match name {
        "enter" => KeyCode::Enter,
        "esc" => KeyCode::Esc,
        "tab" => KeyCode::Tab,
        "backtab" => KeyCode::BackTab,
        "up" => KeyCode::Up,
        "down" => KeyCode::Down,
        "left" => KeyCode::Left,
        "right" => KeyCode::Right,
        "pageup" => KeyCode::PageUp,
        "pagedown" => KeyCode::PageDown,
        "home" => KeyCode::Home,
        "end" => KeyCode::End,
        "backspace" => KeyCode::Backspace,
        letter => KeyCode::Char(letter.chars().next().unwrap()),
    };
    KeyEvent::new(code, modifiers)
}
