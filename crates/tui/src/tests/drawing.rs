//! Drawings at many sizes.

use super::*;

const SIZES: [(u16, u16); 16] = [
    (0, 0),
    (1, 1),
    (0, 24),
    (80, 0),
    (3, 200),
    (200, 3),
    (10, 5),
    (20, 10),
    (40, 12),
    (55, 20),
    (56, 24),
    (80, 24),
    (79, 23),
    (120, 40),
    (160, 50),
    (200, 60),
];

#[test]
fn every_screen_and_layer_is_drawn_at_every_size() {
    let empty = "ampwalk = 1\n[location]\nregion = \"uk\"\n".to_owned();
    for text in [fixture::HOUSE.to_owned(), fixture::big(120), empty, String::new(), "\u{feff}[[".to_owned()]
    {
        for size in SIZES {
            for script in
                ["", "enter", "1", "2", "4", "5", "f", "?", ":", "/", "w", "p", "right", "enter t", "]", "t"]
            {
                let mut desk = Desk::opened(&text, size, Origin::Demo);
                desk.keys(script);
                let screen = desk.screen();
                assert!(screen.lines().count() == usize::from(size.1), "{size:?} {script}");
            }
        }
    }
}

#[test]
fn what_the_solver_does_and_finds_is_drawn_at_every_size() {
    for (script, solver) in
        [("a", Solver::WhenTold), ("A", Solver::WhenTold), ("A", Solver::AtOnce), ("m", Solver::AtOnce)]
    {
        let mut desk = Desk::house();
        desk.solver = solver;
        desk.keys(script);
        for (width, height) in SIZES {
            desk.event(Event::Resize { width, height });
            let screen = desk.screen();
            assert!(screen.lines().count() == usize::from(height), "{width} {height} {script}");
        }
    }
}

#[test]
fn what_must_be_seen_is_seen_at_80_by_24_whatever_lies_over_it() {
    for script in ["", "enter", "2", "f", "?", ":", "4", "enter t", "A", "m"] {
        let mut desk = Desk::house();
        desk.keys(script);
        for words in
            ["Harbour Street 14", "Day interior 09:00-13:00 1/3", "DARK", "RCD RA", "2 not placed", "assumed"]
        {
            desk.shows(words);
        }
        desk.shows("saved");
    }
}

#[test]
fn a_small_screen_says_what_it_left_out_and_still_shows_the_verdict() {
    let mut desk = Desk::opened(fixture::HOUSE, (50, 20), Origin::File);
    desk.shows("too small for: sockets (right shows them)");
    desk.keys("right");
    desk.shows("too small for: heads (left shows them)");
    desk.shows("G1");
    let tiny = Desk::opened(fixture::HOUSE, (30, 1), Origin::File);
    tiny.shows("DARK");
}

#[test]
fn a_large_screen_shows_more() {
    let mut large = Desk::opened(fixture::HOUSE, (160, 50), Origin::File);
    large.shows("findings, worst first");
    large.shows("wall says P1");
    large.shows("au-15, 1 way");
    large.keys("enter");
    large.shows("b20 for 14 m");
}

#[test]
fn an_empty_plan_says_the_next_step() {
    let mut desk = Desk::of("ampwalk = 1\n[location]\nregion = \"us\"\n");
    desk.shows("No setup yet");
    desk.shows("Next: :new setup");
    desk.shows("No head yet");
    desk.shows("No outlet yet");
    desk.keys("enter s x");
    assert!(desk.effects.iter().all(|effect| *effect == Effect::Bell));
    let no_sockets = Desk::of(
        "ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nclass = \"led-600\"\n[setup.day]\nminutes = 60\non = [\"A\"]\n",
    );
    no_sockets.shows("No power point yet");
    no_sockets.shows("1 not placed");
}

#[test]
fn words_carry_the_state_without_colour() {
    let mut coloured = Desk::house();
    let mut plain = Desk::house();
    plain.model.theme = Theme::Monochrome;
    for script in ["", "enter", "tab", "esc f", "esc 2", "3 A", "esc m"] {
        assert_eq!(coloured.keys(script).screen(), plain.keys(script).screen());
    }
}

#[test]
fn accents_and_wide_letters_keep_the_columns() {
    let text = fixture::HOUSE.replace("name = \"Kitchen\"", "name = \"台所 Küche\"");
    let desk = Desk::of(&text);
    desk.shows("Küche");
    let area = Rect::new(0, 0, 80, 24);
    let mut buffer = Buffer::empty(area);
    view::draw(&desk.model, area, &mut buffer);
    assert!((3..20).all(|y| buffer.cell((22, y)).unwrap().symbol() == "│"));
    assert!(crate::styled_text(&buffer).lines().count() > 24);
}

#[test]
fn every_socket_of_the_floor_shows_what_would_happen_there() {
    for size in [(60, 16), (80, 24), (120, 40), (200, 60)] {
        let mut desk = Desk::opened(fixture::HOUSE, size, Origin::File);
        desk.keys("enter");
        for id in ["G1", "G2", "G3", "G4", "G5", "G6"] {
            desk.shows(&format!("{id} no: plug"));
        }
        desk.shows("G7 FITS");
    }
}

#[test]
fn a_floor_with_more_sockets_than_rows_says_how_many_are_elsewhere() {
    let mut desk = Desk::of(&fixture::big(240));
    desk.shows("more by tab");
    desk.keys("enter");
    for _ in 0..240 {
        let chosen = desk.in_hand().unwrap().1;
        desk.shows(&format!("▸{chosen}"));
        desk.keys("tab");
    }
}

#[test]
fn at_forty_columns_every_screen_has_its_key_and_the_one_that_is_shown_its_name() {
    for (key, name) in
        [("1", "1 WALK"), ("2", "2 BOARD"), ("3", "3 PLOT"), ("4", "4 SHOOT"), ("5", "5 PAPERS")]
    {
        let mut desk = Desk::opened(fixture::HOUSE, (40, 15), Origin::File);
        desk.keys(key);
        let screen = desk.screen();
        let line = screen.lines().nth(1).unwrap();
        assert!(line.contains(name) && line.ends_with("2 not placed 7 assumed"), "{line}");
        assert!(["1", "2", "3", "4", "5"].iter().all(|own| line.contains(own)), "{line}");
    }
}

#[test]
fn a_label_is_shown_whole_or_said_to_be_cut() {
    for columns in 57..130 {
        let desk = Desk::opened(fixture::HOUSE, (columns, 34), Origin::File);
        let screen = desk.screen();
        // The wall says P1 of G3; the trace says P2.
        for (at, _) in screen.match_indices("says P").filter(|(at, _)| !screen[..*at].ends_with("trace ")) {
            let rest = &screen[at + 6..];
            assert!(rest.starts_with('1') || rest.starts_with('2'), "{columns}\n{screen}");
        }
    }
}
