//! The views: one file a region of the screen. Drawing changes nothing and survives any size.

mod ask;
pub mod board;
pub(crate) mod compare;
mod entries;
pub mod explanation;
pub mod findings;
mod frame;
mod layer;
pub(crate) mod moves;
pub mod papers;
mod phrase;
mod placing;
pub mod plot;
pub mod problems;
#[cfg(test)]
pub(crate) mod sample;
mod sheet;
pub mod shoot;
pub mod trip;
pub mod walk;

use ampwalk_core::assess::{Finding, Subject};
use ampwalk_core::explain::Topic;
use ampwalk_core::network::{HeadAt, SocketAt};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::layer::Layer;
use crate::matches;
use crate::model::{Model, Screen};
use crate::widget::list::Places;
use crate::widget::text::is_marked;

/// What a place on the screen stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// A screen's name, by the id of its command.
    Screen(&'static str),
    /// A word of the key bar, by the id of its command.
    Command(&'static str),
    /// A head.
    Head(HeadAt),
    /// A socket.
    Socket(SocketAt),
    /// A floor's line, by its page.
    Page(usize),
    /// A row of the list on top.
    Row(usize),
}

/// Where everything stands that can be clicked; what was drawn last is on top.
#[derive(Clone, Debug, Default)]
pub struct Hits {
    places: Vec<(Rect, Option<Target>)>,
}

impl Hits {
    /// Notes a place.
    pub fn add(&mut self, area: Rect, target: Target) {
        self.places.push((area, Some(target)));
    }

    /// Notes the rows of a list.
    pub fn add_rows(&mut self, rows: Places) {
        self.places.extend(rows.into_iter().map(|(row, area)| (area, Some(Target::Row(row)))));
    }

    /// Notes that an area covers all that is under it.
    pub fn cover(&mut self, area: Rect) {
        self.places.push((area, None));
    }

    /// What is at a place.
    #[must_use]
    pub fn at(&self, column: u16, row: u16) -> Option<Target> {
        let here = Position::new(column, row);
        self.places.iter().rev().find(|(area, _)| area.contains(here)).and_then(|(_, target)| *target)
    }

    /// Where the sockets stand.
    pub fn sockets(&self) -> impl Iterator<Item = (SocketAt, Rect)> {
        self.places.iter().filter_map(|(area, target)| match target {
            Some(Target::Socket(socket)) => Some((*socket, *area)),
            _ => None,
        })
    }
}

/// Draws everything, and says where what can be clicked stands.
pub fn draw(model: &Model, area: Rect, buffer: &mut Buffer) -> Hits {
    let area = area.intersection(buffer.area);
    let mut hits = Hits::default();
    if area.is_empty() {
        return hits;
    }
    let body = frame::draw(model, area, buffer, &mut hits);
    // What lies on top covers all of the body: what is under it would be drawn for nobody.
    match model.layers.last() {
        Some(Layer::Placing(placing)) => {
            // The floor stays in sight, and cannot be clicked meanwhile.
            draw_below(model, body, buffer);
            hits.cover(body);
            placing::draw(model, placing, body, buffer);
        }
        Some(over) => layer::draw(model, over, body, buffer, &mut hits),
        None => draw_screen(model, body, buffer, &mut hits),
    }
    frame::draw_message(model, area, buffer);
    make_inert(area, buffer);
    hits
}

/// The last gate before the terminal: whoever drew a name and forgot that it is a stranger's, no cell acts.
fn make_inert(area: Rect, buffer: &mut Buffer) {
    for at in area.positions() {
        let Some(cell) = buffer.cell_mut(at) else { continue };
        let symbol = cell.symbol();
        // Most cells hold one plain letter.
        if let [b' '..=b'~'] = symbol.as_bytes() {
            continue;
        }
        if symbol.chars().any(is_marked) {
            // A mark beside a letter would push its neighbours aside.
            let letters: String = symbol.chars().filter(|c| !is_marked(*c)).collect();
            cell.set_symbol(if letters.is_empty() { "\u{fffd}" } else { &letters });
        }
    }
}

/// What lies under the topmost layer, for the eye only.
fn draw_below(model: &Model, body: Rect, buffer: &mut Buffer) {
    let mut unseen = Hits::default();
    let below = model.layers.len().checked_sub(2).and_then(|at| model.layers.get(at));
    match below {
        Some(layer) => layer::draw(model, layer, body, buffer, &mut unseen),
        None => draw_screen(model, body, buffer, &mut unseen),
    }
}

fn draw_screen(model: &Model, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    match model.screen {
        Screen::Walk => hits.add_rows(walk::draw(&model.scene(), body, buffer)),
        Screen::Board => hits.add_rows(board::draw(&model.scene(), body, buffer)),
        Screen::Plot => plot::draw(model, body, buffer, hits),
        Screen::Shoot => hits.add_rows(shoot::draw(&model.scene(), body, buffer)),
        Screen::Papers => hits.add_rows(papers::draw(&model.scene(), body, buffer)),
    }
}

fn hits_of(model: &Model) -> Hits {
    let area = Rect::new(0, 0, model.size.0, model.size.1);
    let mut scratch = Buffer::empty(area);
    draw(model, area, &mut scratch)
}

/// What is at a place of the screen.
#[must_use]
pub fn target_at(model: &Model, column: u16, row: u16) -> Option<Target> {
    hits_of(model).at(column, row)
}

/// The sockets that the Plot shows, and how many other floors have a line there.
#[must_use]
pub fn sockets_in_sight(model: &Model) -> (Vec<SocketAt>, usize) {
    plot::in_sight(model, frame::body(Rect::new(0, 0, model.size.0, model.size.1)))
}

/// Where the sockets of the floor stand that is shown.
#[must_use]
pub fn socket_places(model: &Model) -> Vec<(SocketAt, Rect)> {
    hits_of(model).sockets().collect()
}

/// The last row of what has the keys, counted from 0.
#[must_use]
pub fn last_row(model: &Model) -> usize {
    let scene = model.scene();
    let rows = match model.layers.last() {
        Some(Layer::Findings(_)) => findings::rows(&scene),
        Some(Layer::Problems(_)) => problems::rows(model.document.problems()),
        Some(Layer::WhyNot(page) | Layer::Producer(page) | Layer::Traced(page) | Layer::Help(page)) => {
            return layer::last_scroll(page, frame::body(Rect::new(0, 0, model.size.0, model.size.1)));
        }
        Some(Layer::Compare(compare)) => compare.parts.len(),
        Some(Layer::Sheet(shown)) => {
            return sheet::last_scroll(shown, frame::body(Rect::new(0, 0, model.size.0, model.size.1)));
        }
        Some(Layer::Explanation { explained, .. }) => explanation::rows(&scene, explained),
        Some(Layer::Entries(_)) => crate::form::entries(&model.document.network().plan).len(),
        Some(Layer::Form { of, .. }) => model.document.fields(of).len(),
        Some(Layer::Went(question)) => trip::answer_rows(model, question),
        Some(Layer::Recovery(recovery)) => recovery.lines().len(),
        Some(Layer::Moves(moves)) => moves::rows(moves),
        Some(Layer::Placing(_)) => 1,
        Some(Layer::Ask(ask)) => ask::rows(model, ask),
        Some(Layer::Palette(prompt)) => matches::commands(prompt.input.value(), model.context_below()).len(),
        Some(Layer::Find(prompt)) => {
            matches::places(model.document.network(), model.setup, prompt.input.value()).len()
        }
        None => match model.screen {
            Screen::Walk => walk::rows(&scene),
            Screen::Board => board::rows(&scene),
            Screen::Shoot => shoot::rows(&scene),
            Screen::Papers => papers::rows(&scene),
            Screen::Plot => 1,
        },
    };
    rows.saturating_sub(1)
}

/// The numbers under the cursor of a list: of the findings, or of a screen that is one.
#[must_use]
pub fn topics(model: &Model) -> Vec<Topic> {
    let scene = model.scene();
    let one = match model.layers.last() {
        Some(Layer::Findings(list)) => findings::topic(&scene, list.row),
        Some(_) => None,
        None => match model.screen {
            Screen::Walk => walk::topic(&scene, scene.row),
            Screen::Board => board::topic(&scene, scene.row),
            Screen::Shoot => shoot::topic(&scene, scene.row),
            Screen::Papers => return papers::topics(&scene, scene.row),
            Screen::Plot => None,
        },
    };
    one.into_iter().collect()
}

/// The number that a finding is about.
#[must_use]
pub fn topic_of_finding(finding: &Finding) -> Option<Topic> {
    findings::topic_of(finding)
}

/// What the cursor of a list is on.
#[must_use]
pub fn subject(model: &Model) -> Option<Subject> {
    let scene = model.scene();
    match model.screen {
        Screen::Walk => walk::subject(&scene, scene.row),
        Screen::Board => board::subject(&scene, scene.row),
        Screen::Shoot => shoot::subject(&scene, scene.row),
        Screen::Plot | Screen::Papers => None,
    }
}
