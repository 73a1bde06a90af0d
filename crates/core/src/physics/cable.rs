//! Leads: the resistance of their conductors, what they carry, and chains of them.

use crate::library::{Conductor, RegionCode, library};
use crate::plan::{Cable, ConductorSize, Line};
use crate::unit::{Amps, Celsius, Metres, Ohms};

/// Change of copper's resistance for a kelvin, of its resistance at 20 °C (IEC 60228).
const METRIC_PER_KELVIN: f64 = 0.003_93;
/// The same of its resistance at 75 °C (NEC chapter 9 table 8, note 2, from memory).
const GAUGE_PER_KELVIN: f64 = 0.003_23;
/// A loaded metric lead: the volt-drop tables of BS 7671 for flexible cords agree with 70 °C.
const METRIC_HOT: Celsius = Celsius(70.0);
/// A loaded lead by wire gauge: what NEC chapter 9 table 8 is for.
const GAUGE_HOT: Celsius = Celsius(75.0);
/// Share of its unwound rating that a lead carries wound on a reel, where nothing is printed: common
/// practice, no source; published layer factors run from 0.85 for one to 0.35 for four (from memory).
const ON_REEL: f64 = 1.0 / 3.0;

/// The temperature that a loaded conductor is taken to have.
#[must_use]
pub const fn working_temperature(conductor: &Conductor) -> Celsius {
    if conductor.awg.is_some() { GAUGE_HOT } else { METRIC_HOT }
}

/// Resistance of one conductor over `length` at a temperature, by the standard that its row is from:
/// R·(1 + α·(t − t₀)), α = 0.00393 for IEC 60228 and 0.00323 for NEC chapter 9 table 8.
#[must_use]
pub fn resistance(conductor: &Conductor, length: Metres, at: Celsius) -> Ohms {
    let per_kelvin = if conductor.awg.is_some() { GAUGE_PER_KELVIN } else { METRIC_PER_KELVIN };
    let change = 1.0 + per_kelvin * (at.0 - conductor.celsius);
    Ohms(conductor.ohm_per_km / 1000.0 * length.0 * change.max(0.0))
}

/// Resistance of a loaded lead that a load on `line` sees: there and back on one line or on two, the
/// line alone where three balanced lines leave nothing in the neutral. `None` where the size is
/// smaller than any that is built in.
#[must_use]
pub fn lead_resistance(size: ConductorSize, length: Metres, line: Line) -> Option<Ohms> {
    let conductor = library().cables.conductor(size)?;
    let one_way = resistance(conductor, length, working_temperature(conductor));
    Some(one_way * f64::from(conductors_in_loop(line)))
}

/// How many conductors of a lead the drop of a load on `line` arises in.
const fn conductors_in_loop(line: Line) -> u8 {
    match line {
        Line::L1 | Line::L2 | Line::L3 | Line::L1L2 | Line::L2L3 | Line::L1L3 => 2,
        Line::All => 1,
    }
}

/// What a lead carries as it is laid, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadRating {
    /// The most that it carries.
    pub amps: Amps,
    /// Where that comes from.
    pub basis: RatingBasis,
}

/// Where the rating of a lead comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RatingBasis {
    /// Printed on it.
    Printed,
    /// The region's table, by size.
    RegionTable,
    /// Printed on the reel, for wound.
    PrintedForReel,
    /// A third of what it carries unwound.
    ThirdOnReel,
}

/// What a lead carries in a region, with the lines of `line` loaded: its printed rating, else the
/// region's table; on a reel the printed wound rating, else a third, and never more than unwound.
/// `None` where nothing is printed and the size is smaller than any of the table.
#[must_use]
pub fn lead_rating(region: RegionCode, lead: &Cable, line: Line) -> Option<LeadRating> {
    let unwound = unwound_rating(region, lead, line);
    if !lead.on_reel {
        return unwound;
    }
    match (lead.reel_rated, unwound) {
        (Some(amps), Some(unwound)) if amps.is_over(unwound.amps) => Some(unwound),
        (Some(amps), _) => Some(LeadRating { amps, basis: RatingBasis::PrintedForReel }),
        (None, Some(unwound)) => {
            Some(LeadRating { amps: unwound.amps * ON_REEL, basis: RatingBasis::ThirdOnReel })
        }
        (None, None) => None,
    }
}

fn unwound_rating(region: RegionCode, lead: &Cable, line: Line) -> Option<LeadRating> {
    if let Some(amps) = lead.rated {
        return Some(LeadRating { amps, basis: RatingBasis::Printed });
    }
    let row = library().cables.ampacity(region, lead.size)?;
    let lines = if line == Line::All { 3 } else { 2 };
    Some(LeadRating { amps: row.amps_on(lines), basis: RatingBasis::RegionTable })
}

/// Leads joined end to end, the one in the socket first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chain {
    /// Resistance of all of them, as [`lead_resistance`]; `None` where one is not known.
    pub resistance: Option<Ohms>,
    /// The smallest rating and whose it is, by place in the chain; the first of several. `None` where
    /// no rating is known: one that is not known rules out nothing.
    pub tightest: Option<(usize, LeadRating)>,
}

/// Joins leads: resistances add, the smallest rating rules.
#[must_use]
pub fn chain(region: RegionCode, leads: &[&Cable], line: Line) -> Chain {
    Chain {
        resistance: leads.iter().map(|lead| lead_resistance(lead.size, lead.length, line)).sum(),
        tightest: leads
            .iter()
            .enumerate()
            .filter_map(|(place, lead)| Some((place, lead_rating(region, lead, line)?)))
            .min_by(|(_, one), (_, other)| one.amps.total_cmp(other.amps)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn lead(mm2: f64, length: f64) -> Cable {
        Cable {
            length: Metres(length),
            size: ConductorSize::SquareMillimetres(mm2),
            plug: None,
            rated: None,
            count: None,
            reel_rated: None,
            on_reel: false,
            fuse: None,
        }
    }

    fn rating(lead: &Cable) -> (f64, RatingBasis) {
        let rating = lead_rating(RegionCode::Uk, lead, Line::L1).unwrap();
        (rating.amps.0, rating.basis)
    }

    #[test]
    fn the_current_goes_there_and_back_except_on_three_lines() {
        // By hand: 25 m of 2.5 mm² at 70 °C, 7.98 Ω/km × 1.1965: 0.23870 Ω a conductor.
        let size = ConductorSize::SquareMillimetres(2.5);
        for (line, ohms) in [(Line::L1, 0.477_40), (Line::L2L3, 0.477_40), (Line::All, 0.238_70)] {
            let resistance = lead_resistance(size, Metres(25.0), line).unwrap();
            assert!((resistance.0 - ohms).abs() < 1e-5, "{line}: {resistance:?}");
        }
        assert_eq!(lead_resistance(ConductorSize::SquareMillimetres(0.1), Metres(1.0), Line::L1), None);
    }

    #[test]
    fn what_is_printed_beats_the_table_and_a_reel_takes_two_thirds() {
        // BS 7671 table 4F3A, from memory: 1.5 mm² 16 A. 13 A drum, typical: 5 A wound.
        assert_eq!(rating(&lead(1.5, 25.0)), (16.0, RatingBasis::RegionTable));
        let printed = Cable { rated: Some(Amps(13.0)), ..lead(1.5, 25.0) };
        assert_eq!(rating(&printed), (13.0, RatingBasis::Printed));
        let wound = Cable { on_reel: true, ..printed.clone() };
        assert_eq!(rating(&wound), (13.0 / 3.0, RatingBasis::ThirdOnReel));
        let labelled = Cable { reel_rated: Some(Amps(5.0)), ..wound.clone() };
        assert_eq!(rating(&labelled), (5.0, RatingBasis::PrintedForReel));
        let unwound = Cable { on_reel: false, ..labelled.clone() };
        assert_eq!(rating(&unwound), (13.0, RatingBasis::Printed));
        let mislabelled = Cable { reel_rated: Some(Amps(20.0)), ..wound };
        assert_eq!(rating(&mislabelled), (13.0, RatingBasis::Printed));
        let unknown = Cable { on_reel: true, ..lead(0.1, 5.0) };
        assert_eq!(lead_rating(RegionCode::Uk, &unknown, Line::L1), None);
        let only_wound = Cable { reel_rated: Some(Amps(4.0)), ..unknown };
        assert_eq!(rating(&only_wound), (4.0, RatingBasis::PrintedForReel));
    }

    #[test]
    fn three_loaded_lines_carry_less() {
        // BS 7671 table 4F3A, from memory: 2.5 mm² 25 A on one line, 20 A on three.
        let amps = |line| lead_rating(RegionCode::Uk, &lead(2.5, 25.0), line).unwrap().amps;
        assert_eq!(amps(Line::L1), Amps(25.0));
        assert_eq!(amps(Line::L1L2), Amps(25.0));
        assert_eq!(amps(Line::All), Amps(20.0));
    }

    #[test]
    fn in_a_chain_the_smallest_rules_and_the_lengths_add() {
        let (thick, thin) = (lead(2.5, 25.0), lead(1.5, 10.0));
        let both = chain(RegionCode::Uk, &[&thick, &thin], Line::L1);
        let (place, tightest) = both.tightest.unwrap();
        assert_eq!((place, tightest.amps), (1, Amps(16.0)));
        // By hand: 0.47740 Ω + 10 m × 2 × 13.3 Ω/km × 1.1965 = 0.79567 Ω.
        assert!((both.resistance.unwrap().0 - 0.795_67).abs() < 1e-5);
        assert_eq!(chain(RegionCode::Uk, &[&thick, &thick], Line::L1).tightest.unwrap().0, 0);
        let nothing = chain(RegionCode::Uk, &[], Line::L1);
        assert_eq!((nothing.resistance, nothing.tightest), (Some(Ohms::ZERO), None));
        let hair = lead(0.1, 1.0);
        let unknown = chain(RegionCode::Uk, &[&thick, &hair], Line::L1);
        assert_eq!((unknown.resistance, unknown.tightest.unwrap().0), (None, 0));
    }

    proptest! {
        #[test]
        fn longer_thinner_and_hotter_resist_more(
            mm2 in 0.5_f64..90.0, times in 1.0_f64..4.0, metres in 0.1_f64..200.0, celsius in -20.0_f64..90.0, kelvin in 1.0_f64..60.0,
        ) {
            let of = |area, metres| {
                lead_resistance(ConductorSize::SquareMillimetres(area), Metres(metres), Line::L1).unwrap()
            };
            prop_assert!(of(mm2, metres * times) >= of(mm2, metres));
            prop_assert!(of(mm2 * times, metres) <= of(mm2, metres));
            let conductor = library().cables.conductor(ConductorSize::SquareMillimetres(mm2)).unwrap();
            let at = |celsius| resistance(conductor, Metres(metres), Celsius(celsius));
            prop_assert!(at(celsius + kelvin) > at(celsius));
        }
    }
}
