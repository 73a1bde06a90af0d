//! One socket on the floor: what is on it, or what would happen there to the head in hand.

use ampwalk_core::assess::{Consequence, Outlook, Subject};
use ampwalk_core::network::{At, CircuitAt, Dense, SetupAt, SocketAt};
use ampwalk_core::plan::TestOutcome;
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::number;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};
use ratatui::text::Span;

use crate::model::Model;
use crate::paint;
use crate::plot::{Focus, Held, heads_at};
use crate::text::{clip, pad, width};
use crate::theme::Role;
use crate::words;

/// Cells of a circuit's id and its amps, at the least that is worth the place.
const LOAD: usize = 12;
/// Cells of a circuit's bar, the least and the most.
const BAR: std::ops::RangeInclusive<usize> = 5..=10;

pub(super) fn draw(model: &Model, roles: &Roles, socket: SocketAt, area: Rect, buffer: &mut Buffer) {
    let Some(setup) = model.setup else { return };
    match &model.plot.held {
        Some(held) => draw_in_hand(model, held, socket, area, buffer),
        None => draw_at_rest(model, setup, roles, socket, area, buffer),
    }
}

/// The role of each circuit in view: that of its worst finding, if it is more than a note.
pub(super) struct Roles(Dense<CircuitAt, Role>);

impl Roles {
    pub(super) fn of(model: &Model) -> Self {
        let mut roles = Dense::filled(model.document.network().circuits.len(), Role::BarUsed);
        let findings = model.setup.map(|setup| model.document.assessment().findings_in(setup));
        // Worst first, so that the first one to reach a circuit is its worst.
        for finding in findings.into_iter().flatten().filter(|finding| finding.severity >= Severity::Risk) {
            if let Subject::Circuit(circuit) = finding.subject
                && roles[circuit] == Role::BarUsed
            {
                roles[circuit] = words::severity_role(finding.severity);
            }
        }
        Self(roles)
    }
}

fn mark(model: &Model, is_chosen: bool) -> (&'static str, Style) {
    if is_chosen { ("▸", model.theme.style(Role::Cursor)) } else { (" ", model.theme.style(Role::Heading)) }
}

fn draw_at_rest(
    model: &Model,
    setup: SetupAt,
    roles: &Roles,
    socket: SocketAt,
    area: Rect,
    buffer: &mut Buffer,
) {
    let network = model.document.network();
    let node = &network.sockets[socket];
    let at_cursor = model.plot.focus == Focus::Sockets && model.plot.socket == Some(socket);
    let (mark, style) = mark(model, at_cursor);
    let cells = usize::from(area.width);
    let quiet = model.theme.style(Role::Quiet);
    let heads: Vec<String> =
        heads_at(network, setup, socket).map(|head| network.head_id(head).to_string()).collect();
    let heads = if heads.is_empty() { String::new() } else { format!("[{}]", heads.join(" ")) };
    let id = format!("{mark}{}", node.id);
    let own_heads = if area.height > 1 { "" } else { heads.as_str() };
    let mut spans = vec![Span::styled(id.clone(), style)];
    let room = cells.saturating_sub(width(&id));
    let wanted = width(own_heads) + usize::from(!own_heads.is_empty());
    match test_word(node.test) {
        Some((word, role)) => {
            let word = clip(&format!(" {word}"), room);
            let left = room.saturating_sub(width(&word));
            spans.push(Span::styled(word, model.theme.style(role)));
            if node.test == TestOutcome::Untested && left >= LOAD + wanted {
                spans.extend(load(model, setup, roles, socket, [left, wanted]));
            }
        }
        None => spans.extend(load(model, setup, roles, socket, [room, wanted])),
    }
    let taken: usize = spans.iter().map(|span| width(&span.content)).sum();
    if !own_heads.is_empty() {
        let words = format!(" {}", some_of(own_heads, cells.saturating_sub(taken + 1)));
        spans.push(Span::styled(words, model.theme.style(Role::Heading)));
    }
    paint::line(area, 0, spans, buffer);
    if area.height > 1 {
        draw_second(model, socket, &heads, area, buffer);
    }
    if area.height > 2 {
        let outlet = network.plan.sockets.get_index(socket.get()).and_then(|(_, plan)| plan.outlet.clone());
        let outlet = outlet.map_or_else(|| network.region.outlet.to_string(), |outlet| outlet.to_string());
        let words = format!("    {outlet}, {}", crate::text::count(node.ways.value as usize, "way"));
        paint::text(area, 2, &words, quiet, buffer);
    }
}

/// The circuit of a socket and what it carries, in `room` cells of which the heads want some: with a
/// bar where there is place for one, or with the word for what is the matter.
fn load(
    model: &Model,
    setup: SetupAt,
    roles: &Roles,
    socket: SocketAt,
    [room, wanted]: [usize; 2],
) -> Vec<Span<'static>> {
    let network = model.document.network();
    let quiet = model.theme.style(Role::Quiet);
    let Some(circuit) = network.sockets[socket].circuit else {
        return vec![Span::styled(clip(" circuit ?", room), quiet)];
    };
    let used = &model.document.assessment().setups[setup].circuits[circuit];
    let name = format!(" {}", network.circuit_id(circuit));
    let mut amps = format!(" {} A", number(used.amps.0));
    if width(&name) + width(&amps) + wanted > room {
        amps = format!(" {}A", number(used.amps.0));
    }
    let spare = room.saturating_sub(width(&name) + width(&amps) + wanted);
    let role = roles.0[circuit];
    let mut spans = vec![Span::styled(name, quiet)];
    let word = match role {
        Role::BarUsed => "",
        Role::Risk => " tight",
        _ => " OVER",
    };
    if !word.is_empty() && spare >= width(word) {
        spans.push(Span::styled(word, model.theme.style(role)));
    } else if spare > *BAR.start() {
        spans.push(Span::raw(" "));
        let cells = (spare - 1).min(*BAR.end());
        spans.extend(super::bars::bar(model, used.amps.0 / used.limit.0.max(f64::EPSILON), cells, role));
    }
    spans.push(Span::styled(amps, if role == Role::BarUsed { quiet } else { model.theme.style(role) }));
    spans
}

/// Ids of heads in so many cells, with a count of those that do not fit.
fn some_of(heads: &str, cells: usize) -> String {
    if width(heads) <= cells {
        return heads.to_owned();
    }
    let ids: Vec<&str> = heads.trim_matches(['[', ']']).split(' ').collect();
    for shown in (0..ids.len()).rev() {
        let words = format!("{} +{}", ids[..shown].join(" "), ids.len() - shown);
        let words = format!("[{}]", words.trim_start());
        if width(&words) <= cells {
            return words;
        }
    }
    clip(heads, cells)
}

/// The heads on it, and what the wall says where the trace says another thing.
fn draw_second(model: &Model, socket: SocketAt, heads: &str, area: Rect, buffer: &mut Buffer) {
    let network = model.document.network();
    let node = &network.sockets[socket];
    let plan = network.plan.sockets.get_index(socket.get()).map(|(_, plan)| plan);
    let label = plan.and_then(|plan| plan.label.as_ref());
    let traced = node.circuit.map(|circuit| network.circuit_id(circuit).as_str());
    let mut spans = vec![Span::styled(format!("    {heads}"), model.theme.style(Role::Heading))];
    if let (Some(label), Some(traced)) = (label, traced)
        && label != traced
    {
        // A label that is cut is another label: rather fewer words.
        let room = usize::from(area.width).saturating_sub(width(heads) + 4);
        let words = [format!("  wall says {label}"), format!("  says {label}")];
        let words = words.into_iter().find(|words| width(words) <= room);
        let words = words.unwrap_or_else(|| clip(&format!("  says {label}"), room));
        spans.push(Span::styled(words, model.theme.style(Role::Risk)));
    }
    if let Some(ban) = plan.and_then(|plan| plan.ban.as_ref()) {
        spans.push(Span::styled(format!("  BANNED: {ban}"), model.theme.style(Role::Danger)));
    }
    paint::line(area, 1, spans, buffer);
}

/// A tester outcome that is not ok, in a word or two.
fn test_word(test: TestOutcome) -> Option<(&'static str, Role)> {
    Some(match test {
        TestOutcome::Ok => return None,
        TestOutcome::Untested => ("untested", Role::Risk),
        TestOutcome::Reversed => ("REVERSED", Role::Danger),
        TestOutcome::NoEarth => ("NO EARTH", Role::Danger),
        TestOutcome::NoNeutral => ("NO NEUTRAL", Role::Danger),
        TestOutcome::Dead => ("DEAD", Role::Danger),
        TestOutcome::ActiveOnEarth => ("LIVE EARTH", Role::Danger),
        TestOutcome::Odd => ("ODD TEST", Role::Danger),
    })
}

fn draw_in_hand(model: &Model, held: &Held, socket: SocketAt, area: Rect, buffer: &mut Buffer) {
    let network = model.document.network();
    let Some(there) = held.at(socket) else { return };
    let is_chosen = held.target() == Some(socket);
    let (mark, style) = mark(model, is_chosen);
    let here = if held.from == Some(socket) { "*" } else { "" };
    let id = format!("{mark}{}{here} ", network.socket_id(socket));
    let room = usize::from(area.width).saturating_sub(width(&id));
    let role = words_role(there);
    let weight = if there.outlook == Outlook::Fits { Modifier::BOLD } else { Modifier::empty() };
    let words_style = model.theme.style(role).add_modifier(weight);
    let spans = vec![Span::styled(id, style), Span::styled(short_words(there, room), words_style)];
    paint::line(area, 0, spans, buffer);
    if area.height > 1 {
        let words = format!("    {}", details(model, there));
        paint::text(area, 1, &pad(&words, usize::from(area.width)), model.theme.style(Role::Quiet), buffer);
    }
    if area.height > 2 {
        let finding =
            there.findings.first().map(|finding| format!("    {}", words::told(network, &finding.text)));
        paint::text(area, 2, &finding.unwrap_or_default(), model.theme.style(Role::Quiet), buffer);
    }
}

/// The words of an outlook, with what fits in capitals: the eye looks for it.
pub(super) fn outlook_words(there: &Consequence) -> String {
    match there.outlook {
        Outlook::Fits => there.words.replacen("fits", "FITS", 1),
        _ => there.words.clone(),
    }
}

/// The words of an outlook in so many cells: what matters less goes first.
fn short_words(there: &Consequence, cells: usize) -> String {
    let words = outlook_words(there);
    let without_left = words.replace(" left", "");
    let amps_only = without_left.split_inclusive(" A").next().unwrap_or_default().to_owned();
    let shorter = [words.clone(), without_left.clone(), words.replace(" in 10", "/10"), amps_only];
    let fits = shorter.into_iter().find(|words| width(words) <= cells);
    fits.unwrap_or_else(|| clip(&without_left, cells))
}

/// What may not be done is quiet, so that what fits is seen first; what can hurt somebody is not.
pub(super) fn words_role(there: &Consequence) -> Role {
    match there.outlook {
        Outlook::Never if there.words.starts_with("NEVER") => Role::Danger,
        Outlook::Dark | Outlook::Never => Role::Quiet,
        outlook => words::outlook_role(outlook),
    }
}

/// Leads that would be taken and metres that it takes.
pub(super) fn details(model: &Model, there: &Consequence) -> String {
    let network = model.document.network();
    let ids: Vec<String> = there
        .links
        .iter()
        .map(|link| match link {
            ampwalk_core::network::Link::Cable(at) => network.cables[*at].id.to_string(),
            ampwalk_core::network::Link::Block(at) => network.blocks[*at].id.to_string(),
        })
        .collect();
    let leads = if ids.is_empty() { format!("no {}", network.region.words.lead) } else { ids.join(" + ") };
    match there.lead_needed {
        Some(metres) => format!("{leads} for {}", words::length(network, metres)),
        None => leads,
    }
}
