//! Setups, floors, the cursor, the mouse.

use super::*;
use crate::model::Screen;
use crate::plot::Focus;

fn chosen(desk: &Desk) -> String {
    desk.in_hand().map(|(_, socket)| socket).unwrap()
}

fn cursor(desk: &Desk) -> String {
    desk.model.document.network().socket_id(desk.model.plot.socket.unwrap()).to_string()
}

#[test]
fn tab_goes_through_every_socket_best_first_and_round_again() {
    let mut desk = Desk::house();
    desk.keys("enter");
    let outlooks: Vec<_> =
        desk.model.plot.held.as_ref().unwrap().ranked().iter().map(|there| there.outlook).collect();
    assert!(outlooks.is_sorted());
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..10 {
        seen.insert(chosen(&desk));
        desk.shows(&format!("▸{}", chosen(&desk)));
        desk.keys("tab");
    }
    assert_eq!(seen.len(), 10);
    assert_eq!(chosen(&desk), "G7");
    desk.keys("backtab backtab");
    assert_ne!(chosen(&desk), "G7");
}

/// A hotel with a head on one of its sockets, which stand 1 m apart in floors of a hundred; some are wired
/// right.
fn hotel(sockets: usize, is_right: impl Fn(usize) -> bool) -> String {
    let floor =
        |floor: usize| format!("[floor.F{floor}]\nlevel = {floor}\n[room.F{floor}]\nfloor = \"F{floor}\"\n");
    let circuit =
        |circuit: usize| format!("[circuit.C{circuit}]\nsupply = \"house\"\nbreaker_a = 20\nrcd = \"RA\"\n");
    let socket = |socket: usize| {
        let (floor, x, circuit) = (socket / 100, socket % 100, socket / 4);
        let outcome = if is_right(socket) { "ok" } else { "reversed" };
        format!(
            "[socket.S{socket}]\nroom = \"F{floor}\"\nat = [{x}, 0]\ncircuit = \"C{circuit}\"\n\
             test = \"{outcome}\"\nramp = {{ held_ma = 15, tripped_ma = 20 }}\n"
        )
    };
    let parts = [
        "ampwalk = 1\n[location]\nregion = \"au\"\n[supply.house]\nkind = \"mains\"\n[rcd.RA]\nrated_ma = 30\n".to_owned(),
        (0..sockets.div_ceil(100)).map(floor).collect(),
        (0..sockets.div_ceil(4)).map(circuit).collect(),
        (0..sockets).map(socket).collect(),
        "[head.H]\nwatts = 650\nroom = \"F0\"\nat = [0, 1]\nsocket = \"S1\"\n\
         [setup.day]\nminutes = 60\non = [\"H\"]\n".to_owned(),
    ];
    parts.concat()
}

/// What is chosen at once, and in the end, where nothing and where another key comes in between.
fn chosen_in_a_hotel(text: &str) -> (String, String) {
    let mut desk = Desk::of(text);
    desk.keys("enter");
    assert!(desk.model.has_put_off());
    desk.shows("counting");
    let at_once = chosen(&desk);
    desk.event(Event::Spare);
    assert!(!desk.model.has_put_off());
    let held = desk.model.plot.held.as_ref().unwrap();
    let everywhere = held.everywhere(desk.model.document.network());
    assert!(everywhere.iter().map(|there| there.socket).eq(held.ranked().iter().map(|there| there.socket)));
    let in_the_end = chosen(&desk);
    desk.shows(&format!("▸{in_the_end}"));
    let mut quick = Desk::of(text);
    quick.keys("enter tab");
    desk.keys("tab");
    assert_eq!(quick.screen(), desk.screen());
    (at_once, in_the_end)
}

#[test]
fn in_a_large_building_the_nearest_sockets_are_rated_first_and_the_others_when_nothing_else_is_to_be_done() {
    let (at_once, in_the_end) = chosen_in_a_hotel(&hotel(700, |socket| !socket.is_multiple_of(3)));
    assert_eq!((at_once.as_str(), in_the_end.as_str()), ("S2", "S2"));
}

#[test]
fn where_no_near_socket_will_do_the_best_of_all_is_chosen_once_all_are_rated() {
    let (at_once, in_the_end) = chosen_in_a_hotel(&hotel(700, |socket| socket >= 650));
    assert_eq!((at_once.as_str(), in_the_end.as_str()), ("S0", "S650"));
    // Whoever chose one keeps it.
    let mut desk = Desk::of(&hotel(700, |socket| socket >= 650));
    desk.keys("enter tab tab");
    assert_eq!(chosen(&desk), "S652");
}

#[test]
fn arrows_go_to_the_socket_on_that_side_and_left_of_all_are_the_heads() {
    let mut desk = Desk::house();
    desk.keys("right");
    assert_eq!((desk.model.plot.focus, cursor(&desk).as_str()), (Focus::Sockets, "G1"));
    desk.keys("right");
    assert_eq!(cursor(&desk), "G3");
    desk.keys("right");
    assert_eq!(cursor(&desk), "G4");
    desk.keys("down");
    assert_eq!(cursor(&desk), "G5");
    desk.keys("left left left left");
    assert_eq!(desk.model.plot.focus, Focus::Heads);
}

#[test]
fn enter_on_a_socket_picks_up_what_is_plugged_in_there() {
    let mut desk = Desk::house();
    desk.keys("right enter");
    assert_eq!(desk.in_hand().unwrap().0, "C");
    desk.keys("esc right");
    desk.keys("down enter");
    assert_eq!(desk.in_hand(), None);
    desk.says("Nothing is plugged in at");
}

#[test]
fn setups_and_floors_turn_with_a_head_in_hand_as_well() {
    let mut desk = Desk::house();
    desk.shows("Day interior 09:00-13:00 1/3");
    desk.keys("s");
    desk.shows("Bedroom night 19:00-22:00 2/3");
    desk.says("Bedroom night");
    desk.keys("S S");
    desk.shows("Dinner 22:00-00:00 3/3");
    desk.keys("s ]");
    desk.shows("Upstairs  2/2");
    desk.keys("]");
    desk.says("highest floor");
    desk.keys("[ [");
    desk.says("lowest floor");
    desk.keys("/").types("V").keys("enter enter ]");
    assert_eq!(desk.in_hand().unwrap().0, "V");
    assert!(chosen(&desk).starts_with('U'));
    desk.keys("s");
    assert_eq!(desk.in_hand().unwrap().0, "V", "V is on in both");
    desk.keys("esc S");
    desk.keys("/").types("A").keys("enter enter");
    assert_eq!(desk.in_hand().unwrap().0, "A");
    desk.keys("s");
    desk.says("A is not on in Bedroom night: put back");
    assert_eq!(desk.in_hand(), None);
}

#[test]
fn leaving_the_plot_puts_the_head_back() {
    let mut desk = Desk::house();
    desk.keys("enter 2");
    assert_eq!((desk.model.screen, desk.in_hand()), (Screen::Board, None));
    desk.says("A put back");
    desk.shows("2 BOARD");
    for (key, name) in [("1", "WALK"), ("4", "SHOOT"), ("5", "PAPERS"), ("3", "PLOT")] {
        desk.keys(key);
        desk.shows(&format!("{key} {name}"));
    }
}

#[test]
fn the_other_screens_lead_back_to_the_plot() {
    let mut desk = Desk::house();
    desk.keys("1 down enter");
    assert_eq!(desk.model.screen, Screen::Plot);
    assert_eq!(desk.model.plot.focus, Focus::Sockets);
    desk.keys("4 home o");
    assert_eq!(desk.model.screen, Screen::Plot);
    assert_eq!(desk.model.plot.focus, Focus::Heads);
}

fn place(desk: &Desk, words: &str) -> (u16, u16) {
    let screen = desk.screen();
    let (row, line) = screen.lines().enumerate().find(|(_, line)| line.contains(words)).unwrap();
    let column = line[..line.find(words).unwrap()].chars().count();
    (u16::try_from(column).unwrap() + 1, u16::try_from(row).unwrap())
}

#[test]
fn a_click_chooses_and_a_second_one_drops() {
    let mut desk = Desk::house();
    let (x, y) = place(&desk, "B discharge-1k2");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.mouse(MouseEventKind::Up(MouseButton::Left), x, y);
    desk.keys("enter");
    assert_eq!(desk.in_hand().unwrap().0, "B");
    let (x, y) = place(&desk, "G5 ");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    assert_eq!(chosen(&desk), "G5");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    assert_eq!(desk.socket_of("B"), Some("G5".into()));
    let (x, y) = place(&desk, "2 Board");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    assert_eq!(desk.model.screen, Screen::Board);
}

#[test]
fn a_head_is_dragged_onto_a_socket_and_goes_back_where_there_is_none() {
    let mut desk = Desk::house();
    let (x, y) = place(&desk, "A discharge-2k5");
    let (to_x, to_y) = place(&desk, "G7 ");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.mouse(MouseEventKind::Drag(MouseButton::Left), x + 8, y);
    assert_eq!(desk.in_hand(), None, "a hand is never quite still");
    desk.mouse(MouseEventKind::Drag(MouseButton::Left), x + 30, y);
    assert_eq!(desk.in_hand().unwrap().0, "A");
    desk.mouse(MouseEventKind::Drag(MouseButton::Left), to_x, to_y);
    assert_eq!(chosen(&desk), "G7");
    desk.mouse(MouseEventKind::Up(MouseButton::Left), to_x, to_y);
    assert_eq!(desk.socket_of("A"), Some("G7".into()));
    let (x, y) = place(&desk, "B discharge-1k2");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.mouse(MouseEventKind::Drag(MouseButton::Left), x + 1, y + 5);
    assert!(desk.in_hand().is_some());
    desk.mouse(MouseEventKind::Up(MouseButton::Left), 0, 0);
    assert_eq!((desk.in_hand(), desk.socket_of("B")), (None, None));
}

fn click(desk: &mut Desk, (x, y): (u16, u16)) {
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.mouse(MouseEventKind::Up(MouseButton::Left), x, y);
}

#[test]
fn a_double_click_opens_all_that_the_plan_says() {
    let mut desk = Desk::house();
    let head = place(&desk, "B discharge-1k2");
    click(&mut desk, head);
    assert!(desk.model.layers.is_empty());
    click(&mut desk, head);
    desk.shows("Keys of head B");
    desk.keys("esc");
    let socket = place(&desk, "G5 ");
    click(&mut desk, socket);
    desk.keys("down up");
    click(&mut desk, socket);
    assert!(desk.model.layers.is_empty(), "two clicks with keys between are no double one");
    click(&mut desk, socket);
    desk.shows("Keys of socket G5");
    for screen in ["1", "2", "4"] {
        let mut desk = Desk::house();
        desk.keys(screen).keys("down down");
        let row = place(&desk, "▸");
        click(&mut desk, row);
        desk.shows("Keys of ");
    }
}

#[test]
fn the_terminal_may_change_its_size_while_anything_is_open() {
    let scripts = [
        "",
        "enter",
        "1",
        "2",
        "4",
        "5",
        "f end",
        "p",
        "i end",
        "E end",
        "E enter",
        "R",
        "w end",
        "? end",
        ": a",
        "/ g",
        "enter t",
        "!",
        "! 1 1 1",
        "1 n",
        "e",
        "enter w end",
        "A end",
        "m",
        "t end",
    ];
    for script in scripts {
        let mut desk = Desk::house();
        desk.keys(script);
        let before = (desk.model.context(), desk.model.document.text().to_owned());
        for (width, height) in [(160, 50), (40, 15), (3, 2), (0, 0), (200, 60), (80, 24)] {
            desk.event(Event::Resize { width, height });
            let screen = desk.screen();
            assert_eq!(screen.lines().count(), usize::from(height), "{script}");
            if width >= 40 {
                let body = screen.lines().skip(3).take(usize::from(height) - 5);
                let drawn = body.filter(|line| line.trim().len() > 2).count();
                assert!(drawn > 1, "{script} {width}\n{screen}");
            }
        }
        assert_eq!((desk.model.context(), desk.model.document.text().to_owned()), before, "{script}");
    }
}

#[test]
fn the_wheel_goes_through_the_heads() {
    let mut desk = Desk::house();
    let first = desk.model.plot.head;
    desk.mouse(MouseEventKind::ScrollDown, 3, 6);
    assert_ne!(desk.model.plot.head, first);
    desk.mouse(MouseEventKind::ScrollUp, 3, 6);
    assert_eq!(desk.model.plot.head, first);
}

#[test]
fn a_row_of_a_list_is_chosen_by_a_click_and_taken_by_the_next() {
    let mut desk = Desk::house();
    desk.keys("f");
    let (x, y) = place(&desk, " DARK    B");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    assert!(desk.in_hand().is_none() && !desk.model.layers.is_empty());
    let (x, y) = place(&desk, "▸DARK    B");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    assert!(desk.model.layers.is_empty());
    assert_eq!(desk.model.plot.head, desk.model.document.network().head("B"));
    desk.keys("4");
    let (x, y) = place(&desk, " 1  C");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.shows("▸1  C");
    desk.mouse(MouseEventKind::Down(MouseButton::Left), x, y);
    desk.shows("Keys of head");
}

#[test]
fn the_mouse_may_do_anything_anywhere() {
    for script in ["", "enter", "1", "2", "4", "5", "f", ":", "?", "w"] {
        for (column, row) in (0..90).step_by(7).flat_map(|x| (0..26).map(move |y| (x, y))) {
            let mut desk = Desk::house();
            // A click on the word that puts the rest on asks the solver, whose answer changes the plan.
            desk.solver = Solver::WhenTold;
            desk.keys(script);
            let kinds = [
                MouseEventKind::Down(MouseButton::Left),
                MouseEventKind::Drag(MouseButton::Left),
                MouseEventKind::Up(MouseButton::Left),
                MouseEventKind::ScrollDown,
                MouseEventKind::Down(MouseButton::Right),
            ];
            for kind in kinds {
                desk.mouse(kind, column, row);
            }
            desk.screen();
            assert!(
                !desk.effects.iter().any(|effect| matches!(effect, Effect::Save { .. })) || script == "enter"
            );
        }
    }
}
