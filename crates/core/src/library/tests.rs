//! What the built-in tables must hold, checked against values from outside them.

mod cables;
mod heads;
mod outlets;
mod regions;

/// Whether a source says something, and not only that there is one.
fn says_something(source: &str) -> bool {
    source.trim().len() >= 8
}
