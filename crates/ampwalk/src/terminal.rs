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

/// The theme for this terminal: asked before it is taken over, and not for long.
pub fn theme() -> Theme {
    if anstyle_query::no_color() {
        return Theme::Monochrome;
    }
    if !anstyle_query::truecolor() {
        return Theme::Sixteen;
    }
    let mut options = QueryOptions::default();
    options.timeout = PATIENCE;
    match theme_mode(options) {
        Ok(ThemeMode::Light) => Theme::Light,
        Ok(ThemeMode::Dark) | Err(_) => Theme::Dark,
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
