//! The grammar: which parts a line of each kind may have, how each is written and what it gives.

use super::{Context, Found, Subject, circuit, gear, place, ramp, setup, socket};
use crate::edit::Table;

/// A part that a line may have.
#[derive(Debug)]
pub struct Form {
    /// How it is written, by examples.
    pub written: &'static str,
    /// What it says.
    pub says: &'static str,
    pub(super) how: How,
}

/// A word and the word of the file that it stands for.
pub(super) type Synonym = (&'static str, &'static str);

/// How a part is read.
#[derive(Debug)]
pub(super) enum How {
    /// The entry's own id.
    Id,
    /// A number with the unit of the key.
    Unit(&'static str),
    /// A number, with or without the unit of the key.
    Bare(&'static str),
    /// A word, then the value of the key.
    Led(&'static [&'static str], &'static str),
    /// A sign, then the value of the key.
    Sign(char, &'static str),
    /// A word of the key's own, or another one for it.
    Words(&'static str, &'static [Synonym]),
    /// Words that make the key true.
    Flag(&'static str, &'static [&'static str]),
    /// The id or name of what the key names.
    Ref(&'static str),
    /// One more of what the key lists.
    Item(&'static str),
    /// What stands in quotes and names nothing.
    Quoted(&'static str),
    /// A way of its own.
    Own(fn(&Context<'_>, usize) -> Found),
    /// A way of its own, for words that nothing else knows.
    Late(fn(&Context<'_>, usize) -> Found),
    /// Tells of a sign that belongs to another part, or to every line.
    Told,
}

const fn form(written: &'static str, says: &'static str, how: How) -> Form {
    Form { written, says, how }
}

/// The parts of a line about `subject`.
#[must_use]
pub fn forms(subject: Subject) -> &'static [Form] {
    match subject {
        Subject::Entry(Table::Supply) => &SUPPLY,
        Subject::Entry(Table::Rcd) => &RCD,
        Subject::Entry(Table::Circuit) => &CIRCUIT,
        Subject::Entry(Table::Floor) => &FLOOR,
        Subject::Entry(Table::Room) => &ROOM,
        Subject::Entry(Table::Socket) => &SOCKET,
        Subject::Entry(Table::Head) => &HEAD,
        Subject::Entry(Table::Cable) => &CABLE,
        Subject::Entry(Table::Block) => &BLOCK,
        Subject::Entry(Table::Setup) => &SETUP,
        Subject::Ramp => &RAMP,
        Subject::Trace => &TRACE,
    }
}

/// What something is called, without quotes.
const NAME: How = How::Led(&["name", "called"], "name");

static SUPPLY: [Form; 19] = [
    form("house", "its id", How::Id),
    form(
        "mains generator battery",
        "what it is; gen, genny and station will do",
        How::Words(
            "kind",
            &[
                ("gen", "generator"),
                ("genny", "generator"),
                ("genset", "generator"),
                ("grid", "mains"),
                ("station", "battery"),
            ],
        ),
    ),
    form(
        "one split star",
        "how its lines stand to each other; 1ph and 3ph will do",
        How::Words(
            "wiring",
            &[
                ("1ph", "one"),
                ("single-phase", "one"),
                ("3ph", "star"),
                ("three-phase", "star"),
                ("split-phase", "split"),
            ],
        ),
    ),
    form("63A", "limit of a line", How::Unit("limit_a")),
    form("6.5kVA", "apparent power of a generator", How::Unit("kva")),
    form("3kW", "contract of mains; real power of a generator or battery", How::Own(place::kilowatts)),
    form("contract 3", "metered contract", How::Led(&["contract"], "contract_kw")),
    form("peak 3", "what a battery station gives for moments", How::Led(&["peak"], "peak_kw")),
    form("2kWh", "energy of a battery station", How::Unit("kwh")),
    form("230V", "line to neutral", How::Unit("volts")),
    form("petrol diesel", "what it burns", How::Words("fuel", &[("gasoline", "petrol"), ("gas", "petrol")])),
    form("floating bonded", "its neutral", How::Words("earth", &[])),
    form("loop 0.35", "earth-fault loop up to the board", How::Led(&["loop", "ze"], "loop_ohm")),
    form("step 50", "largest step of load, percent", How::Led(&["step"], "step_percent")),
    form("altitude 1200", "height above the sea", How::Led(&["altitude", "height"], "altitude_m")),
    form("cost 180", "hire for a day", How::Led(&["cost"], "per_day_cost")),
    form("yard", "the room where it stands", How::Ref("room")),
    form("@20,-4", "where in that room's floor", How::Own(place::at)),
    form("kw 5.2", "real power", How::Led(&["kw"], "kw")),
];

static RCD: [Form; 8] = [
    form("RA", "its id", How::Id),
    form("30mA 30", "rating", How::Bare("rated_ma")),
    form(
        "rcd gfci portable",
        "which band it trips in; gfi and elcb will do",
        How::Words("class", &[("gfi", "gfci"), ("rccb", "rcd"), ("elcb", "rcd"), ("plug-in", "portable")]),
    ),
    form(
        "AC A F B",
        "which currents it sees",
        How::Words("kind", &[("type-ac", "AC"), ("type-a", "A"), ("type-f", "F"), ("type-b", "B")]),
    ),
    form(
        "type A",
        "the same, where the letter alone would be something else",
        How::Led(&["type", "kind"], "kind"),
    ),
    form("behind R0", "another RCD upstream", How::Led(&["behind"], "behind")),
    form("4p 2p", "poles", How::Own(place::poles)),
    form("reserve 2", "what others behind it may leak", How::Led(&["reserve"], "reserve_ma")),
];

static CIRCUIT: [Form; 20] = [
    form("P2", "its id", How::Id),
    form("house", "the supply", How::Ref("supply")),
    form("from X32", "the socket that its distribution box is plugged into", How::Led(&["from"], "from")),
    form(
        "L1 L1-L2",
        "its line or lines",
        How::Words(
            "line",
            &[("l12", "L1-L2"), ("l23", "L2-L3"), ("l13", "L1-L3"), ("l123", "L1-L2-L3"), ("l1+l2", "L1-L2")],
        ),
    ),
    form("C20 B16 20A 20", "breaker, with its curve if known", How::Own(circuit::breaker)),
    form(
        "B C D ul gg rewirable",
        "the curve alone",
        How::Words("curve", &[("fuse", "gg"), ("fusewire", "rewirable")]),
    ),
    form("RA", "the nearest RCD", How::Ref("rcd")),
    form("keep tills", "why it must stay on", How::Led(&["keep", "keep-on"], "keep_on")),
    form("reserve 3", "amps that others on it may draw", How::Led(&["reserve"], "reserve_a")),
    form("others", "somebody draws from it, nobody knows how much", How::Flag("others", &["others"])),
    form("dimmer 600", "watts of a dimmer that feeds it", How::Led(&["dimmer"], "dimmer_w")),
    form("afci", "an arc-fault breaker", How::Flag("afci", &["afci"])),
    form("ring", "a ring", How::Flag("ring", &["ring"])),
    form(
        "key card, sensor",
        "what else holds it on",
        How::Words(
            "held_by",
            &[
                ("key-card", "key card"),
                ("keycard", "key card"),
                ("movement-sensor", "movement sensor"),
                ("sensor", "movement sensor"),
                ("pir", "movement sensor"),
            ],
        ),
    ),
    form("06:00-22:00", "when it is live", How::Own(circuit::hours)),
    form(
        "neutral P3",
        "a circuit that shares its neutral",
        How::Led(&["neutral", "neutral-with"], "neutral_with"),
    ),
    form("clamp 14.2 day", "a clamp reading, and in which setup", How::Own(circuit::clamp)),
    form("\"ground west\"", "what the board calls it", How::Quoted("name")),
    form("name West", "the same without quotes", NAME),
    form(
        "fridge 0.65A 8mA, fridge* 0.65A",
        "a base load with what it draws and leaks; `*`: its owner agreed that it may be off",
        How::Late(circuit::base),
    ),
];

static FLOOR: [Form; 4] = [
    form("upper", "its id", How::Id),
    form("0 1 -1", "level: 0 is the ground floor", How::Own(place::level)),
    form("\"Upper floor\"", "what it is called", How::Quoted("name")),
    form("name Upper", "the same without quotes", NAME),
];

static ROOM: [Form; 8] = [
    form("dining", "its id", How::Id),
    form("ground", "the floor, by id or name", How::Ref("floor")),
    form("wet", "bathroom, laundry, pool side", How::Flag("wet", &["wet"])),
    form("outdoor", "outdoors", How::Flag("outdoor", &["outdoor", "outdoors", "outside"])),
    form("6x9", "width and depth in metres", How::Own(place::size)),
    form("@0,0", "the corner with the least x and y", How::Own(place::corner)),
    form("\"Dining room\"", "what it is called", How::Quoted("name")),
    form("name Dining", "the same without quotes", NAME),
];

static SOCKET: [Form; 13] = [
    form("G3", "its id", How::Id),
    form("dining", "the room, by id or name", How::Ref("room")),
    form("2x10 2x 10A", "ways and amps: the region's outlet of that rating", How::Own(socket::ways)),
    form("au-15", "kind of outlet", How::Ref("outlet")),
    form(
        "ok rev noe non dead aoe odd untested",
        "what the polarity tester said; reversed, no earth, no neutral, active on earth and the region's own words will do",
        How::Own(socket::outcome),
    ),
    form(
        "r15/20 r-/10 r20+",
        "ramp: held 15 and tripped 20 mA, tripped at its first step, held 20 and not tripped",
        How::Own(ramp::short),
    ),
    form(
        "off P2.fridge >RA on D,E",
        "right behind the ramp: base loads that were off, what dropped, heads that were on",
        How::Told,
    ),
    form("P2", "the circuit that a test proved", How::Ref("circuit")),
    form("p2? label P2", "a guess, or what the wall says: the label, not evidence", How::Own(socket::label)),
    form("@2,8", "where, in metres", How::Own(place::at)),
    form("plate K, plate 20A", "the plate that it shares; what the plate carries", How::Own(socket::plate)),
    form("loop 0.6", "earth-fault loop", How::Led(&["loop", "zs"], "loop_ohm")),
    form(
        "portable PR1 ban \"not ours\"",
        "a plug-in RCD in it; why it is not to be used",
        How::Own(socket::portable_or_ban),
    ),
];

static RAMP: [Form; 4] = [
    form("G3", "the socket", How::Id),
    form("10 ok 15 ok 20 trip", "the steps as tested: what held, what tripped", How::Own(ramp::steps)),
    form("15/20 r15/20", "the last that held and the first that tripped", How::Own(ramp::short)),
    form("off P2.fridge >RA on D,E", "base loads that were off, what dropped, heads that were on", How::Told),
];

static TRACE: [Form; 3] = [
    form("P2 off, P1 P4 off", "the circuit or RCD that was switched off; several at once", How::Told),
    form("RA dropped", "the one that a ramp test dropped", How::Told),
    form("G3 G4 dead, G1 live", "sockets that went dead, and those that stayed live", How::Told),
];

static HEAD: [Form; 29] = [
    form("A", "its id", How::Id),
    form("discharge-1k2 led600 t2k 575", "its class; short where only one fits", How::Own(gear::class)),
    form("1350W 1.35kW", "watts at the plug", How::Unit("watts")),
    form("5.9A", "running amps, measured", How::Unit("amps")),
    form("pf 0.98", "power factor", How::Led(&["pf"], "pf")),
    form("240V", "what it is built for", How::Unit("volts")),
    form("leak 3.5, 3.5mA, 3-5mA", "standing leakage", How::Led(&["leak"], "leak_ma")),
    form("3.5mA", "the same", How::Unit("leak_ma")),
    form("idle 0.5", "leakage while plugged in but dark", How::Led(&["idle"], "idle_ma")),
    form("+10mA", "extra leakage while it strikes", How::Sign('+', "strike_ma")),
    form("strike 10", "the same", How::Led(&["strike"], "strike_ma")),
    form("measured plate", "where its leakage comes from", How::Words("leak_from", &[])),
    form("start 13", "amps in all while it runs up", How::Led(&["start"], "start_a")),
    form("runup 3", "minutes of it", How::Led(&["runup", "run-up"], "start_min")),
    form("restrike 10", "minutes dark when it loses power hot", How::Led(&["restrike"], "restrike_min")),
    form("inrush 30", "peak amps at switch-on", How::Led(&["inrush"], "inrush_a")),
    form("steady filament resistive", "how its amps move with the volts", How::Words("load", &[])),
    form("linear corrected capacitor", "its harmonics", How::Words("spectrum", &[])),
    form("leading", "its current leads", How::Flag("leading", &["leading"])),
    form("fuse 13", "fuse in its plug", How::Led(&["fuse"], "fuse_a")),
    form("au-15", "its plug", How::Ref("plug")),
    form("garden", "the room where it stands", How::Ref("room")),
    form("@5,-4", "where in it", How::Own(place::at)),
    form("tail 3", "its own mains tail, metres", How::Led(&["tail"], "tail_m")),
    form("G7 b20", "the socket, then leads and blocks, wall first", How::Ref("socket")),
    form("b20", "a lead or block on the way", How::Item("leads")),
    form("pin", "the program may not move it", How::Flag("pinned", &["pin", "pinned"])),
    form("!7", "importance, 1 to 9", How::Sign('!', "importance")),
    form("\"Key light\"", "what it is called", How::Quoted("name")),
];

static CABLE: [Form; 9] = [
    form("b20", "its id", How::Id),
    form("20m 50ft", "length", How::Unit("length_m")),
    form("2.5mm2", "cross-section", How::Unit("mm2")),
    form("12awg #12 awg 12 2/0awg", "wire gauge", How::Own(gear::gauge)),
    form("au-15", "its plug", How::Ref("plug")),
    form("15A", "printed rating", How::Unit("rated_a")),
    form("x2", "how many the truck has", How::Own(gear::count)),
    form("reel, reel 5A", "it cannot be unwound; its rating while wound", How::Own(gear::reel)),
    form("fuse 13", "fuse in its plug", How::Led(&["fuse"], "fuse_a")),
];

static BLOCK: [Form; 6] = [
    form("four", "its id", How::Id),
    form("uk-13", "its plug", How::Ref("plug")),
    form("4 ways 4x 4way", "how many heads it takes", How::Own(gear::block_ways)),
    form("13A", "what it carries", How::Unit("rated_a")),
    form("x2", "how many the truck has", How::Own(gear::count)),
    form("fuse 13", "fuse in its plug", How::Led(&["fuse"], "fuse_a")),
];

static SETUP: [Form; 10] = [
    form("day", "its id", How::Id),
    form("09:00 09:00-13:00", "when it starts; until when", How::Own(setup::times)),
    form("4h 240min 4h30", "how long the heads burn", How::Own(setup::duration)),
    form("A B C", "the heads that are on", How::Item("on")),
    form("+D -A", "one more, one less", How::Own(setup::one_more_or_less)),
    form("all none", "every head of the plan; none", How::Own(setup::all_or_none)),
    form("strike B,A", "an order that the crew insists on", How::Led(&["strike"], "strike")),
    form("off P2.fridge", "base loads that their owner has switched off", How::Led(&["off"], "base_off")),
    form("rain dry", "its own weather", How::Words("weather", &[("raining", "rain")])),
    form("\"Day interior\"", "what it is called", How::Quoted("name")),
];
