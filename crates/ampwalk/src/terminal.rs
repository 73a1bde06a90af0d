//! The terminal: taken over while the screens are shown, and given back whatever happens.

use std::io::{self, IsTerminal, Stdout, Write, stdout};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use ampwalk_tui::theme::Theme;
use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture,
};
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use crossterm::{cursor, execute};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use terminal_colorsaurus::{QueryOptions, ThemeMode, theme_mode};

use crate::trouble::CallTrouble;

/// How long the terminal may take to say whether it is light or dark.
const PATIENCE: Duration = Duration::from_millis(20);

/// Whether the terminal is ours now.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// Refuses to show screens on what is not a terminal, or on one that cannot move its cursor.
pub fn must_be_one() -> Result<(), CallTrouble> {
    let remedy = "`ampwalk check PLAN` tells the same in plain text.";
    if !io::stdin().is_terminal() || !stdout().is_terminal() {
        return Err(CallTrouble {
            message: "the screens need a terminal, and this is none".to_owned(),
            remedy: remedy.to_owned(),
        });
    }
    if std::env::var_os("TERM").is_some_and(|term| term == "dumb" || term.is_empty()) {
        return Err(CallTrouble {
            message:
                "the screens need a terminal that can move its cursor, and TERM says that this one cannot"
                    .to_owned(),
            remedy: remedy.to_owned(),
        });
    }
    Ok(())
}

/// Whether nobody wants colour here, or the terminal has none.
pub fn is_colourless() -> bool {
    anstyle_query::no_color() || std::env::var("TERM").is_ok_and(|term| has_no_colour(&term))
}

/// Terminals without colours, by their names (ncurses, terminfo: those of DEC before the VT525, and
/// the variants whose names end in -m or -mono; from memory).
fn has_no_colour(term: &str) -> bool {
    term == "dumb"
        || ["vt52", "vt100", "vt102", "vt220", "vt320", "vt420"].contains(&term)
        || term.ends_with("-m")
        || term.ends_with("-mono")
}

/// The theme for this terminal: asked before it is taken over, and not for long.
pub fn theme() -> Theme {
    if is_colourless() {
        return Theme::Monochrome;
    }
    if !anstyle_query::truecolor() {
        return Theme::Sixteen;
    }
    let mut options = QueryOptions::default();
    options.timeout = PATIENCE;
    match theme_mode(options) {
        Ok(ThemeMode::Light) => Theme::Light,
        Ok(ThemeMode::Dark) => Theme::Dark,
        Err(_) => std::env::var("COLORFGBG").ok().and_then(|colours| told_by(&colours)).unwrap_or_default(),
    }
}

/// The theme by COLORFGBG, as several terminals set it: numbers of the sixteen colours, the ground
/// last. White and light grey are light (from memory; there is no standard).
fn told_by(colours: &str) -> Option<Theme> {
    match colours.rsplit(';').next()?.trim().parse::<u8>().ok()? {
        7 | 15 => Some(Theme::Light),
        0..=15 => Some(Theme::Dark),
        _ => None,
    }
}

/// The terminal while it is ours. Dropped, it is given back.
#[derive(Debug)]
pub struct Taken {
    /// What is drawn on.
    pub terminal: Terminal<CrosstermBackend<Stdout>>,
}

impl Taken {
    /// Takes the terminal over.
    ///
    /// # Errors
    /// Where the terminal does not do what it is told; it is given back then.
    pub fn new() -> io::Result<Self> {
        give_back_on_panic();
        take()?;
        match Terminal::new(CrosstermBackend::new(stdout())) {
            Ok(terminal) => Ok(Self { terminal }),
            Err(error) => {
                give_back();
                Err(error)
            }
        }
    }

    /// Takes the terminal over again after it was given back for a while; the next drawing paints
    /// all of it.
    ///
    /// # Errors
    /// Where the terminal does not do what it is told.
    pub fn again(&mut self) -> io::Result<()> {
        take()?;
        // Clearing would ask the terminal where its cursor is, and the answer would go to the thread
        // that listens to it.
        let size = self.terminal.size()?;
        self.terminal.resize(size.into())
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    TAKEN.store(true, Ordering::SeqCst);
    let taken = enable_raw_mode().and_then(|()| {
        execute!(stdout(), EnterAlternateScreen, EnableMouseCapture, EnableBracketedPaste, cursor::Hide)
    });
    if taken.is_err() {
        give_back();
    }
    taken
}

/// Gives the terminal back as it was. Once is enough; again does nothing. Where it fails, there is no
/// terminal left to mend.
pub fn give_back() {
    if !TAKEN.swap(false, Ordering::SeqCst) {
        return;
    }
    let _ =
        execute!(stdout(), DisableBracketedPaste, DisableMouseCapture, LeaveAlternateScreen, cursor::Show);
    let _ = disable_raw_mode();
    let _ = stdout().flush();
}

/// A panic's words must not be drawn into the alternate screen, nor leave the terminal raw.
fn give_back_on_panic() {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let tell = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            give_back();
            tell(panic);
        }));
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ground_is_the_last_colour_that_the_terminal_names() {
        assert_eq!(told_by("15;0"), Some(Theme::Dark));
        assert_eq!(told_by("0;15"), Some(Theme::Light));
        assert_eq!(told_by("0;default;7"), Some(Theme::Light));
        assert_eq!(told_by("15;default"), None);
        assert_eq!(told_by(""), None);
    }

    #[test]
    fn terminals_without_colour_are_known_by_their_names() {
        assert!(["dumb", "vt100", "vt220", "xterm-mono", "linux-m"].iter().all(|term| has_no_colour(term)));
        assert!(!["xterm", "linux", "xterm-256color", "screen"].iter().any(|term| has_no_colour(term)));
    }
}
