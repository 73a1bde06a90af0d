//! Setups, traces and trips.

use indexmap::IndexMap;

use super::{by_head, gear};
use crate::file::check::Reading;
use crate::file::field::{Fields, fields};
use crate::file::problem::{quoted, told};
use crate::file::schema;
use crate::id::HeadId;
use crate::plan::{Placement, Reset, Setup, Trace, TraceMeans, Trip, Weather};
use crate::unit::Minutes;

pub(super) fn setup(reading: &mut Reading<'_>, fields: &Fields) -> Option<Setup> {
    let sockets = overrides(reading, fields);
    Some(Setup {
        name: fields.text("name"),
        start: fields.clock("start"),
        minutes: Minutes(fields.number("minutes")?),
        on: fields.ids("on"),
        strike: fields.ids("strike"),
        sockets,
        base_off: fields.base_loads("base_off"),
        weather: fields.word("weather", &Weather::WORDS),
    })
}

fn overrides(reading: &mut Reading<'_>, setup: &Fields) -> IndexMap<HeadId, Option<Placement>> {
    let mut found = IndexMap::new();
    for (head, table) in by_head(reading, setup) {
        let owner = format!("{} of {}", quoted(&format!("sockets.{head}")), setup.owner);
        let fields = fields(reading, &schema::OVERRIDE, table, owner);
        let placement = gear::placement(reading, &fields);
        // Unplugged only where nothing stands there: a broken override is not one.
        let is_empty = !fields.has("socket") && !fields.has("leads");
        if placement.is_some() || is_empty {
            found.insert(HeadId::from(head.as_str()), placement);
        }
    }
    found
}

pub(super) fn trace(reading: &mut Reading<'_>, fields: &Fields) -> Option<Trace> {
    dead_and_live(reading, fields);
    let by_hand = fields.id("off").map(|device| (device, TraceMeans::SwitchedOff));
    let (device, means) = by_hand.or_else(|| {
        let device = fields.id("ramp_dropped")?;
        Some((device, TraceMeans::RampDropped))
    })?;
    Some(Trace {
        device,
        means,
        also_off: fields.ids("also_off"),
        dead: fields.ids("dead"),
        live: fields.ids("live"),
    })
}

/// A socket was dead or it was live.
fn dead_and_live(reading: &mut Reading<'_>, fields: &Fields) {
    let dead: std::collections::HashSet<String> = fields.ids::<String>("dead").into_iter().collect();
    let both = fields.ids::<String>("live").into_iter().find(|id| dead.contains(id));
    let Some(socket) = both else {
        return;
    };
    let (first, second) = (fields.place_of("dead"), fields.place_of("live"));
    reading.problems.error("dead-and-live", second, || {
        told(
            format!("{} has socket `{socket}` dead and live", fields.owner),
            "Take it out of one of the two lists.",
        )
        .and(first, "dead here")
    });
}

pub(super) fn trip(fields: &Fields) -> Trip {
    Trip {
        at: fields.text("at"),
        device: fields.id("device"),
        setup: fields.id("setup"),
        last_struck: fields.id("last_struck"),
        after: fields.number("after_min").map(Minutes),
        reset: fields.word("reset", &Reset::WORDS),
    }
}
