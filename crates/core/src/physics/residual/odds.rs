//! Odds that a residual-current device drops where leakages are known only as ranges.
//!
//! The sum *S* of leakages that are each uniform over its range is a convolution of boxes, and the
//! device's threshold is uniform over its room: odds = E[g(*S*)], *g* rising from 0 to 1 over the room.
//!
//! **How it is computed.** The density of *S* has an end on both sides, so its Fourier series over
//! exactly that span of width *L* is the density itself; nothing is sampled and nothing folds over.
//! The coefficient of a sum is the product of its parts', here Π sinc(π·k·wᵢ/L), and E[g] is a sum of
//! products of coefficients, each at most 1: no term is large, so nothing cancels, whatever the
//! number of heads. The textbook's inclusion–exclusion (Irwin–Hall) loses all digits from about 20
//! heads on, and piecewise polynomials have a knot for each subset of the ranges. The series stops
//! where the bound on all that is left is under [`LEFT_OUT`]: within some tens of terms as soon as a
//! few ranges are alike.

use std::f64::consts::PI;

use super::{Room, odds};
use crate::unit::{Leakage, MilliAmps};

/// The series stops where no more than this is left out.
const LEFT_OUT: f64 = 1e-9;
/// The series stops here in any case. Only two ranges of which one is some thousand times the other,
/// under a room as narrow, get here; what is left out then is under 1e-5.
const MOST_TERMS: u32 = 20_000;

/// Chance that the sum of these leakages drops a device whose threshold is anywhere in its room, and
/// each leakage anywhere in its range, each value as likely as the next and none depending on
/// another. An assumption: real devices cluster.
#[must_use]
pub fn odds_of_ranges(leakages: &[Leakage], room: Room) -> f64 {
    let Some(high) = room.high else { return 0.0 };
    let span = Span::of(leakages);
    if span.width == MilliAmps::ZERO {
        return odds(span.low, room);
    }
    let top = span.low + span.width;
    let high = high.max(room.low);
    if span.low.reaches(high) {
        return 1.0;
    }
    if !top.is_over(room.low) {
        return 0.0;
    }
    span.expected(room.low, high).clamp(0.0, 1.0)
}

/// How many goes a start takes on average where each has these odds to trip: 1/(1 − odds), as each
/// go is a new draw. `None` where it never starts.
#[must_use]
pub fn expected_goes(odds: f64) -> Option<f64> {
    (odds < 1.0).then(|| 1.0 / (1.0 - odds.max(0.0)))
}

/// The sum of leakages: from where, how wide, and of which widths.
struct Span {
    low: MilliAmps,
    width: MilliAmps,
    /// Each different width as a share of the whole, and how many there are of it.
    shares: Vec<(f64, i32)>,
}

impl Span {
    fn of(leakages: &[Leakage]) -> Self {
        let mut low = MilliAmps::ZERO;
        let mut widths: Vec<f64> = Vec::with_capacity(leakages.len());
        for leakage in leakages {
            let width = (leakage.high - leakage.low).max(MilliAmps::ZERO);
            low += leakage.low;
            // A range that is wider by no more than rounding is its low end.
            if width.is_over(MilliAmps::ZERO) {
                widths.push(width.0);
            }
        }
        widths.sort_by(|one, other| other.total_cmp(one));
        let width: f64 = widths.iter().sum();
        let mut shares: Vec<(f64, i32)> = Vec::new();
        for part in widths.iter().map(|part| part / width) {
            match shares.last_mut() {
                Some((share, count)) if (*share - part).abs() <= f64::EPSILON => *count += 1,
                _ => shares.push((part, 1)),
            }
        }
        Self { low, width: MilliAmps(width), shares }
    }

    /// E[g(S)] with g rising from 0 at `from` to 1 at `to`, either of which may lie outside of the span
    /// but not both on one side.
    fn expected(&self, from: MilliAmps, to: MilliAmps) -> f64 {
        // All in shares of the span, from its low end.
        let at = |threshold: MilliAmps| (threshold - self.low) / self.width;
        let (from, to) = (at(from), at(to));
        let (first, last) = (from.max(0.0), to.min(1.0));
        let rise = |place: f64| if place >= to { 1.0 } else { ((place - from) / (to - from)).max(0.0) };
        let (at_low, at_high) = (rise(0.0), rise(1.0));
        let ramp = last - first;
        let mean = at_low * first + f64::midpoint(at_low, at_high) * ramp + at_high * (1.0 - last);
        let alone = self.shares.iter().map(|(_, count)| count).sum::<i32>() == 1;
        if alone {
            return mean;
        }
        let middle = f64::midpoint(first, last) - 0.5;
        let mut sum = mean;
        for k in 1..=MOST_TERMS {
            let angle = PI * f64::from(k);
            let parts = self.shares.iter().map(|(share, count)| sinc(angle * share).powi(*count));
            let term = sinc(angle * ramp) * parts.product::<f64>();
            sum -= (at_high - at_low) * term * (2.0 * angle * middle).sin() / angle;
            if self.left_out(ramp, angle) < LEFT_OUT {
                break;
            }
        }
        sum
    }

    /// A bound on all terms after that of `angle`: each |sinc(πks)| is at most min(1, 1/(πks)), and *m*
    /// of them that fall as 1/k leave a tail of at most their product over π·*m*;
    /// infinite where none falls yet.
    fn left_out(&self, ramp: f64, angle: f64) -> f64 {
        let (mut envelope, mut falling) = (1.0, 0);
        for (share, count) in self.shares.iter().copied().chain([(ramp, 1)]) {
            if angle * share > 1.0 {
                envelope *= (angle * share).powi(-count);
                falling += count;
            }
        }
        envelope / (PI * f64::from(falling))
    }
}

fn sinc(angle: f64) -> f64 {
    if angle.abs() < 1e-8 { 1.0 } else { angle.sin() / angle }
}

#[cfg(test)]
#[expect(clippy::cast_precision_loss, reason = "whole numbers here are small, or rounded once at the end")]
mod tests {
    use super::*;

    /// Lows and highs in whole numbers of one unit.
    type Ranges = &'static [(i128, i128)];

    fn range(low: f64, high: f64) -> Leakage {
        Leakage { low: MilliAmps(low), high: MilliAmps(high) }
    }

    fn room(low: f64, high: f64) -> Room {
        Room { low: MilliAmps(low), high: Some(MilliAmps(high)) }
    }

    /// ∫₀ˣ of the distribution of a sum of `heads` uniforms of width 1, by the recurrence of splines: a sum
    /// of positive parts only, so exact to rounding for any number of heads.
    fn integrated_irwin_hall(heads: usize, x: f64) -> f64 {
        let n = heads as f64;
        if x <= 0.0 {
            return 0.0;
        }
        if x >= n {
            return x - n / 2.0;
        }
        // value[j] is at x − j, for 0 heads first: ∫ of a step at 0.
        let mut value: Vec<f64> = (0..=heads).map(|j| (x - j as f64).max(0.0)).collect();
        for count in 1..=heads {
            let n = count as f64;
            for j in 0..=heads - count {
                let x = x - j as f64;
                value[j] = if x <= 0.0 {
                    0.0
                } else if x >= n {
                    x - n / 2.0
                } else {
                    (x * value[j] + (n - x) * value[j + 1]) / (n + 1.0)
                };
            }
        }
        value[0]
    }

    /// Odds of `heads` leakages of one range by that recurrence.
    fn by_recurrence(heads: usize, one: Leakage, low: f64, high: f64) -> f64 {
        let width = (one.high - one.low).0;
        let at = |threshold: f64| (threshold - heads as f64 * one.low.0) / width;
        let (from, to) = (at(low), at(high));
        1.0 - (integrated_irwin_hall(heads, to) - integrated_irwin_hall(heads, from)) / (to - from)
    }

    /// Odds by inclusion–exclusion in whole numbers of one unit: exact, for few heads.
    fn by_inclusion_exclusion(ranges: &[(i128, i128)], low: i128, high: i128) -> f64 {
        let mut widths: Vec<i128> = ranges.iter().map(|(low, high)| high - low).collect();
        widths.push(high - low);
        // S > T is Σ uniforms of these widths > high − Σ lows, with high − T uniform too.
        let x = high - ranges.iter().map(|(low, _)| low).sum::<i128>();
        let n = u32::try_from(widths.len()).unwrap();
        let mut total = 0_i128;
        for chosen in 0..1_u32 << n {
            let taken: i128 = (0..n).filter(|i| chosen >> i & 1 == 1).map(|i| widths[i as usize]).sum();
            let sign = if chosen.count_ones() % 2 == 0 { 1 } else { -1 };
            total += sign * (x - taken).max(0).pow(n);
        }
        let factorial: i128 = (1..=i128::from(n)).product();
        1.0 - total as f64 / (factorial as f64 * widths.iter().map(|w| *w as f64).product::<f64>())
    }

    #[test]
    fn ten_ranges_trip_a_thirty_milliamp_device_as_often_as_exact_fractions_say() {
        // Exact rational Irwin–Hall, computed apart: 0.274165; Monte Carlo of 400 000 agrees.
        let ten = [range(0.3, 3.5); 10];
        assert!((odds_of_ranges(&ten, room(15.0, 30.0)) - 0.274_165).abs() < 5e-7);
    }

    #[test]
    fn any_number_of_heads_up_to_sixty_four_agrees_with_a_recurrence_that_cannot_cancel() {
        for heads in 2..=64 {
            let one = range(0.2, 1.7);
            let sum = 0.95 * heads as f64;
            // About the middle and out in the tails, wide rooms and narrow ones.
            for (low, high) in
                [(0.5, 1.0), (0.9, 1.1), (0.99, 1.01), (1.1, 1.2), (0.7, 0.8), (0.3, 0.6), (1.3, 2.5)]
            {
                let (low, high) = (sum * low, sum * high);
                let (series, exact) = (
                    odds_of_ranges(&vec![one; heads], room(low, high)),
                    by_recurrence(heads, one, low, high),
                );
                let worst = 2e-9;
                assert!((series - exact).abs() < worst, "{heads} heads, {low} to {high}: {series} {exact}");
            }
        }
    }

    #[test]
    fn alike_ranges_are_counted_and_unlike_ones_kept_apart() {
        let span = Span::of(&[range(0.0, 1.0), range(0.5, 3.5), range(2.0, 3.0), range(4.0, 4.0)]);
        assert_eq!(span.low, MilliAmps(6.5));
        assert_eq!(span.width, MilliAmps(5.0));
        assert_eq!(span.shares, [(0.6, 1), (0.2, 2)]);
        // Wider by rounding alone is its low end.
        let points = Span::of(&[range(0.0, 1e-9), range(2.0, 2.0)]);
        assert_eq!((points.width, points.shares.len()), (MilliAmps::ZERO, 0));
    }

    #[test]
    fn unlike_ranges_agree_with_inclusion_and_exclusion_in_whole_numbers() {
        let cases: [(Ranges, i128, i128); 7] = [
            (&[(3, 35)], 5, 20),
            (&[(3, 35), (10, 12)], 20, 45),
            (&[(3, 35), (10, 11), (0, 60)], 40, 41),
            (&[(0, 100), (0, 1), (0, 1), (0, 1)], 50, 60),
            (&[(3, 35), (5, 15), (0, 2), (20, 50), (7, 9)], 60, 120),
            (&[(0, 1), (0, 2), (0, 4), (0, 8), (0, 16), (0, 32)], 30, 35),
            (&[(35, 40), (3, 9), (3, 9), (0, 130), (1, 2), (5, 6)], 100, 300),
        ];
        for (ranges, low, high) in cases {
            let milliamps = |tenths: i128| tenths as f64 / 10.0;
            let leakages: Vec<Leakage> =
                ranges.iter().map(|(low, high)| range(milliamps(*low), milliamps(*high))).collect();
            let series = odds_of_ranges(&leakages, room(milliamps(low), milliamps(high)));
            let exact = by_inclusion_exclusion(ranges, low, high);
            assert!((series - exact).abs() < 1e-8, "{ranges:?}: {series} {exact}");
        }
    }

    #[test]
    fn points_shift_the_sum_and_alone_give_the_plain_odds() {
        let mixed = [range(0.3, 3.5), Leakage::point(MilliAmps(5.0)), range(0.3, 3.5)];
        let alone = [range(0.3, 3.5); 2];
        let (shifted, at_home) =
            (odds_of_ranges(&mixed, room(7.0, 12.0)), odds_of_ranges(&alone, room(2.0, 7.0)));
        assert!((shifted - at_home).abs() < 1e-12);
        let points = [Leakage::point(MilliAmps(3.5)), Leakage::point(MilliAmps(10.0))];
        assert!((odds_of_ranges(&points, room(10.0, 15.0)) - 0.7).abs() < 1e-12);
        assert!(odds_of_ranges(&[], room(10.0, 15.0)).abs() < 1e-12);
        // A range too narrow to matter is a point.
        let narrow = [range(13.5 - 4e-10, 13.5 + 4e-10)];
        assert!((odds_of_ranges(&narrow, room(10.0, 15.0)) - 0.7).abs() < 1e-9);
    }

    #[test]
    fn a_room_that_is_a_point_asks_only_how_often_the_sum_reaches_it() {
        // By hand: two of U(0, 1) exceed 1.5 with 0.5²/2 = 0.125; one of U(0, 4) exceeds 3 with 1/4.
        assert!((odds_of_ranges(&[range(0.0, 1.0); 2], room(1.5, 1.5)) - 0.125).abs() < 1e-8);
        assert!((odds_of_ranges(&[range(0.0, 4.0)], room(3.0, 3.0)) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn sums_that_never_reach_the_room_or_always_pass_it_have_no_doubt() {
        assert!(odds_of_ranges(&[range(0.3, 3.5); 4], room(15.0, 30.0)).abs() < f64::EPSILON);
        assert!((odds_of_ranges(&[range(8.0, 9.0); 4], room(15.0, 30.0)) - 1.0).abs() < f64::EPSILON);
        let never = Room { low: MilliAmps(35.0), high: None };
        assert!(odds_of_ranges(&[range(80.0, 90.0)], never).abs() < f64::EPSILON);
    }

    #[test]
    fn the_bound_on_what_is_left_out_is_the_product_of_the_falling_parts() {
        // By hand, after 20 terms of two equal ranges under a room of half of them: (10π)⁻³/(3π) =
        // 3.4220e-6; of one term of a room of a hundredth, which does not fall yet: (π/2)⁻²/(2π).
        let span = Span::of(&[range(1.0, 2.0); 2]);
        let left = |ramp, terms: f64| span.left_out(ramp, PI * terms);
        assert!((left(0.5, 20.0) - 3.422e-6).abs() < 1e-9, "{}", left(0.5, 20.0));
        assert!((left(0.01, 1.0) - 4.0 / (2.0 * PI.powi(3))).abs() < 1e-12);
        assert!(left(0.01, 0.1).is_infinite());
    }

    #[test]
    fn the_bound_holds_for_what_was_left_out() {
        // Exact values against the series that stops; hundredths of a milliampere.
        let cases: [(Ranges, i128, i128); 3] = [
            (&[(0, 100), (0, 100)], 90, 130),
            (&[(0, 300), (0, 10)], 200, 205),
            (&[(30, 350), (30, 350), (30, 350), (30, 350), (30, 350)], 900, 901),
        ];
        for (ranges, low, high) in cases {
            let milliamps = |hundredths: i128| hundredths as f64 / 100.0;
            let leakages: Vec<Leakage> =
                ranges.iter().map(|(low, high)| range(milliamps(*low), milliamps(*high))).collect();
            let series = odds_of_ranges(&leakages, room(milliamps(low), milliamps(high)));
            let exact = by_inclusion_exclusion(ranges, low, high);
            assert!((series - exact).abs() <= 2.0 * LEFT_OUT, "{ranges:?}: {series} {exact}");
        }
    }

    #[test]
    fn the_goes_to_expect_are_the_mean_of_a_geometric_law() {
        // By hand: odds 0.7 take 1/0.3 goes.
        assert!((expected_goes(0.7).unwrap() - 10.0 / 3.0).abs() < 1e-12);
        assert!((expected_goes(0.0).unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(expected_goes(1.0), None);
    }
}
