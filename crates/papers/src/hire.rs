//! The producer's page: whether a generator is needed, why, what else would do, and what to hire.
//!
//! Blank on it, because no plan says it: costs, place, noise, permits, delivery, minutes that a trip costs.

use ampwalk_core::network::Network;
use ampwalk_core::plan::{Fuel, Wiring, word_of};
use ampwalk_core::rule::words::number;
use ampwalk_core::solve::verdict::{Asks, CAUTION, Hire, Need, ProducersAnswer, Reason};

use crate::frame::{bare, blank, caution, count, field, listed, place_fields};
use crate::sheet::{Basis, Cell, Column, Field, Kind, Rounding, Row, Sheet, Table};

/// The generator and hire request, from the producer's answer for this plan.
///
/// What the numbers of an answer rest on is not told one by one, so all are marked as the least sure.
#[must_use]
pub fn generator_sheet(network: &Network, answer: &ProducersAnswer) -> Sheet {
    let mut all = vec![
        field("verdict", Some(headline(answer).to_owned())),
        field("in words", Some(answer.summary.clone())),
    ];
    all.extend(place_fields(network));
    all.extend(asked(answer));
    Sheet {
        title: "Generator and hire request".to_owned(),
        fields: all,
        tables: vec![
            reason_table(network, answer),
            ways_table(answer),
            set_table(network, answer),
            outlets_table(network, answer),
            points_table(network, answer),
            cost_table(answer),
        ],
        notes: explained(network, answer),
        ..bare(network, Kind::Generator, None)
    }
}

fn headline(answer: &ProducersAnswer) -> &'static str {
    match (answer.need, answer.is_proven) {
        (Need::No, _) => "NO generator",
        (Need::OnlyIf, _) => "NO generator, ONLY IF one of the ways out is taken; else YES",
        (Need::Yes, true) => "YES, a generator",
        (Need::Yes, false) => "YES, a generator, as far as was found",
    }
}

/// Blanks of the page; those of the set only where one may be hired.
fn asked(answer: &ProducersAnswer) -> Vec<Field> {
    let mut blanks = Vec::new();
    if answer.hire.is_some() {
        blanks.extend([
            "stands where, how far away",
            "exhaust away from windows and people",
            "noise limit",
            "lead and ramps, length",
            "permit, neighbours told",
            "delivered by, collected at",
            "who refuels and watches it",
        ]);
    }
    blanks.extend(["minutes lost a trip", "people who wait meanwhile", "licensed electrician"]);
    blanks.into_iter().map(blank).collect()
}

/// A number in a text, with its unit.
fn with_unit(value: Option<f64>, unit: &str) -> Cell {
    value.map_or(Cell::EMPTY, |value| {
        Cell::marked(format!("{} {unit}", number(value)).trim_end(), Basis::Assumed)
    })
}

fn reason_table(network: &Network, answer: &ProducersAnswer) -> Table {
    let columns = vec![
        Column::words("limit"),
        Column::words("of"),
        Column::words("head"),
        Column::marked("needed", ""),
        Column::marked("there", ""),
        Column::words("because"),
    ];
    let row = |reason: &Reason| {
        Row::of(vec![
            Cell::text(reason.limit),
            Cell::text(reason.subject.id(network)),
            listed(reason.head.map(|head| network.head_id(head))),
            with_unit(reason.needed, reason.unit),
            with_unit(reason.there, reason.unit),
            Cell::text(&reason.text),
        ])
    };
    Table {
        part: "reason",
        title: "What stands in the way".to_owned(),
        columns,
        rows: answer.reason.iter().map(row).collect(),
    }
}

fn ways_table(answer: &ProducersAnswer) -> Table {
    let columns = vec![
        Column::words("no."),
        Column::words("way out"),
        Column::marked("gains", ""),
        Column::words("asks"),
        Column::words("agreed by, when"),
    ];
    let rows = answer.ways_out.iter().enumerate().map(|(place, way)| {
        let asks = match way.asks {
            Asks::Crew => "the crew",
            Asks::Owner => "the owner",
        };
        let cells = vec![
            Cell::text((place + 1).to_string()),
            Cell::text(&way.action),
            with_unit(way.gains, way.unit),
            Cell::text(asks),
            Cell::BLANK,
        ];
        Row::of(cells)
    });
    let title = "Any one of these, and no generator is needed".to_owned();
    Table { part: "way", title, columns, rows: rows.collect() }
}

fn set_table(network: &Network, answer: &ProducersAnswer) -> Table {
    let columns = vec![
        Column::words("set"),
        Column::marked("size", "kVA"),
        Column::marked("computed", "kVA"),
        Column::words(format!("{}s", network.region.words.line)),
        Column::marked("runs", "h"),
        Column::words("fuel"),
        Column::marked("burns about", "l"),
        Column::words("for heads"),
    ];
    let title = if answer.need == Need::OnlyIf { "Else hire" } else { "Hire" };
    let rows = answer.hire.iter().map(|hire| Row::of(set_cells(network, hire))).collect();
    Table { part: "hire", title: title.to_owned(), columns, rows }
}

fn set_cells(network: &Network, hire: &Hire) -> Vec<Cell> {
    let lines = match hire.wiring {
        Wiring::One => "1",
        Wiring::Split => "2",
        Wiring::Star => "3",
    };
    let size = match hire.kva {
        Some(kva) => Cell::number(kva.0, 1, Rounding::Nearest, Basis::Assumed),
        None => Cell::marked("more than one set", Basis::Assumed),
    };
    vec![
        Cell::text("generator"),
        size,
        Cell::number(hire.computed_kva.0, 2, Rounding::Up, Basis::Assumed),
        Cell::text(lines),
        // Hours are those of the setups, which the plan says.
        Cell::number(hire.hours, 1, Rounding::Up, Basis::Plan),
        Cell::text(word_of(&Fuel::WORDS, &hire.fuel)),
        hire.litres.map_or(Cell::EMPTY, |litres| Cell::number(litres.0, 0, Rounding::Up, Basis::Assumed)),
        listed(hire.heads.iter().map(|head| network.head_id(*head))),
    ]
}

fn outlets_table(network: &Network, answer: &ProducersAnswer) -> Table {
    let columns = vec![Column::words("kind"), Column::marked("at once", "pcs"), Column::words("offered")];
    let outlets = answer.hire.iter().flat_map(|hire| &hire.outlets);
    let rows = outlets.map(|(kind, pieces)| {
        let known = network.heads.iter().find(|(_, head)| head.plug_id == *kind);
        let rests_on = known.map_or(Basis::Assumed, |(_, head)| head.plug.origin.into());
        Row::of(vec![Cell::text(kind.as_str()), count(*pieces, rests_on), Cell::BLANK])
    });
    let title = format!("Kinds of {} that it must have", network.region.words.socket);
    Table { part: "outlet", title, columns, rows: rows.collect() }
}

fn points_table(network: &Network, answer: &ProducersAnswer) -> Table {
    let columns = vec![Column::words("no."), Column::words("ask for, look at"), Column::words("answer")];
    let words = &network.region.words;
    let tie_in = format!(
        "nothing is tied in to the {}, and no time switch or bond is touched, without a licensed electrician",
        words.board
    );
    let notes = answer.hire.iter().flat_map(|hire| hire.notes.iter().cloned().chain([tie_in.clone()]));
    let rows = notes.enumerate().map(|(place, note)| {
        Row::of(vec![Cell::text((place + 1).to_string()), Cell::text(note), Cell::BLANK])
    });
    Table { part: "point", title: "Points".to_owned(), columns, rows: rows.collect() }
}

/// Lines for the producer's own figures.
fn cost_table(answer: &ProducersAnswer) -> Table {
    let columns = vec![
        Column::words("cost of"),
        Column::words("offer from"),
        Column::words("a day"),
        Column::words("days"),
        Column::words("in all"),
    ];
    let with_hire = ["generator", "fuel", "lead, ramps, distribution", "delivery and collection", "operator"];
    let hired = answer.hire.iter().flat_map(|_| with_hire);
    let lines =
        hired.chain(["licensed electrician", "owner's power", "not doing it: minutes a trip × people"]);
    let rows = lines.map(|line| {
        let mut cells = vec![Cell::BLANK; columns.len()];
        cells[0] = Cell::text(line);
        Row::of(cells)
    });
    let rows = rows.collect();
    Table { part: "cost", title: "Costs, left to the producer".to_owned(), columns, rows }
}

fn explained(network: &Network, answer: &ProducersAnswer) -> Vec<String> {
    let mut notes = vec![
        "A \"-\" says nothing. Sizes are planned to 80 %, hire sizes and fuel are \
         typical: the hire company's own figures decide."
            .to_owned(),
    ];
    if answer.was_stopped {
        notes.push("The search was stopped before everything was tried.".to_owned());
    }
    notes.push(CAUTION.to_owned());
    notes.push(caution(network));
    notes
}
