//! Odds that a residual-current device drops at any step as heads are struck one after the other.
//!
//! Head *i* adds its standing leakage *qᵢ* and, for a moment, its strike leakage *xᵢ* on top. With each
//! of them uniform over its range and the threshold *T* uniform over the room, the device stays up
//! where *q₁ + … + qᵢ + xᵢ* is under *T* at every step. The largest step alone is a lower bound: another
//! one may be the one that drops it.
//!
//! **How it is computed.** How the rest turns out depends only on what is left, *r = T −* what is lit: let
//! *Wᵢ(r)* be the chance that all steps from *i* on hold. Then *Wᵢ(r)* is the mean of
//! *Fᵢ(r − qᵢ)·Wᵢ₊₁(r − qᵢ)* over *qᵢ*, *Fᵢ* the chance that *xᵢ* is no more, and 1 − odds is the mean of *W₁*
//! over the room. So one pass from the last step to the first over one function of one variable does,
//! whatever the threshold: a moving average a head, exact for the straight lines between the points of
//! a grid. Nothing is sampled, every value is a mean of values from 0 to 1, and more leakage never
//! gives less.
//!
//! **What is left out first.** A step that another one surely tops does not matter: where strikes are
//! points, or there are none, hardly ever more than one or two steps are left. With one left, its odds
//! are those of a plain sum, which [`odds_of_ranges`] knows in closed form.
//!
//! **Accuracy.** Within 1e-4 up to some hundred ranges; held against cases worked by hand and against
//! many throws. The work is bounded: at most 2¹⁹ points in all, or 256 a head. Where more than 48
//! ranges lie between two steps that matter, the smallest ones are replaced by 32 alike of the same mean
//! and variance.

#![expect(clippy::cast_precision_loss, reason = "counts of heads and of points of a grid are small")]

use super::{Room, odds_of_ranges};
use crate::unit::{Leakage, MilliAmps};

/// A room no wider than this is a point.
const POINT: f64 = 1e-9;
/// Points of the grid: most, least, and times the ranges at most.
const MOST_POINTS: usize = 2048;
const LEAST_POINTS: usize = 256;
const WORK: usize = 1 << 19;
/// Ranges between two steps that are kept as they are, and that the others are replaced by.
const KEPT: usize = 16;
const REPLACED: usize = 32;

/// What one head leaks once lit, and on top of that while it is struck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StruckLeakage {
    /// Once lit.
    pub standing: Leakage,
    /// On top, while it is struck.
    pub strike: Leakage,
}

/// Chance that a device whose threshold is anywhere in its room drops at any step while these heads
/// are struck in this order, over `others` that leaks anyway; each value as likely as the next and none
/// depending on another. An assumption: real devices cluster. From 0 to 1.
#[must_use]
pub fn odds_of_order(order: &[StruckLeakage], others: MilliAmps, room: Room) -> f64 {
    let Some(high) = room.high else { return 0.0 };
    let steps = steps(order, others);
    let low = room.low.0;
    let left = that_matter(&steps, low);
    match left.as_slice() {
        [] => 0.0,
        [only] => {
            let mut sum = vec![Leakage::point(others)];
            sum.extend(order[..=*only].iter().map(|head| head.standing));
            sum.push(order[*only].strike);
            odds_of_ranges(&sum, room)
        }
        several => (1.0 - holds(&steps, several, low, high.0.max(low))).clamp(0.0, 1.0),
    }
}

/// One step: it takes a threshold over `low` to `high`, and over what of the ranges is lit.
#[derive(Clone, Copy)]
struct Step {
    /// All low ends so far, and the least of the strike.
    low: f64,
    /// The same with the most of the strike.
    high: f64,
    /// Width of this head's standing range.
    width: f64,
    /// All widths so far.
    widths: f64,
}

impl Step {
    /// The most that it may come to.
    fn top(self) -> f64 {
        self.high + self.widths
    }
}

fn steps(order: &[StruckLeakage], others: MilliAmps) -> Vec<Step> {
    let (mut lit, mut widths) = (others.0, 0.0);
    let step = |head: &StruckLeakage| {
        let width = (head.standing.high - head.standing.low).max(MilliAmps::ZERO).0;
        lit += head.standing.low.0;
        widths += width;
        let (low, high) = (lit + head.strike.low.0, lit + head.strike.high.0.max(head.strike.low.0));
        Step { low, high, width, widths }
    };
    order.iter().map(step).collect()
}

/// The steps that no other one surely tops and that may come over `low`.
fn that_matter(steps: &[Step], low: f64) -> Vec<usize> {
    let over = |one: f64, other: f64| MilliAmps(one).is_over(MilliAmps(other));
    // A later step surely tops an earlier one where its least is no less than the other's most, what
    // both have lit in common apart.
    let mut later = f64::MIN;
    let mut left: Vec<usize> = Vec::new();
    for (place, step) in steps.iter().enumerate().rev() {
        if over(step.high, later) && over(step.top(), low) {
            left.push(place);
        }
        later = later.max(step.low);
    }
    left.reverse();
    // An earlier one tops a later one where that is so with all ranges between at their most.
    let mut earlier = f64::MIN;
    left.retain(|place| {
        let step = steps[*place];
        let matters = over(step.top(), earlier);
        earlier = earlier.max(step.low + step.widths);
        matters
    });
    left
}

/// A stretch of heads up to a step that matters.
struct Stretch {
    widths: Vec<f64>,
    low: f64,
    high: f64,
}

/// Chance that every one of these steps holds.
fn holds(steps: &[Step], left: &[usize], low: f64, high: f64) -> f64 {
    let (Some(first), Some(last)) = (left.first(), left.last()) else { return 1.0 };
    let ranges = &steps[..=*last];
    let last = steps[*last];
    let from = last.low.max(low - last.widths);
    if from >= high || steps[*first].low >= high {
        return 0.0;
    }
    let mut chance = Chance::new(from, high, points_for(ranges.len()));
    for stretch in stretches(steps, left, chance.step).iter().rev() {
        chance.asks_for(stretch.low, stretch.high);
        for width in &stretch.widths {
            chance.averaged_over(*width);
        }
    }
    chance.mean(low, high)
}

/// Points of a grid for so many ranges, at least one.
fn points_for(ranges: usize) -> usize {
    (WORK / ranges).clamp(LEAST_POINTS, MOST_POINTS)
}

/// The ranges before each step, few enough and none finer than the grid can show.
fn stretches(steps: &[Step], left: &[usize], grid: f64) -> Vec<Stretch> {
    let (mut from, mut drift) = (0, 0.0);
    left.iter()
        .map(|place| {
            let mut widths: Vec<f64> = Vec::new();
            for width in steps[from..=*place].iter().map(|step| step.width) {
                if width < grid / 4.0 {
                    drift += width / 2.0;
                } else {
                    widths.push(width);
                }
            }
            if widths.len() > KEPT + REPLACED {
                widths.sort_by(|a, b| b.total_cmp(a));
                let small = widths.split_off(KEPT);
                let alike = (small.iter().map(|width| width * width).sum::<f64>() / REPLACED as f64).sqrt();
                drift += (small.iter().sum::<f64>() - alike * REPLACED as f64) / 2.0;
                widths.extend([alike; REPLACED]);
            }
            from = place + 1;
            Stretch { widths, low: steps[*place].low + drift, high: steps[*place].high + drift }
        })
        .collect()
}

/// The chance to hold from some step on, by what is left: straight lines over a grid, nothing under `cut`.
struct Chance {
    from: f64,
    step: f64,
    cut: f64,
    values: Vec<f64>,
    /// Its integral from `from` up to each point, `cut` apart.
    sums: Vec<f64>,
}

impl Chance {
    fn new(from: f64, to: f64, points: usize) -> Self {
        let step = (to - from) / points as f64;
        let mut chance = Self {
            from,
            step,
            cut: f64::NEG_INFINITY,
            values: vec![1.0; points + 1],
            sums: vec![0.0; points + 1],
        };
        chance.sum_up();
        chance
    }

    /// Where the grid's point is.
    fn at(&self, point: usize) -> f64 {
        self.from + self.step * point as f64
    }

    fn sum_up(&mut self) {
        let mut sum = 0.0;
        for point in 1..self.values.len() {
            sum += f64::midpoint(self.values[point - 1], self.values[point]) * self.step;
            self.sums[point] = sum;
        }
    }

    /// The integral up to `left`.
    fn sum_to(&self, left: f64) -> f64 {
        let left = left.max(self.cut);
        let points = self.values.len() - 1;
        let along = ((left - self.from) / self.step).clamp(0.0, points as f64);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the points of the grid"
        )]
        let point = (along as usize).min(points - 1);
        let share = along - point as f64;
        let (here, next) = (self.values[point], self.values[point + 1]);
        self.sums[point] + self.step * share * (here + share * (next - here) / 2.0)
    }

    /// A step that holds for certain from `high` left, and never under `low`.
    fn asks_for(&mut self, low: f64, high: f64) {
        if high - low < 2.0 * self.step {
            self.cut = self.cut.max(f64::midpoint(low, high));
            return;
        }
        self.cut = self.cut.max(low);
        for point in 0..self.values.len() {
            let share = (self.at(point) - low) / (high - low);
            self.values[point] *= share.clamp(0.0, 1.0);
        }
        self.sum_up();
    }

    /// What is left before a head whose standing leakage is anywhere in a range of this width.
    fn averaged_over(&mut self, width: f64) {
        let averages: Vec<f64> = (0..self.values.len())
            .map(|point| {
                let left = self.at(point);
                ((self.sum_to(left) - self.sum_to(left - width)) / width).clamp(0.0, 1.0)
            })
            .collect();
        self.values = averages;
        self.sum_up();
    }

    /// Its mean from `low` to `high`; where they are one, its value there.
    fn mean(&self, low: f64, high: f64) -> f64 {
        if high - low > POINT {
            return (self.sum_to(high) - self.sum_to(low)) / (high - low);
        }
        if high < self.cut { 0.0 } else { self.values.last().copied().unwrap_or(0.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn range(low: f64, high: f64) -> Leakage {
        Leakage { low: MilliAmps(low), high: MilliAmps(high) }
    }

    fn room(low: f64, high: f64) -> Room {
        Room { low: MilliAmps(low), high: Some(MilliAmps(high)) }
    }

    /// Standing and strike leakage of a head, each from and to.
    type Head = ((f64, f64), (f64, f64));

    fn odds(heads: &[Head], low: f64, high: f64) -> f64 {
        let head = |(standing, strike): &Head| StruckLeakage {
            standing: range(standing.0, standing.1),
            strike: range(strike.0, strike.1),
        };
        let order: Vec<StruckLeakage> = heads.iter().map(head).collect();
        odds_of_order(&order, MilliAmps::ZERO, room(low, high))
    }

    #[track_caller]
    fn near(ours: f64, theirs: f64) {
        assert!((ours - theirs).abs() < 2e-6, "{ours} is not {theirs}");
    }

    #[test]
    fn two_heads_of_which_either_may_be_the_one_that_drops_it() {
        // By hand: q₁ U(0, 1), x₁ 1, q₂ U(0, 2), T U(1, 2). The peak is q₁ + max(1, q₂): with q₂ up to 1,
        // E[q₁] = 1/2; over it E[min(1, U + U)] = 1/3 + 1/2 = 5/6. So ½·½ + ½·5/6 = 2/3. The steps alone
        // have 1/2 and ½·(1/6) + ½·(5/6) = 1/2.
        near(odds(&[((0.0, 1.0), (1.0, 1.0)), ((0.0, 2.0), (0.0, 0.0))], 1.0, 2.0), 2.0 / 3.0);
        near(odds(&[((0.0, 1.0), (1.0, 1.0))], 1.0, 2.0), 0.5);
    }

    #[test]
    fn a_strike_that_is_a_range_against_what_is_lit_after_it() {
        // By hand: x₁ and q₂ both U(0, 2), T U(0, 2): half of the mean of the larger, 4/3 / 2 = 2/3.
        near(odds(&[((0.0, 0.0), (0.0, 2.0)), ((0.0, 2.0), (0.0, 0.0))], 0.0, 2.0), 2.0 / 3.0);
    }

    #[test]
    fn three_heads_of_which_the_last_is_topped_by_the_first() {
        // By hand: q₁ U(0, 1), x₁ 2, q₂ U(0, 1), x₂ 1.5, q₃ U(0, 1), T U(2, 3). The peak is 2 + q₁ + v with
        // v = max(0, q₂ − ½): ½·½ + ½·(1 − ½·mean of (1 − v)² over v to ½) = 1/4 + ½·17/24 = 29/48.
        let one = (0.0, 1.0);
        let heads = [(one, (2.0, 2.0)), (one, (1.5, 1.5)), (one, (0.0, 0.0))];
        near(odds(&heads, 2.0, 3.0), 29.0 / 48.0);
    }

    #[test]
    fn a_room_that_is_a_point_asks_how_often_any_step_passes_it() {
        // By hand: x₁ U(0, 2) or q₂ U(0, 2) over 1: 1 − ½·½.
        near(odds(&[((0.0, 0.0), (0.0, 2.0)), ((0.0, 2.0), (0.0, 0.0))], 1.0, 1.0), 0.75);
    }

    #[test]
    fn what_leaks_anyway_takes_from_the_room() {
        let order = [
            StruckLeakage { standing: range(0.0, 1.0), strike: range(1.0, 1.0) },
            StruckLeakage { standing: range(0.0, 2.0), strike: range(0.0, 0.0) },
        ];
        let shifted = odds_of_order(&order, MilliAmps(7.5), room(8.5, 9.5));
        assert!((shifted - odds_of_order(&order, MilliAmps::ZERO, room(1.0, 2.0))).abs() < 1e-12);
    }

    #[test]
    fn points_and_strikes_of_nothing_leave_the_largest_step_alone() {
        // By hand: 3.5 + 10 of 10 to 15 mA is 0.7, and what comes after, 5 + 0, is less.
        let heads = [((3.5, 3.5), (10.0, 10.0)), ((1.5, 1.5), (0.0, 0.0))];
        assert!((odds(&heads, 10.0, 15.0) - 0.7).abs() < 1e-12);
        // Ten of U(0.3, 3.5) on U(15, 30): exact fractions give 0.274165.
        let ten = [((0.3, 3.5), (0.0, 0.0)); 10];
        assert!((odds(&ten, 15.0, 30.0) - 0.274_165).abs() < 1e-6);
        assert!(odds(&[], 15.0, 30.0).abs() < f64::EPSILON);
        // Nothing reaches the room, or all passes it.
        assert!(odds(&[((0.0, 1.0), (0.0, 5.0)), ((0.0, 3.0), (0.0, 0.0))], 9.0, 12.0).abs() < f64::EPSILON);
        let over = odds(&[((0.0, 1.0), (13.0, 15.0)), ((0.0, 3.0), (13.0, 14.0))], 9.0, 12.0);
        assert!((over - 1.0).abs() < f64::EPSILON);
    }

    /// The places of the steps that matter where a room begins at `low`.
    fn matter(heads: &[Head], low: f64) -> Vec<usize> {
        let head = |(standing, strike): &Head| StruckLeakage {
            standing: range(standing.0, standing.1),
            strike: range(strike.0, strike.1),
        };
        let order: Vec<StruckLeakage> = heads.iter().map(head).collect();
        that_matter(&steps(&order, MilliAmps::ZERO), low)
    }

    #[test]
    fn a_step_that_another_surely_tops_does_not_matter() {
        // A later one with no strike, and no less lit for certain.
        let lit = ((0.0, 2.0), (0.0, 0.0));
        assert_eq!(matter(&[lit, lit, lit], 1.0), [2]);
        // A later one whose least, 0 + 5, is the other's most, and one a little under it.
        let falls = |strike: f64| [((0.0, 1.0), (3.0, 5.0)), ((0.0, 1.0), (strike, strike))];
        assert_eq!(matter(&falls(5.0), 1.0), [1]);
        assert_eq!(matter(&falls(4.9), 1.0), [0, 1]);
        // An earlier one that takes 1 to 2 and 6, so 6 at least over what both have lit, tops a later one
        // of 1 to 3 mA more and a strike of 3: at most 6; of 3.1 it may be more.
        let rises = |strike: f64| [((1.0, 2.0), (5.0, 5.0)), ((1.0, 2.0), (strike, strike))];
        assert_eq!(matter(&rises(3.0), 1.0), [0]);
        assert_eq!(matter(&rises(3.1), 1.0), [0, 1]);
        // What the ranges between may come to counts: 1 + 4 and 0 to 2 mA of it; 0 to 3 mA and 2 on top.
        assert_eq!(matter(&[((0.0, 2.0), (4.0, 4.0)), ((0.0, 3.0), (2.0, 2.0))], 1.0), [0, 1]);
        assert_eq!(matter(&[((0.0, 2.0), (4.0, 4.0)), ((0.0, 1.0), (3.0, 3.0))], 1.0), [0]);
        // One that comes no further than where the room begins.
        assert_eq!(matter(&[((0.0, 2.0), (4.0, 4.0))], 6.0), [0; 0]);
        assert_eq!(matter(&[((0.0, 2.0), (4.0, 4.0))], 5.9), [0]);
    }

    #[test]
    fn a_room_that_is_a_point_is_passed_for_certain_only_over_it() {
        // The step between takes 5 mA for certain: over 4.9, not over 5, where the first and the last are
        // asked, by hand: x₁ U(0, 8) holds 5 in 5 of 8, q₃ U(0, 9) in 5 of 9.
        let heads = [((0.0, 0.0), (0.0, 8.0)), ((0.0, 0.0), (5.0, 5.0)), ((0.0, 9.0), (0.0, 0.0))];
        assert_eq!(matter(&heads, 4.9), [0, 1, 2]);
        near(odds(&heads, 4.9, 4.9), 1.0);
        near(odds(&heads, 5.0, 5.0), 1.0 - 5.0 / 8.0 * 5.0 / 9.0);
    }

    #[test]
    fn the_grid_grows_coarser_as_ranges_grow_many() {
        let points: Vec<usize> = [1, 256, 512, 1024, 2048, 100_000].map(points_for).to_vec();
        assert_eq!(points, [2048, 2048, 1024, 512, 256, 256]);
    }

    /// One stretch of heads of these widths, on a grid whose points are 1 apart.
    fn stretch(widths: &[f64]) -> Stretch {
        let order: Vec<StruckLeakage> = widths
            .iter()
            .map(|width| StruckLeakage { standing: range(0.0, *width), strike: range(2.0, 3.0) })
            .collect();
        let mut all = stretches(&steps(&order, MilliAmps::ZERO), &[widths.len() - 1], 1.0);
        assert_eq!(all.len(), 1);
        all.remove(0)
    }

    #[test]
    fn ranges_finer_than_the_grid_shows_count_by_their_middle() {
        // A quarter of the grid's step is kept; 0.2 is not, and shifts both ends by its half.
        let coarse = stretch(&[0.25, 0.2, 0.0, 0.3]);
        assert_eq!(coarse.widths, [0.25, 0.3]);
        assert!((coarse.low - 2.1).abs() < 1e-12 && (coarse.high - 3.1).abs() < 1e-12);
    }

    #[test]
    fn many_ranges_become_fewer_of_the_same_mean_and_spread() {
        let widths: Vec<f64> = (0..48).map(|place| 1.0 + f64::from(place) / 10.0).collect();
        let kept = stretch(&widths);
        assert_eq!(kept.widths, widths, "48 stay as they are");
        assert!((kept.low - 2.0).abs() < 1e-12);
        let widths: Vec<f64> = (0..49).map(|place| 1.0 + f64::from(place) / 10.0).collect();
        let fewer = stretch(&widths);
        assert_eq!(fewer.widths.len(), 48);
        let largest: Vec<f64> = widths.iter().rev().take(16).copied().collect();
        assert_eq!(fewer.widths[..16], largest);
        assert!(fewer.widths[16..].iter().all(|width| (width - fewer.widths[16]).abs() < 1e-12));
        // The sum of uniforms has the mean Σw/2 and the variance Σw²/12.
        let squares = |widths: &[f64]| widths.iter().map(|width| width * width).sum::<f64>();
        assert!((squares(&fewer.widths) - squares(&widths)).abs() < 1e-9);
        let halves = |widths: &[f64]| widths.iter().sum::<f64>() / 2.0;
        let drift = fewer.low - 2.0;
        assert!((halves(&fewer.widths) + drift - halves(&widths)).abs() < 1e-9);
        assert!(drift.abs() > 0.01, "{drift}");
    }

    #[test]
    fn a_step_of_two_points_of_the_grid_or_more_is_a_slope_and_a_narrower_one_an_edge() {
        let mut slope = Chance::new(0.0, 8.0, 8);
        slope.asks_for(3.0, 5.0);
        assert_eq!(slope.values, [0.0, 0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0]);
        let mut edge = Chance::new(0.0, 8.0, 8);
        edge.asks_for(3.1, 5.0);
        assert_eq!(edge.values, [1.0; 9]);
        assert!((edge.cut - 4.05).abs() < 1e-12);
    }

    #[test]
    fn the_moving_average_agrees_with_the_closed_form_of_a_sum() {
        // The closed form of the last step, against the grid that is asked of it alone.
        for (heads, low, high) in [(2, 2.0, 5.0), (5, 6.0, 12.0), (10, 15.0, 30.0), (40, 60.0, 90.0)] {
            let order = vec![StruckLeakage { standing: range(0.3, 3.5), strike: Leakage::ZERO }; heads];
            let steps = steps(&order, MilliAmps::ZERO);
            let grid = 1.0 - holds(&steps, &[heads - 1], low, high);
            let closed = odds_of_ranges(&vec![range(0.3, 3.5); heads], room(low, high));
            assert!((grid - closed).abs() < 1e-5, "{heads}: {grid} {closed}");
        }
        // Many ranges, most of which are replaced by others of the same mean and variance.
        let order = vec![StruckLeakage { standing: range(0.0, 0.2), strike: Leakage::ZERO }; 200];
        let grid = 1.0 - holds(&steps(&order, MilliAmps::ZERO), &[199], 19.0, 21.0);
        let closed = odds_of_ranges(&[range(0.0, 0.2); 200], room(19.0, 21.0));
        assert!((grid - closed).abs() < 1e-3, "{grid} {closed}");
    }
}
