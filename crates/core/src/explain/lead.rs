//! Leads: the volts that arrive over them, and the metres that it takes.

use crate::assess::SetupUse;
use crate::network::{HeadAt, Link, Network};
use crate::plan::Load;

use super::{Explanation, Term, digits};

/// Volts that arrive at a head.
pub(super) fn volts(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    here.socket?;
    let node = &network.heads[head];
    let nominal = here.terminals.volts;
    let (ways, back) = if here.terminals.lines == 3 { (1.0, "") } else { (2.0, ", there and back") };
    let resistance = here.conductor * ways;
    let mut terms = vec![
        Term::new("volts at the socket V₀", format!("{} V", digits(nominal.0)), "nominal, supply and line"),
        Term::new("amps at those volts I₀", format!("{} A", digits(here.amps.0)), node.amps_origin().words()),
        Term::new(
            format!("its leads R{back}"),
            format!("{} Ω", digits(resistance.0)),
            "size and length, warm",
        ),
    ];
    for link in &here.links {
        let Link::Cable(cable) = link else { continue };
        let cable = &network.cables[*cable];
        let conductor = cable.conductor.map_or("unknown".to_owned(), |ohms| format!("{} Ω", digits(ohms.0)));
        terms.push(Term::new(
            format!("lead {}, {} m", cable.id, digits(cable.length.0)),
            format!("{conductor} a conductor"),
            "IEC 60228 class 5 at 70 °C, or NEC chapter 9 table 8",
        ));
    }
    let (formula, name) = match node.load {
        Load::Steady => ("V₀² = (V + I·R·λ)² + (I·R·√(1 − λ²))², I = I₀·V₀ / V", "constant power"),
        Load::Filament => ("V = V₀ − R·I, I = I₀·(V / V₀)^0.55", "filament"),
        Load::Resistive => ("V = V₀ − R·I, I = I₀·V / V₀", "resistive"),
    };
    if node.load == Load::Steady {
        terms.push(Term::new(
            "power factor λ",
            digits(node.power_factor.value),
            node.power_factor.origin.words(),
        ));
    }
    let Some(arriving) = here.arriving else {
        return Some(Explanation {
            title: format!("{}: its leads cannot bring what it asks for", node.id),
            formula: formula.to_owned(),
            worked: "no volts solve it: more current only loses more".to_owned(),
            terms,
            source: "Kirchhoff's law".to_owned(),
            caution: "A shorter or heavier lead.".to_owned(),
            ..Explanation::default()
        });
    };
    let amps = here.amps_at(node, nominal)?;
    Some(Explanation {
        title: format!("{} gets {} V", node.id, digits(arriving.0)),
        formula: format!("{formula} ({name})"),
        worked: format!(
            "{} A over {} Ω: {} V arrive of {} V, {} % is lost",
            digits(amps.0),
            digits(resistance.0),
            digits(arriving.0),
            digits(nominal.0),
            digits(here.drop_percent()?)
        ),
        terms,
        source: "Kirchhoff's law; IEC 60228 and NEC chapter 9 table 8; filament exponents IES, from memory"
            .to_owned(),
        caution: "The building's own wiring loses more: it is not in this number.".to_owned(),
        ..Explanation::default()
    })
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
