//! Undo and redo without limit, and whether the text is as it was saved.

use crate::edit::Change;

/// Changes that were made to a text, and those that were taken back.
#[derive(Clone, Debug, Default)]
pub struct History {
    done: Vec<Change>,
    undone: Vec<Change>,
    /// How many changes were done when the text was saved; `None`: that state is out of reach.
    saved: Option<usize>,
}

impl History {
    /// The history of a text that is as it was saved.
    #[must_use]
    pub fn of_saved() -> Self {
        Self { saved: Some(0), ..Self::default() }
    }

    /// The history of a text that was never saved as it is.
    #[must_use]
    pub fn of_unsaved() -> Self {
        Self::default()
    }

    /// Remembers a change that was just made. What was undone before it is out of reach. A change that
    /// changes nothing is not remembered.
    pub fn record(&mut self, change: Change) {
        if change.is_empty() {
            return;
        }
        if self.saved.is_some_and(|saved| saved > self.done.len()) {
            self.saved = None;
        }
        self.undone.clear();
        self.done.push(change);
    }

    /// Takes the last change back. Returns what was done to the text, under its label; `None`: there is none.
    pub fn undo(&mut self, text: &mut String) -> Option<Change> {
        let change = self.done.pop()?;
        let inverse = change.inverse();
        *text = inverse.apply(text);
        self.undone.push(change);
        Some(inverse)
    }

    /// Makes the change again that was taken back last. Returns it; `None`: there is none.
    pub fn redo(&mut self, text: &mut String) -> Option<Change> {
        let change = self.undone.pop()?;
        *text = change.apply(text);
        self.done.push(change.clone());
        Some(change)
    }

    /// What undo would take back.
    #[must_use]
    pub fn next_undo(&self) -> Option<&str> {
        self.done.last().map(|change| change.label.as_str())
    }

    /// What redo would make again.
    #[must_use]
    pub fn next_redo(&self) -> Option<&str> {
        self.undone.last().map(|change| change.label.as_str())
    }

    /// Remembers that the text was saved as it is now.
    pub fn saved(&mut self) {
        self.saved = Some(self.done.len());
    }

    /// Whether the text is as it was saved: also after undo and redo have led back there.
    #[must_use]
    pub fn is_saved(&self) -> bool {
        self.saved == Some(self.done.len())
    }
}
