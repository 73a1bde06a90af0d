//! The tables and their keys.

use super::Kind::{
    Area, BaseLoads, Choice, Clock, Entries, Flag, Hours, Id, Ids, Moment, Number, Point, Range, Table,
    Tables, Text, Whole, WholeOf,
};
use super::Need::{Optional, Required};
use super::Repeats::{Allowed, Refused};
use super::Use::{Later, Now};
use super::{Both, Bounds, Either, Key, Kind, TableSchema, Target, Unit};
use crate::library::RegionCode;
use crate::plan::{
    Board, Curve, Earth, Fuel, HeldBy, LeakFrom, Line, Load, RcdClass, RcdKind, Reset, SupplyKind,
    TestOutcome, Weather, Wiring,
};

/// The words of a closed list, as the plan's types give them.
const fn words<T, const N: usize>(pairs: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut at = 0;
    while at < N {
        words[at] = pairs[at].0;
        at += 1;
    }
    words
}

/// The named spectra.
pub const SPECTRUM_WORDS: [&str; 3] = ["linear", "corrected", "capacitor"];

const fn bounds(unit: Unit, low: f64, high: f64) -> Bounds {
    Bounds { unit, low, high }
}

const fn number(unit: Unit, low: f64, high: f64) -> Kind {
    Number(bounds(unit, low, high))
}

/// A rating of a breaker, fuse, plug or lead.
const RATING: Kind = number(Unit::Amps, 0.5, 1000.0);
/// What something draws.
const DRAW: Kind = number(Unit::Amps, 0.001, 1000.0);
const LEAKAGE: Kind = Range(bounds(Unit::MilliAmps, 0.0, 1000.0));
const STEP: Kind = number(Unit::MilliAmps, 0.0, 1000.0);
const VOLTS: Kind = number(Unit::Volts, 50.0, 500.0);
const POWER: Kind = number(Unit::KiloWatts, 0.05, 10_000.0);
const OHMS: Kind = number(Unit::Ohms, 0.001, 10_000.0);
const SHORT_TIME: Kind = number(Unit::Minutes, 0.0, 1440.0);
const COUNT: Kind = Whole(1, 1000);

const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, need: Optional, doc, use_of: Now }
}

const fn required(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, need: Required, doc, use_of: Now }
}

const fn later(name: &'static str, kind: Kind, doc: &'static str, waits_for: &'static str) -> Key {
    Key { name, kind, need: Optional, doc, use_of: Later(waits_for) }
}

const RINGS: &str = "the two ways round a ring";
const COSTS: &str = "costs on the producer's page";

/// A circuit has a supply, or it comes from a socket.
static FED: Either = Either {
    keys: &["supply", "from"],
    none: (
        "neither `supply` nor `from`",
        "Add `supply = …`, the id of what feeds it, or `from = …`, the socket that its distribution box is plugged into.",
    ),
    both: Some(Both {
        code: "supply-and-from",
        message: "a `supply` and comes `from` a socket",
        remedy: "Keep one of the two: `from` for what hangs on a distribution box that is plugged into a socket.",
        first: "the supply",
    }),
};

/// What a head draws is known from its class, its nameplate or a clamp.
static LOADED: Either = Either {
    keys: &["class", "amps", "watts"],
    none: ("neither a `class` nor `amps` nor `watts`", "Add a class of the library, or what it draws."),
    both: None,
};

/// A lead has one size.
static SIZED: Either = Either {
    keys: &["mm2", "awg"],
    none: (
        "no size",
        "Add `mm2 = …`, the cross-section of a conductor, or `awg = …`: it is printed on the sheath.",
    ),
    both: Some(Both {
        code: "size-twice",
        message: "its size in `mm2` and in `awg`",
        remedy: "Keep the one that is printed on it.",
        first: "the other size",
    }),
};

/// A trace is of one device.
static OFF: Either = Either {
    keys: &["off", "ramp_dropped"],
    none: (
        "neither `off` nor `ramp_dropped`",
        "Add `off = …`, the circuit or RCD that was switched off, or `ramp_dropped = …`.",
    ),
    both: Some(Both {
        code: "two-devices",
        message: "`off` and `ramp_dropped`",
        remedy: "Make two traces of it: one for each device.",
        first: "the other device",
    }),
};

/// The top of the file.
pub static PLAN: TableSchema = TableSchema {
    name: "",
    noun: "plan",
    doc: "One location.",
    either: None,
    keys: &[
        required("ampwalk", Whole(1, u32::MAX as i64), "Version of the format: 1."),
        required("location", Table(&LOCATION), "The place itself."),
        key("supply", Entries(&SUPPLY, Target::Supply), "Where the power comes from."),
        key("rcd", Entries(&RCD, Target::Rcd), "Residual-current devices."),
        key("circuit", Entries(&CIRCUIT, Target::Circuit), "Circuits, each behind one breaker or fuse."),
        key("floor", Entries(&FLOOR, Target::Floor), "Floors."),
        key("room", Entries(&ROOM, Target::Room), "Rooms, and places outdoors."),
        key("socket", Entries(&SOCKET, Target::Socket), "Sockets."),
        key("head", Entries(&HEAD, Target::Head), "Heads: anything that is plugged in."),
        key("cable", Entries(&CABLE, Target::Cable), "Types of lead on the truck."),
        key("block", Entries(&BLOCK, Target::Block), "Types of splitter on the truck."),
        key("setup", Entries(&SETUP, Target::Setup), "Setups."),
        key("trace", Tables(&TRACE), "What went dead when something was switched off."),
        key("trip", Tables(&TRIP), "What tripped, and when."),
    ],
};

/// `[location]`
pub static LOCATION: TableSchema = TableSchema {
    name: "location",
    noun: "location",
    doc: "The place: region, weather and the board.",
    either: None,
    keys: &[
        key("name", Text, "What the crew calls it."),
        required(
            "region",
            Choice(&words(&RegionCode::WORDS)),
            "Sets volts, hertz, words, outlets and rules.",
        ),
        key("weather", Choice(&words(&Weather::WORDS)), "Dry if omitted; a setup may say its own."),
        key(
            "board",
            Choice(&words(&Board::WORDS)),
            "Whether the board was found; not found if omitted. Until it is, no ramp or breaker test is proposed.",
        ),
        key("board_key", Text, "Who has the board's key, and how long that takes."),
        key(
            "ambient_c",
            number(Unit::Celsius, -40.0, 70.0),
            "Temperature around the board and the generator; 25 for a generator if omitted.",
        ),
        key("stair", Point, "Where runs between floors go."),
    ],
};

/// `[supply.ID]`
pub static SUPPLY: TableSchema = TableSchema {
    name: "supply",
    noun: "supply",
    doc: "Where power comes from: the house, a generator, a battery station.",
    either: None,
    keys: &[
        required("kind", Choice(&words(&SupplyKind::WORDS)), "What it is."),
        key(
            "wiring",
            Choice(&words(&Wiring::WORDS)),
            "One line; two legs at 180 degrees; three lines and neutral. One if omitted.",
        ),
        key("volts", VOLTS, "Line to neutral; the region's if omitted."),
        key(
            "limit_a",
            number(Unit::Amps, 1.0, 10_000.0),
            "A line's limit: main switch, service fuse, or the generator's breaker; of a generator by its kva if omitted, else no limit known.",
        ),
        key("contract_kw", POWER, "Metered contract."),
        key("loop_ohm", OHMS, "Earth-fault loop up to the board."),
        key("kwh", number(Unit::KiloWattHours, 0.01, 10_000.0), "Energy in a battery station."),
        key("kw", POWER, "Real power that it gives for as long as it lasts; by its kva if omitted."),
        key("peak_kw", POWER, "Real power that a battery station gives for moments."),
        key("kva", number(Unit::KiloVoltAmps, 0.05, 10_000.0), "Apparent power of a generator."),
        key("earth", Choice(&words(&Earth::WORDS)), "Whether its neutral is bonded to earth."),
        key("fuel", Choice(&words(&Fuel::WORDS)), "What a generator burns; diesel if omitted."),
        key(
            "step_percent",
            number(Unit::Percent, 1.0, 100.0),
            "Largest step of load that a generator takes, of its rating.",
        ),
        key("altitude_m", number(Unit::Metres, -500.0, 6000.0), "Height above the sea; 0 if omitted."),
        later(
            "per_day_cost",
            number(Unit::Money, 0.0, 1e9),
            "Cost of hire for a day, in the location's money.",
            COSTS,
        ),
        key("room", Id(Target::Room), "Where it stands."),
        key("at", Point, "Where on that room's floor it stands."),
    ],
};

/// `[rcd.ID]`
pub static RCD: TableSchema = TableSchema {
    name: "rcd",
    noun: "RCD",
    doc: "A residual-current device.",
    either: None,
    keys: &[
        key(
            "rated_ma",
            number(Unit::MilliAmps, 1.0, 3000.0),
            "Rated residual operating current; the region's or its class's usual one if omitted.",
        ),
        key("kind", Choice(&words(&RcdKind::WORDS)), "Which shapes of residual current it sees."),
        key("class", Choice(&words(&RcdClass::WORDS)), "Which band it trips in; the region's if omitted."),
        key("behind", Id(Target::Rcd), "Another RCD upstream."),
        key("poles", WholeOf(&[2, 4]), "Poles."),
        key("reserve_ma", STEP, "What others behind it may leak."),
    ],
};

/// `[circuit.ID]`
pub static CIRCUIT: TableSchema = TableSchema {
    name: "circuit",
    noun: "circuit",
    doc: "A circuit behind one breaker or fuse. It has a `supply`, or it comes `from` a socket.",
    either: Some(&FED),
    keys: &[
        key("supply", Id(Target::Supply), "The supply that feeds it."),
        key(
            "from",
            Id(Target::Socket),
            "The socket that a distribution box is plugged into, instead of a supply.",
        ),
        key(
            "line",
            Choice(&words(&Line::WORDS)),
            "Its line or lines; L1 if omitted where there is one only.",
        ),
        key(
            "breaker_a",
            RATING,
            "Rating of its breaker or fuse; the region's smallest usual one if omitted.",
        ),
        key("curve", Choice(&words(&Curve::WORDS)), "Trip curve; the region's if omitted."),
        key("rcd", Id(Target::Rcd), "The nearest RCD; none known if omitted."),
        key("name", Text, "What the board calls it."),
        key("base", Tables(&BASE), "What the house has on it."),
        key("keep_on", Text, "Why it must not be switched off or ramp-tested."),
        key("hours", Hours, "When it is live."),
        key("held_by", Choice(&words(&HeldBy::WORDS)), "What else holds it on."),
        key("neutral_with", Id(Target::Circuit), "A circuit that shares its neutral."),
        key("afci", Flag, "Whether it is behind an arc-fault breaker."),
        key("dimmer_w", number(Unit::Watts, 1.0, 400_000.0), "Rating of a dimmer that feeds it."),
        later("ring", Flag, "Whether it is a ring.", RINGS),
        key("reserve_a", number(Unit::Amps, 0.0, 1000.0), "What others on it may draw."),
        key("others", Flag, "Somebody else draws from it, nobody knows how much."),
        key("measured", Table(&MEASURED), "A clamp reading: tracing sets it against what the plan adds up."),
    ],
};

/// `base = [{ … }]` of a circuit
pub static BASE: TableSchema = TableSchema {
    name: "base",
    noun: "base load",
    doc: "Something of the house's on a circuit.",
    either: None,
    keys: &[
        key("name", Text, "What it is; `CIRCUIT.name` refers to it."),
        required("amps", number(Unit::Amps, 0.0, 1000.0), "What it draws."),
        key("leak_ma", LEAKAGE, "What it leaks; counted as 0, assumed, if omitted."),
        key("owner_can_switch_off", Flag, "Whether its owner agreed that it may be off."),
    ],
};

/// `measured = { … }` of a circuit
pub static MEASURED: TableSchema = TableSchema {
    name: "measured",
    noun: "clamp reading",
    doc: "A clamp reading on a circuit.",
    either: None,
    keys: &[
        required("amps", number(Unit::Amps, 0.0, 1000.0), "What the clamp said."),
        required("setup", Id(Target::Setup), "In which setup."),
    ],
};

/// `[floor.ID]`
pub static FLOOR: TableSchema = TableSchema {
    name: "floor",
    noun: "floor",
    doc: "A floor of the building.",
    either: None,
    keys: &[
        required("level", Whole(-20, 200), "0 is the ground floor."),
        key("name", Text, "What the crew calls it."),
    ],
};

/// `[room.ID]`
pub static ROOM: TableSchema = TableSchema {
    name: "room",
    noun: "room",
    doc: "A room, or a place outdoors.",
    either: None,
    keys: &[
        required("floor", Id(Target::Floor), "The floor that it is on."),
        key("name", Text, "What the crew calls it."),
        key("box", Area, "Its outline; without one it is listed, not drawn."),
        key("wet", Flag, "Bathroom, laundry, pool side."),
        key("outdoor", Flag, "Outdoors."),
    ],
};

/// `[socket.ID]`
pub static SOCKET: TableSchema = TableSchema {
    name: "socket",
    noun: "socket",
    doc: "A socket: one kind of outlet with one or more ways, and what the testers said of it.",
    either: None,
    keys: &[
        required("room", Id(Target::Room), "Where it is."),
        key("at", Point, "Where on that room's floor."),
        key("outlet", Id(Target::Outlet), "Kind of outlet; the region's everyday one if omitted."),
        key("ways", COUNT, "How many plugs it takes; 1 if omitted."),
        key("plate_a", RATING, "What its plate carries in all."),
        key("plate", Id(Target::Plate), "Outlets of one plate share its id."),
        key("circuit", Id(Target::Circuit), "The circuit that a test proved; untraced if omitted."),
        key("label", Text, "What the wall or the board says: not evidence."),
        key(
            "test",
            Choice(&words(&TestOutcome::WORDS)),
            "What the polarity tester said; untested if omitted.",
        ),
        key("ramp", Tables(&RAMP), "Ramp tests made here."),
        key("loop_ohm", OHMS, "Earth-fault loop measured here."),
        key("portable_rcd", Id(Target::Rcd), "A plug-in RCD that sits in it."),
        key("ban", Text, "Why it is not to be used."),
    ],
};

/// `ramp = { … }` of a socket
pub static RAMP: TableSchema = TableSchema {
    name: "ramp",
    noun: "ramp test",
    doc: "One ramp test: rising steps until the RCD drops.",
    either: None,
    keys: &[
        required("held_ma", STEP, "The last step that held; 0 where the first one tripped."),
        key(
            "tripped_ma",
            number(Unit::MilliAmps, 0.1, 3000.0),
            "The first step that tripped; not reached if omitted.",
        ),
        key("off", BaseLoads, "Base loads that were off at the test."),
        key("dropped", Id(Target::Rcd), "The RCD that dropped; the nearest if omitted."),
        key("heads_on", Ids(Target::Head, Refused), "Heads that were on at the test."),
    ],
};

/// `[head.ID]`
pub static HEAD: TableSchema = TableSchema {
    name: "head",
    noun: "head",
    doc: "Anything that is plugged in. A key that is given beats the class's.",
    either: Some(&LOADED),
    keys: &[
        key("class", Id(Target::Class), "Class in the library."),
        key("name", Text, "What the crew calls it."),
        key("watts", number(Unit::Watts, 0.1, 400_000.0), "Watts at the plug; the class's if omitted."),
        key(
            "pf",
            number(Unit::Factor, 0.05, 1.0),
            "Power factor, the whole one; the class's if omitted, 1 without a class.",
        ),
        key("leading", Flag, "Whether its current leads the voltage."),
        key("amps", DRAW, "Running amps, measured; from watts, pf and volts if omitted."),
        key("volts", VOLTS, "What it is built for; its socket's if omitted."),
        key("leak_ma", LEAKAGE, "Standing leakage while lit; the class's if omitted, 0 without a class."),
        key(
            "idle_ma",
            LEAKAGE,
            "Leakage while plugged in but dark; the class's if omitted, 0 without a class.",
        ),
        key(
            "strike_ma",
            LEAKAGE,
            "Extra leakage while it strikes, on top of the standing one; the class's if omitted, 0 without a class.",
        ),
        key("leak_from", Choice(&words(&LeakFrom::WORDS)), "Where its leakage comes from."),
        key(
            "start_a",
            number(Unit::Amps, 0.001, 10_000.0),
            "Amps in all while it runs up; by its class if omitted, the running ones without a class.",
        ),
        key("start_min", SHORT_TIME, "How long it runs up; the class's if omitted."),
        key(
            "inrush_a",
            number(Unit::Amps, 0.001, 100_000.0),
            "Peak amps at switch-on; the class's if omitted.",
        ),
        key(
            "inrush_ms",
            number(Unit::Milliseconds, 0.001, 10_000.0),
            "How long that peak lasts; of a filament, until it is under five times its running amps.",
        ),
        key(
            "restrike_min",
            SHORT_TIME,
            "Minutes that it stays dark when it loses power hot; the class's if omitted, 0 without a class.",
        ),
        key(
            "load",
            Choice(&words(&Load::WORDS)),
            "How its amps move with the volts; steady if omitted and without a class.",
        ),
        key("spectrum", Kind::Spectrum, "Its harmonics; the class's if omitted, linear without a class."),
        key("plug", Id(Target::Outlet), "Its plug; the region's everyday one if omitted."),
        key("fuse_a", RATING, "Fuse fitted in its plug; the one that such plugs come with if omitted."),
        key(
            "earth_class",
            WholeOf(&[1, 2, 3]),
            "Protection class against shock; the class's if omitted, 1 without a class.",
        ),
        key("room", Id(Target::Room), "Where it stands."),
        key("at", Point, "Where on that room's floor."),
        key("tail_m", number(Unit::Metres, 0.0, 1000.0), "Its own mains tail; 0 if omitted."),
        key("socket", Id(Target::Socket), "Where it is plugged in; not placed if omitted."),
        key("leads", Ids(Target::Lead, Allowed), "Cable types and blocks from the truck, wall first."),
        key("pinned", Flag, "Not to be moved by the program."),
        key("importance", Whole(1, 9), "What to keep if not everything fits; 5 if omitted."),
    ],
};

/// `[cable.ID]`
pub static CABLE: TableSchema = TableSchema {
    name: "cable",
    noun: "cable",
    doc: "A type of lead on the truck. Its size is `mm2` or `awg`.",
    either: Some(&SIZED),
    keys: &[
        required("length_m", number(Unit::Metres, 0.1, 1000.0), "From plug to outlet."),
        key("mm2", number(Unit::SquareMillimetres, 0.5, 400.0), "Cross-section of a conductor."),
        key("awg", Whole(-3, 20), "American wire gauge; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3."),
        key(
            "plug",
            Id(Target::Outlet),
            "Its plug, and the outlet at its other end; the region's everyday one if omitted.",
        ),
        key("rated_a", RATING, "Printed rating."),
        key("count", COUNT, "How many the truck has; no limit known if omitted."),
        key("reel_rated_a", RATING, "Printed rating while wound on its reel."),
        key("on_reel", Flag, "Whether it cannot be unwound here."),
        key("fuse_a", RATING, "Fuse in its plug."),
    ],
};

/// `[block.ID]`
pub static BLOCK: TableSchema = TableSchema {
    name: "block",
    noun: "block",
    doc: "A type of splitter on the truck: several heads on one outlet.",
    either: None,
    keys: &[
        key(
            "plug",
            Id(Target::Outlet),
            "Its plug, and the kind of its outlets; the region's everyday one if omitted.",
        ),
        key("ways", COUNT, "How many heads it takes; 1 if omitted."),
        key("rated_a", RATING, "What it carries in all."),
        key("fuse_a", RATING, "Fuse in its plug."),
        key("count", COUNT, "How many the truck has; no limit known if omitted."),
    ],
};

/// `[setup.ID]`
pub static SETUP: TableSchema = TableSchema {
    name: "setup",
    noun: "setup",
    doc: "Which heads burn, when and for how long.",
    either: None,
    keys: &[
        key("name", Text, "What the crew calls it."),
        key("start", Clock, "When it starts."),
        required("minutes", number(Unit::Minutes, 1.0, 10_080.0), "How long the heads burn."),
        required("on", Ids(Target::Head, Refused), "The heads that are on."),
        key("strike", Ids(Target::Head, Refused), "An order that the crew insists on."),
        key(
            "sockets",
            Entries(&OVERRIDE, Target::Head),
            "Where this setup differs, by head; an empty table: unplugged for this setup.",
        ),
        key("base_off", BaseLoads, "Base loads that their owner has switched off for it."),
        key("weather", Choice(&words(&Weather::WORDS)), "Its own weather; the location's if omitted."),
    ],
};

/// `sockets = { HEAD = { … } }` of a setup
pub static OVERRIDE: TableSchema = TableSchema {
    name: "sockets",
    noun: "placement",
    doc: "Where a head is plugged in for one setup; empty: nowhere.",
    either: None,
    keys: &[
        key("socket", Id(Target::Socket), "Where it is plugged in."),
        key("leads", Ids(Target::Lead, Allowed), "Cable types and blocks from the truck, wall first."),
    ],
};

/// `[[trace]]`
pub static TRACE: TableSchema = TableSchema {
    name: "trace",
    noun: "trace",
    doc: "A circuit or RCD went off, by hand (`off`) or by a ramp test (`ramp_dropped`), and which sockets went with it.",
    either: Some(&OFF),
    keys: &[
        key("off", Id(Target::Breakable), "What was switched off."),
        key("ramp_dropped", Id(Target::Breakable), "What a ramp test dropped."),
        key("also_off", Ids(Target::Breakable, Refused), "What was off at the same time."),
        key("dead", Ids(Target::Socket, Refused), "Sockets that went dead."),
        key("live", Ids(Target::Socket, Refused), "Sockets that stayed live."),
    ],
};

/// `[[trip]]`
pub static TRIP: TableSchema = TableSchema {
    name: "trip",
    noun: "trip",
    doc: "What tripped, and when.",
    either: None,
    keys: &[
        key("at", Moment, "Local date and time."),
        key("device", Id(Target::Device), "What dropped."),
        key("setup", Id(Target::Setup), "In which setup."),
        key("last_struck", Id(Target::Head), "The head struck last before it."),
        key("after_min", number(Unit::Minutes, 0.0, 100_000.0), "Minutes since switch-on."),
        key("reset", Choice(&words(&Reset::WORDS)), "What a reset did."),
    ],
};
