//! What stands around the screens: idling, sizes, the mouse, choices, themes, what is no terminal.

use super::*;

/// The program's processor time so far, in ticks of the system; `None` where the system does not tell.
fn ticks(session: &Session) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/stat", session.child.process_id()?)).ok()?;
    // Behind the name in brackets, the 12th and 13th are user and system time (proc_pid_stat(5)).
    let times = status.rsplit(')').next()?.split_whitespace().skip(11).take(2);
    times.map(|time| time.parse::<u64>().ok()).sum()
}

#[test]
fn where_nothing_happens_nothing_is_drawn_and_no_time_is_spent() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    // What the start does besides drawing is over when nothing changes any more.
    let mut before = (session.bytes.load(Ordering::SeqCst), ticks(&session));
    let since = Instant::now();
    loop {
        thread::sleep(Duration::from_millis(500));
        let now = (session.bytes.load(Ordering::SeqCst), ticks(&session));
        if now == before {
            break;
        }
        assert!(since.elapsed() < PATIENCE, "it never rests: {before:?} {now:?}");
        before = now;
    }
    // A pointer that passes by is nothing either.
    for column in 10..20 {
        session.press(&format!("\u{1b}[<35;{column};10M"));
    }
    thread::sleep(Duration::from_millis(200));
    assert_eq!(session.bytes.load(Ordering::SeqCst), before.0);
    session.press("q");
    assert!(session.end().success());
}

#[test]
fn every_screen_is_one_key_away() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    for (key, name) in [("1", "WALK"), ("2", "BOARD"), ("4", "SHOOT"), ("5", "PAPERS"), ("3", "PLOT")] {
        session.press(key);
        session.wait_for_text(name);
        session.wait_for("the verdict and the keys", |screen| {
            let words = screen.contents();
            words.contains("DARK") && words.contains("saved")
        });
    }
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
}

/// Where words begin on the screen, counted from 1 as the mouse does.
fn place(session: &Session, words: &str) -> (usize, usize) {
    let terminal = session.terminal();
    let contents = terminal.screen().contents();
    let (row, line) = contents.lines().enumerate().find(|(_, line)| line.contains(words)).expect(words);
    (line[..line.find(words).unwrap()].chars().count() + 2, row + 1)
}

#[test]
fn a_head_is_dragged_to_a_socket_with_the_mouse() {
    let (home, plan) = own_plan();
    let before = socket_of_b(&plan).unwrap();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    let ((x, y), (to_x, to_y)) = (place(&session, "B Sun"), place(&session, "G6 "));
    // SGR reports: 0 the left button down, 32 pulled, `m` up.
    session.press(&format!("\u{1b}[<0;{x};{y}M\u{1b}[<32;{to_x};{to_y}M"));
    session.wait_for_text("enter drop");
    let (to_x, to_y) = place(&session, "G6 ");
    session.press(&format!("\u{1b}[<32;{to_x};{to_y}M\u{1b}[<0;{to_x};{to_y}m"));
    wait_until("the move on disk", || socket_of_b(&plan).is_some_and(|socket| socket != before));
    assert_eq!(socket_of_b(&plan).as_deref(), Some("G6"));
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
}

#[test]
fn the_screen_follows_the_size_of_the_terminal() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    for (columns, rows, words) in
        [(160, 50, "findings, worst first"), (40, 15, "too small for"), (80, 24, "assumed")]
    {
        let [high, wide] = [rows, columns].map(|count| NonZero::new(count).unwrap());
        session.terminal().screen_mut().set_size(high, wide);
        session.master.resize(PtySize { rows, cols: columns, ..SIZE }).unwrap();
        session.wait_for_text(words);
        session.wait_for("the keys in the last line", |screen| {
            screen.contents().lines().nth(usize::from(rows) - 1).is_some_and(|line| line.contains("saved"))
        });
    }
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
}

#[test]
fn choices_are_kept_and_bad_lines_are_told_without_stopping_anybody() {
    let (home, plan) = own_plan();
    let config = home.path().join("config").join("ampwalk");
    fs::create_dir_all(&config).unwrap();
    fs::write(config.join("settings.toml"), "# mine\ncolour = 1\n").unwrap();
    fs::write(config.join("keys.toml"), "undo = \"x\"\n").unwrap();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("settings.toml:2: no setting is called colour");
    session.wait_for_text("keys.toml:1: x calls both");
    session.press(":metres or feet\r");
    session.wait_for_text("in feet");
    wait_until("the choice on disk", || {
        fs::read_to_string(config.join("settings.toml")).is_ok_and(|text| text.contains("lengths = \"feet\""))
    });
    session.press("\r");
    session.wait_for_text(" ft");
    session.press("q");
    assert!(session.end().success());
    let kept = fs::read_to_string(config.join("settings.toml")).unwrap();
    assert_eq!(kept, "# mine\ncolour = 1\nlengths = \"feet\"\n");
    let mut again = Session::start(home.path(), &[&plan], &[]);
    again.wait_for_text("saved");
    again.press("\r");
    again.wait_for_text(" ft");
    again.press("q");
    assert!(again.end().success());
}

/// Whether anything is drawn in a colour of three numbers.
fn has_true_colour(screen: &Screen) -> bool {
    let cells = (0..SIZE.rows).flat_map(|row| (0..SIZE.cols).map(move |column| (row, column)));
    cells
        .filter_map(|(row, column)| screen.cell(row, column))
        .any(|cell| matches!(cell.fgcolor(), Color::Rgb(..)))
}

/// The first colour of the theme for light terminals that is seen on the first screen.
fn is_light(screen: &Screen) -> bool {
    let quiet = Color::Rgb(95, 95, 95);
    let cells = (0..SIZE.rows).flat_map(|row| (0..SIZE.cols).map(move |column| (row, column)));
    cells.filter_map(|(row, column)| screen.cell(row, column)).any(|cell| cell.fgcolor() == quiet)
}

#[test]
fn the_theme_follows_the_environment_the_settings_and_a_late_answer() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    assert!(!has_true_colour(session.terminal().screen()), "sixteen colours without COLORTERM");
    session.press("q");
    session.end();
    // This terminal does not answer; the environment says that it is light.
    let told = [("COLORTERM", "truecolor"), ("COLORFGBG", "0;15")];
    let mut session = Session::start(home.path(), &[&plan], &told);
    session.wait_for("a light theme", is_light);
    session.press("q");
    session.end();
    let mut session = Session::start(home.path(), &[&plan], &[("COLORTERM", "truecolor")]);
    session.wait_for("a dark theme", |screen| has_true_colour(screen) && screen.contents().contains("saved"));
    assert!(!is_light(session.terminal().screen()));
    session.press("\u{1b}]11;rgb:ffff/ffff/ffff\u{1b}\\");
    session.wait_for("a light theme, late", is_light);
    session.press("q");
    session.end();
    let mut session = Session::start(home.path(), &[&plan], &[("TERM", "vt220"), ("COLORTERM", "truecolor")]);
    session.wait_for_text("saved");
    assert!(!has_true_colour(session.terminal().screen()), "a terminal without colours");
    session.press("q");
    assert!(session.end().success());
}

#[test]
fn output_that_is_no_terminal_gets_words_and_nothing_else() {
    let (_home, plan) = own_plan();
    let run = crate::support::run(&[&plan]);
    let told = run.refused();
    assert!(told.contains("the screens need a terminal") && told.contains("ampwalk check"), "{told}");
    assert!(!told.contains('\u{1b}'), "{told}");
    let demo = crate::support::run(&["demo"]);
    assert!(demo.refused().contains("the screens need a terminal"), "{demo:?}");
}
