//! Laws of physics that every assessment obeys, whatever the plan.
//!
//! Those of single laws stand beside them: windows of breakers in `physics/breaker`, drops over leads in
//! `physics/ladder`, odds in `reference_odds.rs` and `strike_odds.rs`, neutrals in `reference_lines.rs`.

#[path = "random/plan.rs"]
mod plan;

use std::f64::consts::TAU;

use ampwalk_core::assess::{Assessment, SetupUse, assess};
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::physics::harmonic::{Draw, LineLoad};
use ampwalk_core::physics::phasor::{LineCurrents, Phasor, Shift, line_currents};
use ampwalk_core::plan::{Line, Wiring};
use ampwalk_core::unit::{Amps, Leakage, MilliAmps};
use proptest::prelude::*;

use plan::{network, plan_text};

fn seed() -> impl Strategy<Value = Vec<u16>> {
    prop::collection::vec(any::<u16>(), 64)
}

/// Words of an assessment that are no finite numbers.
fn not_finite(assessment: &Assessment) -> Vec<String> {
    let told = format!("{assessment:?}");
    let is_bad = |word: &&str| matches!(*word, "NaN" | "inf");
    told.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(is_bad).map(str::to_owned).collect()
}

/// The currents of a supply's lines, added up head by head and base load by base load.
fn added_up(network: &Network, used: &SetupUse, supply: ampwalk_core::network::SupplyAt) -> LineCurrents {
    let wiring = network.supplies[supply].wiring.value;
    let mut sum = LineCurrents::default();
    let mut add = |line: Line, amps: Amps, power_factor: f64, shift: Shift| {
        for (sum, more) in sum.iter_mut().zip(line_currents(wiring, line, amps, power_factor, shift)) {
            *sum += more;
        }
    };
    let certain = |reach: &ampwalk_core::network::Reach| -> Vec<Line> {
        let parts = reach.supplies.iter().filter(|part| part.certain && part.what.0 == supply);
        parts.map(|part| part.what.1).collect()
    };
    for (head, used) in used.heads.iter() {
        let Some((used, socket)) = used.as_ref().and_then(|used| Some((used, used.socket?))) else {
            continue;
        };
        let node = &network.heads[head];
        let shift = if node.leading { Shift::Leading } else { Shift::Lagging };
        for line in certain(network.reach_of(socket)) {
            add(line, used.amps, node.power_factor.value, shift);
        }
    }
    for (_, circuit) in network.circuits.iter() {
        for line in certain(&network.reaches[circuit.reach]) {
            for base in &circuit.base {
                add(line, base.amps, 1.0, Shift::Lagging);
            }
        }
    }
    sum
}

/// What does not depend on how long it burns.
fn steady_numbers(network: &Network, assessment: &Assessment, setup: SetupAt) -> Vec<f64> {
    let used = &assessment.setups[setup];
    let mut numbers = Vec::new();
    for (_, circuit) in used.circuits.iter() {
        numbers.extend([circuit.amps.0, circuit.possible.0, circuit.start_peak.0]);
    }
    for (_, rcd) in used.rcds.iter() {
        numbers.extend([rcd.standing.0, rcd.peak.0, rcd.possible_peak.0, rcd.odds, rcd.room.room.low.0]);
    }
    for (at, supply) in used.supplies.iter() {
        let volts = network.supplies[at].volts.value;
        numbers.extend([supply.kw.0, supply.orders.neutral().0, supply.orders.apparent_power(volts).0]);
        numbers.extend(supply.lines.map(|line| line.amps().0));
    }
    for (_, head) in used.heads.iter() {
        let volts = head.as_ref().and_then(|head| head.arriving);
        numbers.push(volts.map_or(-1.0, |volts| volts.0));
    }
    numbers
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_number_of_any_assessment_is_infinite_or_none(seed in seed()) {
        let network = network(&plan_text(&seed));
        let assessment = assess(&network);
        prop_assert_eq!(not_finite(&assessment), Vec::<String>::new());
        for (_, used) in assessment.setups.iter() {
            for (_, rcd) in used.rcds.iter() {
                prop_assert!((0.0..=1.0).contains(&rcd.odds));
                prop_assert!(!rcd.standing.is_over(rcd.peak) && !rcd.peak.is_over(rcd.possible_peak));
                if let Some(vector) = rcd.vector_standing {
                    prop_assert!(!vector.is_over(rcd.standing), "{vector:?} over {:?}", rcd.standing);
                }
            }
            for (_, circuit) in used.circuits.iter() {
                let (earliest, latest) = (circuit.window.earliest, circuit.window.latest);
                prop_assert!(latest.is_none_or(|latest| earliest.is_some_and(|earliest| earliest <= latest)));
                prop_assert!(!circuit.amps.is_over(circuit.possible) && !circuit.amps.is_over(circuit.start_peak));
            }
        }
    }

    #[test]
    fn currents_sum_to_nothing_at_every_node(seed in seed()) {
        let network = network(&plan_text(&seed));
        let assessment = assess(&network);
        for (_, used) in assessment.setups.iter() {
            for (supply, flows) in used.supplies.iter() {
                // What a supply's lines bring is what heads and base loads take.
                for (ours, theirs) in flows.lines.iter().zip(added_up(&network, used, supply)) {
                    prop_assert!((ours.real - theirs.real).hypot(ours.imaginary - theirs.imaginary) < 1e-9);
                }
                // What the lines bring at the fundamental goes back by the neutral.
                let back = flows.orders.fundamental().iter().fold(Phasor::default(), |sum, line| sum + *line);
                let neutral = flows.orders.neutral_of_order(1);
                prop_assert!((back.amps() - neutral).0.abs() < 1e-9);
                // No line carries more than its circuits' plain sum, and no neutral more than its lines.
                for (line, amps) in flows.lines.iter().enumerate() {
                    let on_it = network.circuits.iter().filter(|(_, circuit)| {
                        circuit.supply == Some(supply) && circuit.line.conductors().contains(&line)
                    });
                    let sum: Amps = on_it.map(|(at, _)| used.circuits[at].possible).sum();
                    prop_assert!(!amps.amps().is_over(sum), "{:?} over {sum:?}", amps.amps());
                }
                let lines: Amps = flows.orders.lines().into_iter().sum();
                prop_assert!(!flows.orders.neutral().is_over(lines));
            }
        }
    }

    #[test]
    fn burning_longer_changes_no_steady_number(seed in seed(), times in 0.1..40.0_f64) {
        let now = network(&plan_text(&seed));
        let mut plan = (*now.plan).clone();
        for (_, setup) in &mut plan.setups {
            (setup.minutes, setup.start) = (setup.minutes * times, None);
        }
        let later = Network::of(std::sync::Arc::new(plan));
        let (first, second) = (assess(&now), assess(&later));
        for setup in now.setups.indices() {
            prop_assert_eq!(steady_numbers(&now, &first, setup), steady_numbers(&later, &second, setup));
        }
    }

    #[test]
    fn more_leakage_in_one_head_never_lowers_an_odd(seed in seed(), head in 0_usize..8, more in 0.0..8.0_f64) {
        let now = network(&plan_text(&seed));
        // Where the order spares a breaker, another may do so once the head leaks more.
        let first = assess(&now);
        prop_assume!(first.setups.iter().all(|(_, used)| used.spared_breakers.is_empty()));
        let mut plan = (*now.plan).clone();
        let id = now.head_id(now.head(&format!("H{head}")).unwrap()).clone();
        let node = &now.heads[now.head(id.as_str()).unwrap()];
        let leakage = |of: Leakage| Leakage {
            low: of.low + MilliAmps(more),
            high: of.high + MilliAmps(more),
        };
        let leakier = plan.heads.get_mut(id.as_str()).unwrap();
        leakier.leak = Some(leakage(node.leak.value));
        leakier.idle = Some(node.idle.value);
        let later = Network::of(std::sync::Arc::new(plan));
        let second = assess(&later);
        prop_assume!(second.setups.iter().all(|(_, used)| used.spared_breakers.is_empty()));
        for (setup, used) in first.setups.iter() {
            for (rcd, used) in used.rcds.iter() {
                // Known leakage of heads that were on at a ramp test takes from its reading; none is here.
                let after = &second.setups[setup].rcds[rcd];
                prop_assert!(after.odds >= used.odds - 2e-4, "{} after {}", after.odds, used.odds);
            }
        }
    }

    /// Where the pulses of three lines do not overlap, what flows in the neutral at each moment is that of
    /// one line: its square is the sum of theirs, √3 times one. That is the most for a rectifier that
    /// conducts up to 60° of each half wave; for any spectrum at all it is three times, all of it of
    /// orders that three divides.
    #[test]
    fn pulses_that_do_not_overlap_leave_root_three_times_a_line_in_the_neutral(
        heights in prop::collection::vec(0.05..1.0_f64, 1..=100), begins in 0_usize..20,
    ) {
        const SAMPLES: usize = 720;
        let mut wave = vec![0.0; SAMPLES];
        for (place, height) in heights.iter().enumerate() {
            wave[130 + begins + place] = *height;
            wave[130 + begins + place + SAMPLES / 2] = -*height;
        }
        let at = |order: u32| {
            let angle = |sample: usize| TAU * f64::from(order) * f64::from(u32::try_from(sample).unwrap()) / 720.0;
            let parts = wave.iter().enumerate().map(|(sample, height)| (height * angle(sample).cos(), height * angle(sample).sin()));
            let (real, imaginary) = parts.fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
            real.hypot(imaginary)
        };
        let first = at(1);
        let spectrum: Vec<(u32, f64)> = (3..360).step_by(2).map(|order| (order, 100.0 * at(order) / first)).collect();
        let mut star = LineLoad::new(Wiring::Star);
        for line in [Line::L1, Line::L2, Line::L3] {
            star.add(&Draw { line, amps: Amps(10.0), power_factor: 0.6, shift: Shift::Lagging, spectrum: &spectrum });
        }
        prop_assert!((star.neutral().0 - 10.0 * 3.0_f64.sqrt()).abs() < 1e-6, "{:?}", star.neutral());
    }

    #[test]
    fn a_neutral_never_carries_over_three_times_a_balanced_line(
        spectrum in prop::collection::vec((2_u32..40, 0.0..400.0_f64), 0..8), power_factor in 0.1..=1.0_f64,
    ) {
        let mut star = LineLoad::new(Wiring::Star);
        for line in [Line::L1, Line::L2, Line::L3] {
            star.add(&Draw { line, amps: Amps(10.0), power_factor, shift: Shift::Lagging, spectrum: &spectrum });
        }
        let line = star.lines()[0].0;
        prop_assert!(star.neutral().0 <= 3.0 * line + 1e-9);
        if spectrum.iter().all(|(order, _)| order % 3 != 0) {
            prop_assert!(star.neutral().0 < 1e-9 * line.max(1.0));
        }
    }
}
