//! Heads, leads and splitters.

use crate::file::check::Reading;
use crate::file::field::Fields;
use crate::file::problem::told;
use crate::plan::{Block, Cable, ConductorSize, EarthClass, Head, LeakFrom, Load, Placement};
use crate::unit::{Amps, Metres, Minutes, Volts, Watts};

pub(super) fn head(reading: &mut Reading<'_>, fields: &Fields) -> Head {
    Head {
        class: fields.id("class"),
        name: fields.text("name"),
        watts: fields.number("watts").map(Watts),
        power_factor: fields.number("pf"),
        leading: fields.flag("leading"),
        amps: fields.number("amps").map(Amps),
        volts: fields.number("volts").map(Volts),
        leak: fields.leakage("leak_ma"),
        idle: fields.leakage("idle_ma"),
        strike: fields.leakage("strike_ma"),
        leak_from: fields.word("leak_from", &LeakFrom::WORDS),
        start: fields.number("start_a").map(Amps),
        start_minutes: fields.number("start_min").map(Minutes),
        inrush: fields.number("inrush_a").map(Amps),
        inrush_ms: fields.number("inrush_ms"),
        restrike: fields.number("restrike_min").map(Minutes),
        load: fields.word("load", &Load::WORDS),
        spectrum: fields.spectrum("spectrum"),
        plug: fields.id("plug"),
        fuse: fields.number("fuse_a").map(Amps),
        earth_class: fields.whole("earth_class").and_then(EarthClass::from_number),
        room: fields.id("room"),
        at: fields.point("at"),
        tail: fields.number("tail_m").map(Metres),
        placement: placement(reading, fields),
        pinned: fields.flag("pinned"),
        importance: fields.whole("importance"),
    }
}

/// Where something is plugged in. Leads lead nowhere without a socket.
pub(super) fn placement(reading: &mut Reading<'_>, fields: &Fields) -> Option<Placement> {
    if fields.has("leads") && !fields.has("socket") {
        reading.problems.error("leads-without-socket", fields.place_of("leads"), || {
            told(
                format!("{} has `leads` and no `socket`", fields.owner),
                "Add `socket = …`, where the first lead is plugged in, or take `leads` out.",
            )
        });
    }
    Some(Placement { socket: fields.id("socket")?, leads: fields.ids("leads") })
}

pub(super) fn cable(fields: &Fields) -> Option<Cable> {
    let metric = fields.number("mm2").map(ConductorSize::SquareMillimetres);
    let size = metric.or_else(|| fields.whole("awg").map(ConductorSize::Gauge))?;
    Some(Cable {
        length: Metres(fields.number("length_m")?),
        size,
        plug: fields.id("plug"),
        rated: fields.number("rated_a").map(Amps),
        count: fields.whole("count"),
        reel_rated: fields.number("reel_rated_a").map(Amps),
        on_reel: fields.flag("on_reel"),
        fuse: fields.number("fuse_a").map(Amps),
    })
}

pub(super) fn block(fields: &Fields) -> Block {
    Block {
        plug: fields.id("plug"),
        ways: fields.whole("ways"),
        rated: fields.number("rated_a").map(Amps),
        fuse: fields.number("fuse_a").map(Amps),
        count: fields.whole("count"),
    }
}
