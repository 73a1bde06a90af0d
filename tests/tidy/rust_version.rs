//! The workspace builds with the Rust that its Cargo.toml names, as far as that can be told from here: no
//! package asks for a later one, and clippy tells what the standard library has only since.

use serde_json::Value;

use super::licences::{metadata, name, packages};
use super::read_toml;

/// A version as numbers that are in order; what is left out is 0.
fn version(text: &str) -> Vec<u64> {
    let mut numbers: Vec<u64> = text.split('.').map(|part| part.parse().unwrap_or(u64::MAX)).collect();
    numbers.resize(3, 0);
    numbers
}

/// The Rust that Cargo.toml names.
fn stated() -> String {
    let workspace = read_toml("Cargo.toml");
    workspace["workspace"]["package"]["rust-version"].as_str().expect("a version").to_owned()
}

/// Packages that ask for a later Rust than this, each with what it asks for.
fn ask_for_more(packages: &[Value], ours: &str) -> Vec<String> {
    let asked = packages.iter().filter_map(|package| {
        let asked = package["rust_version"].as_str()?;
        (version(asked) > version(ours)).then(|| format!("{} asks for Rust {asked}", name(package)))
    });
    asked.collect()
}

#[test]
fn no_package_asks_for_a_later_rust_than_we_name() {
    let metadata = metadata();
    let packages = packages(&metadata);
    let ours = stated();
    assert!(packages.iter().filter(|package| package["rust_version"].is_string()).count() > 50);
    assert_eq!(ask_for_more(packages, &ours), [""; 0], "Cargo.toml names Rust {ours}");
    // It asks for no more than it needs, either: the latest that a package asks for is ours.
    let needed = packages.iter().filter(|package| !package["source"].is_null());
    let needed = needed.filter_map(|package| package["rust_version"].as_str().map(version)).max();
    assert_eq!(needed, Some(version(&ours)), "Cargo.toml names Rust {ours}");
}

#[test]
fn a_package_that_asks_for_more_is_told_by_name() {
    let package = |asked: &str| serde_json::json!({ "name": "late", "rust_version": asked });
    for asked in ["1.93", "1.92.1", "2.0", "nightly"] {
        assert_eq!(ask_for_more(&[package(asked)], "1.92"), [format!("late asks for Rust {asked}")]);
    }
    for asked in ["1.92", "1.92.0", "1.9.5", "1.60"] {
        assert_eq!(ask_for_more(&[package(asked)], "1.92"), [""; 0], "{asked}");
    }
}

#[test]
fn our_own_packages_state_it_and_clippy_is_told_to_mind_it() {
    let metadata = metadata();
    for package in packages(&metadata).iter().filter(|package| package["source"].is_null()) {
        assert_eq!(package["rust_version"].as_str(), Some(stated().as_str()), "{}", name(package));
    }
    let lints = &read_toml("Cargo.toml")["workspace"]["lints"]["clippy"];
    assert_eq!(lints["incompatible_msrv"].as_str(), Some("warn"));
    for folder in ["", "crates/core/", "crates/papers/"] {
        let clippy = read_toml(&format!("{folder}.clippy.toml"));
        assert_eq!(clippy["check-incompatible-msrv-in-tests"].as_bool(), Some(true), "{folder}");
    }
}
