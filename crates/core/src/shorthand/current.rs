//! An entry as the plan has it, key by key: what a line changes is told from it.

use super::Subject;
use crate::edit::{Table, Value};
use crate::plan::{
    BaseLoad, BaseLoadRef, Block, Cable, Circuit, ConductorSize, Curve, Earth, EarthClass, Floor, Fuel, Head,
    HeldBy, LeakFrom, Line, Load, Plan, Point, Ramp, Rcd, RcdClass, RcdKind, Room, Setup, Socket, Spectrum,
    Supply, SupplyKind, TestOutcome, Trace, TraceMeans, Weather, Wiring,
};
use crate::unit::Leakage;

/// Keys with their values, in the order of the schema.
pub(super) type Keys = Vec<(&'static str, Value)>;

/// The entry of that id; empty where there is none.
pub(super) fn keys(plan: &Plan, subject: Subject, id: &str) -> Keys {
    let Some(table) = subject.table() else {
        let at = id.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        return at.and_then(|at| plan.traces.get(at)).map(trace).unwrap_or_default();
    };
    let found = match table {
        Table::Supply => plan.supplies.get(id).map(supply),
        Table::Rcd => plan.rcds.get(id).map(rcd),
        Table::Circuit => plan.circuits.get(id).map(circuit),
        Table::Floor => plan.floors.get(id).map(floor),
        Table::Room => plan.rooms.get(id).map(room),
        Table::Socket => plan.sockets.get(id).map(socket),
        Table::Head => plan.heads.get(id).map(head),
        Table::Cable => plan.cables.get(id).map(cable),
        Table::Block => plan.blocks.get(id).map(block),
        Table::Setup => plan.setups.get(id).map(setup),
    };
    found.unwrap_or_default()
}

#[derive(Default)]
struct Gathered(Keys);

impl Gathered {
    fn put(&mut self, key: &'static str, value: Option<Value>) {
        self.0.extend(value.map(|value| (key, value)));
    }

    fn number(&mut self, key: &'static str, value: Option<f64>) {
        self.put(key, value.map(Value::Number));
    }

    fn count(&mut self, key: &'static str, value: Option<u32>) {
        self.put(key, value.map(|value| Value::Whole(value.into())));
    }

    fn text(&mut self, key: &'static str, value: Option<&str>) {
        self.put(key, value.map(Value::text));
    }

    fn word<T: PartialEq>(&mut self, key: &'static str, words: &[(&'static str, T)], value: Option<&T>) {
        let word = value.and_then(|value| words.iter().find(|(_, other)| other == value));
        self.text(key, word.map(|(word, _)| *word));
    }

    fn flag(&mut self, key: &'static str, value: bool) {
        self.put(key, value.then_some(Value::Flag(true)));
    }

    fn leakage(&mut self, key: &'static str, value: Option<Leakage>) {
        self.put(key, value.map(leakage));
    }

    fn point(&mut self, key: &'static str, value: Option<Point>) {
        self.put(key, value.map(|at| Value::List(vec![Value::Number(at.x.0), Value::Number(at.y.0)])));
    }

    fn list<'a>(&mut self, key: &'static str, values: impl IntoIterator<Item = &'a str>) {
        let list = Value::texts(values);
        self.put(key, (list != Value::List(Vec::new())).then_some(list));
    }
}

fn leakage(value: Leakage) -> Value {
    if value.low.0.total_cmp(&value.high.0).is_eq() {
        return Value::Number(value.low.0);
    }
    Value::List(vec![Value::Number(value.low.0), Value::Number(value.high.0)])
}

fn supply(one: &Supply) -> Keys {
    let mut keys = Gathered::default();
    keys.word("kind", &SupplyKind::WORDS, Some(&one.kind));
    keys.word("wiring", &Wiring::WORDS, one.wiring.as_ref());
    keys.number("volts", one.volts.map(|volts| volts.0));
    keys.number("limit_a", one.limit.map(|amps| amps.0));
    keys.number("contract_kw", one.contract.map(|power| power.0));
    keys.number("loop_ohm", one.loop_impedance.map(|ohms| ohms.0));
    keys.number("kwh", one.kwh);
    keys.number("kw", one.kw.map(|power| power.0));
    keys.number("peak_kw", one.peak_kw.map(|power| power.0));
    keys.number("kva", one.kva.map(|power| power.0));
    keys.word("earth", &Earth::WORDS, one.earth.as_ref());
    keys.word("fuel", &Fuel::WORDS, one.fuel.as_ref());
    keys.number("step_percent", one.step_percent);
    keys.number("altitude_m", one.altitude.map(|metres| metres.0));
    keys.number("per_day_cost", one.per_day_cost);
    keys.text("room", one.room.as_ref().map(super::super::id::RoomId::as_str));
    keys.point("at", one.at);
    keys.0
}

fn rcd(one: &Rcd) -> Keys {
    let mut keys = Gathered::default();
    keys.number("rated_ma", one.rated.map(|rated| rated.0));
    keys.word("kind", &RcdKind::WORDS, one.kind.as_ref());
    keys.word("class", &RcdClass::WORDS, one.class.as_ref());
    keys.text("behind", one.behind.as_ref().map(super::super::id::RcdId::as_str));
    keys.count("poles", one.poles);
    keys.number("reserve_ma", one.reserve.map(|reserve| reserve.0));
    keys.0
}

fn circuit(one: &Circuit) -> Keys {
    let mut keys = Gathered::default();
    keys.text("supply", one.supply.as_ref().map(super::super::id::SupplyId::as_str));
    keys.text("from", one.from.as_ref().map(super::super::id::SocketId::as_str));
    keys.word("line", &Line::WORDS, one.line.as_ref());
    keys.number("breaker_a", one.breaker.map(|amps| amps.0));
    keys.word("curve", &Curve::WORDS, one.curve.as_ref());
    keys.text("rcd", one.rcd.as_ref().map(super::super::id::RcdId::as_str));
    keys.text("name", one.name.as_deref());
    let base: Vec<Value> = one.base.iter().map(base_load).collect();
    keys.put("base", (!base.is_empty()).then_some(Value::List(base)));
    keys.text("keep_on", one.keep_on.as_deref());
    let hours = one.hours.map(|hours| [hours.from.to_string(), hours.until.to_string()]);
    keys.put("hours", hours.map(|[from, until]| Value::texts([&*from, &*until])));
    keys.word("held_by", &HeldBy::WORDS, one.held_by.as_ref());
    keys.text("neutral_with", one.neutral_with.as_ref().map(super::super::id::CircuitId::as_str));
    keys.flag("afci", one.afci);
    keys.number("dimmer_w", one.dimmer.map(|watts| watts.0));
    keys.flag("ring", one.ring);
    keys.number("reserve_a", one.reserve.map(|amps| amps.0));
    keys.flag("others", one.others);
    let measured = one.measured.as_ref().map(|measured| {
        Value::Table(vec![
            ("amps".to_owned(), Value::Number(measured.amps.0)),
            ("setup".to_owned(), Value::text(measured.setup.as_str())),
        ])
    });
    keys.put("measured", measured);
    keys.0
}

/// A base load as the file has it.
pub(super) fn base_load(load: &BaseLoad) -> Value {
    let mut keys = Gathered::default();
    keys.text("name", load.name.as_deref());
    keys.number("amps", Some(load.amps.0));
    keys.leakage("leak_ma", load.leak);
    keys.flag("owner_can_switch_off", load.owner_can_switch_off);
    table(keys)
}

fn table(keys: Gathered) -> Value {
    Value::Table(keys.0.into_iter().map(|(key, value)| (key.to_owned(), value)).collect())
}

/// A ramp test as the file has it.
pub(super) fn ramp(ramp: &Ramp) -> Value {
    let mut keys = Gathered::default();
    keys.number("held_ma", Some(ramp.held.0));
    keys.number("tripped_ma", ramp.tripped.map(|step| step.0));
    let off: Vec<String> = ramp.off.iter().map(written).collect();
    keys.list("off", off.iter().map(String::as_str));
    keys.text("dropped", ramp.dropped.as_ref().map(super::super::id::RcdId::as_str));
    keys.list("heads_on", ramp.heads_on.iter().map(super::super::id::HeadId::as_str));
    table(keys)
}

/// `CIRCUIT.name`
pub(super) fn written(load: &BaseLoadRef) -> String {
    format!("{}.{}", load.circuit, load.name)
}

fn floor(one: &Floor) -> Keys {
    let mut keys = Gathered::default();
    keys.put("level", Some(Value::Whole(one.level.into())));
    keys.text("name", one.name.as_deref());
    keys.0
}

fn room(one: &Room) -> Keys {
    let mut keys = Gathered::default();
    keys.text("floor", Some(one.floor.as_str()));
    keys.text("name", one.name.as_deref());
    let area = one.area.map(|area| [area.corner.x.0, area.corner.y.0, area.width.0, area.depth.0]);
    keys.put("box", area.map(|area| Value::List(area.into_iter().map(Value::Number).collect())));
    keys.flag("wet", one.wet);
    keys.flag("outdoor", one.outdoor);
    keys.0
}

fn socket(one: &Socket) -> Keys {
    let mut keys = Gathered::default();
    keys.text("room", Some(one.room.as_str()));
    keys.point("at", one.at);
    keys.text("outlet", one.outlet.as_ref().map(super::super::id::OutletId::as_str));
    keys.count("ways", one.ways);
    keys.number("plate_a", one.plate_limit.map(|amps| amps.0));
    keys.text("plate", one.plate.as_ref().map(super::super::id::PlateId::as_str));
    keys.text("circuit", one.circuit.as_ref().map(super::super::id::CircuitId::as_str));
    keys.text("label", one.label.as_deref());
    keys.word("test", &TestOutcome::WORDS, one.test.as_ref());
    let ramps: Vec<Value> = one.ramps.iter().map(ramp).collect();
    keys.put("ramp", (!ramps.is_empty()).then_some(Value::List(ramps)));
    keys.number("loop_ohm", one.loop_impedance.map(|ohms| ohms.0));
    keys.text("portable_rcd", one.portable_rcd.as_ref().map(super::super::id::RcdId::as_str));
    keys.text("ban", one.ban.as_deref());
    keys.0
}

fn head(one: &Head) -> Keys {
    let mut keys = Gathered::default();
    keys.text("class", one.class.as_ref().map(super::super::id::ClassId::as_str));
    keys.text("name", one.name.as_deref());
    keys.number("watts", one.watts.map(|watts| watts.0));
    keys.number("pf", one.power_factor);
    keys.flag("leading", one.leading);
    keys.number("amps", one.amps.map(|amps| amps.0));
    keys.number("volts", one.volts.map(|volts| volts.0));
    keys.leakage("leak_ma", one.leak);
    keys.leakage("idle_ma", one.idle);
    keys.leakage("strike_ma", one.strike);
    keys.word("leak_from", &LeakFrom::WORDS, one.leak_from.as_ref());
    keys.number("start_a", one.start.map(|amps| amps.0));
    keys.number("start_min", one.start_minutes.map(|minutes| minutes.0));
    keys.number("inrush_a", one.inrush.map(|amps| amps.0));
    keys.number("inrush_ms", one.inrush_ms);
    keys.number("restrike_min", one.restrike.map(|minutes| minutes.0));
    keys.word("load", &Load::WORDS, one.load.as_ref());
    keys.word("spectrum", &Spectrum::WORDS, one.spectrum.as_ref());
    keys.text("plug", one.plug.as_ref().map(super::super::id::OutletId::as_str));
    keys.number("fuse_a", one.fuse.map(|amps| amps.0));
    let class = one.earth_class.map(|class| match class {
        EarthClass::I => 1,
        EarthClass::II => 2,
        EarthClass::III => 3,
    });
    keys.count("earth_class", class);
    keys.text("room", one.room.as_ref().map(super::super::id::RoomId::as_str));
    keys.point("at", one.at);
    keys.number("tail_m", one.tail.map(|metres| metres.0));
    keys.text("socket", one.placement.as_ref().map(|placement| placement.socket.as_str()));
    keys.list(
        "leads",
        one.placement.iter().flat_map(|placement| &placement.leads).map(super::super::id::LeadId::as_str),
    );
    keys.flag("pinned", one.pinned);
    keys.count("importance", one.importance);
    keys.0
}

fn cable(one: &Cable) -> Keys {
    let mut keys = Gathered::default();
    keys.number("length_m", Some(one.length.0));
    match one.size {
        ConductorSize::SquareMillimetres(area) => keys.number("mm2", Some(area)),
        ConductorSize::Gauge(gauge) => keys.put("awg", Some(Value::Whole(gauge.into()))),
    }
    keys.text("plug", one.plug.as_ref().map(super::super::id::OutletId::as_str));
    keys.number("rated_a", one.rated.map(|amps| amps.0));
    keys.count("count", one.count);
    keys.number("reel_rated_a", one.reel_rated.map(|amps| amps.0));
    keys.flag("on_reel", one.on_reel);
    keys.number("fuse_a", one.fuse.map(|amps| amps.0));
    keys.0
}

fn block(one: &Block) -> Keys {
    let mut keys = Gathered::default();
    keys.text("plug", one.plug.as_ref().map(super::super::id::OutletId::as_str));
    keys.count("ways", one.ways);
    keys.number("rated_a", one.rated.map(|amps| amps.0));
    keys.number("fuse_a", one.fuse.map(|amps| amps.0));
    keys.count("count", one.count);
    keys.0
}

fn setup(one: &Setup) -> Keys {
    let mut keys = Gathered::default();
    keys.text("name", one.name.as_deref());
    keys.text("start", one.start.map(|start| start.to_string()).as_deref());
    keys.number("minutes", Some(one.minutes.0));
    keys.put("on", Some(Value::texts(one.on.iter().map(super::super::id::HeadId::as_str))));
    keys.list("strike", one.strike.iter().map(super::super::id::HeadId::as_str));
    let off: Vec<String> = one.base_off.iter().map(written).collect();
    keys.list("base_off", off.iter().map(String::as_str));
    keys.word("weather", &Weather::WORDS, one.weather.as_ref());
    keys.0
}

/// A trace as the file has it.
pub(super) fn trace(one: &Trace) -> Keys {
    let mut keys = Gathered::default();
    let key = match one.means {
        TraceMeans::SwitchedOff => "off",
        TraceMeans::RampDropped => "ramp_dropped",
    };
    keys.text(key, Some(one.device.as_str()));
    keys.list("also_off", one.also_off.iter().map(super::super::id::DeviceId::as_str));
    keys.list("dead", one.dead.iter().map(super::super::id::SocketId::as_str));
    keys.list("live", one.live.iter().map(super::super::id::SocketId::as_str));
    keys.0
}
