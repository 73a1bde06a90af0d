//! Core and papers touch nothing: no file, environment, clock, thread, process, network, terminal.

use super::{read_toml, rust_files, without_tests};

/// The parts of the standard library that reach outside.
const OUTSIDE: [&str; 7] = ["fs", "env", "time", "thread", "net", "process", "io"];

#[test]
fn core_and_papers_use_nothing_of_the_standard_library_that_reaches_outside() {
    for folder in ["crates/core/src", "crates/papers/src"] {
        for (name, text) in rust_files(folder) {
            let text = without_tests(&text);
            for part in OUTSIDE {
                assert!(!text.contains(&format!("std::{part}")), "{name} uses std::{part}");
            }
            assert!(
                !text.contains("use std::{"),
                "{name}: one `use std::…` a line, so that this test sees it"
            );
            for word in ["SystemTime", "Instant::now", "println!(", "print!(", "dyn Fn() -> u64"] {
                assert!(!text.contains(word), "{name} uses {word}");
            }
        }
    }
}

#[test]
fn the_configuration_of_a_pure_crate_says_all_that_the_one_at_the_root_says() {
    let outer = read_toml(".clippy.toml");
    for krate in ["core", "papers"] {
        let own = read_toml(&format!("crates/{krate}/.clippy.toml"));
        for (key, value) in &outer {
            assert_eq!(own.get(key), Some(value), "{krate}: {key}");
        }
        for key in ["disallowed-types", "disallowed-methods", "disallowed-macros"] {
            assert!(own[key].as_array().is_some_and(|list| !list.is_empty()), "{krate}: {key}");
        }
    }
}
