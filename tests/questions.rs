//! Questions that crews ask, each a small plan and the number that a right answer holds.
//!
//! The arithmetic is worked beside each. Where only standing leakage counts, heads have no strike
//! leakage. Facts of the trade in them are common practice, no source; the others name theirs.

mod amps;
mod leads;
mod leakage;
mod supplies;
mod trips;

use serde_json::Value;

use crate::support::{Run, run_with};

/// A plan of a house: what is common to all of them, then `rest`.
fn house(region: &str, rest: &str) -> String {
    format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nboard = \"found\"\n\
         [supply.house]\nkind = \"mains\"\n\
         [floor.ground]\nlevel = 0\n[room.hall]\nfloor = \"ground\"\n{rest}"
    )
}

/// A plan with one circuit of `breaker` and one tested socket of two ways on it, with these heads in
/// it, all on for `minutes`.
fn one_circuit(region: &str, breaker: &str, heads: &[(&str, &str)], minutes: u32) -> String {
    let tables: Vec<String> =
        heads.iter().map(|(id, keys)| format!("[head.{id}]\nsocket = \"G1\"\n{keys}\n")).collect();
    let on: Vec<String> = heads.iter().map(|(id, _)| format!("\"{id}\"")).collect();
    house(
        region,
        &format!(
            "[rcd.RA]\nrated_ma = 30\nclass = \"rcd\"\n\
             [circuit.P1]\nsupply = \"house\"\nrcd = \"RA\"\n{breaker}\n\
             [socket.G1]\nroom = \"hall\"\ncircuit = \"P1\"\ntest = \"ok\"\nways = 8\nplate_a = 63\n\
             ramp = {{ held_ma = 25, tripped_ma = 30 }}\n\
             {}[setup.day]\nminutes = {minutes}\non = [{}]\n",
            tables.concat(),
            on.join(", ")
        ),
    )
}

/// What `check` says of a plan.
struct Checked(Value);

impl Checked {
    #[track_caller]
    fn of(plan: &str) -> Self {
        let told: Run = run_with(&["check", "-", "--json"], plan);
        assert!(told.status == Some(0) || told.status == Some(1), "{}\n{plan}", told.err);
        Self(told.json())
    }

    /// A number of the setup `day`: `circuits.P1.amps`, `rcds.RA.room_ma.0`.
    #[track_caller]
    fn day(&self, path: &str) -> f64 {
        let found = self.day_value(path);
        found.as_f64().unwrap_or_else(|| panic!("{path}: {found} in {:#}", self.0["setups"]["day"]))
    }

    /// Another value of the setup `day`.
    fn day_value(&self, path: &str) -> &Value {
        path.split('.').fold(&self.0["setups"]["day"], |value, key| match key.parse::<usize>() {
            Ok(place) => &value[place],
            Err(_) => &value[key],
        })
    }

    /// The findings of a rule.
    fn found(&self, rule: &str) -> Vec<&Value> {
        self.0["findings"].as_array().unwrap().iter().filter(|finding| finding["rule"] == rule).collect()
    }

    /// The only finding of a rule.
    #[track_caller]
    fn finding(&self, rule: &str) -> &Value {
        let found = self.found(rule);
        assert_eq!(found.len(), 1, "{rule} in {:#}", self.0["findings"]);
        found[0]
    }

    /// Holds that a rule found something, or nothing.
    #[track_caller]
    fn has(&self, rule: &str, expected: bool) {
        assert_eq!(!self.found(rule).is_empty(), expected, "{rule} in {:#}", self.0["findings"]);
    }
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}

/// What `explain` says of a subject of a plan in the setup `day`.
#[track_caller]
fn explained(plan: &str, subject: &str) -> String {
    let told = run_with(&["explain", "-", subject, "--setup", "day"], plan);
    assert_eq!(told.status, Some(0), "{}\n{plan}", told.err);
    // Lines are broken where the width says; a sentence is looked for whole.
    told.out.split_whitespace().collect::<Vec<_>>().join(" ")
}
