//! Lines, neutrals and harmonics held against values from outside of the project.
//!
//! Tables: `tests/reference`, each with its source and the versions that computed it. Tolerances:
//! closed forms 1e-4 of the value, rectifiers 0.2 %, or half of the last printed digit.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]
#![expect(clippy::cast_precision_loss, reason = "counts of steps are small")]

#[path = "golden/rectifier.rs"]
mod rectifier;
#[path = "golden/table.rs"]
mod table;

use std::f64::consts::PI;
use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::file::parse;
use ampwalk_core::network::{Network, Terminals};
use ampwalk_core::physics::harmonic::{
    Draw, LineLoad, Orders, SizedBy, apparent_power, conductor_sizing, displacement_factor, distortion,
    fundamental, lost_neutral, rms_over_fundamental,
};
use ampwalk_core::physics::phasor::Shift;
use ampwalk_core::plan::{Line, Wiring};
use ampwalk_core::unit::{Amps, Volts, Watts};
use proptest::prelude::*;

use rectifier::Rectifier;
use table::{Golden, Row};

/// Closed forms: 1e-4 of the value.
fn closed(value: f64) -> f64 {
    1e-4 * value.abs()
}
/// Rectifiers, by steps in time: 0.2 %.
fn of_rectifier(value: f64) -> f64 {
    2e-3 * value.abs()
}

const LINES: [Line; 3] = [Line::L1, Line::L2, Line::L3];

/// A load of watts and power factor; a negative one leads.
fn draw(line: Line, watts: f64, power_factor: f64, volts: f64) -> Draw<'static> {
    let shift = if power_factor < 0.0 { Shift::Leading } else { Shift::Lagging };
    let power_factor = power_factor.abs();
    Draw { line, amps: Amps(watts / (power_factor * volts)), power_factor, shift, spectrum: &[] }
}

fn load(wiring: Wiring, draws: &[Draw<'_>]) -> LineLoad {
    let mut load = LineLoad::new(wiring);
    for draw in draws {
        load.add(draw);
    }
    load
}

/// Three loads of (watts, power factor) on the lines of a star.
fn star(loads: [(f64, f64); 3], volts: f64) -> LineLoad {
    let draws: Vec<Draw<'_>> = LINES
        .into_iter()
        .zip(loads)
        .map(|(line, (watts, power_factor))| draw(line, watts, power_factor, volts))
        .collect();
    load(Wiring::Star, &draws)
}

/// Equal loads of this spectrum on three lines.
fn balanced(amps: f64, power_factor: f64, spectrum: Orders<'_>) -> LineLoad {
    load(
        Wiring::Star,
        &[Draw { line: Line::All, amps: Amps(amps), power_factor, shift: Shift::Lagging, spectrum }],
    )
}

fn near(ours: f64, theirs: f64, tolerance: f64) {
    assert!((ours - theirs).abs() <= tolerance, "{ours} is not {theirs} within {tolerance}");
}

#[test]
fn a_neutral_with_mixed_power_factors_is_the_phasor_sum() {
    // Phasor sum and OpenDSS with four explicit wires agree to four decimals. Sure: computed twice.
    near(star([(4000.0, 1.0), (2500.0, 0.6), (1000.0, 1.0)], 230.0).neutral().0, 3.1968, 1e-4);
    near(star([(5000.0, 1.0), (5000.0, 0.6), (5000.0, -0.9)], 230.0).neutral().0, 35.4428, 1e-4);
}

#[test]
fn neutrals_of_a_star_are_those_of_opendss() {
    // Loads of the rows, in their order. Sure: computed, by two ways.
    let loads = [
        [(3000.0, 1.0), (0.0, 1.0), (0.0, 1.0)],
        [(3000.0, 1.0), (3000.0, 1.0), (0.0, 1.0)],
        [(3000.0, 1.0), (3000.0, 1.0), (3000.0, 1.0)],
        [(4000.0, 1.0), (2500.0, 1.0), (1000.0, 1.0)],
        [(4000.0, 1.0), (2500.0, 0.6), (1000.0, 1.0)],
        [(2400.0, 0.98), (2400.0, 0.6), (2400.0, 1.0)],
        [(5000.0, 1.0), (5000.0, 0.6), (5000.0, -0.9)],
    ];
    let mut golden = Golden::read("r02a_neutral_3ph");
    golden.hold(closed, |number, _| {
        let star = star(loads[number], 230.0);
        let [l1, l2, l3] = star.lines().map(|amps| amps.0);
        let neutral = star.neutral().0;
        vec![("I1", l1), ("I2", l2), ("I3", l3), ("In_phasor", neutral), ("In_opendss_stiff", neutral)]
    });
    golden.checked(35);
}

#[test]
fn neutrals_of_one_power_factor_are_those_of_the_plain_formula() {
    // Sure: computed. The power factor turns all lines alike and changes nothing.
    let mut golden = Golden::read("r02b_neutral_equal_pf");
    golden.hold(closed, |_, row| {
        let loads = ["I1", "I2", "I3"].map(|column| (row.number(column) * 230.0 * 0.8, 0.8));
        vec![("In", star(loads, 230.0).neutral().0)]
    });
    golden.checked(7);
}

#[test]
fn neutrals_of_split_phase_and_of_two_legs_of_a_star_are_the_phasor_sums() {
    // Sure: computed.
    let mut golden = Golden::read("r02d_split_phase_neutral");
    golden.hold(closed, |_, row| {
        let (wiring, factors) = match row.text("pf1") {
            "208Y two legs" => (Wiring::Star, [1.0, 1.0]),
            _ => (Wiring::Split, [row.number("pf1"), row.number("pf2")]),
        };
        let leg = |line, column, factor: f64| draw(line, row.number(column) * 120.0 * factor, factor, 120.0);
        let draws = [leg(Line::L1, "I_L1", factors[0]), leg(Line::L2, "I_L2", factors[1])];
        vec![("In", load(wiring, &draws).neutral().0)]
    });
    golden.checked(6);
}

#[test]
fn neutrals_of_a_star_are_those_of_pandapower() {
    // Sure: computed, a three-phase power flow.
    let mut golden = Golden::read("r09b_pandapower3ph_neutral_400V");
    golden.hold(closed, |_, row| {
        let loads = ["P1_kW", "P2_kW", "P3_kW"].map(|column| (row.number(column) * 1000.0, 1.0));
        let star = star(loads, 400.0 / 3.0_f64.sqrt());
        let [l1, l2, l3] = star.lines().map(|amps| amps.0);
        let neutral = star.neutral().0;
        vec![
            ("I1", l1),
            ("I2", l2),
            ("I3", l3),
            ("In_pandapower", neutral),
            ("In_phasor(400/sqrt3 V)", neutral),
        ]
    });
    golden.checked(20);
}

#[test]
fn a_lost_neutral_gives_sixty_and_a_hundred_and_eighty_volts_or_much_more() {
    // Millman's theorem, computed. Sure.
    let of = |wiring, volts, watts: [f64; 3]| lost_neutral(wiring, Volts(volts), watts.map(Watts)).unwrap();
    let split = of(Wiring::Split, 120.0, [1500.0, 500.0, 0.0]);
    near(split.lines[0].0, 60.0, 1e-9);
    near(split.lines[1].0, 180.0, 1e-9);
    let star = of(Wiring::Star, 230.0, [3000.0, 1000.0, 1000.0]);
    near(star.lines[0].0, 138.0, 1e-9);
    near(star.lines[1].0, 287.27, 5e-3);
    near(star.lines[2].0, 287.27, 5e-3);
}

#[test]
fn lost_neutrals_are_those_of_millman() {
    // Sure: computed.
    let mut golden = Golden::read("r02c_lost_neutral");
    golden.hold(closed, |_, row| {
        let watts = |column| Watts(if row.text(column).is_empty() { 0.0 } else { row.number(column) });
        let loads = ["P1_W", "P2_W", "P3_W"].map(watts);
        let of = |wiring, volts| lost_neutral(wiring, Volts(volts), loads).unwrap();
        if row.text("system").starts_with("split") {
            let lost = of(Wiring::Split, 120.0);
            return vec![("V1", lost.lines[0].0), ("V2", lost.lines[1].0)];
        }
        let lost = of(Wiring::Star, 230.0);
        let [l1, l2, l3] = lost.lines.map(|volts| volts.0);
        vec![("V1", l1), ("V2", l2), ("V3", l3), ("Vneutral_point", lost.floating_point.0)]
    });
    golden.checked(28);
}

#[test]
fn the_annex_example_of_thirty_nine_amperes_is_sized_as_printed() {
    // IEC 60364-5-52 Annex E, its example; amps computed, table seen on public pages. Sure.
    let sized = |share| conductor_sizing(Amps(39.0), share);
    for (share, tabulated) in [(0.0, 39.0), (0.2, 45.35), (0.4, 54.42), (0.5, 58.5)] {
        near(sized(share).tabulated.0, tabulated, 5e-3);
    }
    near(sized(0.4).neutral.0, 46.8, 1e-9);
    // A web page gives 29 A for 25 A with 44 %: it forgot the neutral. 25·0.44·3/0.86 = 38.37 A.
    near(conductor_sizing(Amps(25.0), 0.44).tabulated.0, 38.37, 5e-3);
}

#[test]
fn sizes_by_third_harmonic_are_those_of_annex_e() {
    // Sure: by the annex's formula.
    let mut golden = Golden::read("r03c_annexE");
    golden.hold(closed, |_, row| {
        let sizing = conductor_sizing(Amps(row.number("Ib_A")), row.number("h3_fraction_of_line_current"));
        let by = if row.text("basis") == "neutral" { SizedBy::Neutral } else { SizedBy::Line };
        assert_eq!(sizing.by, by);
        vec![("In_A", sizing.neutral.0), ("required_tabulated_A", sizing.tabulated.0)]
    });
    golden.checked(18);
}

/// The orders in a row's name: `3:40`, `11-39:3` for all odd ones, `3:30*PF=29.4` for a worked one.
fn named_spectrum(name: &str) -> Vec<(u32, f64)> {
    let mut orders = Vec::new();
    for word in name.split([' ', ',', '(', ')']) {
        let Some((order, percent)) = word.split_once(':') else { continue };
        let percent = percent.rsplit('=').next().unwrap().parse::<f64>();
        let (first, last) = order.split_once('-').unwrap_or((order, order));
        if let (Ok(first), Ok(last), Ok(percent)) = (first.parse::<u32>(), last.parse(), percent) {
            orders.extend((first..=last).step_by(2).map(|order| (order, percent)));
        }
    }
    orders
}

#[test]
fn spectra_leave_the_computed_share_in_the_neutral() {
    // Sure: computed.
    let mut golden = Golden::read("r03b_spectrum_neutral_ratio");
    golden.hold(closed, |_, row| {
        let spectrum = named_spectrum(row.text("spectrum_pct_of_I1"));
        assert!(!spectrum.is_empty());
        let neutral = balanced(10.0, 1.0, &spectrum).neutral();
        vec![
            ("THDi_pct", 100.0 * distortion(&spectrum)),
            ("distortion_factor", 1.0 / rms_over_fundamental(&spectrum)),
            ("In/I1", neutral / fundamental(Amps(10.0), &spectrum)),
            ("In/Iphase_rms", neutral / Amps(10.0)),
        ]
    });
    golden.checked(32);
}

#[test]
fn capacitor_inputs_leave_the_simulated_share_in_the_neutral() {
    // Computed by simulation in time; the same circuit is simulated here, and its spectrum put into
    // the law. Sure to 0.2 %.
    let mut golden = Golden::read("r03a_rectifier_neutral");
    golden.hold(of_rectifier, |_, row| {
        let wave = Rectifier::named(row.text("case")).wave();
        let power_factor = row.number("true_PF");
        let star = balanced(wave.rms, power_factor, &wave.spectrum);
        let displacement = displacement_factor(power_factor, &wave.spectrum);
        near(displacement, wave.displacement, of_rectifier(1.0));
        vec![
            ("Irms_A", star.lines()[1].0),
            ("true_PF", wave.displacement / rms_over_fundamental(&wave.spectrum)),
            ("THDi_pct", 100.0 * distortion(&wave.spectrum)),
            ("h3_pct", 100.0 * star.third_harmonic_shares()[2] * rms_over_fundamental(&wave.spectrum)),
            ("In_rms_A", star.neutral().0),
            ("In/Iphase_rms", star.neutral() / star.lines()[0]),
        ]
    });
    golden.checked(36);
}

#[test]
fn capacitor_inputs_agree_with_an_independent_integrator() {
    // Computed by an adaptive integrator and by four step sizes. Sure to 0.2 %.
    let of = |name: &str| {
        let wave = Rectifier::named(name).wave();
        let star = balanced(wave.rms, 1.0, &wave.spectrum);
        let third = 100.0 * star.third_harmonic_shares()[0] * rms_over_fundamental(&wave.spectrum);
        [("Irms", star.lines()[0].0), ("h3_pct", third), ("In/Irms", star.neutral() / star.lines()[0])]
    };
    let (plain, choked) = (of("230V 400W 400uF Rs1 Ls0.5mH"), of("230V 400W Ls20mH"));
    let mut golden = Golden::read("r09a_rectifier_convergence");
    golden.hold(of_rectifier, |_, row| {
        if row.text("case").ends_with("Ls20mH") { choked.to_vec() } else { plain.to_vec() }
    });
    golden.checked(30);
}

/// Odd harmonics of a sine that is cut until `firing` radians of each half wave, in percent of the
/// fundamental: its Fourier integrals, by hand.
fn cut_spectrum(firing: f64, last: u32) -> Vec<(u32, f64)> {
    let sine = (PI - firing + (2.0 * firing).sin() / 2.0) / PI;
    let cosine = -firing.sin() * firing.sin() / PI;
    let first = sine.hypot(cosine);
    (3..=last)
        .step_by(2)
        .map(|order| {
            let (up, down) = (f64::from(order + 1), f64::from(order - 1));
            let cosine = (1.0 - (down * firing).cos()) / down - (1.0 - (up * firing).cos()) / up;
            let sine = (up * firing).sin() / up - (down * firing).sin() / down;
            (order, 100.0 * cosine.hypot(sine) / PI / first)
        })
        .collect()
}

#[test]
fn dimmers_leave_the_computed_share_in_the_neutral() {
    // Computed by Fourier transform of the wave; limits √2 at 90° and √3 from 120° on. Sure.
    let mut golden = Golden::read("r10a_phasecut_neutral");
    golden.hold(closed, |_, row| {
        let spectrum = cut_spectrum(row.number("firing_deg").to_radians(), 9999);
        let amps = row.number("I/Ifull");
        let star = balanced(amps, row.number("PF"), &spectrum);
        vec![
            ("h3_pct_of_h1", 100.0 * star.neutral_of_order(3).0 / 3.0 / fundamental(Amps(amps), &spectrum).0),
            ("In/Iphase(dimmed)", star.neutral() / star.lines()[0]),
            ("In/Ifull", star.neutral().0),
        ]
    });
    golden.checked(30);
}

#[test]
fn lamps_draw_their_watts_over_volts_and_power_factor() {
    // Arithmetic only: the power factors are models of typical equipment, from memory.
    let mut golden = Golden::read("r08c_lamp_current");
    golden.hold(closed, |_, row| {
        let amps = |volts: f64| running_amps(row, volts);
        let volt_amperes = apparent_power(Volts(230.0), Amps(amps(230.0))).0 * 1000.0;
        vec![
            ("S_VA", volt_amperes),
            ("I100", amps(100.0)),
            ("I120", amps(120.0)),
            ("I208", amps(208.0)),
            ("I230", amps(230.0)),
            ("I240", amps(240.0)),
        ]
    });
    golden.checked(168);
}

/// What a head of a row's watts at the plug and power factor draws, by way of a plan.
fn running_amps(row: &Row<'_>, volts: f64) -> f64 {
    let watts = row.number("lamp_W") / row.number("ballast_eff");
    let mut text = "ampwalk = 1\n[location]\nregion = \"uk\"\n".to_owned();
    write!(text, "[head.A]\nwatts = {watts:.6}\npf = {}\n", row.text("pf")).unwrap();
    let parsed = parse(&text);
    let network = Network::of(Arc::new(parsed.plan));
    let (_, head) = network.heads.iter().next().unwrap();
    head.running_amps(Terminals { volts: Volts(volts), lines: 1 }).0
}

fn any_spectrum() -> impl Strategy<Value = Vec<(u32, f64)>> {
    prop::collection::vec((2_u32..30, 0.0..100.0_f64), 0..5)
}

fn any_line() -> impl Strategy<Value = Line> {
    prop::sample::select(Line::WORDS.map(|(_, line)| line).to_vec())
}

proptest! {
    #[test]
    fn balanced_linear_loads_leave_no_neutral(
        loads in prop::collection::vec((0.0..100.0_f64, 0.1..=1.0_f64, any::<bool>()), 1..8),
    ) {
        let draws: Vec<Draw<'_>> = loads
            .iter()
            .flat_map(|(amps, power_factor, leads)| LINES.map(|line| Draw {
                line,
                amps: Amps(*amps),
                power_factor: *power_factor,
                shift: if *leads { Shift::Leading } else { Shift::Lagging },
                spectrum: &[],
            }))
            .collect();
        prop_assert!(load(Wiring::Star, &draws).neutral().0 < 1e-9);
    }

    #[test]
    fn no_neutral_carries_more_than_its_lines_and_no_line_more_than_its_loads(
        loads in prop::collection::vec((any_line(), 0.0..100.0_f64, 0.0..=1.0_f64, any_spectrum()), 0..8),
        wiring in prop::sample::select(Wiring::WORDS.map(|(_, wiring)| wiring).to_vec()),
    ) {
        let mut total = LineLoad::new(wiring);
        let mut arithmetic = [0.0; 3];
        for (line, amps, power_factor, spectrum) in &loads {
            total.add(&Draw {
                line: *line,
                amps: Amps(*amps),
                power_factor: *power_factor,
                shift: Shift::Lagging,
                spectrum,
            });
            // An order told twice adds to itself, so the bound is that of the amplitudes.
            let first = fundamental(Amps(*amps), spectrum).0;
            let all = first * (1.0 + spectrum.iter().map(|(_, percent)| percent / 100.0).sum::<f64>());
            for conductor in line.conductors() {
                arithmetic[*conductor] += all;
            }
        }
        let lines = total.lines().map(|amps| amps.0);
        prop_assert!(total.neutral().0 <= lines.iter().sum::<f64>() + 1e-9);
        for (line, bound) in lines.into_iter().zip(arithmetic) {
            prop_assert!(line.is_finite() && line <= bound + 1e-9);
        }
    }

    #[test]
    fn loads_without_their_neutral_share_the_volts_between_the_lines(
        watts in prop::array::uniform3(1.0..5000.0_f64),
        volts in 100.0..250.0_f64,
    ) {
        let split = lost_neutral(Wiring::Split, Volts(volts), watts.map(Watts)).unwrap();
        prop_assert!((split.lines[0].0 + split.lines[1].0 - 2.0 * volts).abs() < 1e-6);
        // Two loads in a row carry one current: V₁·P₁ = V₂·P₂.
        let current = |line: usize| split.lines[line].0 * watts[line];
        prop_assert!((current(0) - current(1)).abs() < 1e-6 * current(0));
        let star = lost_neutral(Wiring::Star, Volts(volts), watts.map(Watts)).unwrap();
        // A load gets the less, the more it is, and never more than the volts between two lines.
        for (one, other) in [(0, 1), (1, 2), (0, 2)] {
            prop_assert_eq!(watts[one] < watts[other], star.lines[one].0 > star.lines[other].0);
        }
        for line in star.lines {
            prop_assert!(line.0 <= volts * 3.0_f64.sqrt() + 1e-6);
        }
    }
}
