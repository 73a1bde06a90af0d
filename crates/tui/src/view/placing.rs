//! A band at the foot of the screen while heads are being put on: how far it is, and how to stop.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::model::Model;
use crate::paint;
use crate::placing::{Placing, State, Wish};
use crate::text::{count, wrap};
use crate::theme::Role;

/// Draws it over the screen.
pub(super) fn draw(model: &Model, placing: &Placing, body: Rect, buffer: &mut Buffer) {
    let room = usize::from(body.width).saturating_sub(2).max(1);
    let mut lines: Vec<(String, Role)> = Vec::new();
    for (words, role) in
        [(what(placing), Role::Heading), (so_far(placing), Role::Text), (after(placing), Role::Quiet)]
    {
        lines.extend(wrap(&words, room).into_iter().map(|line| (line, role)));
    }
    let most = usize::from(body.height).saturating_sub(1).max(1);
    lines.truncate(most);
    let height = u16::try_from(lines.len() + 1).unwrap_or(u16::MAX);
    let (_, band) = paint::split_bottom(body, height);
    paint::clear(band, model.theme.style(Role::Text), buffer);
    paint::rule(band, 0, model.theme.style(Role::Frame), buffer);
    let first = u16::from(usize::from(band.height) > lines.len());
    for (at, (line, role)) in lines.iter().enumerate() {
        let at = u16::try_from(at).unwrap_or(u16::MAX).saturating_add(first);
        paint::text(band, at, &format!(" {line}"), model.theme.style(*role), buffer);
    }
}

fn what(placing: &Placing) -> String {
    let what = match placing.request.wish {
        Wish::Rest => "PUTTING ON the heads that are left",
        Wish::Few => "WORKING OUT sockets for all heads, with few moves",
        Wish::Afresh => "WORKING OUT sockets for all heads, afresh",
        Wish::Sheet { .. } => "MAKING the sheet",
        Wish::HandOut => "WRITING the sheets beside the plan",
        Wish::OnTheHouse => "WORKING OUT whether the house carries all heads without a generator",
    };
    match placing.state {
        State::Working => what.to_owned(),
        State::Enough => format!("{what}: stopping, the best so far is taken"),
    }
}

/// `12 of 15 heads have a socket so far, nothing is proven yet, 3.2 s`
fn so_far(placing: &Placing) -> String {
    let Some(now) = &placing.progress else { return "looking at every socket".to_owned() };
    let seconds = now.elapsed.as_secs_f64();
    format!("{} of {} placed so far, {}, {seconds:.1} s", now.placed, count(now.heads, "head"), now.proof())
}

/// What the two ways out come to.
fn after(placing: &Placing) -> String {
    let best = match placing.request.wish {
        Wish::Rest => "enter puts on the best so far",
        Wish::Few | Wish::Afresh => "enter shows the best so far",
        Wish::OnTheHouse => "enter shows what is known so far",
        Wish::Sheet { .. } | Wish::HandOut => "enter takes the producer's answer as far as it is known",
    };
    format!("The plan is as it was until then. {best}; esc stops and changes nothing.")
}
