//! One step of the strike order: in lines of the main column, or on one line where there is room.

use ampwalk_core::assess::{CircuitStep, RcdStep, SetupUse, Step};
use ampwalk_core::network::{HeadAt, Link, Network};
use ampwalk_core::rule::words::number;
use ampwalk_core::unit::{Amps, MilliAmps};
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{
    State, amps, any_circuit, circuits, drops, head_name, joined, milliamps, paragraph, place, room, span,
};
use crate::view::shoot::MAIN_COLUMN;
use crate::widget::list::Focus;
use crate::widget::text::{Align, fit, line_width, pad, visible};

/// Columns of a step's number and of the blank after it.
const NUMBER: usize = 3;
/// From this many columns on, the numbers stand beside the main column.
const BESIDE: usize = MAIN_COLUMN + 34;

/// The lines of a step.
pub(super) fn lines(
    scene: &Scene<'_>,
    used: &SetupUse,
    place: usize,
    step: &Step,
    focus: Focus,
    columns: usize,
) -> Vec<Line<'static>> {
    let main = main_line(scene, used, place, step);
    let circuit = tightest_circuit(used, step).map(|part| circuit_line(scene, used, step, part));
    let rcd = tightest_rcd(used, step).map(|part| rcd_line(scene, used, part));
    let parts = [circuit, rcd].into_iter().flatten();
    let mut lines = if columns >= BESIDE {
        beside(main, parts, columns)
    } else {
        let below = parts.map(|part| fit(shifted(NUMBER - 1, part), columns));
        std::iter::once(fit(main, columns)).chain(below).collect()
    };
    if focus == Focus::Here {
        for (text, role) in more(scene, used, step) {
            lines.extend(paragraph(&text, NUMBER, columns, role, scene.theme));
        }
    }
    lines
}

fn main_line(scene: &Scene<'_>, used: &SetupUse, place: usize, step: &Step) -> Line<'static> {
    let theme = scene.theme;
    let network = scene.network;
    let socket = visible(network.sockets[step.socket].id.as_str());
    let leads = used.heads[step.head].as_ref().map_or(&[][..], |head| &head.links);
    let leads = leads_words(network, leads);
    let through = if leads.is_empty() { String::new() } else { format!(" by {leads}") };
    let hot = restrike(network, step.head).map_or(String::new(), |minutes| format!("  hot {minutes} min"));
    let (state, role) =
        if scene.is_struck(step.head) { ("  STRUCK".to_owned(), Role::Good) } else { (hot, Role::Quiet) };
    Line::from(vec![
        span(pad(&(place + 1).to_string(), NUMBER - 1, Align::Left), Role::Quiet, theme),
        Span::raw(" "),
        span(visible(network.heads[step.head].id.as_str()), Role::Heading, theme),
        span(format!("  at {socket}{through}"), Role::Text, theme),
        span(state, role, theme),
    ])
}

fn leads_words(network: &Network, links: &[Link]) -> String {
    let ids = links.iter().map(|link| match link {
        Link::Cable(at) => network.cables[*at].id.to_string(),
        Link::Block(at) => network.blocks[*at].id.to_string(),
    });
    visible(&ids.collect::<Vec<_>>().join(" + "))
}

/// Minutes that a head stays dark when it loses power hot, where it does.
fn restrike(network: &Network, head: HeadAt) -> Option<String> {
    let minutes = network.heads[head].restrike.value;
    (minutes.0 > 0.0).then(|| number(minutes.0))
}

/// The main column with the numbers beside it, on one line where they all fit.
fn beside(
    main: Line<'static>,
    parts: impl Iterator<Item = Line<'static>>,
    columns: usize,
) -> Vec<Line<'static>> {
    let main = fit(main, MAIN_COLUMN);
    let gap = MAIN_COLUMN + 1 - line_width(&main);
    let mut lines = vec![main];
    for (place, part) in parts.enumerate() {
        let Some(last) = lines.last_mut() else { break };
        let gap = if place == 0 { gap } else { 2 };
        if place > 0 && line_width(last) + gap + line_width(&part) > columns {
            lines.push(shifted(MAIN_COLUMN + 1, part));
            continue;
        }
        last.push_span(Span::raw(" ".repeat(gap)));
        last.spans.extend(part.spans);
    }
    lines.into_iter().map(|line| fit(line, columns)).collect()
}

/// A line after blanks.
fn shifted(blanks: usize, line: Line<'static>) -> Line<'static> {
    let mut spans = vec![Span::raw(" ".repeat(blanks))];
    spans.extend(line.spans);
    Line::from(spans)
}

/// Of the circuits of a step, the one with the least left.
fn tightest_circuit<'a>(used: &SetupUse, step: &'a Step) -> Option<&'a CircuitStep> {
    let left = |part: &CircuitStep| used.circuits[part.circuit].limit - part.lit.possible;
    step.circuits.iter().min_by(|a, b| left(a).total_cmp(left(b)))
}

/// Of the RCDs of a step, the one with the least left.
pub(super) fn tightest_rcd<'a>(used: &SetupUse, step: &'a Step) -> Option<&'a RcdStep> {
    let left = |part: &RcdStep| used.rcds[part.rcd].room.room.low - part.striking.possible;
    step.rcds.iter().min_by(|a, b| left(a).total_cmp(left(b)))
}

fn circuit_state(lit: Amps, possible: Amps, limit: Amps) -> Option<State> {
    if lit.is_over(limit) {
        return Some((format!("{} OVER", amps(lit - limit)), Role::Dark));
    }
    possible.is_over(limit).then(|| (format!("MAY BE {} OVER", amps(possible - limit)), Role::Risk))
}

/// `P1 9.3 of 20 A`, or `P1 2 A OVER  12 of 10 A`
fn circuit_line(scene: &Scene<'_>, used: &SetupUse, step: &Step, part: &CircuitStep) -> Line<'static> {
    let theme = scene.theme;
    let limit = used.circuits[part.circuit].limit;
    let id = visible(scene.network.circuits[part.circuit].id.as_str());
    if !part.certain {
        let reach = scene.network.reach_of(step.socket);
        let words = format!("NOT TRACED: {}", any_circuit(scene.network, &reach.candidates));
        return Line::from(span(words, Role::Risk, theme));
    }
    let mut spans = vec![span(format!("{id} "), Role::Text, theme)];
    if let Some((words, role)) = circuit_state(part.lit.certain, part.lit.possible, limit) {
        spans.push(span(words, role, theme));
        spans.push(Span::raw("  "));
    }
    spans.push(span(format!("{} of {}", number(part.lit.certain.0), amps(limit)), Role::Text, theme));
    Line::from(spans)
}

/// `RA MAY DROP 7 in 10  13.5 mA, 3.5 lit`
fn rcd_line(scene: &Scene<'_>, used: &SetupUse, part: &RcdStep) -> Line<'static> {
    let theme = scene.theme;
    let room = used.rcds[part.rcd].room.room;
    let id = visible(scene.network.rcds[part.rcd].id.as_str());
    let (peak, lit) = (part.striking.possible, part.lit.possible);
    let after = if lit == peak { String::new() } else { format!(", {} lit", number(lit.0)) };
    let (state, role) = state_of(peak, lit, room);
    Line::from(vec![
        span(format!("{id} "), Role::Text, theme),
        span(state, role, theme),
        span(format!("  {}{after}", milliamps(peak)), Role::Text, theme),
    ])
}

fn state_of(peak: MilliAmps, lit: MilliAmps, room: ampwalk_core::physics::residual::Room) -> State {
    let state = drops(peak, room);
    if state.1 == Role::Risk && lit.is_over(room.low) {
        return ("MAY DROP ANY TIME".to_owned(), Role::Dark);
    }
    state
}

/// What may drop in the step, with the odds, and what goes dark with it: said before it is struck.
fn before_it_is_struck(scene: &Scene<'_>, used: &SetupUse, step: &Step) -> Vec<(String, Role)> {
    let network = scene.network;
    if scene.is_struck(step.head) {
        return Vec::new();
    }
    let warning = |part: &RcdStep| {
        let room = used.rcds[part.rcd].room.room;
        let (state, role) = state_of(part.striking.possible, part.lit.possible, room);
        (role != Role::Good).then(|| {
            let dark = circuits(network, &network.rcds[part.rcd].darkens);
            let id = &network.rcds[part.rcd].id;
            (format!("before you strike it: {id} {}; dark then: {dark}", state.to_lowercase()), role)
        })
    };
    step.rcds.iter().filter_map(warning).collect()
}

/// What the row under the cursor tells besides.
fn more(scene: &Scene<'_>, used: &SetupUse, step: &Step) -> Vec<(String, Role)> {
    let network = scene.network;
    let node = &network.heads[step.head];
    let head = used.heads[step.head].as_ref();
    let running = head.map_or_else(String::new, |head| {
        if head.start.is_over(head.amps) {
            format!("{}, {} while it runs up", amps(head.amps), amps(head.start))
        } else {
            amps(head.amps)
        }
    });
    let leak = node.leak.value.high + node.strike.value.high;
    let leaks = format!("leaks {}, {} lit", milliamps(leak), number(node.leak.value.high.0));
    let socket = place(network, &network.sockets[step.socket].place);
    let mut told = before_it_is_struck(scene, used, step);
    told.push((joined([head_name(network, step.head), socket, running, leaks]), Role::Text));
    for part in &step.rcds {
        let room_left = &used.rcds[part.rcd].room;
        let proof = if room_left.tested { "ramp-tested" } else { "not ramp-tested, by its rating" };
        let may = if part.certain { "" } else { "may be behind " };
        told.push((
            format!(
                "{may}{}: {} while it strikes, {} lit, room {}, {proof}",
                network.rcds[part.rcd].id,
                milliamps(part.striking.possible),
                number(part.lit.possible.0),
                room(room_left.room)
            ),
            Role::Quiet,
        ));
    }
    if let Some(minutes) = restrike(network, step.head) {
        let words = format!("if it loses power hot: dark for {minutes} min before it strikes again");
        told.push((words, Role::Quiet));
    }
    told
}
