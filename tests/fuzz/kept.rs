//! Inputs that broke something once: a file and a test each, of the same name.

use crate::laws;
use crate::seeds::files;

macro_rules! kept {
    ($($name:ident: $target:ident,)*) => {
        $(#[test]
        fn $name() {
            laws::$target::check(include_bytes!(concat!("kept/", stringify!($name))));
        })*
        const NAMES: &[&str] = &[$(concat!(stringify!($target), " ", stringify!($name))),*];
    };
}

kept! {
    keys_a_soft_hyphen_is_pasted_into_a_line: keys,
    keys_an_override_is_pasted_into_a_line: keys,
    line_a_base_load_goes_that_a_ramp_test_names: line,
    line_a_box_loses_the_line_of_its_circuit: line,
    line_a_control_stands_behind_a_word_that_takes_one: line,
    line_a_word_of_a_thousand_letters_is_nearly_a_key: line,
    plan_a_base_load_that_is_meant_hides: plan,
    plan_a_head_that_hides_is_placed_by_a_setup: plan,
    plan_a_key_has_a_thousand_digits: plan,
    plan_a_message_quotes_what_hides: plan,
    sheet_a_cell_of_a_thousand_digits_has_no_unit: sheet,
}

#[test]
fn every_kept_input_has_a_test_and_is_a_seed_of_its_target() {
    let there: Vec<String> = files("fuzz/kept").into_iter().map(|(name, _)| name).collect();
    let mut named: Vec<&str> =
        NAMES.iter().filter_map(|name| name.split_once(' ')).map(|(_, name)| name).collect();
    named.sort_unstable();
    assert_eq!(there, named);
    for (target, name) in NAMES.iter().filter_map(|name| name.split_once(' ')) {
        assert!(name.starts_with(&format!("{target}_")), "{name} does not say that it is of {target}");
    }
}
