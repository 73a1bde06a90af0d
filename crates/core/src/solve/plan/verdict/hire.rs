//! What to hire for the heads that the house does not carry.
//!
//! Apparent powers are added up as plain numbers: the trade's way, and never less than their phasor sum.
//! Planned to 80 %; 100 % is the limit, which no start may pass (common practice, no source).

use crate::id::OutletId;
use crate::library::RegionCode;
use crate::network::{At, HeadAt, Network, SetupAt, distance};
use crate::order::Order as _;
use crate::physics::generator::{
    Engine, HIRE_SIZES, PLANNED_SHARE, STEP_PERCENT, alternator_for, derating, fuel_rate, rated_power,
    takes_step,
};
use crate::physics::harmonic::{NON_LINEAR_DISTORTION, distortion};
use crate::plan::{EarthClass, Fuel, Wiring};
use crate::rule::setup::TOUCH;
use crate::rule::words::{list, number};
use crate::unit::{Celsius, KiloVoltAmps, KiloWatts, Litres, Metres};

use super::electric::{apparent, real, start_on_top};

/// Up to this size sets are hired with one line, above it with three where the region has three (typical, from
/// memory).
const ONE_LINE: KiloVoltAmps = KiloVoltAmps(10.0);
/// Up to this size sets burn petrol, above it diesel (typical, from memory).
const PETROL: KiloVoltAmps = KiloVoltAmps(6.5);
/// Air at which ratings hold (ISO 3046-1).
const REFERENCE_AIR: Celsius = Celsius(25.0);

/// What to hire.
#[derive(Clone, Debug, PartialEq)]
pub struct Hire {
    /// The size for hire, kilovolt-amps; `None` where one set of the largest usual size does not do.
    pub kva: Option<KiloVoltAmps>,
    /// What is asked of it: the largest setup at 80 %, or what its starts, its busiest line, its kilowatts or
    /// its non-linear heads ask where that is more.
    pub computed_kva: KiloVoltAmps,
    /// How many lines.
    pub wiring: Wiring,
    /// Hours for which any of its heads is on.
    pub hours: f64,
    /// What it burns.
    pub fuel: Fuel,
    /// How much of it, in these hours; `None` without a size.
    pub litres: Option<Litres>,
    /// The heads on it, what draws most first.
    pub heads: Vec<HeadAt>,
    /// Kinds of outlet that their plugs ask for, and how many at once.
    pub outlets: Vec<(OutletId, usize)>,
    /// What else to ask for and to look at, a sentence each.
    pub notes: Vec<String>,
}

impl Hire {
    /// In a sentence.
    #[must_use]
    pub fn words(&self, network: &Network) -> String {
        let heads = list(self.heads.iter().map(|head| network.head_id(*head)));
        let size = self.kva.map_or("more than one set".to_owned(), |kva| format!("{} kVA", number(kva.0)));
        let fuel = match self.fuel {
            Fuel::Petrol => "petrol",
            Fuel::Diesel => "diesel",
        };
        let burns =
            self.litres.map_or(String::new(), |litres| format!(", about {} l of {fuel}", number(litres.0)));
        format!(
            "a generator of {size} ({} kVA computed) with {} for {heads}: {} h{burns}",
            number(self.computed_kva.0),
            lines(self.wiring),
            number(self.hours)
        )
    }
}

/// How many lines, for a reader.
const fn lines(wiring: Wiring) -> &'static str {
    match wiring {
        Wiring::One => "one line",
        Wiring::Split => "two legs",
        Wiring::Star => "three lines",
    }
}

/// What to hire for these heads; `None` where there are none.
pub(super) fn hire(network: &Network, heads: &[HeadAt]) -> Option<Hire> {
    if heads.is_empty() {
        return None;
    }
    let (wiring, computed) = size(network, heads);
    let kva = HIRE_SIZES.into_iter().find(|size| !computed.is_over(*size));
    let fuel = if kva.is_some_and(|kva| !kva.is_over(PETROL)) { Fuel::Petrol } else { Fuel::Diesel };
    let used: Vec<SetupAt> =
        network.setups.indices().filter(|at| on_in(network, heads, *at).next().is_some()).collect();
    let hours_of = |at: SetupAt| network.setups[at].minutes.0 / 60.0;
    let litres = kva.map(|kva| {
        let rated = rated_power(kva, wiring);
        let burnt = |at: &SetupAt| {
            let load: KiloWatts = on_in(network, heads, *at).map(|head| real(network, head)).sum();
            Litres(fuel_rate(fuel, rated, load).0 * hours_of(*at))
        };
        used.iter().map(burnt).sum()
    });
    let hours = used.iter().map(|at| hours_of(*at)).sum();
    let outlets = outlets(network, heads);
    let notes = notes(network, heads, kva);
    Some(Hire {
        kva,
        computed_kva: computed,
        wiring,
        hours,
        fuel,
        litres,
        heads: heads.to_vec(),
        outlets,
        notes,
    })
}

/// Heads of these that are on in a setup.
fn on_in<'a>(network: &'a Network, heads: &'a [HeadAt], setup: SetupAt) -> impl Iterator<Item = HeadAt> + 'a {
    heads.iter().copied().filter(move |head| network.setups[setup].is_on[*head])
}

/// Lines and size: one line where that does and is usual, else what the region has.
fn size(network: &Network, heads: &[HeadAt]) -> (Wiring, KiloVoltAmps) {
    let has_legs =
        matches!(network.plan.location.region, Some(RegionCode::Us | RegionCode::Ca | RegionCode::Jp));
    let three = heads.iter().any(|head| network.unplaced_terminals(*head).lines == 3);
    if three {
        return (Wiring::Star, computed(network, heads, Wiring::Star));
    }
    let is_between =
        |head: &HeadAt| network.unplaced_terminals(*head).volts.is_over(network.region.volts * 1.5);
    let one = computed(network, heads, Wiring::One);
    if !heads.iter().any(is_between) && !one.is_over(ONE_LINE) {
        return (Wiring::One, one);
    }
    let wiring = if has_legs { Wiring::Split } else { Wiring::Star };
    (wiring, computed(network, heads, wiring))
}

/// What is asked of a set of these lines in its largest setup.
fn computed(network: &Network, heads: &[HeadAt], wiring: Wiring) -> KiloVoltAmps {
    let air = network.plan.location.ambient.unwrap_or(REFERENCE_AIR);
    // Fuel is not known before the size; a diesel loses most to heat.
    let left = derating(Engine::Diesel, Metres::ZERO, air).max(0.1);
    let asked = |setup: SetupAt| {
        let on: Vec<HeadAt> = on_in(network, heads, setup).collect();
        let all: KiloVoltAmps = on.iter().map(|head| apparent(network, *head)).sum();
        let kw: KiloWatts = on.iter().map(|head| real(network, *head)).sum();
        let start =
            on.iter().map(|head| start_on_top(network, *head)).fold(KiloVoltAmps::ZERO, KiloVoltAmps::max);
        let lines = spread(network, &on, wiring);
        #[expect(clippy::cast_precision_loss, reason = "three lines at most")]
        let as_balanced =
            lines.iter().copied().fold(KiloVoltAmps::ZERO, KiloVoltAmps::max) * lines.len() as f64;
        let is_bent =
            |head: &&HeadAt| distortion(network.heads[**head].spectrum.orders()) > NON_LINEAR_DISTORTION;
        let bent: KiloVoltAmps = on.iter().filter(is_bent).map(|head| apparent(network, *head)).sum();
        let share = if all.is_over(KiloVoltAmps::ZERO) { bent / all } else { 0.0 };
        let per_kva = rated_power(KiloVoltAmps(1.0), wiring);
        let (alternator, _) = alternator_for(all, share);
        let planned = KiloVoltAmps(kw / per_kva).max(as_balanced) / PLANNED_SHARE;
        planned.max(all + start).max(alternator) / left
    };
    network.setups.indices().map(asked).fold(KiloVoltAmps::ZERO, KiloVoltAmps::max)
}

/// Heads over the lines, the largest first, each on the line that carries least.
fn spread(network: &Network, on: &[HeadAt], wiring: Wiring) -> Vec<KiloVoltAmps> {
    let count = match wiring {
        Wiring::One => 1,
        Wiring::Split => 2,
        Wiring::Star => 3,
    };
    let mut lines = vec![KiloVoltAmps::ZERO; count];
    let mut heads = on.to_vec();
    heads.order_by(|a, b| apparent(network, *b).total_cmp(apparent(network, *a)));
    for head in heads {
        let power = apparent(network, head);
        let terminals = network.unplaced_terminals(head);
        let is_on_all = terminals.lines == 3 || terminals.volts.is_over(network.region.volts * 1.5);
        if is_on_all {
            #[expect(clippy::cast_precision_loss, reason = "three lines at most")]
            let each = power / count as f64;
            for line in &mut lines {
                *line += each;
            }
        } else if let Some(least) = lines.iter_mut().min_by(|a, b| a.total_cmp(**b)) {
            *least += power;
        }
    }
    lines
}

/// Outlets by kind: the most plugs of it in one setup.
fn outlets(network: &Network, heads: &[HeadAt]) -> Vec<(OutletId, usize)> {
    let mut kinds: Vec<(OutletId, usize)> = Vec::new();
    for head in heads {
        let kind = network.heads[*head].plug_id.clone();
        if kinds.iter().any(|(known, _)| *known == kind) {
            continue;
        }
        let of_kind = |at: SetupAt| {
            on_in(network, heads, at).filter(|head| network.heads[*head].plug_id == kind).count()
        };
        let most = network.setups.indices().map(of_kind).max().unwrap_or(0);
        kinds.push((kind, most));
    }
    kinds
}

fn notes(network: &Network, heads: &[HeadAt], kva: Option<KiloVoltAmps>) -> Vec<String> {
    let words = &network.region.words;
    let mut notes = vec![format!(
        "stands outdoors, 6 m and more from any opening, and its exhaust blows away from people (common practice)"
    )];
    let is_class_one = |head: &&HeadAt| network.heads[**head].earth_class.value == EarthClass::I;
    notes.push(if heads.iter().filter(is_class_one).count() > 1 {
        format!(
            "more than one class I head: its neutral bonded to {}, and an {} that was tested, by a competent person",
            words.earth, words.rcd
        )
    } else {
        format!("ask whether its neutral floats: then no {} drops on a first fault", words.rcd)
    });
    let step = heads.iter().map(|head| (apparent(network, *head) + start_on_top(network, *head), *head));
    if let Some((step, head)) = step.max_by(|a, b| a.0.total_cmp(b.0))
        && let Some(kva) = kva.filter(|kva| !takes_step(step, *kva, STEP_PERCENT))
    {
        notes.push(format!(
            "{} is one step of {} kVA, over {} % of it: ask whether the set takes that, or take the next size",
            network.head_id(head),
            number(step.0),
            number(100.0 * (step / kva).min(STEP_PERCENT / 100.0))
        ));
    }
    if let Some((one, other)) = touching(network, heads) {
        notes.push(format!(
            "{} stands within {} m of {}, which is on house power: two sources within reach of each other",
            network.head_id(one),
            number(TOUCH.0),
            network.head_id(other)
        ));
    }
    notes
}

/// A head on the set that can be touched together with one on house power.
fn touching(network: &Network, heads: &[HeadAt]) -> Option<(HeadAt, HeadAt)> {
    heads.iter().find_map(|one| {
        let both_on =
            |other: HeadAt| network.setups.iter().any(|(_, setup)| setup.is_on[*one] && setup.is_on[other]);
        let is_near = |other: HeadAt| {
            let metres = distance(&network.heads[*one].place, &network.heads[other].place);
            metres.is_some_and(|metres| !metres.is_over(TOUCH))
        };
        let others =
            network.heads.indices().filter(|other| !heads.contains(other) && other.get() != one.get());
        others.into_iter().find(|other| both_on(*other) && is_near(*other)).map(|other| (*one, other))
    })
}
