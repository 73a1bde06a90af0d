//! A terminal far away may answer what its colours are when nobody waits any more. Its answer is no
//! typing, and must not reach the commands; what it says of the ground, the theme follows.

use std::time::Duration;

use ampwalk_tui::event::Ground;
use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};

/// An answer that comes later than this is taken for typing.
pub const PATIENCE: Duration = Duration::from_secs(5);

/// The longest answer, in keys: three colours of four digits with what stands around them.
const LONGEST: usize = 40;

/// Takes late answers out of what comes in. An answer is an operating system command of ECMA-48:
/// ESC ] text ESC \ or ESC ] text BEL, which arrives as if it were typed.
#[derive(Debug, Default)]
pub struct Answers {
    /// The answer that is coming in, so far.
    inside: Option<String>,
    /// What an answer said of the ground that text stands on, until somebody takes it.
    ground: Option<Ground>,
}

impl Answers {
    /// Whether an event is a part of an answer.
    pub fn takes(&mut self, event: &Event) -> bool {
        let Event::Key(key) = event else { return false };
        let Some(answer) = &mut self.inside else {
            let begins = is(key, ']', KeyModifiers::ALT);
            self.inside = begins.then(String::new);
            return begins;
        };
        if is(key, '\\', KeyModifiers::ALT) || is(key, 'g', KeyModifiers::CONTROL) {
            self.ground = ground(answer).or(self.ground);
            self.inside = None;
            return true;
        }
        if answer.len() >= LONGEST {
            self.inside = None;
            return false;
        }
        // What is no letter has no part in an answer.
        answer.push(if let KeyCode::Char(letter) = key.code { letter } else { '?' });
        true
    }

    /// What the last answer said of the ground, once.
    pub fn take_ground(&mut self) -> Option<Ground> {
        self.ground.take()
    }
}

/// What an answer says of the ground: `11;rgb:ffff/ffff/ffff`, each colour in one to four hexadecimal
/// digits (xterm control sequences, OSC 11; colours as X11 writes them).
fn ground(answer: &str) -> Option<Ground> {
    let mut parts = answer.strip_prefix("11;rgb:")?.split('/').map(|digits| {
        let most =
            u32::pow(16, u32::try_from(digits.len()).ok().filter(|count| (1..=4).contains(count))?) - 1;
        Some(f64::from(u32::from_str_radix(digits, 16).ok()?) / f64::from(most))
    });
    let [red, green, blue] = [parts.next()??, parts.next()??, parts.next()??];
    // How bright each primary is (ITU-R BT.709).
    let luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    Some(if luma > 0.5 { Ground::Light } else { Ground::Dark })
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
    fn an_answer_tells_the_ground_once() {
        assert_eq!(ground("11;rgb:ffff/ffff/ffff"), Some(Ground::Light));
        assert_eq!(ground("11;rgb:1e/1e/2e"), Some(Ground::Dark));
        assert_eq!(ground("11;rgb:f/f/d"), Some(Ground::Light));
        for other in ["10;rgb:ffff/ffff/ffff", "11;rgb:ffff/ffff", "11;rgb:x/0/0", "11;rgb:fffff/0/0", ""] {
            assert_eq!(ground(other), None, "{other}");
        }
        let mut answers = Answers::default();
        let mut events = vec![key(']', KeyModifiers::ALT)];
        events.extend("11;rgb:ffff/ffff/ffff".chars().map(|c| key(c, KeyModifiers::NONE)));
        events.push(key('\\', KeyModifiers::ALT));
        assert!(events.iter().all(|event| answers.takes(event)));
        assert_eq!((answers.take_ground(), answers.take_ground()), (Some(Ground::Light), None));
    }

    #[test]
    fn an_answer_without_end_does_not_swallow_typing_for_ever() {
        let mut events = vec![key(']', KeyModifiers::ALT)];
        events.extend((0..100).map(|_| key('x', KeyModifiers::NONE)));
        // The answer takes forty letters at most; the other sixty are typing.
        assert_eq!(passed(&events).len(), 60);
    }
}
