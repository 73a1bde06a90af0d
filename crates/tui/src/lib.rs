//! The screens of ampwalk: events in, effects and a drawn buffer out. No file, clock or terminal.
//!
//! [`update::update`] takes an [`event::Event`] in and returns what the host is to do;
//! [`view::draw`] draws the [`model::Model`] and changes nothing. Every key reaches its behaviour
//! through the one table in [`command`].

pub mod ask;
pub mod command;
pub mod cores;
pub mod document;
pub mod effect;
pub mod event;
#[cfg(test)]
mod fixture;
pub mod floors;
pub mod form;
pub mod guide;
pub mod keymap;
pub mod layer;
pub mod line;
pub mod matches;
pub mod model;
pub mod outside;
mod paint;
pub mod placing;
pub mod plot;
pub mod producer;
pub mod scene;
pub mod settings;
pub mod sheets;
#[cfg(test)]
mod tests;
pub mod text;
pub mod theme;
pub mod trip;
pub mod update;
pub mod view;
pub mod widget;
pub mod words;

pub use paint::styled_text;
