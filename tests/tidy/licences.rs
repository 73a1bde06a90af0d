//! Every package of the tree has a licence that `.cargo/deny.toml` allows, and comes from where it
//! allows.

use std::process::Command;

use serde_json::Value;
use spdx::{Expression, Licensee, ParseMode};

use super::{read_toml, root};

/// What `cargo metadata` tells. What other platforms and features need is in no build of this one: where it was never
/// fetched, it is now.
pub(super) fn metadata() -> Value {
    let run = |more: &[&str]| {
        Command::new(env!("CARGO"))
            .args(["metadata", "--format-version", "1", "--locked", "--all-features"])
            .args(more)
            .current_dir(root())
            .output()
            .expect("cargo runs")
    };
    let mut told = run(&["--offline"]);
    if !told.status.success() {
        told = run(&[]);
    }
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    serde_json::from_slice(&told.stdout).expect("JSON")
}

pub(super) fn packages(metadata: &Value) -> &[Value] {
    metadata["packages"].as_array().expect("packages")
}

pub(super) fn name(package: &Value) -> &str {
    package["name"].as_str().expect("a name")
}

fn licensees(list: Option<&toml::Value>) -> Vec<Licensee> {
    let list = list.and_then(toml::Value::as_array).expect("a list of licences");
    let words = list.iter().map(|word| word.as_str().expect("a word"));
    words.map(|word| Licensee::parse(word).unwrap_or_else(|error| panic!("{word}: {error}"))).collect()
}

/// The licences for every package, and those for one package only.
fn allowed() -> (Vec<Licensee>, Vec<(String, Vec<Licensee>)>) {
    let deny = read_toml(".cargo/deny.toml");
    let licenses = &deny["licenses"];
    let exceptions = licenses["exceptions"].as_array().expect("a list of exceptions");
    let exceptions = exceptions
        .iter()
        .map(|one| (one["crate"].as_str().expect("a crate").to_owned(), licensees(one.get("allow"))))
        .collect();
    (licensees(licenses.get("allow")), exceptions)
}

fn is_allowed(licence: &str, allowed: &[&Licensee]) -> bool {
    let expression = Expression::parse_mode(licence, ParseMode::LAX);
    expression.is_ok_and(|expression| {
        expression.evaluate(|needed| allowed.iter().any(|licensee| licensee.satisfies(needed)))
    })
}

#[test]
fn every_package_has_a_licence_that_is_allowed() {
    let (everywhere, exceptions) = allowed();
    let metadata = metadata();
    assert!(packages(&metadata).len() > 50, "the whole tree was read");
    for package in packages(&metadata) {
        let own = exceptions.iter().filter(|(name_, _)| name_ == name(package)).flat_map(|(_, list)| list);
        let allowed: Vec<&Licensee> = everywhere.iter().chain(own).collect();
        let licence = package["license"].as_str().unwrap_or("none given");
        assert!(is_allowed(licence, &allowed), "{}: {licence} is not in .cargo/deny.toml", name(package));
    }
}

#[test]
fn a_licence_that_is_not_on_the_list_is_refused() {
    let (everywhere, _) = allowed();
    let everywhere: Vec<&Licensee> = everywhere.iter().collect();
    for licence in ["GPL-3.0-only", "MIT AND GPL-3.0-only", "none given", ""] {
        assert!(!is_allowed(licence, &everywhere), "{licence}");
    }
    for licence in ["MIT", "MIT/Apache-2.0", "GPL-3.0-only OR MIT"] {
        assert!(is_allowed(licence, &everywhere), "{licence}");
    }
}

#[test]
fn no_exception_and_no_licence_is_allowed_in_vain() {
    let (everywhere, exceptions) = allowed();
    let text = super::read("Cargo.lock");
    for (name, _) in exceptions {
        assert!(text.contains(&format!("name = \"{name}\"")), "{name} is in the tree no more");
    }
    let metadata = metadata();
    for licensee in everywhere {
        let word = licensee.to_string();
        let is_used = packages(&metadata)
            .iter()
            .any(|package| package["license"].as_str().is_some_and(|licence| licence.contains(&word)));
        assert!(is_used, "no package has {word}");
    }
}

#[test]
fn every_package_comes_from_the_registry_or_from_here() {
    let deny = read_toml(".cargo/deny.toml");
    let registries = deny["sources"]["allow-registry"].as_array().expect("registries");
    let metadata = metadata();
    for package in packages(&metadata) {
        let Some(source) = package["source"].as_str() else { continue };
        let url = source.strip_prefix("registry+").unwrap_or(source);
        let is_known = registries.iter().any(|registry| registry.as_str() == Some(url));
        assert!(is_known, "{} comes from {source}", name(package));
    }
}

#[test]
fn our_own_packages_say_what_they_are_and_are_under_both_licences() {
    let metadata = metadata();
    let own: Vec<&Value> = packages(&metadata).iter().filter(|package| package["source"].is_null()).collect();
    assert_eq!(own.len(), 5);
    for package in own {
        assert_eq!(package["license"].as_str(), Some("MIT OR Apache-2.0"), "{}", name(package));
        assert!(package["description"].as_str().is_some_and(|text| !text.is_empty()), "{}", name(package));
    }
    for file in ["LICENSE-MIT", "LICENSE-APACHE"] {
        assert!(super::read(file).contains("the ampwalk contributors"), "{file} names its holder");
    }
}
