//! Odds of a whole strike order held against many throws, against bounds and against laws.

use ampwalk_core::physics::residual::{Room, StruckLeakage, odds, odds_of_order, odds_of_ranges};
use ampwalk_core::unit::{Leakage, MilliAmps};
use proptest::prelude::*;

/// Numbers from 0 to 1, the same ones at every run (a 64-bit linear congruence, Knuth's constants).
fn dice(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        #[expect(clippy::cast_precision_loss, reason = "53 bits are kept")]
        let share = (state >> 11) as f64 / (1_u64 << 53) as f64;
        share
    }
}

fn range(low: f64, width: f64) -> Leakage {
    Leakage { low: MilliAmps(low), high: MilliAmps(low + width) }
}

fn room(low: f64, width: f64) -> Room {
    Room { low: MilliAmps(low), high: Some(MilliAmps(low + width)) }
}

/// How often the device drops, thrown many times.
fn throws(order: &[StruckLeakage], others: f64, room: Room, count: u32, seed: u64) -> f64 {
    let mut share = dice(seed);
    let mut thrown = |leakage: Leakage| leakage.low.0 + (leakage.high - leakage.low).0 * share();
    let mut dropped = 0_u32;
    for _ in 0..count {
        let threshold = thrown(Leakage { low: room.low, high: room.high.unwrap_or(room.low) });
        let (mut lit, mut peak) = (others, others);
        for head in order {
            lit += thrown(head.standing);
            peak = f64::max(peak, lit + thrown(head.strike));
        }
        dropped += u32::from(peak >= threshold);
    }
    f64::from(dropped) / f64::from(count)
}

/// An order of `heads`: ranges and points, discharge heads and others.
fn order(heads: usize, share: &mut impl FnMut() -> f64) -> Vec<StruckLeakage> {
    (0..heads)
        .map(|_| {
            let standing = range(2.0 * share(), if share() < 0.3 { 0.0 } else { 4.0 * share() });
            let strike = match share() {
                kind if kind < 0.3 => Leakage::ZERO,
                kind if kind < 0.6 => Leakage::point(MilliAmps(12.0 * share())),
                _ => range(8.0 * share(), 8.0 * share()),
            };
            StruckLeakage { standing, strike }
        })
        .collect()
}

#[test]
fn odds_of_an_order_equal_those_of_four_hundred_thousand_throws() {
    let mut share = dice(7);
    for case in 0..24 {
        let order = order(2 + case % 7, &mut share);
        let peak: f64 = order.iter().map(|head| head.standing.high.0).sum::<f64>() + 6.0;
        let room = room(peak * (0.4 + 0.3 * share()), peak * 0.5 * share());
        let others = share();
        let ours = odds_of_order(&order, MilliAmps(others), room);
        let theirs = throws(&order, others, room, 400_000, 1000 + case as u64);
        assert!((ours - theirs).abs() < 0.003, "{case}: {ours} {theirs} {order:?} {room:?}");
    }
}

#[test]
fn many_heads_on_a_narrow_room_stay_near_the_throws() {
    // Strikes that fall head by head, so that every step may be the one that drops it.
    for (heads, leaks) in [(60_u32, 0.2), (300, 0.04)] {
        let falling = |place: u32| f64::from(heads - place) / f64::from(heads) * 8.0;
        let order: Vec<StruckLeakage> = (0..heads)
            .map(|place| StruckLeakage { standing: range(0.0, leaks), strike: range(falling(place), 1.0) })
            .collect();
        let room = room(8.0, 2.0);
        let ours = odds_of_order(&order, MilliAmps::ZERO, room);
        let theirs = throws(&order, 0.0, room, 100_000, 3);
        assert!((ours - theirs).abs() < 0.01, "{heads}: {ours} {theirs}");
    }
}

fn leakage(most: f64) -> impl Strategy<Value = Leakage> {
    (0.0..most, prop_oneof![Just(0.0), 0.0..most]).prop_map(|(low, width)| range(low, width))
}

fn any_order() -> impl Strategy<Value = Vec<StruckLeakage>> {
    let strike = prop_oneof![Just(Leakage::ZERO), leakage(12.0)];
    let head = (leakage(5.0), strike).prop_map(|(standing, strike)| StruckLeakage { standing, strike });
    prop::collection::vec(head, 0..9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn odds_of_an_order_lie_between_its_largest_step_and_all_at_their_most(
        order in any_order(), others in 0.0..5.0_f64, low in 0.0..40.0_f64, width in 0.0..30.0_f64,
    ) {
        let room = room(low, width);
        let ours = odds_of_order(&order, MilliAmps(others), room);
        prop_assert!((0.0..=1.0).contains(&ours));
        let mut lit = vec![Leakage::point(MilliAmps(others))];
        let (mut largest, mut peak, mut most) = (0.0_f64, others, others);
        for head in &order {
            lit.push(head.standing);
            let mut step = lit.clone();
            step.push(head.strike);
            largest = largest.max(odds_of_ranges(&step, room));
            most += head.standing.high.0;
            peak = peak.max(most + head.strike.high.0);
        }
        prop_assert!(ours >= largest - 1e-4, "{ours} under {largest}");
        let all = if order.is_empty() { 0.0 } else { odds(MilliAmps(peak), room) };
        prop_assert!(ours <= all + 1e-4, "{ours} over {all}");
    }

    #[test]
    fn more_leakage_never_drops_it_less_often(
        order in any_order(), others in 0.0..5.0_f64, low in 0.0..40.0_f64, width in 0.0..30.0_f64,
        which in 0_usize..9, more in 0.0..4.0_f64, part in 0_usize..4,
    ) {
        prop_assume!(!order.is_empty());
        let room = room(low, width);
        let mut leakier = order.clone();
        let head = &mut leakier[which % order.len()];
        let leakage = if part < 2 { &mut head.standing } else { &mut head.strike };
        leakage.high += MilliAmps(more);
        if part % 2 == 0 {
            leakage.low += MilliAmps(more);
        }
        let (here, there) =
            (odds_of_order(&order, MilliAmps(others), room), odds_of_order(&leakier, MilliAmps(others), room));
        prop_assert!(there >= here - 2e-4, "{there} under {here}");
        let wetter = odds_of_order(&order, MilliAmps(others + more), room);
        prop_assert!(wetter >= here - 2e-4, "{wetter} under {here}");
    }

    #[test]
    fn points_alone_drop_it_as_their_peak_does(
        points in prop::collection::vec((0.0..5.0_f64, 0.0..12.0_f64), 1..9),
        low in 0.0..40.0_f64, width in 0.1..30.0_f64,
    ) {
        let order: Vec<StruckLeakage> = points
            .iter()
            .map(|(standing, strike)| StruckLeakage { standing: range(*standing, 0.0), strike: range(*strike, 0.0) })
            .collect();
        let (mut lit, mut peak) = (0.0, 0.0_f64);
        for (standing, strike) in points {
            lit += standing;
            peak = peak.max(lit + strike);
        }
        let room = room(low, width);
        prop_assert!((odds_of_order(&order, MilliAmps::ZERO, room) - odds(MilliAmps(peak), room)).abs() < 1e-9);
    }
}
