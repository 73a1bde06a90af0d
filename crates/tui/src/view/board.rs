//! The Board: supplies, lines, RCDs and circuits as a tree, with what is used and what is free.

mod detail;
mod tree;

use ampwalk_core::assess::{CircuitUse, RcdUse, SetupUse, Subject};
use ampwalk_core::explain::Topic;
use ampwalk_core::network::{CircuitAt, SocketAt, SupplyAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::rule::words::number;
use ampwalk_core::unit::{Amps, MilliAmps};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::{Role, Theme};
use crate::view::phrase::{
    State, amps, circuit_state, milliamps, paragraph, rcd_state, room, setup_name, span,
};
use crate::widget::bar::{Gauge, bar};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{Align, fit, line_width, pad, truncate, visible};
use tree::{Branch, Placed};

/// Blanks for each level of the tree.
const INDENT: usize = 2;
/// Under this many columns a branch takes two lines.
const ONE_LINE: usize = 64;
/// Columns of a state, of an amount, and of what is left.
const STATE: usize = 17;
const AMOUNT: usize = 21;
const LEFT: usize = 12;
/// The narrowest and the widest bar, and the widest name beside it.
const LEAST_BAR: usize = 6;
const WIDEST_BAR: usize = 24;
const WIDEST_NAME: usize = 34;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(scene: &Scene<'_>) -> usize {
    branches(scene).count()
}

/// The number behind a row that can be explained.
#[must_use]
pub fn topic(scene: &Scene<'_>, row: usize) -> Option<Topic> {
    match branches(scene).nth(row)?.branch {
        Branch::Supply(at) | Branch::Line(at, _) => Some(Topic::SupplyLine(at)),
        Branch::Rcd(at) | Branch::Plugged(at, _) => Some(Topic::RcdPeak(at)),
        Branch::Circuit(at) => Some(Topic::CircuitAmps(at)),
        Branch::Heading(_) | Branch::Feed(_) | Branch::Untraced(_) => None,
    }
}

/// What a row is about.
#[must_use]
pub fn subject(scene: &Scene<'_>, row: usize) -> Option<Subject> {
    match branches(scene).nth(row)?.branch {
        Branch::Supply(at) | Branch::Line(at, _) => Some(Subject::Supply(at)),
        Branch::Rcd(at) | Branch::Plugged(at, _) => Some(Subject::Rcd(at)),
        Branch::Circuit(at) => Some(Subject::Circuit(at)),
        Branch::Feed(at) | Branch::Untraced(at) => Some(Subject::Socket(at)),
        Branch::Heading(_) => None,
    }
}

fn branches(scene: &Scene<'_>) -> impl Iterator<Item = Placed> {
    tree::tree(scene.network).into_iter().filter(|placed| stop(placed) == Stop::Row)
}

const fn stop(placed: &Placed) -> Stop {
    match placed.branch {
        Branch::Heading(_) => Stop::Between,
        _ => Stop::Row,
    }
}

/// Draws it.
pub fn draw(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> Places {
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let tree = tree::tree(scene.network);
    if tree.is_empty() {
        let text = "No supply and no circuit yet. Next: :new supply, such as house mains 63A; then :new \
                    rcd, RA 30mA; then n here for each breaker on the board: P1 house C20 RA fridge* \
                    0.65A.";
        list::draw_ends(
            paragraph(text, 0, columns, Role::Text, scene.theme),
            vec![],
            scene.theme,
            area,
            buffer,
        );
        return Places::new();
    }
    let top = vec![trouble(scene, columns)];
    let body = list::draw_ends(top, Vec::new(), scene.theme, area, buffer);
    let stops: Vec<Stop> = tree.iter().map(stop).collect();
    let lines = |at: usize, focus: Focus, columns: usize| branch_lines(scene, tree[at], focus, columns);
    list::draw(&stops, scene.row, lines, scene.theme, body, buffer)
}

/// One line that names all trouble.
fn trouble(scene: &Scene<'_>, columns: usize) -> Line<'static> {
    let theme = scene.theme;
    let Some((setup, used)) = scene.setup.zip(scene.used()) else {
        return Line::from(span("No setup yet: nothing is on.", Role::Quiet, theme));
    };
    let network = scene.network;
    let supplies = used.supplies.iter().map(|(at, supply)| {
        (network.supplies[at].id.to_string(), supply_state(scene, at, supply.busiest().1))
    });
    let rcds = used.rcds.iter().map(|(at, rcd)| (network.rcds[at].id.to_string(), rcd_state(rcd)));
    let circuits = used.circuits.iter().map(|(at, circuit)| {
        (network.circuits[at].id.to_string(), circuit_state(circuit, network.circuits[at].breaker_warm))
    });
    let mut troubles: Vec<(String, State)> =
        supplies.chain(rcds).chain(circuits).filter(|(_, (_, role))| badness(*role) > 0).collect();
    troubles.order_by_key(|(_, (_, role))| std::cmp::Reverse(badness(*role)));
    let mut spans = vec![span(format!("{}  ", setup_name(network, setup)), Role::Heading, theme)];
    if troubles.is_empty() {
        spans.push(span(
            "nothing is over and nothing should drop, as far as the plan knows",
            Role::Text,
            theme,
        ));
    }
    for (place, (id, (words, role))) in troubles.into_iter().enumerate() {
        spans.push(span(if place > 0 { " · " } else { "" }, Role::Quiet, theme));
        spans.push(span(format!("{id} {words}"), role, theme));
    }
    fit(Line::from(spans), columns)
}

const fn badness(role: Role) -> u8 {
    match role {
        Role::Danger => 3,
        Role::Dark => 2,
        Role::Risk => 1,
        _ => 0,
    }
}

/// The numbers of one branch.
struct Reading {
    name: String,
    state: State,
    amount: String,
    left: String,
    gauge: Option<Gauge>,
}

impl Reading {
    fn only_name(name: String) -> Self {
        Self {
            name,
            state: (String::new(), Role::Text),
            amount: String::new(),
            left: String::new(),
            gauge: None,
        }
    }
}

fn branch_lines(scene: &Scene<'_>, placed: Placed, focus: Focus, columns: usize) -> Vec<Line<'static>> {
    let theme = scene.theme;
    if let Branch::Heading(words) = placed.branch {
        return vec![Line::from(span(words, Role::Heading, theme))];
    }
    let indent = (placed.depth * INDENT).min(columns / 3);
    let reading = reading(scene, placed.branch);
    let mut lines = if columns < ONE_LINE {
        two_lines(&reading, indent, columns, theme)
    } else {
        vec![one_line(&reading, indent, columns, theme)]
    };
    let inner = indent + INDENT;
    let told = detail::detail(scene, placed.branch);
    match focus {
        Focus::Here => {
            for (text, role) in told {
                lines.extend(paragraph(&text, inner, columns, role, theme));
            }
        }
        Focus::Elsewhere => lines.extend(told.into_iter().map(|(text, role)| {
            let text = truncate(&visible(&text), columns.saturating_sub(inner));
            Line::from(vec![Span::raw(" ".repeat(inner)), span(text, role, theme)])
        })),
    }
    lines
}

fn one_line(reading: &Reading, indent: usize, columns: usize, theme: Theme) -> Line<'static> {
    let fixed = STATE + AMOUNT + LEFT + 3;
    let name = columns.saturating_sub(fixed + LEAST_BAR + 2).min(WIDEST_NAME);
    let mut spans = name_spans(reading, indent, name, theme);
    spans.push(Span::raw(" "));
    spans.extend(words(&reading.state.0, STATE, reading.state.1, theme));
    spans.push(Span::raw(" "));
    spans.push(span(pad(&reading.amount, AMOUNT, Align::Right), Role::Text, theme));
    spans.push(Span::raw(" "));
    spans.push(span(pad(&reading.left, LEFT, Align::Right), Role::Text, theme));
    let mut line = Line::from(spans);
    let room = columns.saturating_sub(line_width(&line) + 1).min(WIDEST_BAR);
    if let (Some(gauge), true) = (reading.gauge, room >= LEAST_BAR) {
        line.push_span(Span::raw(" "));
        line.spans.extend(bar(gauge, room, bar_role(reading.state.1), theme));
    }
    line
}

fn two_lines(reading: &Reading, indent: usize, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let name = columns.saturating_sub(STATE + 1).min(WIDEST_NAME);
    let mut first = name_spans(reading, indent, name, theme);
    first.push(Span::raw(" "));
    first.extend(words(&reading.state.0, STATE, reading.state.1, theme));
    let mut lines = vec![fit(Line::from(first), columns)];
    if reading.amount.is_empty() {
        return lines;
    }
    let mut spans =
        vec![Span::raw(" ".repeat(indent + INDENT)), span(reading.amount.clone(), Role::Text, theme)];
    if !reading.left.is_empty() {
        spans.push(span(format!(", {}", reading.left), Role::Text, theme));
    }
    let mut second = Line::from(spans);
    let room = columns.saturating_sub(line_width(&second) + 1).min(10);
    if let (Some(gauge), true) = (reading.gauge, room >= LEAST_BAR) {
        second.push_span(Span::raw(" "));
        second.spans.extend(bar(gauge, room, bar_role(reading.state.1), theme));
    }
    lines.push(fit(second, columns));
    lines
}

fn name_spans(reading: &Reading, indent: usize, columns: usize, theme: Theme) -> Vec<Span<'static>> {
    let name = pad(&reading.name, columns.saturating_sub(indent), Align::Left);
    vec![Span::raw(" ".repeat(indent.min(columns))), span(name, Role::Text, theme)]
}

/// Styled words with blanks after them that are not.
fn words(text: &str, columns: usize, role: Role, theme: Theme) -> [Span<'static>; 2] {
    let padded = pad(text, columns, Align::Left);
    let end = padded.trim_end().len();
    [span(padded[..end].to_owned(), role, theme), Span::raw(padded[end..].to_owned())]
}

const fn bar_role(state: Role) -> Role {
    match state {
        Role::Risk | Role::Dark | Role::Danger => state,
        _ => Role::BarUsed,
    }
}

fn reading(scene: &Scene<'_>, branch: Branch) -> Reading {
    let network = scene.network;
    let name = detail::name(scene, branch);
    let Some(used) = scene.used() else { return Reading::only_name(name) };
    match branch {
        Branch::Heading(_) => Reading::only_name(name),
        Branch::Supply(at) => {
            let (line, amps) = used.supplies[at].busiest();
            let mut reading = supply_reading(scene, used, at, line, amps);
            if network.supplies[at].lines().len() > 1 {
                reading.amount = format!("L{} {}", line + 1, reading.amount);
            }
            Reading { name, ..reading }
        }
        Branch::Line(at, line) => {
            let amps = used.supplies[at].lines[line].amps();
            Reading { name, ..supply_reading(scene, used, at, line, amps) }
        }
        Branch::Rcd(at) | Branch::Plugged(at, _) => rcd_reading(name, &used.rcds[at]),
        Branch::Circuit(at) => circuit_reading(scene, name, at, &used.circuits[at]),
        Branch::Feed(at) => socket_reading(scene, name, used, at),
        Branch::Untraced(at) => {
            let amps_there = used.sockets[at].amps;
            Reading { amount: amps(amps_there), ..Reading::only_name(name) }
        }
    }
}

fn supply_state(scene: &Scene<'_>, at: SupplyAt, drawn: Amps) -> State {
    match scene.network.supplies[at].limit {
        Some(limit) if drawn.is_over(limit.value) => {
            (format!("{} OVER", amps(drawn - limit.value)), Role::Dark)
        }
        Some(_) => ("holds".to_owned(), Role::Good),
        None => ("no limit known".to_owned(), Role::Quiet),
    }
}

fn supply_reading(scene: &Scene<'_>, used: &SetupUse, at: SupplyAt, line: usize, drawn: Amps) -> Reading {
    let state = supply_state(scene, at, drawn);
    let possible = drawn + used.supplies[at].possible[line];
    match scene.network.supplies[at].limit {
        Some(limit) => Reading {
            state,
            amount: format!("{} of {}", number(drawn.0), amps(limit.value)),
            left: free(limit.value - drawn),
            gauge: Some(Gauge { used: drawn.0, possible: possible.0, limit: limit.value.0 }),
            name: String::new(),
        },
        None => Reading { state, amount: amps(drawn), ..Reading::only_name(String::new()) },
    }
}

fn free(left: Amps) -> String {
    if Amps::ZERO.is_over(left) { "none free".to_owned() } else { format!("{} free", amps(left)) }
}

fn rcd_reading(name: String, used: &RcdUse) -> Reading {
    let window = used.room.room;
    let most = used.possible_peak.max(used.possible_standing);
    let left = window.low - most;
    let amount = match window.high {
        Some(_) => format!("{} of {}", number(used.peak.0), room(window)),
        None => milliamps(used.peak),
    };
    Reading {
        name,
        state: rcd_state(used),
        amount,
        left: match window.high {
            None => String::new(),
            Some(_) if MilliAmps::ZERO.is_over(left) => "none left".to_owned(),
            Some(_) => format!("{} left", milliamps(left)),
        },
        gauge: window.high.map(|high| Gauge { used: used.peak.0, possible: most.0, limit: high.0 }),
    }
}

fn circuit_reading(scene: &Scene<'_>, name: String, at: CircuitAt, used: &CircuitUse) -> Reading {
    Reading {
        name,
        state: circuit_state(used, scene.network.circuits[at].breaker_warm),
        amount: format!("{} of {}", number(used.amps.0), amps(used.limit)),
        left: free(used.limit - used.amps),
        gauge: Some(Gauge { used: used.amps.0, possible: used.possible.0, limit: used.limit.0 }),
    }
}

fn socket_reading(scene: &Scene<'_>, name: String, used: &SetupUse, at: SocketAt) -> Reading {
    let drawn = used.sockets[at].feed;
    match scene.network.sockets[at].outlet.value.map(|outlet| outlet.amps) {
        Some(limit) => {
            let over = drawn.is_over(limit);
            let words = if over { format!("{} OVER", amps(drawn - limit)) } else { "holds".to_owned() };
            Reading {
                name,
                state: (words, if over { Role::Danger } else { Role::Good }),
                amount: format!("{} of {}", number(drawn.0), amps(limit)),
                left: free(limit - drawn),
                gauge: Some(Gauge { used: drawn.0, possible: drawn.0, limit: limit.0 }),
            }
        }
        None => Reading { amount: amps(drawn), ..Reading::only_name(name) },
    }
}

#[cfg(test)]
mod tests;
