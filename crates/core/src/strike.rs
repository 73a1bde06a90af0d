//! The order in which heads are struck.
//!
//! Only one head strikes at a time, and what already burns goes on leaking, so the peak on an RCD is
//! the largest of (standing leakage of those lit, the striking one's included, + its strike
//! leakage). Striking in falling order of strike leakage keeps that peak lowest: of two neighbours, the
//! one that leaks more while striking, struck second, strikes on top of the other, so that this way
//! round peaks at least as high. (A case of minimising the maximum cumulative cost;
//! Abdel-Wahab and Kameda 1978, Monma 1980, from memory.) The order is best on every RCD at once,
//! because any part of a falling order is falling. For breakers the same holds of falling start over
//! running amps; where the two disagree, `search` finds the order that keeps most limits.

pub(crate) mod search;

use std::cmp::Ordering;

use crate::unit::{Amps, MilliAmps};

/// What a head does to an RCD and to a breaker when it is struck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Struck {
    /// Leakage while lit.
    pub standing: MilliAmps,
    /// Extra leakage while striking.
    pub strike: MilliAmps,
    /// Amps while running.
    pub running: Amps,
    /// Amps in all while running up.
    pub start: Amps,
}

/// Puts heads in the best order: falling strike leakage, then falling start over running amps, then
/// as they stand.
pub fn sort_best<T>(heads: &mut [T], of: impl Fn(&T) -> Struck) {
    heads.sort_by(|a, b| best_first(of(a), of(b)));
}

fn best_first(a: Struck, b: Struck) -> Ordering {
    let extra = |head: Struck| head.start - head.running;
    b.strike.total_cmp(a.strike).then(extra(b).total_cmp(extra(a)))
}

/// Heads in the best order, with one more put in where it belongs. In an order that spares a breaker it
/// goes before the first head that it belongs before, and the peak is no lower than it would be anew.
pub fn with_one_more(order: impl Iterator<Item = Struck>, more: Struck) -> impl Iterator<Item = Struck> {
    let mut order = order.peekable();
    let mut waiting = Some(more);
    std::iter::from_fn(move || match order.peek() {
        Some(next) if waiting.is_none_or(|more| best_first(*next, more).is_le()) => order.next(),
        _ => waiting.take().or_else(|| order.next()),
    })
}

/// Largest leakage while these heads are struck in this order, over `idle` that leaks anyway.
#[must_use]
pub fn peak_leakage(order: impl IntoIterator<Item = Struck>, idle: MilliAmps) -> MilliAmps {
    let mut lit = idle;
    let mut peak = idle;
    for head in order {
        lit += head.standing;
        peak = peak.max(lit + head.strike);
    }
    peak
}

/// Largest amps while these heads are struck in this order, over `base` that flows anyway.
#[must_use]
pub fn peak_amps(order: impl IntoIterator<Item = Struck>, base: Amps) -> Amps {
    let mut lit = base;
    let mut peak = base;
    for head in order {
        peak = peak.max(lit + head.start);
        lit += head.running;
    }
    peak.max(lit)
}

#[cfg(test)]
mod tests {
    use itertools::Itertools as _;
    use proptest::prelude::*;

    use super::*;

    fn head() -> impl Strategy<Value = Struck> {
        (0.0..6.0_f64, prop_oneof![Just(0.0), Just(10.0), 0.0..20.0_f64], 0.1..20.0_f64, 1.0..2.0_f64)
            .prop_map(|(standing, strike, running, factor)| Struck {
                standing: MilliAmps(standing),
                strike: MilliAmps(strike),
                running: Amps(running),
                start: Amps(running * factor),
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn the_best_order_equals_brute_force_over_all_orders(
            mut heads in prop::collection::vec(head(), 0..=7), idle in 0.0..5.0_f64
        ) {
            let idle = MilliAmps(idle);
            let orders = heads.iter().copied().permutations(heads.len());
            let best = orders.map(|order| peak_leakage(order, idle).0).fold(f64::INFINITY, f64::min);
            sort_best(&mut heads, |head| *head);
            let peak = peak_leakage(heads.iter().copied(), idle).0;
            prop_assert!((peak - best).abs() < 1e-9, "{peak} against {best}");
        }

        #[test]
        fn one_more_head_goes_where_sorting_would_put_it(
            mut heads in prop::collection::vec(head(), 0..=9), more in head()
        ) {
            sort_best(&mut heads, |head| *head);
            let with_it: Vec<Struck> = with_one_more(heads.iter().copied(), more).collect();
            heads.push(more);
            sort_best(&mut heads, |head| *head);
            prop_assert_eq!(with_it, heads);
        }

        #[test]
        fn falling_start_over_running_amps_is_best_for_a_breaker(
            mut heads in prop::collection::vec(head(), 0..=6)
        ) {
            for head in &mut heads {
                head.strike = MilliAmps::ZERO;
            }
            let orders = heads.iter().copied().permutations(heads.len());
            let best = orders.map(|order| peak_amps(order, Amps::ZERO).0).fold(f64::INFINITY, f64::min);
            sort_best(&mut heads, |head| *head);
            prop_assert!((peak_amps(heads.iter().copied(), Amps::ZERO).0 - best).abs() < 1e-9);
        }
    }

    #[test]
    fn the_largest_step_goes_first_on_a_breaker() {
        // By hand: 6.8 → 10.8, 2.8 and 8.7 A: the first one first peaks at 18.3, last at 22.3.
        let struck = |running, start| Struck {
            standing: MilliAmps::ZERO,
            strike: MilliAmps::ZERO,
            running: Amps(running),
            start: Amps(start),
        };
        let mut heads = vec![struck(2.8, 2.8), struck(8.7, 8.7), struck(6.8, 10.8)];
        assert!((peak_amps(heads.clone(), Amps::ZERO).0 - 22.3).abs() < 1e-9);
        sort_best(&mut heads, |head| *head);
        assert!((peak_amps(heads, Amps::ZERO).0 - 18.3).abs() < 1e-9);
    }
}
