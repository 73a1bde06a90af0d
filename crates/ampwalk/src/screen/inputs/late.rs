//! A terminal far away may answer what its colours are when nobody waits any more. Its answer is no
//! typing, and must not reach the commands.

use std::time::Duration;

use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};

/// An answer that comes later than this is taken for typing.
pub const PATIENCE: Duration = Duration::from_secs(5);

/// The longest answer, in keys: three colours of four digits with what stands around them.
const LONGEST: usize = 40;

/// Takes late answers out of what comes in. An answer is an operating system command of ECMA-48:
/// ESC ] text ESC \ or ESC ] text BEL, which arrives as if it were typed.
#[derive(Debug, Default)]
pub struct Answers {
    /// Keys of the answer that is coming in, so far.
    inside: Option<usize>,
}

impl Answers {
    /// Whether an event is a part of an answer.
    pub fn takes(&mut self, event: &Event) -> bool {
        let Event::Key(key) = event else { return false };
        match self.inside {
            None if is(key, ']', KeyModifiers::ALT) => {
                self.inside = Some(1);
                true
            }
            None => false,
            Some(_) if is(key, '\\', KeyModifiers::ALT) || is(key, 'g', KeyModifiers::CONTROL) => {
                self.inside = None;
                true
            }
            Some(LONGEST..) => {
                self.inside = None;
                false
            }
            Some(count) => {
                self.inside = Some(count + 1);
                true
            }
        }
    }
}

fn is(key: &KeyEvent, letter: char, modifiers: KeyModifiers) -> bool {
    key.code == KeyCode::Char(letter) && key.modifiers == modifiers
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(letter: char, modifiers: KeyModifiers) -> Event {
        Event::Key(KeyEvent::new(KeyCode::Char(letter), modifiers))
    }

    fn passed(events: &[Event]) -> Vec<Event> {
        let mut answers = Answers::default();
        events.iter().filter(|event| !answers.takes(event)).cloned().collect()
    }

    #[test]
    fn an_answer_is_taken_and_typing_around_it_passes() {
        let typed = |text: &str| text.chars().map(|c| key(c, KeyModifiers::NONE)).collect::<Vec<_>>();
        let mut events = typed("a");
        for end in [key('\\', KeyModifiers::ALT), key('g', KeyModifiers::CONTROL)] {
            events.push(key(']', KeyModifiers::ALT));
            events.extend(typed("11;rgb:ffff/ffff/ffff"));
            events.push(end);
        }
        events.extend(typed("b"));
        assert_eq!(passed(&events), typed("ab"));
    }

    #[test]
    fn an_answer_without_end_does_not_swallow_typing_for_ever() {
        let mut events = vec![key(']', KeyModifiers::ALT)];
        events.extend((0..100).map(|_| key('x', KeyModifiers::NONE)));
        assert_eq!(passed(&events).len(), 61);
    }
}
