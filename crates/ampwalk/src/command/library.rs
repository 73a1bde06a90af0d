//! `ampwalk library`: what is built in, with its sources.

mod json;

use ampwalk_core::library::{HeadClass, Outlet, library};
use ampwalk_core::plan::{Curve, Load, RcdClass, word_of};
use ampwalk_core::rule::RULES;
use ampwalk_core::rule::words::number;

use super::layout::Stand::{Left, Right};
use super::layout::{HEADING, styled, table, wrapped};
use crate::arguments::LibraryTable;
use crate::output::{Answer, columns};
use crate::trouble::Trouble;

/// From so many columns on, the tables tell more.
const WIDE: usize = 110;

/// A table for people.
pub fn for_people(table: LibraryTable) -> Answer {
    let width = columns();
    Answer::clear(match table {
        LibraryTable::Heads => heads(width),
        LibraryTable::Outlets => outlets(width),
        LibraryTable::Regions => regions(width),
        LibraryTable::Rules => rules(width),
    })
}

/// A table for other programs.
pub fn for_programs(table: LibraryTable) -> Result<Answer, Trouble> {
    json::table(table).map(Answer::clear)
}

fn heads(width: usize) -> String {
    let wide = width >= WIDE;
    let mut columns = vec![("class", Left), ("W", Right), ("pf", Right), ("mA", Right), ("idle", Right)];
    columns.extend([("strike", Right), ("start", Right), ("dark min", Right), ("behaves", Left)]);
    if wide {
        columns.push(("name", Left));
    }
    let rows = library().heads.iter().map(|(id, class)| {
        let mut row = vec![id.to_string(), watts(class), format!("{:.2}", class.power_factor)];
        row.extend([class.leak_ma, class.idle_ma, class.strike_ma].map(|leak| number(leak.0)));
        row.push(number(class.start_factor));
        row.push(number(class.restrike_min.0));
        row.push(word_of(&Load::WORDS, &class.load).to_owned());
        if wide {
            row.push(class.name.clone());
        }
        row
    });
    let mut text = table(&columns, rows, width);
    text.push('\n');
    text.push_str(&wrapped(
        "W at the plug (after the stroke: where the volts are 100 to 127). mA of leakage: lit, idle, and on top \
         while it strikes. start: times the running amps. dark min: before it strikes again hot. Typical values: \
         what the nameplate or a clamp says beats them.",
        0,
        width,
    ));
    text
}

fn watts(class: &HeadClass) -> String {
    match class.watts_low_volts {
        Some(low) => format!("{}/{}", number(class.watts.0), number(low.0)),
        None => number(class.watts.0),
    }
}

fn outlets(width: usize) -> String {
    let wide = width >= WIDE;
    let mut columns =
        vec![("outlet", Left), ("A", Right), ("V", Right), ("lines", Right), ("earth", Left), ("in", Left)];
    if wide {
        columns.push(("name", Left));
    }
    columns.push(("takes the plugs", Left));
    let rows = library().outlets.iter().map(|(id, outlet)| {
        let mut row = vec![
            id.to_string(),
            number(outlet.amps.0),
            number(outlet.volts.0),
            outlet.lines.to_string(),
            earth(outlet).to_owned(),
            if outlet.regions.is_empty() { "anywhere".to_owned() } else { joined(&outlet.regions) },
        ];
        if wide {
            row.push(outlet.name.clone());
        }
        row.push(joined(&outlet.takes));
        row
    });
    table(&columns, rows, width)
}

const fn earth(outlet: &Outlet) -> &'static str {
    match (outlet.earthed, outlet.polarised) {
        (true, true) => "yes",
        (true, false) => "yes, turns",
        (false, _) => "none",
    }
}

fn joined<T: ToString>(parts: &[T]) -> String {
    parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

fn regions(width: usize) -> String {
    let wide = width >= WIDE;
    let mut columns = vec![("region", Left), ("name", Left), ("V", Right), ("Hz", Left), ("outlet", Left)];
    columns.extend([("breaker", Left), ("RCD", Left), ("must trip", Right)]);
    if wide {
        columns.extend([("3 h loads", Right), ("its words", Left)]);
    }
    let rows = library().regions.iter().map(|(code, region)| {
        let mut row = vec![
            code.to_string(),
            region.name.clone(),
            number(region.volts.0),
            joined(&region.hertz),
            region.outlet.to_string(),
            format!("{} {} A", word_of(&Curve::WORDS, &region.curve), number(region.smallest_breaker_a.0)),
            format!("{} {} mA", word_of(&RcdClass::WORDS, &region.rcd_class), number(region.rcd_rated_ma.0)),
            format!("{} mA", number(region.must_trip_ma.0)),
        ];
        if wide {
            let words = &region.words;
            row.push(
                region.continuous_factor.map_or_else(String::new, |share| format!("{:.0} %", 100.0 * share)),
            );
            row.push(format!("{}, {}, {}, {}", words.active, words.earth, words.socket, words.board));
        }
        row
    });
    let mut text = table(&columns, rows, width);
    text.push('\n');
    text.push_str(&wrapped(
        "breaker: what an unknown one is taken for. must trip: the ramp step at which a working device has \
         dropped. Local codes decide.",
        0,
        width,
    ));
    text
}

fn rules(width: usize) -> String {
    let mut text = String::new();
    for rule in RULES {
        text.push_str(&styled(rule.id, HEADING));
        text.push('\n');
        text.push_str(&wrapped(rule.severity, 4, width));
        text.push_str(&wrapped(&format!("when {}", rule.fires), 4, width));
        text.push_str(&wrapped(&format!("do: {}", rule.remedy), 4, width));
        text.push_str(&wrapped(&format!("source: {}", rule.source), 4, width));
    }
    text
}
