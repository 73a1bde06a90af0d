//! After a trip: the question what went, then what to unplug, what to light again, what comes later.
//! Forty columns hold all of it; words carry it without colour.

use ampwalk_core::assess::Outlook;
use ampwalk_core::diagnose::{Cause, Fetch, Likelihood, Relight, Standing, Step, lead_ids};
use ampwalk_core::network::Network;
use ampwalk_core::rule::words::{list as listed, number};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line as Row, Span};

use super::Hits;
use super::layer::frame;
use super::phrase::{head_name, paragraph, span};
use crate::model::Model;
use crate::paint;
use crate::theme::{Role, Theme};
use crate::trip::{Answer, Line, Question, Recovery, SINCE, Stage};
use crate::widget::list::{self, Stop};
use crate::widget::text::{Align, fit, pad, visible};

/// Columns of the blocks; from twice as many on, causes and reset stand beside them.
const COLUMNS: u16 = 40;
/// Columns of a head's id.
const ID: usize = 3;
/// Columns of where a head is or goes, or when.
const WHERE: usize = 8;
/// Columns of a likelihood's word.
const LIKELIHOOD: usize = 10;
/// Answers that have a digit.
const DIGITS: usize = 9;

/// How many rows the cursor can be on.
pub(super) fn answer_rows(model: &Model, question: &Question) -> usize {
    question.answers(model.document.network(), model.document.assessment()).len()
}

pub(super) fn draw_question(
    model: &Model,
    question: &Question,
    body: Rect,
    buffer: &mut Buffer,
    hits: &mut Hits,
) {
    let (network, theme) = (model.document.network(), model.theme);
    let inner = frame(model, question.title(), body, buffer, hits);
    let answers = question.answers(network, model.document.assessment());
    let columns = usize::from(inner.width).saturating_sub(list::GUTTER);
    let foot = match question.stage {
        Stage::What => "Look at the board and the meter first. Touch nothing wet or hot.",
        Stage::Dark => "enter names a head; once two are named, the first line goes on.",
        _ => "esc goes back by one question.",
    };
    let foot = paragraph(foot, 0, columns, Role::Quiet, theme);
    let area = list::draw_ends(Vec::new(), foot, theme, inner, buffer);
    let stops = vec![Stop::Row; answers.len()];
    let rows = |at: usize, _, columns: usize| {
        let key = if at < DIGITS { (at + 1).to_string() } else { " ".to_owned() };
        let words = answer_words(network, question, &answers[at]);
        let spans =
            vec![span(format!(" {key}  "), Role::Key, theme), span(visible(&words), Role::Text, theme)];
        vec![fit(Row::from(spans), columns)]
    };
    hits.add_rows(list::draw(&stops, question.row, rows, theme, area, buffer));
}

fn answer_words(network: &Network, question: &Question, answer: &Answer) -> String {
    let head = |at| format!("{}  {}", network.head_id(at), head_name(network, at));
    match answer {
        Answer::Lost(lost) => match lost.as_slice() {
            [only] => {
                let told = only.words(network);
                let what = match only {
                    ampwalk_core::diagnose::Lost::Supply(_) => "  all is dark",
                    ampwalk_core::diagnose::Lost::Meter(_) => "  the board is all up",
                    _ => "",
                };
                format!("{told}{what}")
            }
            several => {
                let ids: Vec<String> = several.iter().map(|lost| lost.id(network).to_string()).collect();
                format!("{} both: breaker and {}", ids.join(" and "), network.region.words.rcd)
            }
        },
        Answer::NameDark => "nobody knows: name dark heads".to_owned(),
        Answer::Dark(at) => {
            let named = if question.dark.contains(at) { "DARK  " } else { "      " };
            format!("{named}{}", head(*at))
        }
        Answer::AllNamed => {
            let named = listed(question.dark.iter().map(|at| network.head_id(*at)));
            format!("{named} are dark: go on")
        }
        Answer::Last(Some(at)) => head(*at),
        Answer::Last(None) => "nobody knows".to_owned(),
        Answer::Since(after) => {
            let words = SINCE.iter().find(|(_, own)| own == after);
            words.map_or_else(String::new, |(words, _)| (*words).to_owned())
        }
    }
}

/// An entry of the list of blocks.
#[derive(Clone, Debug)]
enum Entry {
    Heading(String),
    Line(Line),
    Told(String, Role),
    Cause(Cause),
}

pub(super) fn draw_recovery(
    model: &Model,
    recovery: &Recovery,
    body: Rect,
    buffer: &mut Buffer,
    hits: &mut Hits,
) {
    let (network, theme) = (model.document.network(), model.theme);
    let inner = frame(model, &recovery.heading(network), body, buffer, hits);
    let mut entries = blocks(network, recovery);
    let is_wide = inner.width >= 2 * COLUMNS - 4;
    let area = if is_wide {
        let (left, right) = paint::split_left(inner, COLUMNS);
        draw_beside(network, recovery, right, theme, buffer);
        left
    } else {
        let columns = usize::from(inner.width).saturating_sub(list::GUTTER);
        let most = usize::from(inner.height) / 2;
        let mut foot = reset_lines(network, recovery, columns, theme);
        foot.truncate(most.max(3));
        let area = list::draw_ends(Vec::new(), foot, theme, inner, buffer);
        // As many causes as have room, each on one row; `w` tells them all.
        let rows = |entry: &Entry| entry_rows(network, recovery, entry, columns, theme).len();
        let taken: usize = entries.iter().map(rows).sum();
        let room = usize::from(area.height).saturating_sub(taken);
        entries.extend(recovery.told.causes.iter().take(room).cloned().map(Entry::Cause));
        area
    };
    let stops: Vec<Stop> = entries
        .iter()
        .map(|entry| if matches!(entry, Entry::Line(_)) { Stop::Row } else { Stop::Between })
        .collect();
    let rows = |at: usize, _, columns: usize| entry_rows(network, recovery, &entries[at], columns, theme);
    hits.add_rows(list::draw(&stops, recovery.row, rows, theme, area, buffer));
}

/// The three blocks.
fn blocks(network: &Network, recovery: &Recovery) -> Vec<Entry> {
    let told = &recovery.told;
    let mut entries = vec![Entry::Heading("1  UNPLUG FIRST".to_owned())];
    entries.extend(told.unplug.iter().map(|off| Entry::Line(Line::Unplug(off.head))));
    if told.unplug.is_empty() {
        entries.push(Entry::Told("nothing that is known of".to_owned(), Role::Quiet));
    }
    entries.push(Entry::Heading("2  RELIGHT NOW".to_owned()));
    entries.extend(told.now.iter().map(|relight| Entry::Line(Line::Now(relight.head))));
    if told.now.is_empty() {
        entries.push(Entry::Told("nothing fits elsewhere".to_owned(), Role::Quiet));
    }
    if !told.lit.is_empty() {
        let ids = listed(told.lit.iter().map(|head| network.head_id(*head)));
        let verb = if told.lit.len() == 1 { "stays" } else { "stay" };
        entries.push(Entry::Told(format!("{ids} {verb} lit"), Role::Quiet));
    }
    if !told.unsure.is_empty() {
        let ids = listed(told.unsure.iter().map(|head| network.head_id(*head)));
        entries.push(Entry::Told(format!("look at {ids}: not traced"), Role::Risk));
    }
    entries.push(Entry::Heading("3  LATER".to_owned()));
    entries.extend(told.later.iter().map(|later| Entry::Line(Line::Later(later.head))));
    if told.later.is_empty() {
        entries.push(Entry::Told("no head waits to cool".to_owned(), Role::Quiet));
    }
    entries
}

/// `likely    B leaks while striking: 13.5 mA, …`, the words below each other.
fn cause_rows(cause: &Cause, columns: usize, theme: Theme) -> Vec<Row<'static>> {
    let role = if cause.likelihood == Likelihood::Likely { Role::Text } else { Role::Quiet };
    let words = format!("{}: {}", cause.cause, cause.evidence);
    let mut rows = paragraph(&words, LIKELIHOOD, columns, role, theme);
    if let Some(first) = rows.first_mut().filter(|_| columns > LIKELIHOOD + 8) {
        let word = pad(cause.likelihood.word(), LIKELIHOOD, Align::Left);
        first.spans[0] = span(word, Role::Heading, theme);
    }
    rows
}

fn entry_rows(
    network: &Network,
    recovery: &Recovery,
    entry: &Entry,
    columns: usize,
    theme: Theme,
) -> Vec<Row<'static>> {
    match entry {
        Entry::Heading(words) => vec![Row::from(span(words.clone(), Role::Heading, theme))],
        Entry::Told(words, role) => paragraph(words, 2, columns, *role, theme),
        Entry::Cause(cause) => cause_rows(cause, columns, theme).into_iter().take(1).collect(),
        Entry::Line(line) => line_rows(network, recovery, *line, columns, theme),
    }
}

fn line_rows(
    network: &Network,
    recovery: &Recovery,
    line: Line,
    columns: usize,
    theme: Theme,
) -> Vec<Row<'static>> {
    let done = recovery.is_done(network, line);
    let id = pad(&visible(network.head_id(line.head()).as_str()), ID, Align::Left);
    let (place, what) = line_words(network, recovery, line);
    let (mark, what, role) =
        if done { ("✓ ", "DONE".to_owned(), Role::Good) } else { ("  ", what, Role::Text) };
    let place = pad(&visible(&place), WHERE, Align::Left);
    let spans = vec![
        Span::raw(mark),
        span(id, Role::Heading, theme),
        span(format!("{place} "), Role::Text, theme),
        span(what, role, theme),
    ];
    let mut rows = vec![fit(Row::from(spans), columns)];
    let risk = recovery.move_of(line).or_else(|| now(recovery, line)).filter(|_| !done);
    if let Some(relight) = risk.filter(|relight| relight.outlook == Outlook::Risk) {
        let words = format!("RISK {}", relight.words);
        rows.extend(paragraph(&words, 2 + ID, columns, Role::Risk, theme));
    }
    rows
}

fn now(recovery: &Recovery, line: Line) -> Option<&Relight> {
    match line {
        Line::Now(head) => recovery.told.now.iter().find(|relight| relight.head == head),
        _ => None,
    }
}

/// Where a line's head is or goes, and what of it.
fn line_words(network: &Network, recovery: &Recovery, line: Line) -> (String, String) {
    let socket = |at| network.socket_id(at).to_string();
    match line {
        Line::Unplug(head) => {
            let off = recovery.told.unplug.iter().find(|off| off.head == head);
            off.map_or_else(Default::default, |off| {
                let place = off.socket.map_or_else(String::new, |at| format!("at {}", socket(at)));
                (place, off.reason.clone())
            })
        }
        Line::Now(_) => now(recovery, line).map_or_else(Default::default, |relight| {
            (format!("to {}", socket(relight.to)), lead_words(network, relight))
        }),
        Line::Later(head) => {
            let Some(later) = recovery.told.later.iter().find(|later| later.head == head) else {
                return Default::default();
            };
            let minutes = number(later.minutes.0);
            let when = later.at.map_or_else(|| format!("{minutes} min"), |at| at.to_string());
            let place = match &later.to {
                Some(relight) => format!(", to {}", socket(relight.to)),
                None => String::new(),
            };
            (when, format!("hot, {minutes} minutes{place}"))
        }
    }
}

/// What lies between socket and head: `where it was`, `b20 comes along`, `fetch a10`.
fn lead_words(network: &Network, relight: &Relight) -> String {
    let leads = lead_ids(network, &relight.links).join(" + ");
    match (relight.is_move(), leads.is_empty(), relight.fetch) {
        (false, _, _) => "where it was".to_owned(),
        (true, true, _) => "by its own plug".to_owned(),
        (true, false, Fetch::There) => format!("{leads} comes along"),
        (true, false, Fetch::FromTheTruck) => format!("fetch {leads}"),
    }
}

/// Causes and what comes next, beside the blocks.
fn draw_beside(network: &Network, recovery: &Recovery, area: Rect, theme: Theme, buffer: &mut Buffer) {
    let columns = usize::from(area.width).saturating_sub(list::GUTTER + 1);
    let foot = reset_lines(network, recovery, columns, theme);
    let area = list::draw_ends(Vec::new(), foot, theme, area, buffer);
    let mut at = 0;
    for cause in &recovery.told.causes {
        let rows = cause_rows(cause, columns, theme);
        let end = at + u16::try_from(rows.len()).unwrap_or(u16::MAX);
        if end >= area.height {
            return;
        }
        for row in rows {
            paint::line(area, at, row.spans, buffer);
            at += 1;
        }
    }
}

/// What comes next, with what is minded before, and the keys.
fn reset_lines(network: &Network, recovery: &Recovery, columns: usize, theme: Theme) -> Vec<Row<'static>> {
    let advice = &recovery.told.advice;
    let (line_role, stop) = match advice.step {
        Step::Reset | Step::Held => (Role::Heading, false),
        Step::NoReset | Step::Electrician => (Role::Danger, true),
    };
    let mut rows = vec![Row::from(span("─".repeat(columns), Role::Frame, theme))];
    rows.extend(paragraph(&advice.line, 0, columns, line_role, theme));
    if advice.step == Step::Reset {
        let keys = Row::from(span("r it held    n it did not", Role::Key, theme));
        rows.push(fit(keys, columns));
    }
    for (at, line) in advice.before.iter().enumerate() {
        let role = if stop || at == 0 { Role::Risk } else { Role::Text };
        rows.extend(paragraph(line, 0, columns, role, theme));
    }
    let so_far = format!("resets so far {}, never more than 2", recovery.resets(network));
    rows.extend(paragraph(&so_far, 0, columns, Role::Quiet, theme));
    rows
}

/// Why a line is there, in paragraphs.
pub(crate) fn reasons(network: &Network, recovery: &Recovery, line: Line) -> Vec<String> {
    let told = &recovery.told;
    let head = line.head();
    let id = network.head_id(head);
    let mut paragraphs = Vec::new();
    match line {
        Line::Unplug(_) => {
            if let Some(off) = told.unplug.iter().find(|off| off.head == head) {
                paragraphs.push(format!("{id}: {}.", off.reason));
                paragraphs.push(match off.standing {
                    Standing::Suspect => format!(
                        "It may have dropped it, so it stays off until a reset held without it and it was tried \
                         alone behind a tested {}.",
                        network.region.words.rcd
                    ),
                    Standing::NoPlace => "It has no place for now, and nothing comes on with a reset.".to_owned(),
                });
            }
            let left = told.left.iter().find(|left| left.head == head);
            paragraphs.extend(left.map(|left| format!("The nearest place: {}.", left.text)));
            let suspect = told.suspects().any(|suspect| suspect == head);
            for cause in told.causes.iter().filter(|_| suspect) {
                paragraphs.push(format!(
                    "{}: {}. {}. Do: {}.",
                    cause.likelihood.word(),
                    cause.cause,
                    cause.evidence,
                    cause.remedy
                ));
            }
        }
        Line::Now(_) => {
            if let Some(relight) = now(recovery, line) {
                let socket = network.socket_id(relight.to);
                paragraphs.push(format!("{id} on {socket}: {}.", relight.words));
                paragraphs.push("Nothing that is lit moves; the plan was assessed with the move.".to_owned());
            }
        }
        Line::Later(_) => {
            if let Some(later) = told.later.iter().find(|later| later.head == head) {
                let minutes = number(later.minutes.0);
                paragraphs.push(format!("{id} lost power hot: it strikes again after {minutes} min."));
                let place = later.to.as_ref().map_or_else(
                    || "It goes back to its own socket, once that is live.".to_owned(),
                    |relight| {
                        format!("Meanwhile it goes to {}: {}.", network.socket_id(relight.to), relight.words)
                    },
                );
                paragraphs.push(place);
            }
        }
    }
    paragraphs
}
