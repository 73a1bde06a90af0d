//! The screens of ampwalk: events in, effects and a drawn buffer out. No file, clock or terminal.

pub mod scene;
pub mod theme;
pub mod view;
pub mod widget;
