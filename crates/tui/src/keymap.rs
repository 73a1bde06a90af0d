//! Names of keys, which command each calls, and the user's own choices.

use std::collections::BTreeMap;
use std::fmt;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use crate::command::{COMMANDS, Command, Context};

/// A key with what is held down meanwhile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd)]
pub struct Chord {
    code: KeyCode,
    modifiers: KeyModifiers,
}

/// Keys that are no letters, with their names.
const NAMES: [(&str, KeyCode); 15] = [
    ("enter", KeyCode::Enter),
    ("esc", KeyCode::Esc),
    ("tab", KeyCode::Tab),
    ("backtab", KeyCode::BackTab),
    ("up", KeyCode::Up),
    ("down", KeyCode::Down),
    ("left", KeyCode::Left),
    ("right", KeyCode::Right),
    ("pageup", KeyCode::PageUp),
    ("pagedown", KeyCode::PageDown),
    ("home", KeyCode::Home),
    ("end", KeyCode::End),
    ("space", KeyCode::Char(' ')),
    ("delete", KeyCode::Delete),
    ("insert", KeyCode::Insert),
];

impl Chord {
    /// The chord of a key that was pressed. Shift is in the letter already, and in `backtab`.
    #[must_use]
    pub fn of(key: KeyEvent) -> Self {
        let mut modifiers = key.modifiers & (KeyModifiers::CONTROL | KeyModifiers::ALT | KeyModifiers::SHIFT);
        let code = match key.code {
            KeyCode::Tab if modifiers.contains(KeyModifiers::SHIFT) => KeyCode::BackTab,
            KeyCode::Char(c) if modifiers.contains(KeyModifiers::CONTROL) => {
                KeyCode::Char(c.to_ascii_lowercase())
            }
            code => code,
        };
        if matches!(code, KeyCode::Char(_) | KeyCode::BackTab) {
            modifiers.remove(KeyModifiers::SHIFT);
        }
        Self { code, modifiers }
    }

    /// Reads a key's name: `enter`, `x`, `U`, `ctrl-z`, `alt-enter`, `f5`.
    ///
    /// # Errors
    /// In words, where no key is called so.
    pub fn parse(name: &str) -> Result<Self, String> {
        let mut modifiers = KeyModifiers::NONE;
        let mut rest = name.trim();
        loop {
            let prefixes = [
                ("ctrl-", KeyModifiers::CONTROL),
                ("alt-", KeyModifiers::ALT),
                ("shift-", KeyModifiers::SHIFT),
            ];
            let Some((prefix, modifier)) = prefixes
                .into_iter()
                .find(|(prefix, _)| rest.len() > prefix.len() && rest.starts_with(prefix))
            else {
                break;
            };
            modifiers |= modifier;
            rest = &rest[prefix.len()..];
        }
        let code = NAMES.iter().find(|(known, _)| *known == rest).map(|(_, code)| *code);
        let code = code.or_else(|| function_key(rest)).or_else(|| single(rest));
        match code {
            Some(code) => Ok(Self::of(KeyEvent::new(code, modifiers))),
            None => Err(format!("no key is called `{name}`")),
        }
    }
}

fn function_key(name: &str) -> Option<KeyCode> {
    let number: u8 = name.strip_prefix('f')?.parse().ok()?;
    (1..=12).contains(&number).then_some(KeyCode::F(number))
}

fn single(name: &str) -> Option<KeyCode> {
    let mut chars = name.chars();
    let first = chars.next()?;
    (chars.next().is_none() && !first.is_control()).then_some(KeyCode::Char(first))
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.modifiers.contains(KeyModifiers::CONTROL) {
            f.write_str("ctrl-")?;
        }
        if self.modifiers.contains(KeyModifiers::ALT) {
            f.write_str("alt-")?;
        }
        if self.modifiers.contains(KeyModifiers::SHIFT) {
            f.write_str("shift-")?;
        }
        match (NAMES.iter().find(|(_, code)| *code == self.code), self.code) {
            (Some((name, _)), _) => f.write_str(name),
            (None, KeyCode::Char(c)) => write!(f, "{c}"),
            (None, KeyCode::F(number)) => write!(f, "f{number}"),
            (None, other) => write!(f, "{other}"),
        }
    }
}

/// Which keys call which command.
#[derive(Clone, Debug)]
pub struct Keymap {
    keys: Vec<Vec<Chord>>,
}

impl Default for Keymap {
    /// The keys of the command table.
    fn default() -> Self {
        let keys = COMMANDS
            .iter()
            .map(|command| command.keys.iter().filter_map(|key| Chord::parse(key).ok()).collect())
            .collect();
        Self { keys }
    }
}

impl Keymap {
    /// The keys of the command table with the user's own put in, and what is wrong with those.
    ///
    /// The text is TOML: `command-id = "key"`, or a list of keys, or `[]` for none. A line that does
    /// not work is left out, and said.
    #[must_use]
    pub fn with_own(text: &str) -> (Self, Vec<String>) {
        let mut keymap = Self::default();
        let own: BTreeMap<String, OneOrMore> = match toml::from_str(text) {
            Ok(own) => own,
            Err(error) => return (keymap, vec![format!("the key file is not read: {}", error.message())]),
        };
        let mut complaints = Vec::new();
        for (id, names) in own {
            let Some(place) = COMMANDS.iter().position(|command| command.id == id) else {
                complaints.push(format!("no command is called `{id}`"));
                continue;
            };
            match names.keys().iter().map(|name| Chord::parse(name)).collect::<Result<Vec<_>, _>>() {
                Ok(chords) => keymap.keys[place] = chords,
                Err(complaint) => complaints.push(format!("{id}: {complaint}")),
            }
        }
        complaints.extend(keymap.conflicts());
        (keymap, complaints)
    }

    /// Keys that would call two commands in one place, in words. The first of the table gets the key.
    #[must_use]
    pub fn conflicts(&self) -> Vec<String> {
        let mut conflicts = Vec::new();
        for (first, command) in COMMANDS.iter().enumerate() {
            for (second, other) in COMMANDS.iter().enumerate().skip(first + 1) {
                if !command.when.iter().any(|context| other.when.contains(context)) {
                    continue;
                }
                for chord in self.keys[first].iter().filter(|chord| self.keys[second].contains(chord)) {
                    conflicts.push(format!("{chord} calls both {} and {}", command.id, other.id));
                }
            }
        }
        conflicts
    }

    /// The command that a key calls in a context.
    #[must_use]
    pub fn command(&self, context: Context, chord: Chord) -> Option<&'static Command> {
        let found = COMMANDS
            .iter()
            .zip(&self.keys)
            .find(|(command, keys)| command.when.contains(&context) && keys.contains(&chord));
        found.map(|(command, _)| command)
    }

    /// The keys that call a command, as they are called.
    #[must_use]
    pub fn keys_of(&self, command: &Command) -> Vec<String> {
        let place = COMMANDS.iter().position(|own| own.id == command.id);
        place.map_or_else(Vec::new, |place| self.keys[place].iter().map(ToString::to_string).collect())
    }
}

#[derive(serde::Deserialize)]
#[serde(untagged)]
enum OneOrMore {
    One(String),
    More(Vec<String>),
}

impl OneOrMore {
    fn keys(&self) -> &[String] {
        match self {
            Self::One(key) => std::slice::from_ref(key),
            Self::More(keys) => keys,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_key_has_a_name_that_is_read_back_the_same() {
        for command in COMMANDS {
            for key in command.keys {
                let chord = Chord::parse(key).unwrap();
                assert_eq!(chord.to_string(), *key, "{}", command.id);
            }
        }
        assert!(Chord::parse("hyper-x").is_err());
        assert_eq!(Chord::parse("shift-tab"), Chord::parse("backtab"));
        assert_eq!(Chord::parse("ctrl-Z"), Chord::parse("ctrl-z"));
    }

    #[test]
    fn no_two_commands_share_a_key_where_both_work() {
        assert_eq!(Keymap::default().conflicts(), Vec::<String>::new());
    }

    #[test]
    fn a_rebound_key_moves_and_a_clash_is_said() {
        let (keymap, complaints) = Keymap::with_own("undo = \"ctrl-u\"\nunplug = [\"delete\", \"x\"]\n");
        assert_eq!(complaints, Vec::<String>::new());
        let command =
            |key| keymap.command(Context::Plot, Chord::parse(key).unwrap()).map(|command| command.id);
        assert_eq!(command("ctrl-u"), Some("undo"));
        assert_eq!(command("u"), None);
        assert_eq!(command("delete"), Some("unplug"));

        let (_, complaints) = Keymap::with_own("undo = \"x\"\nnothing = \"y\"\nredo = \"hyper-q\"\n");
        assert_eq!(complaints.len(), 4, "{complaints:?}");
        assert!(complaints.iter().any(|complaint| complaint.contains("x calls both unplug and undo")));
        let (_, complaints) = Keymap::with_own("undo = ");
        assert_eq!(complaints.len(), 1);
    }
}
