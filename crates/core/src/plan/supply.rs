//! Supplies, residual-current devices and circuits.

use std::fmt;

use crate::id::{CircuitId, RcdId, RoomId, SetupId, SocketId, SupplyId};
use crate::plan::{Point, word_of};
use crate::unit::{Amps, KiloVoltAmps, KiloWatts, Leakage, Metres, MilliAmps, Ohms, Volts, Watts};

/// The table `[supply.ID]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    /// Mains, generator or battery station.
    pub kind: SupplyKind,
    /// How its lines stand to each other; `one` by default.
    pub wiring: Option<Wiring>,
    /// Line to neutral; by default the region's.
    pub volts: Option<Volts>,
    /// A line's limit: main switch or service fuse, or a generator's breaker.
    pub limit: Option<Amps>,
    /// The metered contract.
    pub contract: Option<KiloWatts>,
    /// Earth-fault loop up to the board.
    pub loop_impedance: Option<Ohms>,
    /// Energy in a battery station, kilowatt-hours.
    pub kwh: Option<f64>,
    /// Real power that it gives for as long as it lasts.
    pub kw: Option<KiloWatts>,
    /// Real power that a battery station gives for moments.
    pub peak_kw: Option<KiloWatts>,
    /// Apparent power of a generator.
    pub kva: Option<KiloVoltAmps>,
    /// Whether its neutral is bonded to earth.
    pub earth: Option<Earth>,
    /// What a generator burns.
    pub fuel: Option<Fuel>,
    /// The largest step of load that a generator takes, percent of its rating.
    pub step_percent: Option<f64>,
    /// Height above the sea.
    pub altitude: Option<Metres>,
    /// Cost of hire for a day, in the location's money.
    pub per_day_cost: Option<f64>,
    /// Where it stands.
    pub room: Option<RoomId>,
    /// Where in that room's floor it stands.
    pub at: Option<Point>,
}

/// What a supply is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SupplyKind {
    /// The building's own.
    Mains,
    /// An engine.
    Generator,
    /// A battery station with an inverter.
    Battery,
}

impl SupplyKind {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("mains", Self::Mains), ("generator", Self::Generator), ("battery", Self::Battery)];
}

impl Wiring {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("one", Self::One), ("split", Self::Split), ("star", Self::Star)];
}

impl Earth {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 2] = [("floating", Self::Floating), ("bonded", Self::Bonded)];
}

impl Fuel {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 2] = [("petrol", Self::Petrol), ("diesel", Self::Diesel)];
}

impl HeldBy {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 2] =
        [("key card", Self::KeyCard), ("movement sensor", Self::MovementSensor)];
}

/// How a supply's lines stand to each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Wiring {
    /// One line and neutral.
    #[default]
    One,
    /// Two legs at 180 degrees.
    Split,
    /// Three lines at 120 degrees, and neutral.
    Star,
}

/// Neutral of a generator or battery station.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Earth {
    /// Not bonded: a first earth fault drives no current, so no RCD trips on it.
    Floating,
    /// Bonded to the frame and earth.
    Bonded,
}

/// What a generator burns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fuel {
    /// Petrol, gasoline.
    Petrol,
    /// Diesel.
    Diesel,
}

/// The table `[rcd.ID]`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rcd {
    /// Rated residual operating current.
    pub rated: Option<MilliAmps>,
    /// What shapes of residual current it sees.
    pub kind: Option<RcdKind>,
    /// By default the region's.
    pub class: Option<RcdClass>,
    /// Another RCD upstream.
    pub behind: Option<RcdId>,
    /// Poles, 2 or 4.
    pub poles: Option<u32>,
    /// What others behind it may leak.
    pub reserve: Option<MilliAmps>,
}

/// IEC 60755 types by the residual currents that they see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RcdKind {
    /// Alternating only.
    Ac,
    /// Also pulsating direct.
    A,
    /// Also mixed frequencies to 1 kHz.
    F,
    /// Also smooth direct.
    B,
}

/// Which band a device trips in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RcdClass {
    /// On the board: half of the rating to all of it (IEC 61008-1).
    Rcd,
    /// 4 to 6 mA (UL 943).
    Gfci,
    /// A plug-in RCD of the crew's own.
    Portable,
}

/// The table `[circuit.ID]`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circuit {
    /// The supply that feeds it …
    pub supply: Option<SupplyId>,
    /// … or the socket that a distribution box is plugged into.
    pub from: Option<SocketId>,
    /// Its line or lines.
    pub line: Option<Line>,
    /// Breaker or fuse rating.
    pub breaker: Option<Amps>,
    /// Trip curve; by default the region's.
    pub curve: Option<Curve>,
    /// The nearest RCD; none known if omitted.
    pub rcd: Option<RcdId>,
    /// What the board calls it.
    pub name: Option<String>,
    /// What the house has on it.
    pub base: Vec<BaseLoad>,
    /// Why it must not be switched off or ramp-tested.
    pub keep_on: Option<String>,
    /// When it is live.
    pub hours: Option<Hours>,
    /// What else holds it on.
    pub held_by: Option<HeldBy>,
    /// A circuit that shares its neutral.
    pub neutral_with: Option<CircuitId>,
    /// Behind an arc-fault breaker.
    pub afci: bool,
    /// Rating of a dimmer that feeds it.
    pub dimmer: Option<Watts>,
    /// A ring circuit.
    pub ring: bool,
    /// What others on it may draw.
    pub reserve: Option<Amps>,
    /// Somebody else draws from it, nobody knows how much.
    pub others: bool,
    /// A clamp reading.
    pub measured: Option<Measured>,
}

/// The line or lines of a circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Line {
    /// `L1`
    L1,
    /// `L2`
    L2,
    /// `L3`
    L3,
    /// `L1-L2`, line to line
    L1L2,
    /// `L2-L3`, line to line
    L2L3,
    /// `L1-L3`, line to line
    L1L3,
    /// `L1-L2-L3`
    All,
}

impl Line {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 7] = [
        ("L1", Self::L1),
        ("L2", Self::L2),
        ("L3", Self::L3),
        ("L1-L2", Self::L1L2),
        ("L2-L3", Self::L2L3),
        ("L1-L3", Self::L1L3),
        ("L1-L2-L3", Self::All),
    ];

    /// Which of L1, L2, L3 it uses, as indices 0, 1, 2.
    #[must_use]
    pub const fn conductors(self) -> &'static [usize] {
        match self {
            Self::L1 => &[0],
            Self::L2 => &[1],
            Self::L3 => &[2],
            Self::L1L2 => &[0, 1],
            Self::L2L3 => &[1, 2],
            Self::L1L3 => &[0, 2],
            Self::All => &[0, 1, 2],
        }
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(word_of(&Self::WORDS, self))
    }
}

/// Trip curve of a breaker or fuse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curve {
    /// IEC 60898-1, magnetic at 3 to 5 times the rating.
    B,
    /// IEC 60898-1, magnetic at 5 to 10 times the rating.
    C,
    /// IEC 60898-1, magnetic at 10 to 20 times the rating.
    D,
    /// UL 489.
    Ul,
    /// A gG fuse, IEC 60269-1.
    Gg,
    /// Rewirable fuse, BS 3036.
    Rewirable,
}

impl Curve {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("B", Self::B),
        ("C", Self::C),
        ("D", Self::D),
        ("ul", Self::Ul),
        ("gg", Self::Gg),
        ("rewirable", Self::Rewirable),
    ];
}

impl RcdClass {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("rcd", Self::Rcd), ("gfci", Self::Gfci), ("portable", Self::Portable)];
}

impl RcdKind {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 4] =
        [("AC", Self::Ac), ("A", Self::A), ("F", Self::F), ("B", Self::B)];
}

/// Something of the house's on a circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct BaseLoad {
    /// What it is; `CIRCUIT.name` refers to it.
    pub name: Option<String>,
    /// What it draws.
    pub amps: Amps,
    /// What it leaks; unknown if omitted.
    pub leak: Option<Leakage>,
    /// Whether its owner agreed that it may be off.
    pub owner_can_switch_off: bool,
}

/// `CIRCUIT.name`: one base load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BaseLoadRef {
    /// The circuit that it is on.
    pub circuit: CircuitId,
    /// Its name there.
    pub name: String,
}

/// When a timed circuit is live: from the first to the second, over midnight where the second is earlier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hours {
    /// Live from.
    pub from: ClockTime,
    /// Live until.
    pub until: ClockTime,
}

/// Time of day, minutes after midnight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ClockTime {
    /// 0 to 1439.
    pub minutes: u32,
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.minutes / 60 % 24, self.minutes % 60)
    }
}

/// What holds a circuit on besides its breaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldBy {
    /// A hotel key card.
    KeyCard,
    /// A movement sensor.
    MovementSensor,
}

/// A clamp reading on a circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What the clamp said.
    pub amps: Amps,
    /// In which setup.
    pub setup: SetupId,
}
