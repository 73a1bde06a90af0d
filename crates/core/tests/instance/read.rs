//! Reads the seeded placement instances of `tests/reference/placement/` into problems.
//!
//! Units there: 0.1 A, 0.01 mA, metres. Sockets of one room and circuit are one place; of the leads, no
//! more heads may need more than a length than there are longer ones.

use std::collections::HashMap;

use ampwalk_core::solve::{Choice, Device, Item, Leak, Load, Problem, Row};
use serde_json::Value;

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap()
}

fn place(value: &Value) -> Option<usize> {
    value.as_u64().map(|number| usize::try_from(number).unwrap())
}

fn real(value: i64) -> f64 {
    f64::from(i32::try_from(value).unwrap())
}

struct Layout {
    ways: usize,
    standing: usize,
    leads: Vec<(i64, usize)>,
    /// (room, circuit) → place, in order.
    places: Vec<(usize, usize, usize)>,
    of_socket: Vec<Option<usize>>,
}

/// The problem of an instance, by its name.
pub fn instance(name: &str) -> Problem {
    let path = format!("{}/../../tests/reference/placement/{name}.json", env!("CARGO_MANIFEST_DIR"));
    problem(&std::fs::read_to_string(path).unwrap())
}

/// The problem of an instance, by its text.
pub fn problem(text: &str) -> Problem {
    let data: Value = serde_json::from_str(text).unwrap();
    let setups = place(&data["setups"]).unwrap();
    let mut problem = Problem {
        generators: data["generators"].as_array().unwrap().iter().map(|node| whole(&node["cost"])).collect(),
        ..Problem::default()
    };
    let layout = rows(&data, setups, &mut problem);
    for lamp in data["lamps"].as_array().unwrap() {
        let item = item(&data, &layout, lamp, setups, &problem);
        problem.items.push(item);
    }
    problem
}

fn rows(data: &Value, setups: usize, problem: &mut Problem) -> Layout {
    for circuit in data["circuits"].as_array().unwrap() {
        let limit = whole(&circuit["limit"]) - whole(&circuit["base"]);
        for setup in 0..setups {
            problem.rows.push(Row { limit, lowered: None, family: Some(setup), is_headroom: true });
        }
    }
    let standing = problem.rows.len();
    for rcd in data["rcds"].as_array().unwrap() {
        let (limit, hold) = (whole(&rcd["standing_limit"]), whole(&rcd["hold"]));
        for setup in 0..setups {
            problem.rows.push(Row { limit, lowered: None, family: Some(setups + setup), is_headroom: false });
            problem.devices.push(Device { before: 0, low: hold, high: Some(hold + 1) });
        }
    }
    let ways = problem.rows.len();
    let mut known: HashMap<(usize, usize), usize> = HashMap::new();
    let mut layout = Layout { ways, standing, leads: Vec::new(), places: Vec::new(), of_socket: Vec::new() };
    for (at, socket) in data["sockets"].as_array().unwrap().iter().enumerate() {
        let room = place(&socket["room"]).unwrap();
        let Some(circuit) = place(&socket["circuit"]) else {
            layout.of_socket.push(None);
            continue;
        };
        let own = *known.entry((room, circuit)).or_insert_with(|| {
            layout.places.push((room, circuit, at));
            problem.rows.push(Row { limit: 0, lowered: None, family: Some(2 * setups), is_headroom: false });
            layout.places.len() - 1
        });
        problem.rows[ways + own].limit += whole(&socket["outlets"]);
        layout.of_socket.push(Some(own));
    }
    let mut leads: Vec<(i64, i64)> = data["cables"]
        .as_array()
        .unwrap()
        .iter()
        .map(|cable| (whole(&cable["length"]), whole(&cable["count"])))
        .collect();
    leads.sort_unstable();
    for at in 0..leads.len() {
        let longer = leads[at + 1..].iter().map(|(_, count)| count).sum();
        layout.leads.push((leads[at].0, problem.rows.len()));
        problem.rows.push(Row { limit: longer, lowered: None, family: None, is_headroom: false });
    }
    layout
}

fn item(data: &Value, layout: &Layout, lamp: &Value, setups: usize, problem: &Problem) -> Item {
    let (room, amps) = (place(&lamp["room"]).unwrap(), whole(&lamp["amps"]));
    let (standing, strike) = (whole(&lamp["standing"]), whole(&lamp["strike"]));
    let on: Vec<usize> = lamp["setups"].as_array().unwrap().iter().filter_map(place).collect();
    let of_socket = |key: &str| place(&lamp[key]).map(|socket| layout.of_socket[socket]);
    let (fixed, now) = (of_socket("fixed_socket"), of_socket("current_socket"));
    let (ohms, volts) = (data["cable_ohm_per_m_loop"].as_f64().unwrap(), whole(&data["volts"]));
    let mut choices = Vec::new();
    for (at, (_, circuit, socket)) in layout.places.iter().enumerate() {
        let metres = whole(&data["dist"][room][*socket]);
        let drop = real(amps) / 10.0 * real(metres) * ohms / real(volts) * 100.0;
        let is_here = fixed == Some(Some(at));
        let most = data["vdrop_max_pct"].as_f64().unwrap();
        if !is_here && (fixed.is_some() || drop > most) {
            continue;
        }
        let node = &data["circuits"][*circuit];
        let rcd = place(&node["rcd"]).unwrap();
        let mut choice = Choice {
            metres,
            moved: i64::from(now.is_some_and(|now| now != Some(at))),
            generators: place(&node["generator"]).into_iter().collect(),
            ..Choice::default()
        };
        choice.loads.push(Load { row: layout.ways + at, amount: 1 });
        for (length, row) in &layout.leads {
            if metres > *length {
                choice.loads.push(Load { row: *row, amount: 1 });
            }
        }
        for setup in &on {
            choice.loads.push(Load { row: circuit * setups + setup, amount: amps });
            let device = rcd * setups + setup;
            choice.loads.push(Load { row: layout.standing + device, amount: standing });
            // The instances give the whole peak of a strike, standing leakage included.
            let extra = strike - standing;
            choice.leaks.push(Leak { device, standing, strike: extra, rank: -extra });
        }
        if choice.loads.iter().all(|load| load.amount <= problem.rows[load.row].limit) {
            choices.push(choice);
        }
    }
    Item { importance: whole(&lamp["importance"]), is_fixed: false, choices }
}
