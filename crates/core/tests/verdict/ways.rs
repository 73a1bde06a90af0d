//! Ways out: each makes it fit, and where none does the answer is yes.

use ampwalk_core::network::Link;
use ampwalk_core::plan::SupplyKind;
use ampwalk_core::solve::verdict::{Asks, Need, WayOut};

use super::{answer, holds, house, is_no, is_not_so, network, one_socket, setup};

#[track_caller]
fn way<'a>(ways: &'a [WayOut], words: &str) -> &'a WayOut {
    let found = ways.iter().find(|way| way.action.contains(words));
    found.unwrap_or_else(|| panic!("{words} in {:?}", ways.iter().map(|way| &way.action).collect::<Vec<_>>()))
}

#[test]
fn a_fridge_that_its_owner_switches_off_leaves_what_it_leaked() {
    // Held 10 with the fridge, 20 without: 10 mA gained. 11 mA stand on it.
    let ramps = "ramp = [{ held_ma = 10, tripped_ma = 15 }, { held_ma = 20, tripped_ma = 25, off = [\"P1.fridge\"] }]";
    let base = "breaker_a = 16\nbase = [{ name = \"fridge\", amps = 0.65, owner_can_switch_off = true }]";
    let rest = [
        one_socket(base, "").replace("ramp = { held_ma = 25, tripped_ma = 30 }", ramps),
        "[head.A]\namps = 1\nleak_ma = 11\n".to_owned(),
        setup(60, &["A"]),
    ];
    let plan = house("eu", &rest.concat());
    let not = is_not_so(&plan, "rcd-standing", 11.0, 10.0);
    assert_eq!(not.need, Need::OnlyIf);
    let off = way(&not.ways_out, "switch P1's fridge off");
    assert_eq!((off.asks, off.unit), (Asks::Owner, "mA"));
    assert!((off.gains.unwrap() - 10.0).abs() < 1e-9, "{:?}", off.gains);
    // Where its owner did not agree, nobody proposes it.
    let refused = answer(&plan.replace(", owner_can_switch_off = true", ""));
    assert!(refused.ways_out.iter().all(|way| way.asks != Asks::Owner), "{:?}", refused.summary);
}

#[test]
fn an_untested_socket_is_a_way_out_and_one_that_is_found_bad_is_none() {
    let plan = |test: &str| {
        let rest = [
            one_socket("breaker_a = 16", "").replace("test = \"ok\"", test),
            "[head.A]\namps = 6\n".to_owned(),
            setup(60, &["A"]),
        ];
        house("eu", &rest.concat())
    };
    is_no(&plan("test = \"ok\""));
    let untested = answer(&plan(""));
    assert_eq!(untested.need, Need::OnlyIf);
    assert_eq!(untested.reason.as_ref().unwrap().limit, "socket-untested");
    holds(&way(&untested.ways_out, "tester into G1").proof.network.plan, &[SupplyKind::Mains]);
    let bad = answer(&plan("test = \"no-earth\""));
    assert_eq!(bad.need, Need::Yes, "{:?}", bad.ways_out);
}

/// One socket without an RCD, in a region where that bars it, and a head that leaks so much.
fn without_rcd(leak_ma: f64, circuit: &str) -> String {
    let rest = [
        one_socket(circuit, "")
            .replace("rcd = \"RA\"\n", "")
            .replace("ramp = { held_ma = 25, tripped_ma = 30 }\n", ""),
        format!("[head.A]\namps = 6\nleak_ma = {leak_ma}\nstrike_ma = 0\n"),
        setup(60, &["A"]),
    ];
    house("eu", &rest.concat())
}

#[test]
fn a_socket_without_an_rcd_takes_a_plug_in_one_that_holds_half_of_its_rating() {
    // A plug-in RCD of 30 mA surely holds half of it, 15 mA (IEC 61008-1: it may not trip under that).
    let not = answer(&without_rcd(14.9, "breaker_a = 16"));
    assert_eq!(not.need, Need::OnlyIf, "{:?}", not.reason);
    assert_eq!(not.reason.as_ref().unwrap().limit, "rcd-absent");
    let plug_in = way(&not.ways_out, "plug-in RCD of 30 mA into G1");
    assert_eq!(plug_in.asks, Asks::Crew);
    let after = &plug_in.proof.network;
    let socket = after.socket("G1").unwrap();
    assert!(after.sockets[socket].portable.is_some(), "the plan that is told has it in");
    holds(&after.plan, &[SupplyKind::Mains]);
    // More than it holds stands on it: no way out.
    let too_much = answer(&without_rcd(15.1, "breaker_a = 16"));
    assert!(too_much.ways_out.iter().all(|way| !way.action.contains("plug-in")), "{:?}", too_much.summary);
    // It lifts no other limit: 6 A on a breaker of 4.
    let over = answer(&without_rcd(1.0, "breaker_a = 4"));
    assert!(over.ways_out.iter().all(|way| !way.action.contains("plug-in")), "{:?}", over.summary);
}

#[test]
fn a_socket_behind_a_coarse_rcd_takes_a_plug_in_one() {
    let rest = [
        one_socket("breaker_a = 16", "").replace("rated_ma = 30", "rated_ma = 300"),
        "[head.A]\namps = 6\nleak_ma = 3\n".to_owned(),
        setup(60, &["A"]),
    ];
    let not = answer(&house("eu", &rest.concat()));
    assert_eq!(not.reason.as_ref().unwrap().limit, "rcd-coarse");
    holds(&way(&not.ways_out, "plug-in RCD of 30 mA into G1").proof.network.plan, &[SupplyKind::Mains]);
}

#[test]
fn three_plugs_and_two_ways_take_a_splitter_that_carries_what_hangs_on_it() {
    let plan = |amps: f64| {
        let heads: String =
            ["A", "B", "C"].iter().map(|id| format!("[head.{id}]\namps = {amps}\n")).collect();
        let rest =
            [one_socket("breaker_a = 32", "ways = 2\nplate_a = 32"), heads, setup(60, &["A", "B", "C"])];
        house("eu", &rest.concat())
    };
    // Two of 8 A on one outlet of 16 A; two of 8.1 A are too much for it.
    let fits = is_not_so(&plan(8.0), "socket-full", 3.0, 2.0);
    let block = way(&fits.ways_out, "three-way");
    let placed = &block.proof.network.setups.iter().next().unwrap().1.placed;
    let on_block = placed.iter().filter(|(_, placed)| {
        placed.as_ref().is_some_and(|placed| placed.links.iter().any(|link| matches!(link, Link::Block(_))))
    });
    assert_eq!(on_block.count(), 2);
    let does_not = is_not_so(&plan(8.1), "socket-full", 3.0, 2.0);
    let actions: Vec<&str> = does_not.ways_out.iter().map(|way| way.action.as_str()).collect();
    // Only with a smaller head in the place of one of them.
    assert!(actions.iter().all(|action| !action.starts_with("put block")), "{actions:?}");
}

#[test]
fn what_burns_one_after_the_other_fits_where_both_at_once_do_not() {
    let heads = "[head.A]\namps = 10\n[head.B]\namps = 10\n".to_owned();
    let rest = [one_socket("breaker_a = 16", "ways = 2\nplate_a = 32"), heads, setup(60, &["A", "B"])];
    let not = is_not_so(&house("eu", &rest.concat()), "breaker-over", 20.0, 16.0);
    let split = way(&not.ways_out, "split day");
    assert_eq!(split.proof.network.setups.len(), 2);
}

#[test]
fn a_class_a_step_down_or_two_led_heads_do_instead_of_one_that_no_outlet_takes() {
    // 4300 / (230 · 0.98) = 19.08 A on 16; 2700 / (230 · 0.98) = 11.98 A.
    let rest = [
        one_socket("breaker_a = 20", "ways = 2\nplate_a = 32"),
        "[head.X]\nclass = \"discharge-4k\"\n".to_owned(),
        setup(60, &["X"]),
    ];
    let not = is_not_so(&house("eu", &rest.concat()), "outlet-over", 4300.0 / 230.0 / 0.98, 16.0);
    let smaller = way(&not.ways_out, "X for discharge-2k5");
    assert_eq!(smaller.unit, "A");
    assert!((smaller.gains.unwrap() - 1600.0 / 230.0 / 0.98).abs() < 1e-6, "{:?}", smaller.gains);
    // The largest LED class twice: 2 · 2050 / (230 · 0.95) = 18.76 A on a breaker of 20.
    way(&not.ways_out, "X for 2 × led-2k");
}

#[test]
fn a_small_head_that_is_too_much_goes_on_a_battery_station() {
    // 15 + 1.74 A on 16; 0.4 kW / 0.8 = 0.5 kW, and 0.4 kWh in an hour.
    let heads = "[head.A]\namps = 15\npinned = true\nsocket = \"G1\"\n[head.V]\nwatts = 400\n".to_owned();
    let rest = [one_socket("breaker_a = 16", "ways = 2\nplate_a = 32"), heads, setup(60, &["A", "V"])];
    let not = is_not_so(&house("eu", &rest.concat()), "breaker-over", 15.0 + 400.0 / 230.0, 16.0);
    let station = way(&not.ways_out, "run V from a battery station");
    assert!(station.action.contains("0.5 kW") && station.action.contains("0.4 kWh"), "{}", station.action);
}

#[test]
fn yes_is_said_where_nothing_helps_and_tells_what_to_hire() {
    // A kettle is no lamp: 3000 / 230 = 13.04 A on 10 A, over a kilowatt, alone in its setup.
    let rest =
        [one_socket("breaker_a = 20", ""), "[head.K]\nclass = \"kettle\"\n".to_owned(), setup(120, &["K"])];
    let yes = is_not_so(&house("au", &rest.concat()), "outlet-over", 3000.0 / 230.0, 10.0);
    assert_eq!(yes.need, Need::Yes);
    // 3 / 0.8 = 3.75 kVA: 4.5. Petrol at 0.6 l/kWh: 0.6 · 3 · 2 = 3.6 l.
    let hire = yes.hire.unwrap();
    assert!((hire.computed_kva.0 - 3.75).abs() < 1e-9);
    assert_eq!(hire.kva.map(|kva| kva.0), Some(4.5));
    assert!((hire.hours - 2.0).abs() < 1e-9 && (hire.litres.unwrap().0 - 3.6).abs() < 1e-9);
}

/// A house socket and a set's, with one head that is placed or pinned as these keys say.
fn with_set(kind: &str, head: &str) -> String {
    let rest = [
        one_socket("breaker_a = 16", ""),
        format!(
            "[supply.set]\n{kind}\nearth = \"bonded\"\n[circuit.X]\nsupply = \"set\"\nbreaker_a = 16\nrcd = \"RX\"\n"
        ),
        "[rcd.RX]\nrated_ma = 30\n[socket.X1]\nroom = \"hall\"\ncircuit = \"X\"\ntest = \"ok\"\n\
         ramp = { held_ma = 25, tripped_ma = 30 }\n"
            .to_owned(),
        format!("[head.A]\n{head}\n"),
        setup(60, &["A"]),
    ];
    house("eu", &rest.concat())
}

#[test]
fn a_head_on_the_plans_own_generator_goes_to_the_house_unless_it_is_pinned_there() {
    let set = "kind = \"generator\"\nkva = 5";
    let moved = is_no(&with_set(set, "amps = 1\nsocket = \"X1\""));
    assert_eq!(moved.house.moves.len(), 1);
    let pinned = answer(&with_set(set, "amps = 1\nsocket = \"X1\"\npinned = true"));
    assert_eq!(pinned.need, Need::OnlyIf);
    assert_eq!(pinned.reason.unwrap().limit, "pinned");
    way(&pinned.ways_out, "unpin A");
    // What is pinned in the house stays there.
    let stays = is_no(&with_set(set, "amps = 1\nsocket = \"G1\"\npinned = true"));
    assert!(stays.house.moves.is_empty());
}

#[test]
fn a_battery_station_of_the_plan_is_a_way_out_and_no_house_power() {
    let station = "kind = \"battery\"\nkwh = 2\nkw = 5";
    let not = answer(
        &with_set(station, "amps = 1\nsocket = \"X1\"").replace("[socket.G1]", "[socket.G1]\nban = \"no\""),
    );
    assert_eq!(not.need, Need::OnlyIf);
    holds(&way(&not.ways_out, "battery station set").proof.network.plan, &[SupplyKind::Battery]);
}

#[test]
fn what_is_pinned_and_breaks_a_limit_is_told() {
    let rest = [
        one_socket("breaker_a = 16", "").replace("test = \"ok\"", "test = \"reversed\""),
        one_socket("breaker_a = 16", "")
            .replace("G1", "G2")
            .replace("P1", "P2")
            .replace("[rcd.RA]\nrated_ma = 30\nclass = \"rcd\"\n", ""),
        "[head.A]\namps = 1\nsocket = \"G1\"\npinned = true\n".to_owned(),
        setup(60, &["A"]),
    ];
    let not = answer(&house("au", &rest.concat()));
    assert_eq!(not.need, Need::OnlyIf);
    assert_eq!(not.reason.unwrap().limit, "socket-unsafe");
    way(&not.ways_out, "unpin A");
}

#[test]
fn a_plan_without_a_house_needs_one() {
    let text = "ampwalk = 1\n[location]\nregion = \"eu\"\n[floor.g]\nlevel = 0\n[room.wood]\nfloor = \"g\"\noutdoor = true\n\
                [head.A]\nclass = \"discharge-2k5\"\nroom = \"wood\"\n[setup.night]\nminutes = 60\non = [\"A\"]\n";
    let verdict = answer(text);
    assert_eq!(verdict.need, Need::Yes, "{:?}", verdict.ways_out);
    assert_eq!(verdict.reason.unwrap().limit, "mains");
    assert!(verdict.is_proven);
    let nothing = is_no(&text.replace("on = [\"A\"]", "on = []"));
    assert_eq!(network(text).heads.len(), nothing.house.network.heads.len());
}
