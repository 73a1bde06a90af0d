//! The findings of a setup, worst first.

use ampwalk_core::assess::{Finding, Subject};
use ampwalk_core::explain::Topic;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{joined, paragraph, role, setup_name, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{Align, pad, truncate, visible, wrap};
use crate::words::told;

/// Columns of the severity's word.
const WORD: usize = 6;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(scene: &Scene<'_>) -> usize {
    found(scene).count()
}

/// The number behind a row that can be explained.
#[must_use]
pub fn topic(scene: &Scene<'_>, row: usize) -> Option<Topic> {
    topic_of(found(scene).nth(row)?)
}

/// The number that a finding is about.
#[must_use]
pub fn topic_of(finding: &Finding) -> Option<Topic> {
    match (finding.subject, finding.rule.id) {
        (Subject::Supply(at), "neutral-over") => Some(Topic::SupplyNeutral(at)),
        (Subject::Supply(at), "contract-over") => Some(Topic::SupplyPower(at)),
        (Subject::Supply(at), rule) if rule.starts_with("generator-") => Some(Topic::SupplyRating(at)),
        (Subject::Supply(at), _) => Some(Topic::SupplyLine(at)),
        (Subject::Rcd(at), "rcd-standing" | "rcd-share") => Some(Topic::RcdStanding(at)),
        (Subject::Rcd(at), "rcd-untested" | "ramp-conflict") => Some(Topic::RcdRoom(at)),
        (Subject::Rcd(at), _) => Some(Topic::RcdPeak(at)),
        (Subject::Circuit(at), "breaker-inrush") => Some(Topic::Inrush(at)),
        (Subject::Circuit(at), "neutral-over") => Some(Topic::SharedNeutral(at)),
        (Subject::Circuit(at), "start-over") => Some(Topic::StartPeak(at)),
        (Subject::Circuit(at), _) => Some(Topic::CircuitAmps(at)),
        (Subject::Head(at), "cable-short") => Some(Topic::LeadNeeded(at)),
        (Subject::Head(at), "loop-high") => Some(Topic::EarthLoop(at)),
        (Subject::Head(at), "drop-high") => Some(Topic::HeadVolts(at)),
        (Subject::Head(at), _) => Some(Topic::HeadAmps(at)),
        (Subject::Socket(at), "plate-over" | "outlet-over" | "socket-full") => Some(Topic::SocketAmps(at)),
        (Subject::Location | Subject::Socket(_) | Subject::Cable(_) | Subject::Block(_), _) => None,
    }
}

/// What a row is about.
#[must_use]
pub fn subject(scene: &Scene<'_>, row: usize) -> Option<Subject> {
    found(scene).nth(row).map(|finding| finding.subject)
}

/// The findings of the setup that is looked at, and those of the whole location.
fn found<'a>(scene: &Scene<'a>) -> impl Iterator<Item = &'a Finding> + use<'a> {
    let setup = scene.setup;
    let here = move |finding: &&Finding| finding.setup.is_none() || finding.setup == setup;
    scene.assessment.findings.iter().filter(here)
}

/// Draws it.
pub fn draw(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let findings: Vec<&Finding> = found(scene).collect();
    if findings.is_empty() {
        let text = match scene.setup {
            Some(setup) => format!(
                "Nothing found in {}. This plans and certifies nothing: local codes and a licensed \
                 electrician decide.",
                setup_name(scene.network, setup)
            ),
            None => "Nothing found, and no setup yet. Next: a [setup.day] with minutes and on.".to_owned(),
        };
        list::draw_ends(paragraph(&text, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return Places::new();
    }
    let stops = vec![Stop::Row; findings.len()];
    let lines = |at: usize, focus, columns: usize| finding_lines(scene, findings[at], focus, columns);
    list::draw(&stops, scene.row, lines, theme, area, buffer)
}

fn finding_lines(scene: &Scene<'_>, finding: &Finding, focus: Focus, columns: usize) -> Vec<Line<'static>> {
    let theme = scene.theme;
    let subject = visible(&finding.subject.id(scene.network));
    let indent = WORD + 2;
    let narrow = columns < 30;
    let inner = if narrow { 0 } else { indent };
    let word = finding.severity.word().to_uppercase();
    let mut first = vec![span(word.clone(), role(finding.severity), theme)];
    let mut text =
        wrap(&visible(&told(scene.network, &finding.text)), columns.saturating_sub(inner)).into_iter();
    if narrow {
        first.push(span(format!(" {}", truncate(&subject, 16)), Role::Heading, theme));
    } else {
        first.push(Span::raw(" ".repeat(indent - word.len().min(indent))));
        first.push(span(text.next().unwrap_or_default(), Role::Text, theme));
    }
    let mut lines = vec![Line::from(first)];
    let blank = pad("", inner, Align::Left);
    lines.extend(text.map(|line| Line::from(vec![Span::raw(blank.clone()), span(line, Role::Text, theme)])));
    if !finding.remedy.is_empty() {
        lines.extend(paragraph(
            &format!("→ {}", told(scene.network, &finding.remedy)),
            inner,
            columns,
            Role::Chosen,
            theme,
        ));
    }
    if focus == Focus::Here {
        let assumed = if finding.assumed { "rests on assumed numbers".to_owned() } else { String::new() };
        let about = joined([format!("about {}", finding.subject.path(scene.network)), assumed]);
        let rule = format!("{}: {}", finding.rule.id, finding.rule.source);
        lines.extend(paragraph(&about, inner, columns, Role::Quiet, theme));
        lines.extend(paragraph(&rule, inner, columns, Role::Quiet, theme));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::sample::{House, survives_every_size};

    #[test]
    fn the_worst_comes_first_with_its_word_and_what_to_do() {
        let house = House::usual();
        let lines = house.drawn(draw, 80, 20, 0);
        assert!(lines[0].starts_with("▸DARK    AC carries"), "{lines:?}");
        assert!(lines.iter().any(|line| line.contains("→ ")), "{lines:?}");
        assert!(lines.iter().any(|line| line.contains("about ")), "{lines:?}");
    }

    #[test]
    fn the_row_under_the_cursor_tells_its_rule_and_source() {
        let house = House::usual();
        let scene = house.scene(0);
        let row = found(&scene).position(|finding| finding.rule.id == "label-wrong").unwrap();
        let text = house.said(draw, 80, 20, row);
        assert!(text.contains("G3 says P1 on the wall"), "{text}");
        assert!(text.contains("label-wrong: "), "{text}");
    }

    #[test]
    fn every_row_has_its_subject_and_numbers_their_topic() {
        let house = House::usual();
        let scene = house.scene(0);
        assert!((0..rows(&scene)).all(|row| subject(&scene, row).is_some()));
        let rcd = found(&scene).position(|finding| finding.rule.id == "rcd-may-trip").unwrap();
        assert!(matches!(topic(&scene, rcd), Some(Topic::RcdPeak(_))));
        assert_eq!(subject(&scene, rows(&scene)), None);
    }

    #[test]
    fn where_nothing_is_found_nobody_is_told_that_all_is_well() {
        let house = House::of("ampwalk = 1\n[location]\nregion = \"au\"\n");
        let text = house.said(draw, 40, 10, 0);
        assert!(text.contains("Nothing found"), "{text}");
        assert!(!text.to_lowercase().contains("safe"), "{text}");
    }

    #[test]
    fn it_survives_every_size() {
        survives_every_size(draw);
    }
}
