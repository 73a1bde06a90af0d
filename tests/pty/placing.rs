//! The solver aside: a large plan keeps it busy, and the terminal stays the user's.

use std::fmt::Write as _;

use super::*;

/// So many heads of several sizes, each between two setups, on as many circuits: seconds of work.
fn busy_plan(heads: usize) -> String {
    let mut text = String::from(
        "ampwalk = 1\n[location]\nname = \"Works\"\nregion = \"eu\"\n[supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 250\n[floor.g]\nlevel = 0\n[cable.a10]\nlength_m = 10\nmm2 = 1.5\ncount = 40\n[cable.a25]\nlength_m = 25\nmm2 = 2.5\ncount = 90\n",
    );
    for at in 0..heads / 2 {
        let (x, y) = (at % 6 * 8, at / 6 * 8);
        let _ = write!(
            text,
            "[rcd.R{at}]\nrated_ma = 30\n[circuit.C{at}]\nsupply = \"house\"\nline = \"L{}\"\nbreaker_a = 16\nrcd = \"R{at}\"\n[room.r{at}]\nfloor = \"g\"\nbox = [{x}, {y}, 8, 8]\n[socket.S{at}]\nroom = \"r{at}\"\nat = [{}, {}]\ncircuit = \"C{at}\"\ntest = \"ok\"\nways = 3\nramp = {{ held_ma = 15, tripped_ma = 20 }}\n",
            at % 3 + 1,
            x + 1,
            y + 1
        );
    }
    let mut on = Vec::new();
    for at in 0..heads {
        let watts = [300, 1250, 450, 2000, 620, 1600, 800][at * 5 % 7];
        let (x, y) = (at * 7 % 48, at * 11 % (heads / 12 * 8).max(8));
        let _ = write!(
            text,
            "[head.H{at}]\nwatts = {watts}\nroom = \"r{}\"\nat = [{x}, {y}]\n",
            at % (heads / 2)
        );
        on.push(format!("\"H{at}\""));
    }
    for setup in 0..2 {
        let some: Vec<&String> =
            on.iter().enumerate().filter(|(at, _)| at % 3 != setup).map(|(_, id)| id).collect();
        let some: Vec<&str> = some.iter().map(|id| id.as_str()).collect();
        let _ = write!(text, "[setup.s{setup}]\nminutes = 90\non = [{}]\n", some.join(", "));
    }
    text
}

/// The program on a plan that keeps the solver busy.
fn busy() -> (TempDir, String, Session) {
    let home = folder();
    let plan = home.path().join("plan.toml");
    fs::write(&plan, busy_plan(72)).unwrap();
    let plan = plan.to_str().unwrap().to_owned();
    let session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    (home, plan, session)
}

#[test]
fn ctrl_c_while_heads_are_put_on_leaves_at_once_and_gives_the_terminal_back() {
    let (_home, plan, mut session) = busy();
    session.press("A");
    session.wait_for_text("placed so far");
    let since = Instant::now();
    session.press("\u{3}");
    assert!(session.end().success());
    assert!(since.elapsed() < Duration::from_secs(3), "{:?}", since.elapsed());
    session.is_given_back();
    assert_eq!(fs::read_to_string(plan).unwrap(), busy_plan(72));
}

#[test]
fn escape_while_heads_are_put_on_changes_nothing_and_what_comes_late_neither() {
    let (_home, plan, mut session) = busy();
    session.press("a");
    session.wait_for_text("placed so far");
    session.press("\u{1b}");
    session.wait_for_text("Stopped: nothing was changed");
    // The screens go on: the next question is another one, and its best so far is taken at once.
    session.press("a");
    session.wait_for_text("placed so far");
    assert_eq!(fs::read_to_string(&plan).unwrap(), busy_plan(72));
    session.press("\r");
    session.wait_for_text("put on, none moved");
    wait_until("the heads on disk", || fs::read_to_string(&plan).unwrap().contains("socket = "));
    session.press("u");
    session.wait_for_text("Taken back");
    wait_until("the plan as it was", || fs::read_to_string(&plan).unwrap() == busy_plan(72));
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
}

#[test]
fn while_heads_are_put_on_the_screen_is_drawn_ten_times_a_second_at_most() {
    let (_home, _plan, mut session) = busy();
    session.press("A");
    session.wait_for_text("placed so far");
    let before = session.bytes.load(Ordering::SeqCst);
    thread::sleep(Duration::from_secs(1));
    let drawn = session.bytes.load(Ordering::SeqCst) - before;
    // A tenth of a second changes a few cells of one line.
    assert!(drawn < 11 * 200, "{drawn} bytes in a second");
    session.press("q");
    assert!(session.end().success());
}
