//! The plan is kept: whenever the program is killed, whoever else writes, whatever fails.

use toml::Table;

use super::*;
use crate::support::run;

/// The journal beside a plan.
fn journal(plan: &str) -> std::path::PathBuf {
    Path::new(plan).with_file_name(".plan.toml.journal")
}

/// The heads that a plan has, by a reader from outside; it must be whole.
#[track_caller]
fn heads(plan: &str) -> Vec<String> {
    let text = fs::read_to_string(plan).unwrap();
    let read: Table = toml::from_str(&text).unwrap_or_else(|error| panic!("{error}:\n{text}"));
    read["head"].as_table().unwrap().keys().cloned().collect()
}

/// Adds a head by one line, typed at once.
fn add(session: &mut Session, id: &str) {
    session.press("n");
    session.wait_for_text("Head in one line");
    // Another may follow: back to the screen.
    session.press(&format!("{id} led-300\r\u{1b}"));
}

/// Ends it in the middle of whatever it does: no signal that it could hear.
fn cut_off(session: &mut Session) {
    session.signal("KILL");
    session.child.wait().unwrap();
}

/// Dice that fall the same for the same seed (xorshift of 64 bits, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 33) % sides
    }
}

/// Kills it again and again at random moments, twenty times or as often as `AMPWALK_KILLS` says: each edit
/// that the screen had called saved is in the plan that the next run opens, and the file is whole at all times.
#[test]
fn killed_at_any_moment_it_loses_no_edit_that_it_called_saved() {
    const ON_ONE_PLAN: u64 = 25;
    let kills: u64 = std::env::var("AMPWALK_KILLS").ok().and_then(|count| count.parse().ok()).unwrap_or(20);
    let mut dice = Dice(20_261);
    let (mut home, mut plan) = own_plan();
    let (mut saved, mut offers, mut edits) = (Vec::new(), 0, 0);
    for kill in 0..kills {
        if kill % ON_ONE_PLAN == 0 {
            (home, plan) = own_plan();
            saved.clear();
        }
        let mut session = Session::start(home.path(), &[&plan], &[]);
        session.wait_for("an open plan", |screen| {
            let words = screen.contents();
            words.contains("? help") && (words.contains("pick up") || words.contains("put it in"))
        });
        if session.contents().contains("put it in") {
            offers += 1;
            session.press("\r");
            session.wait_for_text("What was not saved is in the plan");
            session.wait_for("a save", |screen| screen.contents().contains(" saved"));
        }
        let there = heads(&plan);
        for id in &saved {
            assert!(there.contains(id), "kill {kill}: {id} is lost");
        }
        for edit in 0..=dice.roll(4) {
            let id = format!("K{kill}-{edit}");
            add(&mut session, &id);
            edits += 1;
            // Now and then it is killed before the screen has said anything.
            if dice.roll(4) == 0 {
                break;
            }
            session.wait_for("the edit saved", |screen| {
                let words = screen.contents();
                words.contains(&format!("▸{id} led-300")) && words.contains(" saved")
            });
            saved.push(id);
        }
        thread::sleep(Duration::from_micros(dice.roll(15_000)));
        cut_off(&mut session);
        heads(&plan);
    }
    if kills > 20 {
        println!("{kills} kills, {edits} edits, {} saved in the last plan, {offers} offers", saved.len());
    }
}

#[test]
fn what_a_power_cut_kept_from_the_plan_is_offered_from_the_journal() {
    let (home, plan) = own_plan();
    let before = fs::read_to_string(&plan).unwrap();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    add(&mut session, "Z1");
    session.wait_for_text("▸Z1 led-300");
    wait_until("the head on disk", || heads(&plan).contains(&"Z1".to_owned()));
    cut_off(&mut session);
    // The disk had the journal, and not yet the plan.
    fs::write(&plan, &before).unwrap();
    let mut again = Session::start(home.path(), &[&plan], &[]);
    again.wait_for_text("Not saved when the program ended: ");
    again.wait_for_text("+ [head.Z1]");
    // Left without a word, it is offered once more.
    again.press("q");
    assert!(again.end().success());
    assert_eq!(fs::read_to_string(&plan).unwrap(), before);
    let mut third = Session::start(home.path(), &[&plan], &[]);
    third.wait_for_text("+ [head.Z1]");
    third.press("\r");
    third.wait_for_text("What was not saved is in the plan; u takes it back");
    third.press("q");
    assert!(third.end().success());
    assert!(heads(&plan).contains(&"Z1".to_owned()));
    assert!(!journal(&plan).exists(), "nothing is left to offer");
}

#[test]
fn a_second_one_only_looks_says_who_holds_it_and_follows() {
    let (home, plan) = own_plan();
    let mut first = Session::start(home.path(), &[&plan], &[("USER", "gaffer")]);
    first.wait_for_text("saved");
    let mut second = Session::start(home.path(), &[&plan], &[]);
    second.wait_for_text("it is open elsewhere (gaffer on ");
    second.wait_for_text("read only");
    add(&mut first, "Z1");
    first.wait_for_text("▸Z1 led-300");
    second.wait_for_text("The plan was changed elsewhere");
    first.press("q");
    assert!(first.end().success());
    second.wait_for_text("it is yours to edit");
    add(&mut second, "Z2");
    second.wait_for_text("▸Z2 led-300");
    second.press("q");
    assert!(second.end().success());
    let heads = heads(&plan);
    assert!(["Z1", "Z2"].iter().all(|id| heads.contains(&(*id).to_owned())), "{heads:?}");
}

#[test]
fn an_editor_beside_it_is_noticed_within_a_second_and_nothing_is_lost() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    let theirs = fs::read_to_string(&plan).unwrap() + "\n[head.Z1]\nclass = \"led-300\"\n";
    fs::write(&plan, theirs).unwrap();
    session.wait_for_text("Another program changed head.Z1: taken over; u takes it back");
    add(&mut session, "Z2");
    session.wait_for_text("▸Z2 led-300");
    wait_until("both on disk", || {
        let heads = heads(&plan);
        ["Z1", "Z2"].iter().all(|id| heads.contains(&(*id).to_owned()))
    });
    // A command that writes is another program as well.
    let moved = run(&["assign", &plan, "--fresh", "--write"]);
    assert!(moved.status == Some(0) || moved.status == Some(1), "{moved:?}");
    session.wait_for_text("Another program changed ");
    session.press("q");
    assert!(session.end().success());
}

#[test]
fn what_both_changed_is_asked_and_kept_in_the_journal_until_then() {
    let (home, plan) = own_plan();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("saved");
    let before = fs::read_to_string(&plan).unwrap();
    let theirs =
        before.replace("[head.B]\n", "[head.B]\nname = \"theirs\"\n").replace("name = \"Sun, hall", "# \"");
    assert_ne!(theirs, before);
    // Ours comes right behind theirs, before it is noticed.
    session.press("\r");
    session.wait_for_text("enter drop");
    fs::write(&plan, &theirs).unwrap();
    session.press("\r");
    session.wait_for("the question or their words", |screen| {
        let words = screen.contents();
        words.contains("Changed here and by another program") || words.contains("taken over")
    });
    if session.contents().contains("Changed here") {
        session.press("\u{1b}");
        session.wait_for_text("Nothing is saved until you choose");
        session.press("q");
        assert_eq!(session.end().exit_code(), 2);
        session.wait_for_text("Open the plan again");
        assert_eq!(fs::read_to_string(&plan).unwrap(), theirs);
        assert!(journal(&plan).exists());
    }
}

#[test]
fn in_a_folder_that_is_gone_edits_are_kept_and_saved_once_it_is_back() {
    let home = folder();
    let inner = home.path().join("stick");
    fs::create_dir(&inner).unwrap();
    let plan = inner.join("plan.toml").to_str().unwrap().to_owned();
    fs::copy(example("mill-house"), &plan).unwrap();
    let mut session =
        Session::start(home.path(), &[&plan], &[("XDG_STATE_HOME", home.path().to_str().unwrap())]);
    session.wait_for_text("saved");
    let away = home.path().join("away");
    fs::rename(&inner, &away).unwrap();
    add(&mut session, "Z1");
    session.wait_for_text("NOT SAVED");
    fs::rename(&away, &inner).unwrap();
    wait_until("a save", || heads(&plan).contains(&"Z1".to_owned()));
    session.press("q");
    assert!(session.end().success());
}
