//! Several leads in a row with loads along the way, or leads that part at a splitter: what arrives where,
//! by phasors.
//!
//! One lead with one load has a closed form, [`arriving_volts`](crate::physics::cable::arriving_volts);
//! a ladder has none, so its volts are found by going out and back: the amps that the loads draw at the
//! volts of the last round give the volts of the next.

use crate::physics::cable::Drawing;
use crate::physics::filament::filament_amps;
use crate::physics::phasor::Phasor;
use crate::plan::Load;
use crate::unit::{Amps, Ohms, Volts};

/// Volts to which the rounds are carried.
const CLOSE_ENOUGH: f64 = 1e-10;
/// Rounds after which a pace has no answer, and halvings of it after which a ladder has none: only where
/// its loads all but collapse the volts.
const MOST_ROUNDS: usize = 400;
const MOST_HALVINGS: i32 = 10;
/// Loads are not reckoned on less than this share of their rated volts.
const LEAST_SHARE: f64 = 1e-6;

/// One lead of a ladder, and what is plugged in at its end besides the next lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section<'a> {
    /// Resistance, both ways.
    pub resistance: Ohms,
    /// Reactance, both ways: some 0.16 Ω/km (IEC 60364-5-52 annex G, from memory), so next to nothing.
    pub reactance: Ohms,
    /// The loads at its end. Each keeps its power factor, lagging, whatever its behaviour.
    pub drawings: &'a [Drawing],
}

/// What arrives at the end of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Volts there.
    pub volts: Volts,
    /// Amps through the lead that leads there.
    pub amps: Amps,
}

/// What arrives at the end of each section, each plugged into the one before, from `source` volts at the
/// start of the first. `None` where the loads ask more than the leads can bring, and where a voltage that
/// is given is not over 0.
#[must_use]
pub fn ladder(source: Volts, sections: &[Section<'_>]) -> Option<Vec<Arrival>> {
    solve(source, sections, |at| at.checked_sub(1))
}

/// The same where leads part: `from` says of each section which one, before it in the list, it is plugged
/// into; `None`: the source. `None`, too, where `from` does not fit the sections.
#[must_use]
pub fn tree(source: Volts, sections: &[Section<'_>], from: &[Option<usize>]) -> Option<Vec<Arrival>> {
    let fits = from.iter().enumerate().all(|(at, from)| from.is_none_or(|from| from < at));
    if !fits || from.len() != sections.len() {
        return None;
    }
    solve(source, sections, |at| from[at])
}

fn solve(
    source: Volts,
    sections: &[Section<'_>],
    from: impl Fn(usize) -> Option<usize>,
) -> Option<Vec<Arrival>> {
    let mut drawings = sections.iter().flat_map(|section| section.drawings);
    if source <= Volts::ZERO || drawings.any(|drawing| drawing.rated <= Volts::ZERO) {
        return None;
    }
    // A heavy load swings to and fro from round to round: smaller steps calm it.
    (0..=MOST_HALVINGS).find_map(|halvings| rounds(source, sections, &from, 0.5_f64.powi(halvings)))
}

/// Goes out and back until the volts stay, with a part `pace` of the way each time; `None` where they do
/// not.
fn rounds(
    source: Volts,
    sections: &[Section<'_>],
    from: &impl Fn(usize) -> Option<usize>,
    pace: f64,
) -> Option<Vec<Arrival>> {
    let mut volts = vec![Phasor { real: source.0, imaginary: 0.0 }; sections.len()];
    let mut amps = vec![Phasor::default(); sections.len()];
    let mut left = amps.clone();
    for _ in 0..MOST_ROUNDS {
        amps_through(sections, from, &volts, &mut amps);
        volts_left(source, sections, from, &amps, &mut left);
        let farthest = settle(&left, &mut volts, pace);
        if !farthest.is_finite() {
            return None;
        }
        if farthest <= CLOSE_ENOUGH {
            amps_through(sections, from, &volts, &mut amps);
            let arrival =
                |(volts, amps): (&Phasor, &Phasor)| Arrival { volts: Volts(size(*volts)), amps: amps.amps() };
            return Some(volts.iter().zip(&amps).map(arrival).collect());
        }
    }
    None
}

/// Amps through each section, of all that is plugged in at its end and beyond.
fn amps_through(
    sections: &[Section<'_>],
    from: impl Fn(usize) -> Option<usize>,
    volts: &[Phasor],
    through: &mut [Phasor],
) {
    through.fill(Phasor::default());
    for (at, section) in sections.iter().enumerate().rev() {
        for drawing in section.drawings {
            // A round may swing through nothing on its way: no load is asked what it draws there.
            let here = size(volts[at]).max(LEAST_SHARE * drawing.rated.0);
            let in_step = drawing.power_factor.clamp(0.0, 1.0);
            let behind = Phasor { real: in_step, imaginary: -(1.0 - in_step * in_step).sqrt() };
            through[at] += volts[at].turned(behind).scaled(amps_at(drawing, Volts(here)) / here);
        }
        if let Some(from) = from(at) {
            let beyond = through[at];
            through[from] += beyond;
        }
    }
}

fn amps_at(drawing: &Drawing, volts: Volts) -> Amps {
    let share = match drawing.load {
        Load::Steady => drawing.rated / volts,
        Load::Filament => filament_amps(volts, drawing.rated),
        Load::Resistive => volts / drawing.rated,
    };
    drawing.amps * share
}

/// What these amps leave of the source at the end of each section.
fn volts_left(
    source: Volts,
    sections: &[Section<'_>],
    from: impl Fn(usize) -> Option<usize>,
    amps: &[Phasor],
    left: &mut [Phasor],
) {
    for (at, section) in sections.iter().enumerate() {
        let start = from(at).map_or(Phasor { real: source.0, imaginary: 0.0 }, |from| left[from]);
        let lead = Phasor { real: section.resistance.0, imaginary: section.reactance.0 };
        left[at] = start + amps[at].turned(lead).reversed();
    }
}

/// Moves the volts towards what is left of the source, by a part `pace` of the way; how far the farthest
/// was off, in volts.
fn settle(left: &[Phasor], volts: &mut [Phasor], pace: f64) -> f64 {
    let mut farthest = 0.0_f64;
    for (left, volts) in left.iter().zip(volts) {
        let off = *left + volts.reversed();
        *volts += off.scaled(Amps(pace));
        let size = size(off);
        farthest = if size.is_nan() { f64::INFINITY } else { farthest.max(size) };
    }
    farthest
}

fn size(phasor: Phasor) -> f64 {
    phasor.amps().0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::physics::cable::arriving_volts;

    #[test]
    fn a_lead_that_resists_as_much_as_its_load_takes_half() {
        // Two equal resistances in a row halve the volts: 230 / 2 = 115 V.
        let load = drawing(Load::Resistive, 2300.0, 1.0);
        for ohms in [22.9, 23.0, 23.1, 46.0] {
            let arrivals = ladder(Volts(230.0), &[section(ohms, &[load])]).unwrap();
            let expected = 230.0 * 23.0 / (23.0 + ohms);
            assert!((arrivals[0].volts.0 - expected).abs() < 1e-8, "{ohms}: {arrivals:?}");
        }
    }

    #[test]
    fn a_load_that_draws_nothing_takes_nothing() {
        let none = Drawing { amps: Amps::ZERO, ..drawing(Load::Steady, 100.0, 1.0) };
        let arrivals = ladder(Volts(230.0), &[section(1.0, &[none])]).unwrap();
        assert_eq!(arrivals, [Arrival { volts: Volts(230.0), amps: Amps::ZERO }]);
    }

    fn drawing(load: Load, watts: f64, power_factor: f64) -> Drawing {
        Drawing { rated: Volts(230.0), amps: Amps(watts / 230.0 / power_factor), power_factor, load }
    }

    fn section(ohms: f64, drawings: &[Drawing]) -> Section<'_> {
        Section { resistance: Ohms(ohms), reactance: Ohms::ZERO, drawings }
    }

    #[test]
    fn loads_that_ask_more_than_the_leads_can_bring_have_no_answer() {
        // Closed form: 230² / (4 × 3.1827 Ω) = 4155.3 W at power factor 1.
        let at = |watts| ladder(Volts(230.0), &[section(3.1827, &[drawing(Load::Steady, watts, 1.0)])]);
        assert!(at(4150.0).is_some());
        assert_eq!(at(4160.0), None);
        assert_eq!(ladder(Volts::ZERO, &[section(1.0, &[])]), None);
        let unrated = Drawing { rated: Volts::ZERO, ..drawing(Load::Steady, 100.0, 1.0) };
        assert_eq!(ladder(Volts(230.0), &[section(1.0, &[unrated])]), None);
    }

    #[test]
    fn a_ladder_without_leads_or_without_loads_loses_nothing() {
        assert_eq!(ladder(Volts(230.0), &[]), Some(Vec::new()));
        let idle = ladder(Volts(230.0), &[section(1.0, &[]), section(2.0, &[])]).unwrap();
        assert_eq!(idle, [Arrival { volts: Volts(230.0), amps: Amps::ZERO }; 2]);
    }

    #[test]
    fn a_ladder_settles_though_its_loads_take_most_of_the_volts() {
        // Closed form: 23 Ω of lamps behind 69 Ω of lead keep a quarter of 230 V.
        let arrivals =
            ladder(Volts(230.0), &[section(69.0, &[drawing(Load::Resistive, 2300.0, 1.0)])]).unwrap();
        assert!((arrivals[0].volts.0 - 57.5).abs() < 1e-8, "{arrivals:?}");
        assert!((arrivals[0].amps.0 - 2.5).abs() < 1e-8, "{arrivals:?}");
    }

    #[test]
    fn two_loads_at_one_end_share_its_drop() {
        // Closed form: 10 A and 5 A of resistance at 230 V are 15.333 Ω; 1 Ω before it leaves 15.333/16.333.
        let both = [drawing(Load::Resistive, 2300.0, 1.0), drawing(Load::Resistive, 1150.0, 1.0)];
        let arrivals = ladder(Volts(230.0), &[section(1.0, &both)]).unwrap();
        let ohms = 230.0 / 15.0;
        assert!((arrivals[0].volts.0 - 230.0 * ohms / (ohms + 1.0)).abs() < 1e-8, "{arrivals:?}");
    }

    #[test]
    fn leads_that_part_share_the_drop_before_the_parting_and_no_other() {
        // Closed form: 23 Ω behind 2 Ω and 46 Ω behind 4 Ω, side by side 25 ∥ 50 = 16.667 Ω, behind 1 Ω:
        // 230·16.667/17.667 = 216.98 V at the parting, 23/25 and 46/50 of it at the ends.
        let (heavy, light) =
            ([drawing(Load::Resistive, 2300.0, 1.0)], [drawing(Load::Resistive, 1150.0, 1.0)]);
        let sections = [section(1.0, &[]), section(2.0, &heavy), section(4.0, &light)];
        let arrivals = tree(Volts(230.0), &sections, &[None, Some(0), Some(0)]).unwrap();
        let parting = 230.0 * (50.0 / 3.0) / (50.0 / 3.0 + 1.0);
        for (arrival, volts) in arrivals.iter().zip([parting, parting * 0.92, parting * 0.92]) {
            assert!((arrival.volts.0 - volts).abs() < 1e-8, "{arrivals:?}");
        }
        // Side by side at the source, neither sees the other.
        let apart = tree(Volts(230.0), &sections[1..], &[None, None]).unwrap();
        assert!((apart[0].volts.0 - 230.0 * 0.92).abs() < 1e-8, "{apart:?}");
        assert_eq!(tree(Volts(230.0), &sections, &[None, Some(1), Some(0)]), None);
        assert_eq!(tree(Volts(230.0), &sections, &[None]), None);
    }

    fn any_load() -> impl Strategy<Value = Load> {
        proptest::sample::select(vec![Load::Steady, Load::Filament, Load::Resistive])
    }

    proptest! {
        #[test]
        fn one_lead_with_one_load_gives_the_closed_form(
            load in any_load(), watts in 10.0_f64..2500.0, ohms in 0.0_f64..2.0, power_factor in 0.6_f64..=1.0,
        ) {
            // The closed form takes a load that is not steady at power factor 1.
            let power_factor = if load == Load::Steady { power_factor } else { 1.0 };
            let drawing = drawing(load, watts, power_factor);
            let closed = arriving_volts(Volts(230.0), Ohms(ohms), drawing).unwrap();
            let arrivals = ladder(Volts(230.0), &[section(ohms, &[drawing])]).unwrap();
            prop_assert!((closed - arrivals[0].volts).0.abs() < 1e-7, "{:?} {:?}", closed, arrivals);
        }

        /// Two leads in a row with nothing between are one lead: drops add.
        #[test]
        fn leads_in_a_row_are_one_lead(
            load in any_load(), watts in 10.0_f64..2000.0, first in 0.0_f64..1.0, second in 0.0_f64..1.0,
        ) {
            let drawings = [drawing(load, watts, 0.95)];
            let row = ladder(Volts(230.0), &[section(first, &[]), section(second, &drawings)]).unwrap();
            let whole = ladder(Volts(230.0), &[section(first + second, &drawings)]).unwrap();
            prop_assert!((row[1].volts - whole[0].volts).0.abs() < 1e-7);
            prop_assert!((row[0].amps - whole[0].amps).0.abs() < 1e-7);
            prop_assert!(row[1].volts <= row[0].volts && row[0].volts <= Volts(230.0));
        }

        /// Heads in step: what a lead brings is what is drawn at its end and what goes on from there.
        #[test]
        fn currents_sum_at_every_node(
            loads in prop::collection::vec((any_load(), 10.0_f64..300.0, 0.0_f64..0.3, any::<usize>()), 1..9),
        ) {
            let drawings: Vec<_> = loads.iter().map(|(load, watts, ..)| [drawing(*load, *watts, 1.0)]).collect();
            let sections: Vec<_> =
                loads.iter().zip(&drawings).map(|((.., ohms, _), drawings)| section(*ohms, drawings)).collect();
            let from: Vec<_> =
                loads.iter().enumerate().map(|(at, (.., dice))| (at > 0).then(|| dice % at.max(1))).collect();
            let arrivals = tree(Volts(230.0), &sections, &from).unwrap();
            for (at, arrival) in arrivals.iter().enumerate() {
                let drawn = amps_at(&drawings[at][0], arrival.volts);
                let onward: Amps =
                    (0..from.len()).filter(|next| from[*next] == Some(at)).map(|next| arrivals[next].amps).sum();
                prop_assert!((arrival.amps - drawn - onward).0.abs() < 1e-7, "{at}: {arrivals:?}");
                let before = from[at].map_or(Volts(230.0), |from| arrivals[from].volts);
                prop_assert!((before.0 - arrival.volts.0 - arrival.amps.0 * loads[at].2).abs() < 1e-7);
            }
        }

        #[test]
        fn drop_grows_with_length_and_with_load(
            load in any_load(), watts in 10.0_f64..2000.0, ohms in 0.01_f64..1.0, more in 1.01_f64..1.5,
        ) {
            let volts = |watts, ohms| {
                let drawings = [drawing(load, watts, 0.9), drawing(Load::Filament, 500.0, 1.0)];
                ladder(Volts(230.0), &[section(ohms, &drawings)]).map_or(Volts::ZERO, |all| all[0].volts)
            };
            prop_assert!(volts(watts, ohms * more) < volts(watts, ohms));
            prop_assert!(volts(watts * more, ohms) < volts(watts, ohms));
        }
    }
}
