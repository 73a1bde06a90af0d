//! Leads: the volts that arrive over them, and the metres that it takes.

use crate::assess::{Assessment, HeadUse, SetupUse};
use crate::network::{HeadAt, HeadNode, Link, Network, SetupAt};
use crate::physics::filament::RATED_COLOUR;
use crate::plan::Load;
use crate::rule::HeadScope;
use crate::rule::earth_loop::earth_loop;
use crate::rule::scope::Context;
use crate::unit::Ohms;

use super::{Explanation, Term, digits};

/// Volts that arrive at a head.
pub(super) fn volts(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    here.socket?;
    let node = &network.heads[head];
    let (mut formula, name) = match node.load {
        Load::Steady => ("V₀² = (V + I·R·λ)² + (I·R·√(1 − λ²))², I = I₀·V₀ / V", "constant power"),
        Load::Filament => ("V = V₀ − R·I, I = I₀·(V / V₀)^0.55", "filament"),
        Load::Resistive => ("V = V₀ − R·I, I = I₀·V / V₀", "resistive"),
    };
    if here.shared.is_some() {
        formula = "V₀ less R·I of each lead on the way, I of all that hang on it, solved together";
    }
    let explanation = Explanation {
        formula: formula.to_owned(),
        terms: terms(network, here, node),
        ..Explanation::default()
    };
    let Some(conductor) = here.conductor else {
        return Some(Explanation {
            title: format!("{}: nobody knows what arrives", node.id),
            worked: "the resistance of one of its leads is not known: its size is below the tables"
                .to_owned(),
            source: "IEC 60228 class 5 begins at 0.5 mm², NEC chapter 9 table 8 at 18 AWG".to_owned(),
            caution: "A heavier lead.".to_owned(),
            ..explanation
        });
    };
    let (Some(arriving), Some(amps), Some(lost)) =
        (here.arriving, here.amps_arriving(node), here.drop_percent())
    else {
        return Some(Explanation {
            title: format!("{}: its leads cannot bring what is asked of them", node.id),
            worked: "no volts solve it: more current only loses more".to_owned(),
            source: "Kirchhoff's law".to_owned(),
            caution: "A shorter or heavier lead.".to_owned(),
            ..explanation
        });
    };
    let light = match (here.light_percent(node), here.colour(node)) {
        (Some(light), Some(colour)) => {
            format!("; {} % of its light is left, at {} K", digits(light), digits(colour.0))
        }
        _ => String::new(),
    };
    Some(Explanation {
        title: format!("{} gets {} V", node.id, digits(arriving.0)),
        formula: format!("{formula} ({name})"),
        worked: format!(
            "{} A over {} Ω: {} V arrive of {} V, {} % is lost{light}",
            digits(amps.0),
            digits((conductor * here.terminals.ways()).0),
            digits(arriving.0),
            digits(here.terminals.volts.0),
            digits(lost)
        ),
        source: "Kirchhoff's law; IEC 60228 and NEC chapter 9 table 8; filament exponents IES, from memory"
            .to_owned(),
        caution: "The building's own wiring loses more: it is not in this number.".to_owned(),
        ..explanation
    })
}

/// What the volts that arrive come from.
fn terms(network: &Network, here: &HeadUse, node: &HeadNode) -> Vec<Term> {
    let back = if here.terminals.lines == 3 { "" } else { ", there and back" };
    let nominal = here.terminals.volts;
    let ohms = |ohms: Option<Ohms>| ohms.map_or("unknown".to_owned(), |ohms| format!("{} Ω", digits(ohms.0)));
    let resistance = here.conductor.map(|conductor| conductor * here.terminals.ways());
    let mut terms = vec![
        Term::new("volts at the socket V₀", format!("{} V", digits(nominal.0)), "nominal, supply and line"),
        Term::new("amps at those volts I₀", format!("{} A", digits(here.amps.0)), node.amps_origin().words()),
        Term::new(format!("its leads R{back}"), ohms(resistance), "size and length, warm"),
    ];
    for link in &here.links {
        let Link::Cable(cable) = link else { continue };
        let cable = &network.cables[*cable];
        terms.push(Term::new(
            format!("lead {}, {} m", cable.id, digits(cable.length.0)),
            format!("{} a conductor", ohms(cable.conductor)),
            "IEC 60228 class 5 at 70 °C, or NEC chapter 9 table 8",
        ));
    }
    if let Some(shared) = here.shared {
        terms.push(Term::new(
            "heads that share its plug in the wall",
            shared.with.to_string(),
            "from the plan",
        ));
    }
    if node.load == Load::Steady {
        let power_factor = node.power_factor;
        terms.push(Term::new("power factor λ", digits(power_factor.value), power_factor.origin.words()));
    }
    if node.load == Load::Filament {
        let colour = format!("{} K", digits(RATED_COLOUR.0));
        terms.push(Term::new("colour on its rated volts", colour, "typical, assumed"));
    }
    terms
}

/// Metres of lead that a head takes.
pub(super) fn needed(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    let socket = here.socket?;
    let needed = here.lead_needed?;
    let (node, wall) = (&network.heads[head], &network.sockets[socket]);
    let (from, to) = (wall.place.at?, node.place.at?);
    let point = |point: crate::plan::Point| format!("({}, {}) m", digits(point.x.0), digits(point.y.0));
    let mut terms = vec![
        Term::new(format!("{} at", wall.id), point(from), "from the plan"),
        Term::new(format!("{} at", node.id), point(to), "from the plan"),
        Term::new("its own tail", format!("{} m", digits(node.tail.0)), "from the plan"),
    ];
    if let Some(stair) = network.plan.location.stair
        && wall.place.level != node.place.level
    {
        terms.push(Term::new("stair at", point(stair), "from the plan"));
    }
    Some(Explanation {
        title: format!("Lead from {} to {}: {} m", wall.id, node.id, digits(needed.0)),
        formula:
            "|Δx| + |Δy|, between floors by the stair and 4 m a level, + 2 m for the ends, less the tail"
                .to_owned(),
        worked: format!("{} m; the leads given are {} m", digits(needed.0), digits(here.lead.0)),
        terms,
        source: "along the walls; the 4 m and 2 m are ours, from memory".to_owned(),
        caution: "Walk it: doors and furniture make it longer.".to_owned(),
        ..Explanation::default()
    })
}

/// The earth-fault loop where it is worst between the wall and a head.
pub(super) fn earth_fault_loop(
    network: &Network,
    assessment: &Assessment,
    setup: SetupAt,
    head: HeadAt,
) -> Option<Explanation> {
    let used = assessment.setups.get(setup)?.heads[head].as_ref()?;
    let context = Context { network, setup, setups: &assessment.setups, dropped: None };
    let found = earth_loop(&HeadScope { context, head, used })?;
    let mut terms: Vec<Term> = used
        .links
        .iter()
        .filter_map(|link| {
            let Link::Cable(cable) = link else { return None };
            let cable = &network.cables[*cable];
            let both = cable.conductor? * 2.0;
            Some(Term::new(
                format!("lead {}, there and back", cable.id),
                format!("{} Ω", digits(both.0)),
                "size and length, warm",
            ))
        })
        .collect();
    let origin = if found.assumed { "usual here, assumed" } else { "rating in the plan" };
    terms.push(Term::new(
        format!("{} allows", found.device),
        format!("{} Ω", digits(found.largest.0)),
        origin,
    ));
    Some(Explanation {
        title: format!("Earth-fault loop at {}: {} Ω", found.at, digits(found.ohms.0)),
        formula: "loop of the building + 2·R of the leads, against volts / instant trip current".to_owned(),
        worked: format!(
            "{} Ω of {} Ω: the breaker or fuse {}",
            digits(found.ohms.0),
            digits(found.largest.0),
            if found.ohms.is_over(found.largest) { "does not drop at once" } else { "drops at once" }
        ),
        terms,
        source: "BS 7671 Table 41.3 (upper magnetic bound, Cmin 0.95) or AS/NZS 3000 Table 8.1 (mean trip \
                 current)"
            .to_owned(),
        caution: "Measured cold, a loop is larger warm. An RCD that was tested that day is what protects."
            .to_owned(),
        ..Explanation::default()
    })
}
