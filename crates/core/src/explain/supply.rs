//! Numbers of a supply.

use crate::assess::SetupUse;
use crate::network::{At, Network, SupplyAt, SupplyNode};
use crate::physics::generator::rated_power;
use crate::physics::harmonic::lost_neutral as without_neutral;
use crate::physics::phasor::{LineCurrents, unit_voltage};
use crate::plan::{Fuel, SupplyKind, Wiring, word_of};
use crate::unit::Watts;

use super::{Explanation, Term, digits};

/// Names of the line conductors.
const LINES: [&str; 3] = ["L1", "L2", "L3"];

/// The volts a line is at, and how many times the power counts where lines are summed.
fn lines_words(wiring: Wiring) -> &'static str {
    match wiring {
        Wiring::One => "one line and neutral",
        Wiring::Split => "two legs, half a turn apart",
        Wiring::Star => "three lines, a third of a turn apart",
    }
}

/// Amps of its busiest line.
pub(super) fn line(network: &Network, used: &SetupUse, supply: SupplyAt) -> Option<Explanation> {
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    let (busiest, amps) = here.busiest();
    let mut terms: Vec<Term> = node
        .lines()
        .map(|line| Term::new(LINES[line], format!("{} A", digits(here.lines[line].amps().0)), "phasor sum"))
        .collect();
    for line in node.lines().filter(|line| here.possible[*line].0 > 0.0) {
        terms.push(Term::new(
            format!("{} more, perhaps", LINES[line]),
            format!("{} A", digits(here.possible[line].0)),
            "untraced sockets",
        ));
    }
    terms.push(Term::new("wiring", lines_words(node.wiring.value), node.wiring.origin.words()));
    terms.push(Term::new("volts", format!("{} V", digits(node.volts.value.0)), node.volts.origin.words()));
    if let Some(limit) = node.limit {
        terms.push(Term::new("limit a line", format!("{} A", digits(limit.value.0)), limit.origin.words()));
    }
    Some(Explanation {
        title: format!("{} on {}: {} A", node.id, LINES[busiest], digits(amps.0)),
        formula: "|Σ I·e^(−jφ)| over heads and base loads, φ = arccos λ".to_owned(),
        worked: match node.limit {
            Some(limit) => format!(
                "{} A of {} A, {} %",
                digits(amps.0),
                digits(limit.value.0),
                digits(100.0 * (amps / limit.value))
            ),
            None => format!("{} A; its limit is not known", digits(amps.0)),
        },
        terms,
        source: "phasors at the fundamental; base loads at power factor 1, assumed".to_owned(),
        ..Explanation::default()
    })
}

/// Amps of its neutral, order by order; nothing to tell where it carries what the one line does.
pub(super) fn neutral(network: &Network, used: &SetupUse, supply: SupplyAt) -> Option<Explanation> {
    const ORDERS: [u32; 8] = [1, 3, 5, 7, 9, 11, 13, 15];
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    if node.lines().len() < 2 {
        return None;
    }
    let neutral = here.orders.neutral();
    let mut terms: Vec<Term> = node
        .lines()
        .map(|line| {
            Term::new(LINES[line], format!("{} A", digits(here.orders.lines()[line].0)), "with its harmonics")
        })
        .collect();
    for order in ORDERS {
        let amps = here.orders.neutral_of_order(order);
        if amps.0 < 5e-4 {
            continue;
        }
        let (what, why) = match (order, order % 3) {
            (1, _) => ("the fundamental".to_owned(), "phasor sum of the lines"),
            (_, 0) => (format!("harmonic {order}"), "on a star it adds, line by line"),
            _ => (format!("harmonic {order}"), "phasor sum of the lines"),
        };
        terms.push(Term::new(what, format!("{} A", digits(amps.0)), why));
    }
    Some(Explanation {
        title: format!("{} of {}: {} A", network.region.words.neutral, node.id, digits(neutral.0)),
        formula: "√(Σ over orders of |phasor sum of the lines' currents of that order|²)".to_owned(),
        worked: format!("{} A; wiring: {}", digits(neutral.0), lines_words(node.wiring.value)),
        terms,
        source: "symmetrical components by order; spectra of classes typical, from memory".to_owned(),
        caution: "No breaker sees the neutral.".to_owned(),
        ..Explanation::default()
    })
}

/// Apparent and real power.
pub(super) fn power(network: &Network, used: &SetupUse, supply: SupplyAt) -> Option<Explanation> {
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    let volts = node.volts.value;
    let apparent = here.orders.apparent_power(volts);
    let mut terms: Vec<Term> = node
        .lines()
        .map(|line| {
            let amps = here.orders.lines()[line];
            Term::new(
                LINES[line],
                format!("{} A · {} V", digits(amps.0), digits(volts.0)),
                "rms with harmonics",
            )
        })
        .collect();
    terms.push(Term::new(
        "real power",
        format!("{} kW", digits(here.kw.0)),
        "Σ V·I·λ of heads and base loads",
    ));
    if let Some(contract) = node.contract {
        terms.push(Term::new("metered contract", format!("{} kW", digits(contract.0)), "from the plan"));
    }
    Some(Explanation {
        title: format!("{}: {} kVA, {} kW", node.id, digits(apparent.0), digits(here.kw.0)),
        formula: "Σ over lines of V·I, I rms with its harmonics".to_owned(),
        worked: format!(
            "{} kVA, of which {} kW is real: {} in all",
            digits(apparent.0),
            digits(here.kw.0),
            if apparent.0 > 0.0 { digits(here.kw.0 / apparent.0) } else { "nothing".to_owned() }
        ),
        terms,
        source: "IEEE 1459, arithmetic apparent power: what the windings must carry".to_owned(),
        ..Explanation::default()
    })
}

/// What is left of the rating of a generator or battery station.
pub(super) fn rating(network: &Network, used: &SetupUse, supply: SupplyAt) -> Option<Explanation> {
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    let rating = network.set_rating(supply)?;
    let (_, plan) = network.plan.supplies.get_index(supply.get())?;
    let load = here.orders.apparent_power(node.volts.value);
    let said = |said: bool| if said { "from the plan" } else { "default, assumed" };
    let mut terms = Vec::new();
    if let Some(kva) = plan.kva {
        terms.push(Term::new("plate", format!("{} kVA", digits(kva.0)), "from the plan"));
    }
    match (plan.kw, plan.kva) {
        (Some(kw), _) => terms.push(Term::new("plate", format!("{} kW", digits(kw.0)), "from the plan")),
        (None, Some(kva)) => terms.push(Term::new(
            "real power of the plate",
            format!("{} kW", digits(rated_power(kva, node.wiring.value).0)),
            "0.8 of kVA on three lines, else all of it, assumed",
        )),
        (None, None) => return None,
    }
    if let Some(fuel) = rating.fuel {
        terms.push(Term::new("fuel", word_of(&Fuel::WORDS, &fuel), said(plan.fuel.is_some())));
        terms.push(Term::new(
            "height",
            format!("{} m", digits(rating.altitude.0)),
            said(plan.altitude.is_some()),
        ));
        let air = network.plan.location.ambient.is_some();
        terms.push(Term::new("air", format!("{} °C", digits(rating.air.0)), said(air)));
    }
    terms.push(Term::new("load", format!("{} kVA, {} kW", digits(load.0), digits(here.kw.0)), "summed"));
    let told = |value: Option<f64>, unit: &str| value.map(|value| format!("{} {unit}", digits(value)));
    let left: Vec<String> = told(rating.kva.map(|kva| kva.0), "kVA")
        .into_iter()
        .chain(told(rating.kw.map(|kw| kw.0), "kW"))
        .collect();
    let is_engine = node.kind == SupplyKind::Generator;
    Some(Explanation {
        title: format!("{} has {}", node.id, left.join(", ")),
        formula: if is_engine {
            "plate · α, α = 1.175·k − 0.175, k = (p / 100 kPa)^m · (298 K / T)^n, at most 1"
        } else {
            "as on its plate"
        }
        .to_owned(),
        worked: format!("{} of its plate is left: {}", digits(rating.left), left.join(", ")),
        terms,
        source: if is_engine {
            "ISO 3046-1, mechanical efficiency 0.8, dry air; plan to 80 %: common practice, no source"
        } else {
            "the plate"
        }
        .to_owned(),
        caution: "A hired set is what its plate and its service say. Test it under load before the take."
            .to_owned(),
        ..Explanation::default()
    })
}

/// Volts on each line if the neutral broke.
pub(super) fn lost_neutral(network: &Network, used: &SetupUse, supply: SupplyAt) -> Option<Explanation> {
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    if node.lines().len() < 2 {
        return None;
    }
    let watts = line_watts(node, &here.lines);
    let lost = without_neutral(node.wiring.value, node.volts.value, watts)?;
    let terms = node
        .lines()
        .map(|line| Term::new(LINES[line], format!("{} W", digits(watts[line].0)), "real power of the line"))
        .chain([Term::new(
            "volts with a whole neutral",
            format!("{} V", digits(node.volts.value.0)),
            node.volts.origin.words(),
        )])
        .collect();
    let on: Vec<String> =
        node.lines().map(|line| format!("{} {} V", LINES[line], digits(lost.lines[line].0))).collect();
    Some(Explanation {
        title: format!("If the {} of {} broke: {}", network.region.words.neutral, node.id, on.join(", ")),
        formula: "point = Σ V·G / Σ G, G = P / V²; each line gets its volts less the point's".to_owned(),
        worked: format!("the point would float at {} V: {}", digits(lost.floating_point.0), on.join(", ")),
        terms,
        source: "Millman's theorem; loads taken as resistances".to_owned(),
        caution:
            "It is no overload and no breaker sees it: some lights brighter, others dimmer. Main switch \
                  off, then a licensed electrician."
                .to_owned(),
        ..Explanation::default()
    })
}

/// Real power that each line gives: the part of its current that is in phase with its voltage.
fn line_watts(node: &SupplyNode, currents: &LineCurrents) -> [Watts; 3] {
    [0, 1, 2].map(|line| {
        let (voltage, current) = (unit_voltage(node.wiring.value, line), currents[line]);
        let in_phase = voltage.real * current.real + voltage.imaginary * current.imaginary;
        Watts((node.volts.value.0 * in_phase).max(0.0))
    })
}
