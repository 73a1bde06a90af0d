//! Safety notes and the record of handing back: what was found, what was switched off, tested and tripped.
//!
//! Blank on it, because no plan says it: who was told, who restored what, the meter, the signature.

use ampwalk_core::assess::Assessment;
use ampwalk_core::id::{DeviceId, HeadId, RcdId, SetupId};
use ampwalk_core::network::{At, Network};
use ampwalk_core::plan::{HeldBy, Ramp, Reset, TestOutcome, Trip, word_of};
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::tester;

use crate::frame::{bare, blank, caution, listed, place_fields, told};
use crate::labels::never;
use crate::names;
use crate::sheet::{Basis, Cell, Column, Kind, Rounding, Row, Sheet, Table};

/// The safety notes and hand-back record of the location. `assessment` is that of `network`.
#[must_use]
pub fn safety_sheet(network: &Network, assessment: &Assessment) -> Sheet {
    let words = &network.region.words;
    let (board, socket) = (&words.board, &words.socket);
    let (earth, neutral) = (&words.earth, &words.neutral);
    let mut fields = place_fields(network);
    fields.extend(
        [
            "meter before, kWh",
            "meter after, kWh",
            &format!("{board} left as found"),
            &format!("photo of the {board}"),
            "accepted for the owner by",
            "signature, date",
        ]
        .map(blank),
    );
    Sheet {
        title: "Safety notes and hand-back record".to_owned(),
        fields,
        tables: vec![
            defect_table(network),
            restore_table(network),
            ramp_table(network),
            trip_table(network),
            forbidden_table(network),
            keep_on_table(network),
            held_table(network),
            danger_table(network, assessment),
        ],
        notes: vec![
            format!(
                "A \"-\" says nothing. A plug-in tester indicates; it certifies \
                 nothing, and it does not see a poor {earth}, or {neutral} and {earth} swapped. The owner has each \
                 defect looked at by a licensed electrician before that {socket} is used."
            ),
            "Everything that was switched off is on again before the crew leaves: fridge, heater, timer, alarm, \
             router. A device that two resets did not bring back stays off, and the owner knows."
                .to_owned(),
            caution(network),
        ],
        ..bare(network, Kind::Safety, None)
    }
}

fn words(headings: &[&str]) -> Vec<Column> {
    headings.iter().map(|heading| Column::words(*heading)).collect()
}

/// Whatever a tester indicates that is not as it should be.
fn defect_table(network: &Network) -> Table {
    let mut columns = words(&[&network.region.words.socket, "room", "tester indicates"]);
    columns.push(Column::marked("loop", "ohm"));
    columns.extend(words(&["label says", "told whom", "when"]));
    let rows = names::sockets_by_number(network).into_iter().filter_map(|at| {
        let node = &network.sockets[at];
        if matches!(node.test, TestOutcome::Ok | TestOutcome::Untested) && !node.never_tripped {
            return None;
        }
        let plan = network.plan.sockets.get_index(at.get()).map(|(_, socket)| socket)?;
        let mut indicates = tester(network, node.test);
        if node.never_tripped {
            indicates = format!("{indicates}; a ramp test dropped no {}", network.region.words.rcd);
        }
        let ohms = plan.loop_impedance;
        Some(Row::of(vec![
            Cell::text(node.id.as_str()),
            told(names::room(network, &node.place)),
            Cell::text(format!("indicates {indicates}")),
            ohms.map_or(Cell::EMPTY, |ohms| Cell::number(ohms.0, 2, Rounding::Up, Basis::Measured)),
            told(plan.label.as_deref()),
            Cell::BLANK,
            Cell::BLANK,
        ]))
    });
    Table { part: "defect", title: "Defects".to_owned(), columns, rows: rows.collect() }
}

/// Loads of the house that were switched off, for a setup or for a test.
fn restore_table(network: &Network) -> Table {
    let mut off: Vec<(String, String, Vec<String>)> = Vec::new();
    let mut add = |circuit: &str, load: &str, why: String| match off
        .iter_mut()
        .find(|(had, name, _)| had == circuit && name == load)
    {
        Some((_, _, whys)) if whys.contains(&why) => {}
        Some((_, _, whys)) => whys.push(why),
        None => off.push((circuit.to_owned(), load.to_owned(), vec![why])),
    };
    for (id, setup) in &network.plan.setups {
        for load in &setup.base_off {
            add(load.circuit.as_str(), &load.name, format!("setup {id}"));
        }
    }
    for (id, socket) in &network.plan.sockets {
        for load in socket.ramps.iter().flat_map(|ramp| &ramp.off) {
            add(load.circuit.as_str(), &load.name, format!("ramp test at {id}"));
        }
    }
    let columns = words(&["load", "circuit", "off for", "off since", "restored at", "by"]);
    let rows = off.into_iter().map(|(circuit, load, whys)| {
        let mut cells = vec![Cell::text(load), Cell::text(circuit), Cell::text(whys.join(", "))];
        cells.extend(vec![Cell::BLANK; 3]);
        Row::of(cells)
    });
    Table { part: "restore", title: "Switched off, to be restored".to_owned(), columns, rows: rows.collect() }
}

fn ramp_table(network: &Network) -> Table {
    let rcd = &network.region.words.rcd;
    let mut columns = words(&[&network.region.words.socket]);
    columns.extend([Column::marked("held", "mA"), Column::marked("tripped at", "mA")]);
    columns.extend(words(&[&format!("{rcd} named"), "off meanwhile", "heads on", "time", "owner warned"]));
    let row = |id: &str, ramp: &Ramp| {
        let milliamps = |value: f64| Cell::number(value, 1, Rounding::Nearest, Basis::Measured);
        let not_reached = Cell::marked("not tripped", Basis::Measured);
        let off = ramp.off.iter().map(|load| format!("{}.{}", load.circuit, load.name));
        let cells = vec![
            Cell::text(id),
            milliamps(ramp.held.0),
            ramp.tripped.map_or(not_reached, |tripped| milliamps(tripped.0)),
            told(ramp.dropped.as_ref().map(RcdId::as_str)),
            listed(off),
            listed(&ramp.heads_on),
            Cell::BLANK,
            Cell::BLANK,
        ];
        Row::of(cells)
    };
    let tests = names::sockets_by_number(network)
        .into_iter()
        .filter_map(|at| network.plan.sockets.get_index(at.get()));
    let rows = tests.flat_map(|(id, socket)| socket.ramps.iter().map(|ramp| row(id.as_str(), ramp)));
    Table { part: "ramp", title: "Ramp tests made".to_owned(), columns, rows: rows.collect() }
}

fn trip_table(network: &Network) -> Table {
    let mut columns = words(&["at", "device", "setup", "struck last"]);
    columns.push(Column::marked("after", "min"));
    columns.extend(words(&["one reset", "what was done"]));
    let row = |trip: &Trip| {
        Row::of(vec![
            told(trip.at.as_deref()),
            told(trip.device.as_ref().map(DeviceId::as_str)),
            told(trip.setup.as_ref().map(SetupId::as_str)),
            told(trip.last_struck.as_ref().map(HeadId::as_str)),
            trip.after.map_or(Cell::EMPTY, |after| Cell::number(after.0, 1, Rounding::Nearest, Basis::Plan)),
            told(trip.reset.map(|reset| word_of(&Reset::WORDS, &reset).replace('-', " "))),
            Cell::BLANK,
        ])
    };
    let rows = network.plan.trips.iter().map(row).collect();
    Table { part: "trip", title: "Trips of the day".to_owned(), columns, rows }
}

fn forbidden_table(network: &Network) -> Table {
    let columns = words(&[&network.region.words.socket, "room", "because"]);
    let rows = names::sockets_by_number(network).into_iter().filter_map(|at| {
        let why = never(network, at)?;
        let node = &network.sockets[at];
        let room = told(names::room(network, &node.place));
        Some(Row::of(vec![Cell::text(node.id.as_str()), room, Cell::text(why)]))
    });
    Table { part: "forbidden", title: "Not to be used".to_owned(), columns, rows: rows.collect() }
}

fn keep_on_table(network: &Network) -> Table {
    let columns = words(&["circuit", "called", "never off, no ramp test, because"]);
    let rows = network.plan.circuits.iter().filter_map(|(id, circuit)| {
        let why = circuit.keep_on.as_deref()?;
        Some(Row::of(vec![Cell::text(id.as_str()), told(circuit.name.as_deref()), Cell::text(why)]))
    });
    Table { part: "keep-on", title: "Must stay on".to_owned(), columns, rows: rows.collect() }
}

/// Circuits that a clock, a card or a sensor switches: what somebody may have overridden.
fn held_table(network: &Network) -> Table {
    let columns = words(&["circuit", "live", "held by", "overridden by", "restored at"]);
    let rows = network
        .plan
        .circuits
        .iter()
        .filter(|(_, circuit)| circuit.hours.is_some() || circuit.held_by.is_some());
    let rows = rows.map(|(id, circuit)| {
        let cells = vec![
            Cell::text(id.as_str()),
            told(circuit.hours.map(|hours| format!("{} to {}", hours.from, hours.until))),
            told(circuit.held_by.map(|held| word_of(&HeldBy::WORDS, &held))),
            Cell::BLANK,
            Cell::BLANK,
        ];
        Row::of(cells)
    });
    Table { part: "held", title: "Clocks, cards and sensors".to_owned(), columns, rows: rows.collect() }
}

/// What the assessment calls a danger, each once.
fn danger_table(network: &Network, assessment: &Assessment) -> Table {
    let columns = words(&["about", "danger", "what to do"]);
    let mut rows: Vec<Row> = Vec::new();
    let dangers = assessment.findings.iter().filter(|found| found.severity == Severity::Danger);
    for found in dangers {
        let cells =
            vec![Cell::text(found.subject.id(network)), Cell::text(&found.text), Cell::text(&found.remedy)];
        let row = Row::of(cells);
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    Table { part: "danger", title: "Dangers in the plan".to_owned(), columns, rows }
}
