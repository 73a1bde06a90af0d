//! Shoot: the strike order of a setup step by step, with what its circuits and RCDs carry.

mod step;

use ampwalk_core::assess::{SetupUse, Step, Subject, steps};
use ampwalk_core::explain::Topic;
use ampwalk_core::network::{HeadAt, SetupAt};
use ampwalk_core::plan::Reset;
use ampwalk_core::rule::words::number;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Line;

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{amps, head_name, joined, paragraph, setup_name, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{fit, visible};

/// The main column: it can be read at arm's length, and nothing beside it is needed.
const MAIN_COLUMN: usize = 39;

/// A line of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Entry {
    Heading(&'static str),
    NotPlugged(HeadAt),
    Step(usize),
    Trip(usize),
}

/// How many rows the cursor can be on: heads that are not plugged in, then the steps.
#[must_use]
pub fn rows(scene: &Scene<'_>) -> usize {
    scene.used().map_or(0, |used| heads(used).count())
}

/// The number behind a row that can be explained.
#[must_use]
pub fn topic(scene: &Scene<'_>, row: usize) -> Option<Topic> {
    let used = scene.used()?;
    let head = heads(used).nth(row)?;
    let of_step = || {
        let steps = steps(scene.network, used);
        let step = steps.iter().find(|step| step.head == head)?;
        let rcd = step::tightest_rcd(used, step)?;
        Some(Topic::RcdPeak(rcd.rcd))
    };
    of_step().or(Some(Topic::HeadAmps(head)))
}

/// What a row is about.
#[must_use]
pub fn subject(scene: &Scene<'_>, row: usize) -> Option<Subject> {
    heads(scene.used()?).nth(row).map(Subject::Head)
}

fn not_plugged(used: &SetupUse) -> impl Iterator<Item = HeadAt> {
    let lost = |head: &ampwalk_core::assess::HeadUse| head.socket.is_none();
    used.heads.iter().filter(move |(_, head)| head.as_ref().is_some_and(lost)).map(|(at, _)| at)
}

/// The heads of the rows.
fn heads(used: &SetupUse) -> impl Iterator<Item = HeadAt> {
    not_plugged(used).chain(used.strike_order.iter().copied())
}

/// Draws it.
pub fn draw(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let Some((setup, used)) = scene.setup.zip(scene.used()) else {
        let text =
            "No setup yet. Next: in the plan file a [setup.day] with its minutes and the heads that are on.";
        list::draw_ends(paragraph(text, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return Places::new();
    };
    if heads(used).next().is_none() {
        let text = format!(
            "Nothing is on in {}. Next: name its heads in `on` of the setup.",
            setup_name(scene.network, setup)
        );
        list::draw_ends(paragraph(&text, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return Places::new();
    }
    let body =
        list::draw_ends(vec![heading(scene, setup, columns)], foot(scene, columns), theme, area, buffer);
    let order = steps(scene.network, used);
    let entries = entries(scene, used, &order);
    let stops: Vec<Stop> = entries
        .iter()
        .map(|entry| match entry {
            Entry::NotPlugged(_) | Entry::Step(_) => Stop::Row,
            Entry::Heading(_) | Entry::Trip(_) => Stop::Between,
        })
        .collect();
    let lines = |at: usize, focus: Focus, columns: usize| match entries[at] {
        Entry::Heading(words) => vec![Line::from(span(words, Role::Heading, theme))],
        Entry::NotPlugged(head) => vec![not_plugged_line(scene, used, head, columns)],
        Entry::Step(place) => step::lines(scene, used, place, &order[place], focus, columns),
        Entry::Trip(place) => paragraph(&trip(scene, place), 2, columns, Role::Quiet, theme),
    };
    list::draw(&stops, scene.row, lines, theme, body, buffer)
}

fn entries(scene: &Scene<'_>, used: &SetupUse, steps: &[Step]) -> Vec<Entry> {
    let mut entries = Vec::new();
    let lost: Vec<HeadAt> = not_plugged(used).collect();
    if !lost.is_empty() {
        entries.push(Entry::Heading("NOT PLUGGED IN"));
        entries.extend(lost.into_iter().map(Entry::NotPlugged));
    }
    if !steps.is_empty() {
        entries.push(Entry::Heading("STRIKE IN THIS ORDER, one at a time"));
        entries.extend((0..steps.len()).map(Entry::Step));
    }
    let trips = scene.network.plan.trips.len();
    if trips > 0 {
        entries.push(Entry::Heading("TRIPS SO FAR"));
        entries.extend((0..trips).rev().map(Entry::Trip));
    }
    entries
}

fn heading(scene: &Scene<'_>, setup: SetupAt, columns: usize) -> Line<'static> {
    let node = &scene.network.setups[setup];
    let start = node.start.map_or("start not known".to_owned(), |start| format!("from {start}"));
    let order = if node.strike.is_empty() { String::new() } else { "the crew's own order first".to_owned() };
    let told = joined([start, format!("{} min", number(node.minutes.0)), order]);
    let spans = vec![
        span(format!("{}  ", setup_name(scene.network, setup)), Role::Heading, scene.theme),
        span(told, Role::Text, scene.theme),
    ];
    fit(Line::from(spans), columns)
}

/// What holds for every trip (common practice, no source).
fn foot(scene: &Scene<'_>, columns: usize) -> Vec<Line<'static>> {
    let text =
        "After a trip: heads off first, then one reset, never more than two; then a licensed electrician.";
    paragraph(text, 0, columns, Role::Quiet, scene.theme)
}

fn not_plugged_line(scene: &Scene<'_>, used: &SetupUse, head: HeadAt, columns: usize) -> Line<'static> {
    let drawn = used.heads[head].as_ref().map_or_else(String::new, |head| amps(head.amps));
    let id = visible(scene.network.heads[head].id.as_str());
    let spans = vec![
        span(format!("{id}  "), Role::Text, scene.theme),
        span("NOT PLUGGED IN", Role::Dark, scene.theme),
        span(format!("  {drawn}  {}", head_name(scene.network, head)), Role::Quiet, scene.theme),
    ];
    fit(Line::from(spans), columns)
}

fn trip(scene: &Scene<'_>, place: usize) -> String {
    let Some(trip) = scene.network.plan.trips.get(place) else { return String::new() };
    let at = trip.at.as_deref().map(|at| at.replace('T', " ")).unwrap_or_default();
    let device = trip.device.as_ref().map(|device| format!("{device} went")).unwrap_or_default();
    let struck = trip.last_struck.as_ref().map(|head| format!("{head} struck last")).unwrap_or_default();
    let after = match trip.after {
        Some(minutes) if minutes.0 > 0.0 => format!("after {} min", number(minutes.0)),
        Some(_) => "at once".to_owned(),
        None => String::new(),
    };
    let reset = match trip.reset {
        Some(Reset::Held) => "reset held",
        Some(Reset::DidNotHold) => "reset did not hold",
        Some(Reset::NotTried) => "not reset",
        None => "",
    };
    joined([at, device, struck, after, reset.to_owned()])
}

#[cfg(test)]
mod tests;
