//! The chosen socket for the head in hand: why, and what would be then.

use ampwalk_core::assess::{Consequence, Outlook, SetupUse};
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::rule::words::number;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use super::bars::room_words;
use super::cell;
use crate::model::Model;
use crate::paint;
use crate::plot::{Held, Trial};
use crate::text::{capital, clip, width, wrap};
use crate::theme::Role;
use crate::words;

/// Draws into the rows of the bars, the rule and the reason: they are of one height with and without a
/// head in hand, so that the floor above does not move.
pub(super) fn draw(model: &Model, carried: &Held, [bars, rule, reason]: [Rect; 3], buffer: &mut Buffer) {
    let area = bars.union(rule).union(reason);
    let area = if bars.is_empty() { rule.union(reason) } else { area };
    let area = if rule.is_empty() { reason } else { area };
    let (Some(setup), false) = (model.setup, area.is_empty()) else { return };
    paint::clear(area, model.theme.style(Role::Text), buffer);
    let Some(chosen) = carried.chosen() else { return };
    let mut lines: Vec<Vec<Span<'static>>> = Vec::new();
    lines.push(headline(model, carried, chosen));
    let then = carried
        .trial
        .as_ref()
        .map_or_else(Vec::new, |trial| then_lines(model, trial, chosen, setup, usize::from(area.width)));
    let room = usize::from(area.height).saturating_sub(1 + then.len() + 1);
    lines.extend(why(model, chosen, usize::from(area.width), room.max(1)));
    let (rule_style, height) = (model.theme.style(Role::Frame), usize::from(area.height));
    lines.truncate(height.saturating_sub(then.len()).max(1));
    paint::rule(area, 0, rule_style, buffer);
    let all = lines.into_iter().chain(then);
    let first = u16::from(area.height > 4);
    for (row, spans) in all.enumerate() {
        let row = u16::try_from(row).unwrap_or(u16::MAX).saturating_add(first);
        if row == 0 {
            paint::clear(Rect { height: 1, ..area }, model.theme.style(Role::Text), buffer);
        }
        paint::line(area, row, spans, buffer);
    }
}

/// Head, socket, leads: `A on G7   b20 for 14 m`.
fn headline(model: &Model, carried: &Held, chosen: &Consequence) -> Vec<Span<'static>> {
    let network = model.document.network();
    let head = &network.heads[carried.head];
    let role = cell::words_role(chosen);
    vec![
        Span::styled(
            format!(" {} on {}", head.id, network.socket_id(chosen.socket)),
            model.theme.style(Role::Heading),
        ),
        Span::raw(if carried.from == Some(chosen.socket) { ", as it was  " } else { "  " }),
        Span::styled(cell::outlook_words(chosen), model.theme.style(role)),
        Span::styled(format!("   {}", cell::details(model, chosen)), model.theme.style(Role::Quiet)),
    ]
}

/// What speaks against it, worst first, ending in what to do.
fn why(model: &Model, chosen: &Consequence, cells: usize, rows: usize) -> Vec<Vec<Span<'static>>> {
    let Some(finding) = chosen.findings.iter().max_by_key(|finding| finding.severity) else {
        return Vec::new();
    };
    let owner = match chosen.outlook {
        Outlook::Never if !finding.remedy.contains("owner") && finding.rule.id.starts_with("socket") => {
            " Tell the owner."
        }
        _ => "",
    };
    let text = format!("{}. {}.{owner}", finding.text, capital(&finding.remedy));
    let text = words::told(model.document.network(), &text);
    let style = model.theme.style(words::severity_role(finding.severity));
    let word = words::verdict(finding.severity.into());
    let lines = wrap(&format!("{word} {text}"), cells.saturating_sub(2));
    let shown = rows.min(lines.len());
    let cut = lines.len() > shown;
    lines
        .into_iter()
        .take(shown)
        .enumerate()
        .map(|(at, line)| {
            let is_cut = cut && at + 1 == shown;
            let line = if is_cut { clip(&format!("{line} …"), cells.saturating_sub(10)) } else { line };
            let end = if is_cut { " t: more" } else { "" };
            match line.strip_prefix(word).filter(|_| at == 0) {
                Some(rest) => {
                    vec![Span::raw(" "), Span::styled(word, style), Span::raw(format!("{rest}{end}"))]
                }
                None => vec![Span::raw(format!(" {line}{end}"))],
            }
        })
        .collect()
}

/// Amps of the circuit, milliamps of the RCD, amps of the supply, and the verdict, as they would be.
fn then_lines(
    model: &Model,
    trial: &Trial,
    chosen: &Consequence,
    setup: SetupAt,
    cells: usize,
) -> Vec<Vec<Span<'static>>> {
    let network = model.document.network();
    let used = &trial.assessment.setups[setup];
    let quiet = model.theme.style(Role::Quiet);
    let parts = parts(network, used, chosen);
    let now = words::verdict_line(network, model.document.assessment(), Some(setup));
    let then = words::verdict_line(&trial.network, &trial.assessment, Some(setup));
    let verdict = trial.assessment.verdict_in(setup);
    let sense = if now == then { "stays" } else { "becomes" };
    let mut rows: Vec<String> = vec![String::new()];
    for part in parts {
        let row = rows.last_mut().filter(|row| row.is_empty() || width(row) + width(&part) + 10 <= cells);
        match row {
            Some(row) if row.is_empty() => row.push_str(&part),
            Some(row) => {
                row.push_str("   ");
                row.push_str(&part);
            }
            None => rows.push(part),
        }
    }
    let mut lines: Vec<Vec<Span<'static>>> = Vec::new();
    for (at, row) in rows.into_iter().enumerate() {
        let label = if at == 0 { " then  " } else { "       " };
        lines.push(vec![Span::styled(label, quiet), Span::raw(row)]);
    }
    lines.push(vec![
        Span::styled(format!(" verdict {sense} "), quiet),
        Span::styled(then, model.theme.style(words::verdict_role(verdict))),
    ]);
    lines
}

fn parts(network: &Network, used: &SetupUse, chosen: &Consequence) -> Vec<String> {
    let mut parts = Vec::new();
    if let Some((circuit, _)) = chosen.circuit {
        let there = &used.circuits[circuit];
        parts.push(format!(
            "{} {} of {} A",
            network.circuit_id(circuit),
            number(there.amps.0),
            number(there.limit.0)
        ));
    }
    if let Some((rcd, _)) = chosen.rcd {
        let there = &used.rcds[rcd];
        let peak = there.peak.max(there.possible_peak);
        let room = room_words(there.room.room);
        parts.push(format!("{} {} of {room} mA", network.rcd_id(rcd), number(peak.0)));
    }
    if let Some(supply) = network.reach_of(chosen.socket).supply() {
        let (_, amps) = used.supplies[supply].busiest();
        let limit = network.supplies[supply].limit.map(|limit| format!(" of {}", number(limit.value.0)));
        let id = network.supply_id(supply);
        parts.push(format!("{id} {}{} A", number(amps.0), limit.unwrap_or_default()));
    }
    parts
}
