//! The first-run guide: six lines that go away as the user does what they say. It never takes a key.

/// A step of the guide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Choose a head.
    PickUp,
    /// Put it on a socket.
    Drop,
    /// Look at what is wrong.
    Findings,
    /// Let the program put the others on.
    Rest,
    /// Say that something went.
    Trip,
    /// Take it back.
    Undo,
}

impl Step {
    /// Every step with what it says, in order.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::PickUp, "enter picks up the head under the cursor"),
        (Self::Drop, "in hand: tab goes on, enter drops"),
        (Self::Findings, "f lists what is wrong, worst first"),
        (Self::Rest, "a puts on the heads that are left"),
        (Self::Trip, "! says what to do when something went"),
        (Self::Undo, "u takes the last step back, U again"),
    ];
}

/// What the guide still has to say.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Guide {
    left: Vec<Step>,
}

impl Guide {
    /// The guide of a demo: all of it.
    #[must_use]
    pub fn of_demo() -> Self {
        Self { left: Step::ALL.iter().map(|(step, _)| *step).collect() }
    }

    /// Takes away what the user has just done.
    pub fn done(&mut self, step: Step) {
        self.left.retain(|left| *left != step);
    }

    /// Takes all of it away.
    pub fn dismiss(&mut self) {
        self.left.clear();
    }

    /// Whether there is nothing left to say.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.left.is_empty()
    }

    /// The lines that are left, in order.
    pub fn lines(&self) -> impl Iterator<Item = &'static str> {
        Step::ALL.iter().filter(|(step, _)| self.left.contains(step)).map(|(_, line)| *line)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_guide_has_six_short_lines_and_ends_when_all_is_done() {
        let mut guide = Guide::of_demo();
        assert_eq!(guide.lines().count(), 6);
        assert!(guide.lines().all(|line| line.len() <= 44));
        for (step, line) in Step::ALL {
            assert!(guide.lines().any(|left| left == line));
            guide.done(step);
            assert!(guide.lines().all(|left| left != line));
        }
        assert!(guide.is_over());
    }
}
