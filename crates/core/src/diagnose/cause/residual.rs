//! Causes of a trip in which an RCD dropped.

use crate::assess::{RcdUse, steps};
use crate::network::{HeadAt, Network, RcdAt};
use crate::physics::residual::{Outcome, Room, odds, outcome};
use crate::plan::{Reset, Weather};
use crate::rule::words::{list, number, pair};
use crate::unit::MilliAmps;

use super::{Case, Cause, Kind, Likelihood, STRIKING, is_in_the_rain};
use crate::diagnose::device::{Lost, names};

/// RCD down, breakers up.
pub(super) fn leakage(case: &Case<'_>) -> Vec<Cause> {
    let mut causes = Vec::new();
    for lost in &case.trip.lost {
        if let Lost::Rcd(rcd) = lost {
            causes.extend(by_design(case, *rcd));
            causes.extend(own_loads(case, *rcd));
        }
    }
    causes.extend(head_fault(case));
    causes.extend(water(case));
    causes.push(wiring(case));
    causes
}

/// What leaks by design: while the last head strikes, or while all burn.
fn by_design(case: &Case<'_>, rcd: RcdAt) -> Option<Cause> {
    let used = &case.assessment.setups[case.trip.setup].rcds[rcd];
    let node = &case.network.rcds[rcd];
    let is_striking = case.trip.after.is_none_or(|after| !after.is_over(STRIKING));
    let step = case.last().filter(|_| is_striking).and_then(|last| {
        let all = steps(case.network, &case.assessment.setups[case.trip.setup]);
        let step = all.into_iter().find(|step| step.head == last)?;
        Some((last, step.rcds.iter().find(|part| part.rcd == rcd)?.striking.possible))
    });
    let (peak, what) = match step {
        Some((last, peak)) if case.network.heads[last].strike.value.high > MilliAmps::ZERO => {
            (peak, format!("{} leaks while striking", case.id(last)))
        }
        Some((last, peak)) => (peak, format!("{} on top of what leaks", case.id(last))),
        None if used.heads.is_empty() && used.possible_heads.is_empty() => return None,
        None => (used.possible_standing, "the heads leak together".to_owned()),
    };
    let room = used.room.room;
    let likelihood = match outcome(peak, room) {
        Outcome::Trips => Likelihood::Likely,
        Outcome::MayTrip if odds(peak, room) >= 0.5 => Likelihood::Likely,
        Outcome::MayTrip => Likelihood::Possible,
        Outcome::Holds => Likelihood::Unlikely,
    };
    // With the heads off nothing of theirs leaks any more.
    let again = case.trip.reset == Reset::DidNotHold;
    let likelihood = if again { Likelihood::Unlikely } else { likelihood };
    let evidence = if again {
        "it dropped again with the heads off".to_owned()
    } else {
        held(peak, used, node.id.as_str())
    };
    let remedy = format!("leave it off; strike it behind another {}", case.network.region.words.rcd);
    Some(Cause::new(Kind::Leakage, likelihood, what, evidence, remedy))
}

/// `13.5 mA, RA held 10`
fn held(peak: MilliAmps, used: &RcdUse, id: &str) -> String {
    let Room { low, high } = used.room.room;
    let (peak, held) = pair(peak.0, low.0);
    let up_to =
        high.filter(|high| *high != low).map_or(String::new(), |high| format!(" to {}", number(high.0)));
    if used.room.tested {
        format!("{peak} mA, {id} has room for {held}{up_to} by the ramp test")
    } else {
        format!("{peak} mA, {id} has room for {held}{up_to} by its rating, assumed")
    }
}

/// A fault in the head that was struck last, or in its lead.
fn head_fault(case: &Case<'_>) -> Option<Cause> {
    let last = case.last()?;
    let id = case.id(last);
    let holds = case.trip.lost.iter().all(|lost| match lost {
        Lost::Rcd(rcd) => {
            let used = &case.assessment.setups[case.trip.setup].rcds[*rcd];
            outcome(used.possible_peak, used.room.room) == Outcome::Holds
        }
        _ => false,
    });
    let (likelihood, evidence) = match case.trip.reset {
        Reset::Held => (Likelihood::Likely, format!("the reset held without {id}")),
        Reset::DidNotHold => (Likelihood::Unlikely, format!("it dropped again, {id} unplugged")),
        Reset::NotTried if holds => {
            (Likelihood::Likely, "by the numbers the device holds: something leaks more".to_owned())
        }
        Reset::NotTried => (Likelihood::Possible, "a plan cannot see it".to_owned()),
    };
    let remedy = "leave both off; a competent person tests them before they are used again";
    Some(Cause::new(Kind::HeadFault, likelihood, format!("a fault in {id} or its lead"), evidence, remedy))
}

fn water(case: &Case<'_>) -> Option<Cause> {
    if case.trip.weather != Weather::Rain {
        return None;
    }
    let wet: Vec<HeadAt> = case
        .parts
        .dark
        .iter()
        .copied()
        .filter(|head| is_in_the_rain(case.network, case.trip, *head))
        .collect();
    if wet.is_empty() {
        return None;
    }
    let ids = list(wet.iter().map(|head| case.network.head_id(*head)));
    let evidence = format!("it rains, and {ids} stand or are plugged in outdoors");
    let remedy = "leave them off; nobody touches a wet plug that may be live";
    Some(Cause::new(Kind::Water, Likelihood::Likely, "water in a head or joint", evidence, remedy))
}

/// The house's own loads behind the RCD.
fn own_loads(case: &Case<'_>, rcd: RcdAt) -> Option<Cause> {
    let loads = loads(case.network, case, rcd);
    if loads.is_empty() {
        return None;
    }
    let id = case.network.rcd_id(rcd);
    let (likelihood, evidence) = match case.trip.reset {
        Reset::DidNotHold => (Likelihood::Likely, format!("behind {id}, and it dropped without the heads")),
        Reset::Held | Reset::NotTried => (Likelihood::Possible, format!("behind {id} as well")),
    };
    Some(Cause::new(
        Kind::House,
        likelihood,
        list(loads),
        evidence,
        "its owner may switch it off; note it, and on again",
    ))
}

/// The base loads behind an RCD that are on, by name and circuit.
fn loads(network: &Network, case: &Case<'_>, rcd: RcdAt) -> Vec<String> {
    let off = &network.setups[case.trip.setup].base_off;
    let mut names = Vec::new();
    for circuit in &network.rcds[rcd].darkens {
        for (place, load) in network.circuits[*circuit].base.iter().enumerate() {
            if let Some(name) = load.name.as_ref().filter(|_| !off.contains(&(*circuit, place))) {
                names.push(format!("{name} on {}", network.circuit_id(*circuit)));
            }
        }
    }
    names
}

/// A fault of the house, or a neutral that touches earth: heads off do not cure it.
fn wiring(case: &Case<'_>) -> Cause {
    let (likelihood, evidence) = match case.trip.reset {
        Reset::DidNotHold => (Likelihood::Likely, "it does not hold with the heads unplugged"),
        Reset::Held => (Likelihood::Unlikely, "it held with the heads unplugged"),
        Reset::NotTried => (Likelihood::Possible, "likely if it does not hold with all unplugged"),
    };
    Cause::new(
        Kind::House,
        likelihood,
        format!(
            "the house's own fault, or {} to {}",
            case.network.region.words.neutral, case.network.region.words.earth
        ),
        evidence,
        "leave it off, tell the owner; a licensed electrician finds it",
    )
}

/// Breaker and RCD both.
pub(super) fn earth_fault(case: &Case<'_>) -> Vec<Cause> {
    let network = case.network;
    let went = names(network, &case.trip.lost);
    let words = &network.region.words;
    let what = format!("{} to {} in a head, a lead or the wall", words.active, words.earth);
    let evidence = format!("{went} went together: a breaker opens on many amps only");
    let remedy = "no reset; unplug every head of it; a licensed electrician finds the fault";
    let mut causes = vec![Cause::new(Kind::EarthFault, Likelihood::Likely, what, evidence, remedy)];
    causes.extend(water(case));
    causes.push(Cause::new(
        Kind::Unknown,
        Likelihood::Unlikely,
        "two trips at once",
        "an overload and a leakage in one moment would be chance",
        "treat it as the fault above",
    ));
    causes
}
