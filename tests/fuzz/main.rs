//! Plans come by mail from strangers: altered and invented inputs, and laws that hold for each of them.
//!
//! The same inputs at every run. `AMPWALK_FUZZ=1000000 cargo test --release -p ampwalk-tui --test fuzz --
//! --test-threads=1 --nocapture` takes so many over all targets, from the number that
//! `AMPWALK_FUZZ_FROM` says, tells figures, and holds each input to 100 ms and the process to 256 MB.
//! What broke something once is in `kept/`, a file an input, and named by a test.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod kept;
mod laws {
    pub mod keys;
    pub mod line;
    pub mod plan;
    pub mod sheet;
}
mod mutate;
mod run;
mod seeds;

use run::Target;

const PLAN: Target = Target {
    name: "plan",
    share: 20,
    usually: 120,
    seeds: seeds::plans,
    words: seeds::words_of_plans,
    check: laws::plan::check,
};
const SHEET: Target = Target {
    name: "sheet",
    share: 20,
    usually: 200,
    seeds: seeds::sheets,
    words: seeds::words_of_sheets,
    check: laws::sheet::check,
};
const LINE: Target = Target {
    name: "line",
    share: 57,
    usually: 600,
    seeds: seeds::lines,
    words: seeds::words_of_lines,
    check: laws::line::check,
};
const KEYS: Target = Target {
    name: "keys",
    share: 3,
    usually: 40,
    seeds: seeds::keys,
    words: seeds::words_of_lines,
    check: laws::keys::check,
};

#[test]
fn no_plan_of_a_stranger_breaks_a_law() {
    run::run(&PLAN);
}

#[test]
fn no_sheet_of_a_stranger_breaks_a_law() {
    run::run(&SHEET);
}

#[test]
fn no_line_of_any_hand_breaks_a_law() {
    run::run(&LINE);
}

#[test]
fn no_keys_in_any_order_break_a_law() {
    run::run(&KEYS);
}
