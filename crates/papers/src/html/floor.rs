//! A floor to scale, as inline SVG in centimetres.

mod names;

use ampwalk_core::file::inert;
use maud::{Markup, html};

use crate::drawing::{Drawing, DrawnRoom, Mark, MarkKind};

/// So many letter heights are as wide as the drawing: a screen's letters can be read.
const LETTERS: f64 = 45.0;
/// The paper is at most so many times as high as wide; a longer floor leaves some of it empty.
const HIGHEST: f64 = 1.0;
/// With more marks letters are smaller, and the drawing is larger; on a small screen it is pushed aside.
const FEW_MARKS: usize = 40;
/// How much smaller.
const SMALLER: f64 = 0.5;

pub(super) fn floor(drawing: &Drawing, id: &str) -> Markup {
    let is_dense = drawing.marks.len() > FEW_MARKS;
    html! {
        h3 id={ (id) "-name" } { (inert(&drawing.title)) ", to scale" }
        "\n"
        figure.floor {
            div.scroll tabindex="0" role="group" aria-labelledby={ (id) "-name" } {
                (Paper::of(drawing, is_dense).picture(drawing, id, is_dense))
            }
            "\n"
            figcaption {
                ul.legend {
                    @for (kind, words) in &drawing.legend { li { (key(*kind)) " " (inert(words)) } }
                    @if !drawing.leads.is_empty() {
                        li { (lead_key()) " lead, drawn straight; laid along walls it is longer" }
                    }
                }
                @if !drawing.not_drawn.is_empty() {
                    p { "Not drawn, place not known: " (told(&drawing.not_drawn)) "." }
                }
            }
        }
        "\n"
    }
}

fn told(names: &[String]) -> String {
    names.iter().map(|name| inert(name)).collect::<Vec<_>>().join(", ")
}

/// The sheet of paper that a floor is drawn on, in metres of the building.
struct Paper {
    width: f64,
    height: f64,
    /// How high a letter is.
    letter: f64,
}

/// Centimetres, without a fraction.
fn cm(metres: f64) -> String {
    // Adding 0 makes a negative zero a plain one.
    format!("{:.0}", (metres * 100.0).round() + 0.0)
}

impl Paper {
    fn of(drawing: &Drawing, is_dense: bool) -> Self {
        let (across, down) = drawing.size;
        let width = across.max(down / HIGHEST);
        let letter = width / LETTERS * if is_dense { SMALLER } else { 1.0 };
        // Below the floor there is room for the bar and its words.
        Self { width, height: down + 3.0 * letter, letter }
    }

    fn picture(&self, drawing: &Drawing, id: &str, is_dense: bool) -> Markup {
        let stroke = self.letter / 12.0;
        let places = names::places(drawing, self.letter);
        let class = if is_dense { "plan dense" } else { "plan" };
        html! {
            svg class=(class) viewBox={ "0 0 " (cm(self.width)) " " (cm(self.height)) } role="img"
                aria-labelledby={ (id) "-title " (id) "-desc" } font-size=(cm(self.letter))
                stroke-width=(cm(stroke)) {
                title id={ (id) "-title" } { (inert(&drawing.title)) }
                desc id={ (id) "-desc" } { (described(drawing)) }
                "\n"
                @for (room, at) in drawing.rooms.iter().zip(places.rooms) { (self.room(room, at)) "\n" }
                @for lead in &drawing.leads {
                    line.lead x1=(cm(lead.from.0)) y1=(cm(lead.from.1)) x2=(cm(lead.to.0)) y2=(cm(lead.to.1)) {}
                    "\n"
                }
                @for mark in &drawing.marks { (shape(mark.kind, mark.at, self.letter / 2.0)) "\n" }
                @for (mark, at) in drawing.marks.iter().zip(places.marks) {
                    (self.named(mark, at))
                    "\n"
                }
                (self.bar(drawing))
            }
        }
    }

    fn room(&self, room: &DrawnRoom, name_at: (f64, f64)) -> Markup {
        let ((x, y), (name_x, name_y)) = (room.corner, name_at);
        html! {
            rect.room x=(cm(x)) y=(cm(y)) width=(cm(room.size.0)) height=(cm(room.size.1)) {}
            text.name x=(cm(name_x)) y=(cm(name_y + self.letter * 0.35)) { (inert(&room.name)) }
        }
    }

    fn named(&self, mark: &Mark, (x, y): (f64, f64)) -> Markup {
        let bold = (mark.kind == MarkKind::Head).then_some("head");
        html! { text class=[bold] x=(cm(x)) y=(cm(y + self.letter * 0.35)) { (inert(&mark.name)) } }
    }

    /// The bar that shows the scale.
    fn bar(&self, drawing: &Drawing) -> Markup {
        let (metres, words) = &drawing.scale;
        let (left, y) = (self.letter, drawing.size.1 + 1.5 * self.letter);
        let (right, tick) = (left + metres, self.letter / 2.0);
        let path = format!(
            "M{0} {2}V{3}M{0} {4}H{1}M{1} {2}V{3}",
            cm(left),
            cm(right),
            cm(y - tick),
            cm(y + tick),
            cm(y)
        );
        html! {
            path.bar d=(path) {}
            text x=(cm(right + tick)) y=(cm(y + self.letter * 0.35)) { (inert(words)) }
        }
    }
}

/// What is to be seen, in words.
fn described(drawing: &Drawing) -> String {
    let heads = drawing.marks.iter().filter(|mark| mark.kind == MarkKind::Head).count();
    let rooms: Vec<String> = drawing.rooms.iter().map(|room| inert(&room.name)).collect();
    let within = if rooms.is_empty() { String::new() } else { format!(" Rooms: {}.", rooms.join(", ")) };
    format!(
        "{} sockets, {heads} heads, {} leads.{within} The tables say which is plugged in where.",
        drawing.marks.len() - heads,
        drawing.leads.len()
    )
}

/// A mark, `half` as wide each way: squares are sockets, filled, empty or crossed out; circles are heads.
fn shape(kind: MarkKind, (x, y): (f64, f64), half: f64) -> Markup {
    let square = |class: &str| {
        html! {
            rect class=(class) x=(cm(x - half)) y=(cm(y - half)) width=(cm(2.0 * half)) height=(cm(2.0 * half)) {}
        }
    };
    let (left, right, top, bottom) = (cm(x - half), cm(x + half), cm(y - half), cm(y + half));
    match kind {
        MarkKind::Used => square("used"),
        MarkKind::Free => square("free"),
        MarkKind::Forbidden => html! {
            (square("free"))
            path.cross d={ "M" (left) " " (top) "L" (right) " " (bottom) "M" (left) " " (bottom) "L" (right) " " (top) } {}
        },
        MarkKind::Head => html! { circle.free cx=(cm(x)) cy=(cm(y)) r=(cm(half)) {} },
    }
}

/// A mark beside the words for it.
fn key(kind: MarkKind) -> Markup {
    html! {
        svg.key viewBox="0 0 100 100" aria-hidden="true" stroke-width="10" { (shape(kind, (0.5, 0.5), 0.4)) }
    }
}

fn lead_key() -> Markup {
    html! {
        svg.key viewBox="0 0 100 100" aria-hidden="true" stroke-width="10" {
            line.lead x1="0" y1="50" x2="100" y2="50" {}
        }
    }
}
