//! Inrush and run-up. Counts of heads at one go are worked by hand from the lower magnetic bound of
//! IEC 60898-1: B 3 times, C 5 times the rating; a pulse of 0.2 ms may be four times as high (typical).

use super::*;

/// Heads of one class on one block, behind a breaker of this rating and curve.
fn on_one_plug(class: &str, count: usize, breaker: &str) -> Found {
    let head = format!("{class}\nleads = [\"k\"]\nplug = \"au-20\"");
    let more = "[block.k]\nways = 12\nplug = \"au-20\"";
    with(&head, count, breaker, more)
}

fn with(head: &str, count: usize, breaker: &str, more: &str) -> Found {
    let ids: Vec<String> = (0..count).map(|number| format!("\"H{number}\"")).collect();
    let mut text = more.to_owned();
    for number in 1..count {
        text = format!("[head.H{number}]\nsocket = \"G1\"\n{head}\n{text}");
    }
    let text = format!("[head.H0]\nsocket = \"G1\"\n{head}\n{text}");
    House {
        circuit: &format!("supply = \"house\"\nrcd = \"RA\"\n{breaker}"),
        socket: "circuit = \"P1\"\ntest = \"ok\"\nways = 12\noutlet = \"au-20\"\nramp = { held_ma = 25, tripped_ma = 30 }",
        setup: &format!("minutes = 60\non = [{}]", ids.join(", ")),
        more: &text,
        ..House::default()
    }
    .assess()
}

fn inrush(found: &Found) -> Option<(f64, f64, f64)> {
    let circuit = found.network.circuit("P1").unwrap();
    let inrush = found.setup("s").circuits[circuit].inrush.as_ref()?;
    Some((inrush.all.peak.0, inrush.most.counts.0, inrush.limit.0))
}

fn do_of<'a>(found: &'a Found, rule: &str) -> &'a str {
    &found.assessment.findings.iter().find(|finding| finding.rule.id == rule).unwrap().remedy
}

const AT_RISK: &[&str] = &["risk breaker-inrush circuit.P1"];

#[test]
fn three_heads_of_sixty_amps_peak_come_on_at_once_behind_b16_and_five_behind_c16() {
    // 60 A for 0.2 ms counts as 15 A; B16 may open from 48 A, C16 from 80 A.
    for (curve, most) in [("B", 3), ("C", 5)] {
        let breaker = format!("breaker_a = 16\ncurve = \"{curve}\"");
        on_one_plug("class = \"led-600\"", most, &breaker).is("breaker-inrush", &[]);
        let found = on_one_plug("class = \"led-600\"", most + 1, &breaker);
        found.is("breaker-inrush", AT_RISK);
        assert!(
            do_of(&found, "breaker-inrush").starts_with(&format!("{most} at one go at most")),
            "{found:?}"
        );
    }
}

#[test]
fn a_long_pulse_of_sixty_amps_is_too_much_for_b16_even_alone() {
    // 10 ms and longer count whole: 60 A over 48 A.
    let long = "class = \"led-600\"\ninrush_ms = 10";
    let found = on_one_plug(long, 1, "breaker_a = 16\ncurve = \"B\"");
    found.is("breaker-inrush", AT_RISK);
    assert!(do_of(&found, "breaker-inrush").contains("none of them comes on here"));
    on_one_plug(long, 1, "breaker_a = 16\ncurve = \"C\"").is("breaker-inrush", &[]);
    // A peak that nobody timed counts whole, too.
    on_one_plug("amps = 2\ninrush_a = 60", 1, "breaker_a = 16\ncurve = \"B\"").is("breaker-inrush", AT_RISK);
}

#[test]
fn heads_with_a_plug_each_are_switched_each_by_itself_and_a_reset_brings_all_on() {
    let each = with("class = \"led-600\"\nplug = \"au-20\"", 4, "breaker_a = 16\ncurve = \"B\"", "");
    each.is("breaker-inrush", &[]);
    // 4 · 60 A peak at a reset; one of them counts as 15 A.
    assert_eq!(inrush(&each), Some((240.0, 15.0, 48.0)));
}

#[test]
fn an_overloaded_circuit_is_told_to_be_cleared_before_its_reset() {
    // 7 · 2.8376 A = 19.86 A over 16 A; 7 · 15 = 105 A over the 80 A of C16, 4 heads stay under it.
    let seven = with("class = \"led-600\"\nplug = \"au-20\"", 7, "breaker_a = 16\ncurve = \"C\"", "");
    assert!(do_of(&seven, "breaker-over").contains("off before a reset"), "{seven:?}");
    let plain = with("amps = 3\nplug = \"au-20\"", 7, "breaker_a = 16\ncurve = \"C\"", "");
    assert!(!do_of(&plain, "breaker-over").contains("reset"), "{plain:?}");
}

#[test]
fn a_filament_that_fits_comes_on_behind_c20_and_a_large_one_not_behind_its_own_b() {
    // Filament model: 2 kW 2.8 times its running amps over 0.1 s, 5 kW 3.8 times, B from 3, C from 5.
    let on = |watts: &str, breaker: &str| {
        let class = format!("class = \"tungsten-{watts}\"");
        on_one_plug(&class, 1, breaker).of("breaker-inrush")
    };
    assert_eq!(on("2k", "breaker_a = 20\ncurve = \"C\""), Vec::<String>::new());
    assert_eq!(on("2k", "breaker_a = 8.7\ncurve = \"B\""), Vec::<String>::new());
    assert_eq!(on("5k", "breaker_a = 22\ncurve = \"B\""), AT_RISK);
    assert_eq!(on("5k", "breaker_a = 22\ncurve = \"C\""), Vec::<String>::new());
    assert_eq!(on("10k", "breaker_a = 45\ncurve = \"B\""), AT_RISK);
    assert_eq!(on("10k", "breaker_a = 45\ncurve = \"C\""), Vec::<String>::new());
    assert_eq!(on("10k", "breaker_a = 45\ncurve = \"D\""), Vec::<String>::new());
}

#[test]
fn nothing_is_said_of_an_inrush_where_the_curve_has_no_band_or_nobody_knows_it() {
    for curve in ["ul", "gg", "rewirable"] {
        let found = on_one_plug("class = \"led-600\"", 9, &format!("breaker_a = 20\ncurve = \"{curve}\""));
        assert_eq!(inrush(&found), None, "{curve}");
        found.is("breaker-inrush", &[]);
    }
    assert_eq!(inrush(&on_one_plug("amps = 2", 2, "breaker_a = 16\ncurve = \"B\"")), None);
    // Beside one that is known, a head without a figure counts with its amps: 15 + 2 A, 60 + 2·√2 A.
    let mixed = with(
        "amps = 2\nplug = \"au-20\"",
        1,
        "breaker_a = 16\ncurve = \"B\"",
        "[head.L]\nclass = \"led-600\"\nsocket = \"G1\"\nplug = \"au-20\"\n[setup.t]\nminutes = 1\non = [\"H0\", \"L\"]",
    );
    let used = &mixed.setup("t").circuits[mixed.network.circuit("P1").unwrap()];
    let all = used.inrush.as_ref().unwrap().all;
    near_both((all.peak.0, all.counts.0), (62.8284, 17.0));
}

#[test]
fn warmth_leaves_the_magnetic_trip_where_it_is() {
    let warm = House {
        location: "ambient_c = 50",
        circuit: "supply = \"house\"\nbreaker_a = 16\ncurve = \"B\"\nrcd = \"RA\"",
        head: "class = \"led-600\"\nsocket = \"G1\"",
        ..House::default()
    };
    near(inrush(&warm.assess()).unwrap().2, 48.0);
}

#[test]
fn a_run_up_past_the_earliest_trip_may_drop_the_breaker_meanwhile() {
    // 10.8213 A on 10 A, 1.082 times: not before an hour, and the run-up lasts 3 min.
    let on = |breaker: &str, head: &str| {
        let circuit = format!("supply = \"house\"\nbreaker_a = {breaker}\nrcd = \"RA\"");
        let head = format!("{head}\nsocket = \"G1\"");
        House { circuit: &circuit, head: &head, ..House::default() }.assess()
    };
    let slow = on("10", "class = \"discharge-1k2-magnetic\"");
    let text = slow.text("start-over");
    assert!(text.contains("not before 60 min") && text.ends_with("they run up for 3 min only"), "{text}");
    // 20 A on 10 A: C from 11.5 s (IEC 60898-1, joined), by 349 s.
    let fast = on("10", "amps = 8\nstart_a = 20\nstart_min = 2");
    let text = fast.text("start-over");
    assert!(
        text.contains("between 12 s and 6 min") && text.ends_with("may drop while they run up for 2 min"),
        "{text}"
    );
    // Nobody knows how long: the window alone.
    let unknown = on("10", "amps = 8\nstart_a = 20");
    assert!(unknown.text("start-over").ends_with("between 12 s and 6 min"), "{}", unknown.text("start-over"));
    // The plan's minutes beat the class's.
    let own = on("10", "class = \"discharge-1k2-magnetic\"\nstart_min = 90");
    assert!(
        own.text("start-over").ends_with("may drop while they run up for 1.5 h"),
        "{}",
        own.text("start-over")
    );
}
