//! Supplies, RCDs, circuits and sockets.

use std::collections::HashMap;
use std::ops::Range;

use super::within;
use crate::file::check::Reading;
use crate::file::field::Fields;
use crate::file::problem::{quoted, told};
use crate::file::schema;
use crate::plan::{
    BaseLoad, Circuit, Curve, Earth, Fuel, HeldBy, Line, Measured, Ramp, Rcd, RcdClass, RcdKind, Socket,
    Supply, SupplyKind, TestOutcome, Wiring,
};
use crate::unit::{Amps, KiloVoltAmps, KiloWatts, Metres, MilliAmps, Ohms, Volts, Watts};

pub(super) fn supply(fields: &Fields) -> Option<Supply> {
    Some(Supply {
        kind: fields.word("kind", &SupplyKind::WORDS)?,
        wiring: fields.word("wiring", &Wiring::WORDS),
        volts: fields.number("volts").map(Volts),
        limit: fields.number("limit_a").map(Amps),
        contract: fields.number("contract_kw").map(KiloWatts),
        loop_impedance: fields.number("loop_ohm").map(Ohms),
        kwh: fields.number("kwh"),
        kw: fields.number("kw").map(KiloWatts),
        peak_kw: fields.number("peak_kw").map(KiloWatts),
        kva: fields.number("kva").map(KiloVoltAmps),
        earth: fields.word("earth", &Earth::WORDS),
        fuel: fields.word("fuel", &Fuel::WORDS),
        step_percent: fields.number("step_percent"),
        altitude: fields.number("altitude_m").map(Metres),
        per_day_cost: fields.number("per_day_cost"),
        room: fields.id("room"),
        at: fields.point("at"),
    })
}

pub(super) fn rcd(fields: &Fields) -> Rcd {
    Rcd {
        rated: fields.number("rated_ma").map(MilliAmps),
        kind: fields.word("kind", &RcdKind::WORDS),
        class: fields.word("class", &RcdClass::WORDS),
        behind: fields.id("behind"),
        poles: fields.whole("poles"),
        reserve: fields.number("reserve_ma").map(MilliAmps),
    }
}

pub(super) fn circuit(reading: &mut Reading<'_>, fields: &Fields) -> Circuit {
    let base = base(reading, fields);
    let measured = within(reading, fields, &schema::MEASURED, |_, fields| {
        Some(Measured { amps: Amps(fields.number("amps")?), setup: fields.id("setup")? })
    });
    Circuit {
        supply: fields.id("supply"),
        from: fields.id("from"),
        line: fields.word("line", &Line::WORDS),
        breaker: fields.number("breaker_a").map(Amps),
        curve: fields.word("curve", &Curve::WORDS),
        rcd: fields.id("rcd"),
        name: fields.text("name"),
        base,
        keep_on: fields.text("keep_on"),
        hours: fields.hours("hours"),
        held_by: fields.word("held_by", &HeldBy::WORDS),
        neutral_with: fields.id("neutral_with"),
        afci: fields.flag("afci"),
        dimmer: fields.number("dimmer_w").map(Watts),
        ring: fields.flag("ring"),
        reserve: fields.number("reserve_a").map(Amps),
        others: fields.flag("others"),
        measured: measured.into_iter().next(),
    }
}

fn base(reading: &mut Reading<'_>, fields: &Fields) -> Vec<BaseLoad> {
    let mut names: HashMap<String, Range<usize>> = HashMap::new();
    within(reading, fields, &schema::BASE, |reading, load| {
        let name = load.text("name");
        if let Some(name) = &name {
            let place = load.place_of("name");
            match names.get(name) {
                None => {
                    names.insert(name.clone(), place);
                }
                Some(first) => {
                    let first = first.clone();
                    reading.problems.error("base-load-twice", place, || {
                        told(
                            format!("{} has two base loads named {}", fields.owner, quoted(name)),
                            "Give each its own name: `CIRCUIT.name` has to mean one of them.",
                        )
                        .and(first, "the other one")
                    });
                }
            }
        }
        Some(BaseLoad {
            name,
            amps: Amps(load.number("amps")?),
            leak: load.leakage("leak_ma"),
            owner_can_switch_off: load.flag("owner_can_switch_off"),
        })
    })
}

pub(super) fn socket(reading: &mut Reading<'_>, fields: &Fields) -> Option<Socket> {
    let ramps = within(reading, fields, &schema::RAMP, ramp);
    Some(Socket {
        room: fields.id("room")?,
        at: fields.point("at"),
        outlet: fields.id("outlet"),
        ways: fields.whole("ways"),
        plate_limit: fields.number("plate_a").map(Amps),
        plate: fields.id("plate"),
        circuit: fields.id("circuit"),
        label: fields.text("label"),
        test: fields.word("test", &TestOutcome::WORDS),
        ramps,
        loop_impedance: fields.number("loop_ohm").map(Ohms),
        portable_rcd: fields.id("portable_rcd"),
        ban: fields.text("ban"),
    })
}

fn ramp(reading: &mut Reading<'_>, fields: &Fields) -> Option<Ramp> {
    let held = fields.number("held_ma")?;
    let tripped = fields.number("tripped_ma");
    if let Some(tripped) = tripped.filter(|tripped| *tripped <= held) {
        let (high, low) = (fields.place_of("tripped_ma"), fields.place_of("held_ma"));
        reading.problems.error("ramp-order", high, || {
            told(
                format!("{} tripped at {tripped} mA and held at {held} mA", fields.owner),
                "`held_ma` is the last step that held, `tripped_ma` the next one, at which it dropped: the second is the larger.",
            )
            .and(low, "the step that held")
        });
    }
    Some(Ramp {
        held: MilliAmps(held),
        tripped: tripped.filter(|tripped| *tripped > held).map(MilliAmps),
        off: fields.base_loads("off"),
        dropped: fields.id("dropped"),
        heads_on: fields.ids("heads_on"),
    })
}
