//! Names of keys, which command each calls, and the user's own choices.

use std::fmt;

use ampwalk_core::file::nearest;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use toml::de::{DeTable, DeValue};

use crate::command::{COMMANDS, Command, Context};
use crate::settings::{line_of, not_toml};

/// What the file of the user's own keys is called.
pub const FILE: &str = "keys.toml";

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
            None => Err(format!("no key is called `{name}`; names are like x, U, ctrl-z, alt-enter, f5")),
        }
    }

    /// Whether it puts a letter where a line is typed.
    fn is_typed(self) -> bool {
        matches!(self.code, KeyCode::Char(_))
            && !self.modifiers.intersects(KeyModifiers::CONTROL | KeyModifiers::ALT)
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
    /// The keys of the command table with the user's own put in, and what is wrong with those, each
    /// with its line and what to do.
    ///
    /// The text is TOML: `command-id = "key"`, or a list of keys, or `[]` for none. A line that does
    /// not work is passed over, and said.
    #[must_use]
    pub fn with_own(text: &str) -> (Self, Vec<String>) {
        let mut keymap = Self::default();
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut complaints: Vec<String> = errors.iter().map(|error| not_toml(FILE, text, error)).collect();
        let mut lines = vec![None; COMMANDS.len()];
        for (id, value) in table.get_ref() {
            let line = line_of(text, id.span().start);
            let taken = own_keys(id.get_ref(), value.get_ref());
            match taken {
                Ok((place, chords)) => {
                    keymap.keys[place] = chords;
                    lines[place] = Some(line);
                }
                Err(complaint) => complaints.push(format!("{FILE}:{line}: {complaint}")),
            }
        }
        let own = |clash: &Clash| lines[clash.winner].max(lines[clash.loser]);
        complaints.extend(keymap.clashes().iter().map(|clash| match own(clash) {
            Some(line) => format!("{FILE}:{line}: {}", clash.words()),
            None => clash.words(),
        }));
        (keymap, complaints)
    }

    /// Keys that would call two commands in one place. The first of the table gets the key.
    fn clashes(&self) -> Vec<Clash> {
        let mut clashes = Vec::new();
        for (winner, command) in COMMANDS.iter().enumerate() {
            for (loser, other) in COMMANDS.iter().enumerate().skip(winner + 1) {
                if !command.when.iter().any(|context| other.when.contains(context)) {
                    continue;
                }
                for chord in self.keys[winner].iter().filter(|chord| self.keys[loser].contains(chord)) {
                    clashes.push(Clash { chord: *chord, winner, loser });
                }
            }
        }
        clashes
    }

    /// Keys that would call two commands in one place, in words.
    #[must_use]
    pub fn conflicts(&self) -> Vec<String> {
        self.clashes().iter().map(Clash::words).collect()
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

/// A key that two commands want where both work.
struct Clash {
    chord: Chord,
    winner: usize,
    loser: usize,
}

impl Clash {
    fn words(&self) -> String {
        let (winner, loser) = (COMMANDS[self.winner].id, COMMANDS[self.loser].id);
        format!(
            "{} calls both {winner} and {loser}, and {winner} has it: give one of them another key",
            self.chord
        )
    }
}

/// The place of a command in the table, and the keys that somebody wants for it.
fn own_keys(id: &str, value: &DeValue<'_>) -> Result<(usize, Vec<Chord>), String> {
    let place = COMMANDS.iter().position(|command| command.id == id).ok_or_else(|| {
        let near = nearest(id, COMMANDS.iter().map(|command| command.id));
        let near = near.map_or_else(String::new, |near| format!("; did you mean {near}?"));
        format!("no command is called {id}{near} The README lists them all")
    })?;
    let names = match value {
        DeValue::String(name) => vec![Some(name.as_ref())],
        DeValue::Array(names) => names.iter().map(|name| name.get_ref().as_str()).collect(),
        _ => vec![None],
    };
    let chords = names.into_iter().map(|name| match name {
        Some(name) => Chord::parse(name),
        None => {
            Err("a key is a word in quotes, and several stand in brackets: [\"u\", \"ctrl-u\"]".to_owned())
        }
    });
    let chords = chords.collect::<Result<Vec<_>, _>>().map_err(|complaint| format!("{id}: {complaint}"))?;
    // A letter that is a command while a line is typed could not be typed any more.
    let typed = chords.iter().find(|chord| chord.is_typed());
    match typed.filter(|_| COMMANDS[place].when.contains(&Context::Prompt)) {
        Some(chord) => {
            Err(format!("{id} works while a line is typed too, where {chord} is a letter: take ctrl-{chord}"))
        }
        None => Ok((place, chords)),
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

        let own = "# mine\nundo = \"x\"\nnothin = \"y\"\nredo = \"hyper-q\"\nupdo = \"z\"\nquit = 3\n";
        let (keymap, complaints) = Keymap::with_own(own);
        let has = |words: &str| assert!(complaints.iter().any(|told| told.contains(words)), "{complaints:?}");
        has("keys.toml:2: x calls both unplug and undo, and unplug has it");
        has("keys.toml:2: x calls both clear-key and undo");
        has("keys.toml:3: no command is called nothin");
        has("keys.toml:4: redo: no key is called `hyper-q`");
        has("keys.toml:5: no command is called updo; did you mean undo?");
        has("keys.toml:6: quit: a key is a word in quotes");
        assert_eq!(complaints.len(), 6, "{complaints:?}");
        let quit = keymap.command(Context::Plot, Chord::parse("q").unwrap());
        assert_eq!(quit.map(|command| command.id), Some("quit"), "what is not understood changes nothing");
    }

    #[test]
    fn what_is_no_toml_is_told_with_its_line_and_the_rest_counts() {
        let (keymap, complaints) = Keymap::with_own("undo = \"ctrl-u\"\nredo = \n");
        assert!(complaints[0].starts_with("keys.toml:2: "), "{complaints:?}");
        let undo = keymap.command(Context::Plot, Chord::parse("ctrl-u").unwrap());
        assert_eq!(undo.map(|command| command.id), Some("undo"));
    }

    #[test]
    fn a_letter_stays_a_letter_where_a_line_is_typed() {
        let (keymap, complaints) = Keymap::with_own("interrupt = \"c\"\nclose = [\"esc\", \"ctrl-g\"]\n");
        assert_eq!(complaints.len(), 1, "{complaints:?}");
        assert!(complaints[0].contains("where c is a letter: take ctrl-c"), "{complaints:?}");
        assert!(keymap.command(Context::Prompt, Chord::parse("c").unwrap()).is_none());
        assert!(keymap.command(Context::Prompt, Chord::parse("ctrl-g").unwrap()).is_some());
    }
}
