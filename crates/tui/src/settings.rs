//! What the user chose for every plan: a small TOML file in the configuration folder.
//!
//! Reading never fails: what cannot be read is passed over and told, with its line. A choice that is
//! made on the screens is put into the text of the file; comments and all else stay as they are.

use ampwalk_core::library::LengthWord;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::theme::Theme;

/// What the file is called.
pub const FILE: &str = "settings.toml";

/// Whether the bell rings where something is refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Bell {
    /// It does.
    #[default]
    On,
    /// It does not.
    Off,
}

/// What the user chose; the rest is found out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Settings {
    /// Colours; `None`: as the terminal is.
    pub theme: Option<Theme>,
    /// The unit of lengths on the screens; `None`: as the plan's region measures.
    pub lengths: Option<LengthWord>,
    /// The bell.
    pub bell: Bell,
}

/// One choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Colours.
    Theme(Theme),
    /// The unit of lengths on the screens.
    Lengths(LengthWord),
    /// The bell.
    Bell(Bell),
}

const THEMES: [(&str, Theme); 4] = [
    ("dark", Theme::Dark),
    ("light", Theme::Light),
    ("sixteen", Theme::Sixteen),
    ("none", Theme::Monochrome),
];
const LENGTHS: [(&str, LengthWord); 2] = [("metres", LengthWord::Metres), ("feet", LengthWord::Feet)];

impl Setting {
    const fn key(self) -> &'static str {
        match self {
            Self::Theme(_) => "theme",
            Self::Lengths(_) => "lengths",
            Self::Bell(_) => "bell",
        }
    }

    fn value(self) -> String {
        match self {
            Self::Theme(theme) => quoted(&THEMES, theme),
            Self::Lengths(lengths) => quoted(&LENGTHS, lengths),
            Self::Bell(bell) => (bell == Bell::On).to_string(),
        }
    }
}

fn quoted<T: Copy + PartialEq>(words: &[(&str, T)], value: T) -> String {
    let word = words.iter().find(|(_, own)| *own == value).map_or("", |(word, _)| *word);
    format!("\"{word}\"")
}

/// The line of a place in a text, counted from 1.
pub(crate) fn line_of(text: &str, at: usize) -> usize {
    1 + text.bytes().take(at).filter(|byte| *byte == b'\n').count()
}

/// Reads the file; with what is wrong with it, each with its line and what to do.
#[must_use]
pub fn read(text: &str) -> (Settings, Vec<String>) {
    let mut settings = Settings::default();
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut complaints: Vec<String> = errors.iter().map(|error| not_toml(FILE, text, error)).collect();
    for (key, value) in table.get_ref() {
        if let Err(words) = take(&mut settings, key.get_ref(), value.get_ref()) {
            complaints.push(format!("{FILE}:{}: {words}", line_of(text, key.span().start)));
        }
    }
    (settings, complaints)
}

/// What is no TOML in a file of the configuration folder, in words.
pub(crate) fn not_toml(file: &str, text: &str, error: &toml::de::Error) -> String {
    let line = error.span().map_or(1, |span| line_of(text, span.start));
    format!("{file}:{line}: {}. Mend that line or take it out", error.message().trim_end())
}

fn take(settings: &mut Settings, key: &str, value: &DeValue<'_>) -> Result<(), String> {
    match key {
        "theme" => settings.theme = Some(word(key, value, &THEMES)?),
        "lengths" => settings.lengths = Some(word(key, value, &LENGTHS)?),
        "bell" => {
            let on = value.as_bool().ok_or("bell is true or false")?;
            settings.bell = if on { Bell::On } else { Bell::Off };
        }
        other => {
            let known = "there are theme, lengths and bell";
            return Err(format!("no setting is called {other}: {known}. Mend its name or take it out"));
        }
    }
    Ok(())
}

fn word<T: Copy>(key: &str, value: &DeValue<'_>, words: &[(&str, T)]) -> Result<T, String> {
    let found = words.iter().find(|(own, _)| value.as_str() == Some(own));
    found.map(|(_, value)| *value).ok_or_else(|| {
        let all: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
        format!("{key} is one of {}", all.join(", "))
    })
}

/// The text of the file with one choice put in; all else stays as it is.
///
/// # Errors
/// In words, where the text is no TOML: nobody knows then where the choice would go.
pub fn with(text: &str, setting: Setting) -> Result<String, String> {
    let table = DeTable::parse(text).map_err(|error| not_toml(FILE, text, &error))?;
    let (key, value) = (setting.key(), setting.value());
    let own = table.get_ref().iter().find(|(own, _)| own.get_ref() == key);
    if let Some((_, old)) = own {
        let span = old.span();
        return Ok(format!("{}{value}{}", &text[..span.start], &text[span.end..]));
    }
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let line = format!("{key} = {value}{end}");
    // Behind a table's header the line would belong to that table.
    if table.get_ref().values().any(is_table) {
        let (mark, rest) = match text.strip_prefix('\u{feff}') {
            Some(rest) => ("\u{feff}", rest),
            None => ("", text),
        };
        return Ok(format!("{mark}{line}{rest}"));
    }
    let gap = if text.is_empty() || text.ends_with('\n') { "" } else { end };
    Ok(format!("{text}{gap}{line}"))
}

fn is_table(value: &Spanned<DeValue<'_>>) -> bool {
    value.get_ref().is_table() || value.get_ref().is_array()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_setting_is_read_and_an_empty_file_chooses_nothing() {
        let (settings, complaints) = read("theme = \"light\"\nlengths = \"feet\"\nbell = false\n");
        assert_eq!(complaints, Vec::<String>::new());
        let all = Settings { theme: Some(Theme::Light), lengths: Some(LengthWord::Feet), bell: Bell::Off };
        assert_eq!(settings, all);
        assert_eq!(read(""), (Settings::default(), vec![]));
    }

    #[test]
    fn a_bad_line_is_told_with_its_place_and_the_others_count() {
        let (settings, complaints) =
            read("# mine\ncolour = 3\ntheme = \"pink\"\nbell = 1\nlengths = \"feet\"\n");
        assert_eq!(settings.lengths, Some(LengthWord::Feet));
        assert_eq!(settings.theme, None);
        let places: Vec<&str> = complaints.iter().map(|words| &words[..16]).collect();
        assert_eq!(places, ["settings.toml:2:", "settings.toml:3:", "settings.toml:4:"], "{complaints:?}");
        assert!(complaints[1].contains("\"dark\", \"light\", \"sixteen\", \"none\""), "{complaints:?}");
    }

    #[test]
    fn what_is_no_toml_is_told_with_its_line_and_never_written_over() {
        let text = "lengths = \"feet\"\ntheme = \n";
        let (settings, complaints) = read(text);
        assert_eq!(settings.lengths, Some(LengthWord::Feet));
        assert!(complaints[0].starts_with("settings.toml:2: "), "{complaints:?}");
        assert!(with(text, Setting::Bell(Bell::Off)).unwrap_err().starts_with("settings.toml:2: "));
    }

    #[test]
    fn a_choice_is_put_in_and_comments_stay() {
        let text = "# how I like it\ntheme = \"dark\" # at night\n";
        let light = with(text, Setting::Theme(Theme::Light)).unwrap();
        assert_eq!(light, "# how I like it\ntheme = \"light\" # at night\n");
        let feet = with("# mine", Setting::Lengths(LengthWord::Feet)).unwrap();
        assert_eq!(feet, "# mine\nlengths = \"feet\"\n");
        let before_a_table = with("[other]\nx = 1\n", Setting::Bell(Bell::Off)).unwrap();
        assert_eq!(before_a_table, "bell = false\n[other]\nx = 1\n");
        assert_eq!(
            with("bell = true\r\n", Setting::Theme(Theme::Monochrome)).unwrap(),
            "bell = true\r\ntheme = \"none\"\r\n"
        );
    }

    #[test]
    fn every_choice_reads_back_as_itself_over_any_other() {
        let choices = THEMES
            .map(|(_, theme)| Setting::Theme(theme))
            .into_iter()
            .chain(LENGTHS.map(|(_, lengths)| Setting::Lengths(lengths)))
            .chain([Setting::Bell(Bell::Off), Setting::Bell(Bell::On)]);
        let mut text = "# kept\n".to_owned();
        for choice in choices {
            text = with(&text, choice).unwrap();
            let (read, complaints) = read(&text);
            assert_eq!(complaints, Vec::<String>::new());
            let is_so = match choice {
                Setting::Theme(theme) => read.theme == Some(theme),
                Setting::Lengths(lengths) => read.lengths == Some(lengths),
                Setting::Bell(bell) => read.bell == bell,
            };
            assert!(is_so, "{choice:?} in {text}");
        }
        assert_eq!(text.lines().count(), 4, "{text}");
    }
}
