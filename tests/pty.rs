//! The built program on a terminal: it draws, edits, saves, leaves, and gives the terminal back.

mod around;
mod first_plan;
mod kept;
mod later;
mod placing;

use std::fs;
use std::io::{Read, Write};
use std::num::NonZero;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use tempfile::TempDir;
use vt100::{Color, MouseProtocolMode, Parser, Screen};

use crate::support::{example, folder};

/// How long the program may take for anything; a slow machine only waits longer.
const PATIENCE: Duration = Duration::from_secs(20);
const SIZE: PtySize = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };

/// The program on a terminal of 80 columns and 24 rows.
struct Session {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    terminal: Arc<Mutex<Parser>>,
    closing: Arc<AtomicBool>,
    /// What was drawn so far.
    bytes: Arc<AtomicUsize>,
    modes_before: String,
}

impl Session {
    fn start(home: &Path, arguments: &[&str], environment: &[(&str, &str)]) -> Self {
        let pair = native_pty_system().openpty(SIZE).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_ampwalk"));
        command.args(arguments);
        for wish in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLORTERM", "RUST_BACKTRACE"] {
            command.env_remove(wish);
        }
        command.env("HOME", home);
        command.env("XDG_DATA_HOME", home.join("data"));
        command.env("XDG_CONFIG_HOME", home.join("config"));
        command.env("TMPDIR", home);
        command.env("TERM", "xterm-256color");
        command.cwd(home);
        for (name, value) in environment {
            command.env(name, value);
        }
        let modes_before = modes(&*pair.master);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let [rows, columns] = [SIZE.rows, SIZE.cols].map(|count| NonZero::new(count).unwrap());
        let terminal = Arc::new(Mutex::new(Parser::new(rows, columns, 0)));
        let closing = Arc::new(AtomicBool::new(false));
        let mut reader = pair.master.try_clone_reader().unwrap();
        let (shown, stop) = (Arc::clone(&terminal), Arc::clone(&closing));
        let drawn = Arc::new(AtomicUsize::new(0));
        let counted = Arc::clone(&drawn);
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                shown.lock().unwrap().process(&bytes[..count]);
                counted.fetch_add(count, Ordering::SeqCst);
                if stop.load(Ordering::SeqCst) {
                    return;
                }
            }
        });
        let keys = pair.master.take_writer().unwrap();
        Self { child, master: pair.master, keys, terminal, closing, bytes: drawn, modes_before }
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    fn terminal(&self) -> MutexGuard<'_, Parser> {
        self.terminal.lock().unwrap()
    }

    fn contents(&self) -> String {
        self.terminal().screen().contents()
    }

    /// Waits until the screen is as it should be.
    #[track_caller]
    fn wait_for(&self, what: &str, is_so: impl Fn(&Screen) -> bool) {
        let since = Instant::now();
        while !is_so(self.terminal().screen()) {
            assert!(
                since.elapsed() < PATIENCE,
                "waited for {what}:\n{}",
                self.terminal().screen().contents()
            );
            thread::sleep(Duration::from_millis(5));
        }
    }

    #[track_caller]
    fn wait_for_text(&self, text: &str) {
        self.wait_for(text, |screen| screen.contents().contains(text));
    }

    /// Waits until the program has ended.
    #[track_caller]
    fn end(&mut self) -> ExitStatus {
        let since = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status;
            }
            assert!(since.elapsed() < PATIENCE, "it does not end:\n{}", self.contents());
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Holds that the terminal is as it was before the program began.
    #[track_caller]
    fn is_given_back(&self) {
        self.wait_for("the terminal given back", |screen| {
            !screen.alternate_screen() && !screen.hide_cursor()
        });
        {
            let terminal = self.terminal();
            let screen = terminal.screen();
            assert_eq!(screen.mouse_protocol_mode(), MouseProtocolMode::None);
            assert!(!screen.bracketed_paste());
        }
        // The line discipline comes last, after what is written.
        wait_until("the line discipline as before", || modes(&*self.master) == self.modes_before);
    }

    /// Waits until the program is stopped: a signal to go on that came before that would be lost.
    #[track_caller]
    fn is_stopped(&self) {
        let status = format!("/proc/{}/stat", self.child.process_id().unwrap());
        wait_until("the program stopped", || {
            let Ok(status) = fs::read_to_string(&status) else {
                // Elsewhere nothing tells; it takes a moment.
                thread::sleep(Duration::from_millis(200));
                return true;
            };
            // The state comes after the name, which stands in brackets.
            status.rsplit(')').next().is_some_and(|rest| rest.trim_start().starts_with('T'))
        });
    }

    fn signal(&self, name: &str) {
        let pid = self.child.process_id().unwrap().to_string();
        assert!(Command::new("kill").args(["-s", name, &pid]).status().unwrap().success());
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        // Gone already where the test went well.
        let _ = self.child.kill();
    }
}

/// The line discipline of a terminal, in words.
fn modes(master: &dyn MasterPty) -> String {
    format!("{:?}", master.get_termios().unwrap())
}

/// A screen without what is blank at the end of its lines.
fn trimmed(contents: &str) -> String {
    contents.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// A plan of one's own, in a home of one's own.
fn own_plan() -> (TempDir, String) {
    let home = folder();
    let plan = home.path().join("plan.toml");
    fs::copy(example("mill-house"), &plan).unwrap();
    let plan = plan.to_str().unwrap().to_owned();
    (home, plan)
}

/// Where head B is plugged in, by a plan file.
fn socket_of_b(plan: &str) -> Option<String> {
    let plan: toml::Table = toml::from_str(&fs::read_to_string(plan).unwrap()).unwrap();
    plan["head"]["B"].get("socket").and_then(|socket| socket.as_str()).map(str::to_owned)
}

#[track_caller]
fn wait_until(what: &str, is_so: impl Fn() -> bool) {
    let since = Instant::now();
    while !is_so() {
        assert!(since.elapsed() < PATIENCE, "waited for {what}");
        thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_head_is_moved_saved_and_found_again_and_the_terminal_is_given_back() {
    let (home, plan) = own_plan();
    let before = socket_of_b(&plan).unwrap();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for("a drawn screen", |screen| {
        screen.alternate_screen()
            && screen.contents().contains("Mill House")
            && screen.contents().contains("DARK")
    });
    assert_ne!(session.terminal().screen().mouse_protocol_mode(), MouseProtocolMode::None);
    assert_ne!(modes(&*session.master), session.modes_before);
    session.press("\r");
    session.wait_for_text("enter drop");
    session.press("\r");
    wait_until("the move on disk", || socket_of_b(&plan).is_some_and(|socket| socket != before));
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
    // Without a name, the same plan opens again, with the move in it.
    let mut again = Session::start(home.path(), &[], &[]);
    again.wait_for_text("PLOT");
    again.press("q");
    assert!(again.end().success());
    assert_ne!(socket_of_b(&plan).unwrap(), before);
}

#[test]
fn the_demo_opens_on_a_copy_and_tells_where_an_edited_one_is() {
    let home = folder();
    let mut session = Session::start(home.path(), &["demo"], &[]);
    session.wait_for_text("Mill House");
    session.press("\r");
    session.wait_for_text("enter drop");
    session.press("\rq");
    assert!(session.end().success());
    session.is_given_back();
    session.wait_for_text("Your copy of the demo is");
    assert!(session.terminal().screen().contents().contains("mill-house.toml"));
}

#[cfg(debug_assertions)]
#[test]
fn a_panic_gives_the_terminal_back_and_is_told_on_it() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[("AMPWALK_TEST_PANIC", "1")]);
    session.wait_for("a drawn screen", Screen::alternate_screen);
    session.press("j");
    assert_eq!(session.end().exit_code(), 101);
    session.is_given_back();
    session.wait_for_text("a test asked for this");
}

#[test]
fn a_terminal_that_closes_ends_the_program() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("Mill House");
    // The reader holds the terminal open as well; it lets go after what a resize makes it read.
    session.closing.store(true, Ordering::SeqCst);
    session.master.resize(PtySize { rows: 30, ..SIZE }).unwrap();
    let Session { child, master, keys, terminal, .. } = &mut session;
    wait_until("the reader to let go", || Arc::strong_count(terminal) == 1);
    let closed = native_pty_system().openpty(SIZE).unwrap();
    drop(std::mem::replace(keys, closed.master.take_writer().unwrap()));
    drop(std::mem::replace(master, closed.master));
    let since = Instant::now();
    while child.try_wait().unwrap().is_none() {
        assert!(since.elapsed() < PATIENCE, "it goes on without a terminal");
        thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_stop_hands_the_terminal_back_and_going_on_takes_it_again() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("Mill House");
    for stop in ["\u{1a}", ""] {
        if stop.is_empty() {
            session.signal("TSTP");
        } else {
            session.press(stop);
        }
        session.is_given_back();
        session.is_stopped();
        session.signal("CONT");
        session.wait_for("the screen again", |screen| {
            screen.alternate_screen() && screen.contents().contains("Mill House")
        });
    }
    session.signal("TERM");
    assert!(!session.end().success());
    session.is_given_back();
}

#[test]
fn without_colour_nothing_is_coloured() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[("NO_COLOR", "1")]);
    session.wait_for_text("DARK");
    {
        let terminal = session.terminal();
        let screen = terminal.screen();
        for row in 0..SIZE.rows {
            for column in 0..SIZE.cols {
                let cell = screen.cell(row, column).unwrap();
                assert_eq!(
                    (cell.fgcolor(), cell.bgcolor()),
                    (Color::Default, Color::Default),
                    "{row} {column}"
                );
            }
        }
    }
    session.press("q");
    assert!(session.end().success());
}

#[test]
fn a_late_answer_about_colours_is_no_typing() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[("COLORTERM", "truecolor")]);
    // The last word that is drawn.
    session.wait_for_text("saved");
    let before = trimmed(&session.contents());
    // Colours in the words of the terminal, and its attributes, as asked for at the start.
    session.press("\u{1b}]10;rgb:0000/0000/0000\u{1b}\\\u{1b}]11;rgb:ffff/ffff/ffff\u{7}\u{1b}[?62;22c");
    // Keys come in order: when this one shows, the answer was dealt with.
    session.press("2");
    session.wait_for_text("BOARD");
    session.press("3");
    session.wait_for("the same screen", |screen| trimmed(&screen.contents()) == before);
    session.press("q");
    assert!(session.end().success());
}

#[test]
fn a_terminal_that_cannot_move_its_cursor_gets_words() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[("TERM", "dumb")]);
    assert_eq!(session.end().exit_code(), 2);
    session.wait_for_text("TERM says that this one cannot");
    assert!(!session.terminal().screen().alternate_screen());
}
