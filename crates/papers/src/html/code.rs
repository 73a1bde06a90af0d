//! Codes for a telephone, each with its text below.

use std::fmt::Write as _;

use ampwalk_core::file::inert;
use maud::{Markup, html};

use crate::codes::{Matrix, modules};

/// White modules around a code (ISO/IEC 18004).
const MARGIN: usize = 4;

pub(super) fn codes(texts: &[String], id: &str) -> Markup {
    html! {
        @if !texts.is_empty() {
            h3 { "Codes that a telephone reads without a network" }
            "\n"
            div.codes {
                @for (place, text) in texts.iter().enumerate() {
                    @let name = format!("code {} of {}", place + 1, texts.len());
                    figure id={ (id) "-c" (place + 1) } {
                        @match modules(text) {
                            Ok(code) => (drawn(&code, &name)),
                            Err(error) => p { (error.to_string()) },
                        }
                        figcaption {
                            (name)
                            details { summary { "text of " (name) } pre { (lines(text)) } }
                        }
                    }
                    "\n"
                }
            }
            "\n"
        }
    }
}

/// Black on white in every theme, or no camera finds it.
fn drawn(code: &Matrix, name: &str) -> Markup {
    let side = code.width + 2 * MARGIN;
    html! {
        svg.code viewBox={ "0 0 " (side) " " (side) } role="img" aria-label=(name) shape-rendering="crispEdges" {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path(code)) stroke="#000" {}
        }
    }
}

/// Each row of modules as strokes as wide as a module, along its middle.
fn path(code: &Matrix) -> String {
    let mut path = String::new();
    // Where the pen is.
    let mut pen: Option<(usize, usize)> = None;
    for (x, y, count) in code.runs() {
        // Nothing that is written to memory fails.
        let _ = match pen {
            Some((end, row)) if row == y => write!(path, "m{} 0h{count}", x - end),
            _ => write!(path, "M{} {}.5h{count}", x + MARGIN, y + MARGIN),
        };
        pen = Some((x + count, y));
    }
    path
}

/// Line ends are kept, whatever else acts is shown.
fn lines(text: &str) -> String {
    text.split('\n').map(inert).collect::<Vec<_>>().join("\n")
}
