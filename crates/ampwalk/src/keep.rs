//! Keeps plans on disk: nothing that was done is lost, and nothing that somebody else wrote.

mod disk;
#[cfg(test)]
mod faults;
mod home;
mod journal;
mod keeper;
mod keeping;
mod lock;
mod names;
mod save;
#[cfg(test)]
mod tests;

pub use disk::{as_others_read, sync_folder};
pub use home::Home;
pub use keeper::{Keeper, Opened};
pub use keeping::{NotSaved, Report};
