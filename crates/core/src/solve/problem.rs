//! The problem as numbers, whole ones throughout, so that sums are exact.

/// How many levels the objective has.
pub const LEVELS: usize = 6;

/// What is made small, one level each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Importance of heads that stay dark, added up.
    Dark,
    /// Cost of the generators in use.
    Generator,
    /// Chances of a trip while striking, added up, in millionths.
    Odds,
    /// Heads that are moved from where they are.
    Moves,
    /// Length of lead, in the problem's own unit.
    Metres,
    /// Heads on sockets that no RCD fine enough protects.
    Unprotected,
}

impl Level {
    /// The order in which heads are placed: what is named first weighs more than all that follows.
    pub const PLACING: [Self; LEVELS] =
        [Self::Dark, Self::Generator, Self::Odds, Self::Moves, Self::Metres, Self::Unprotected];

    pub(crate) const fn index(self) -> usize {
        self as usize
    }
}

/// What a placement costs, by [`Level`], whatever their order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Score(pub [i64; LEVELS]);

impl Score {
    /// One level of it.
    #[must_use]
    pub const fn of(&self, level: Level) -> i64 {
        self.0[level as usize]
    }

    /// The levels in this order, to be compared.
    #[must_use]
    pub fn in_order(&self, levels: &[Level; LEVELS]) -> [i64; LEVELS] {
        levels.map(|level| self.of(level))
    }
}

/// Heads, and what they compete for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// Heads, or a head in the setups that share its socket.
    pub items: Vec<Item>,
    /// Sums with a limit.
    pub rows: Vec<Row>,
    /// RCDs, each in each setup.
    pub devices: Vec<Device>,
    /// What each generator costs once any head is on it.
    pub generators: Vec<i64>,
    /// Pairs of items that may not be fed from different sources where both choices name one.
    pub neighbours: Vec<(usize, usize)>,
    /// Sets of (item, choice) that may not all be chosen.
    pub excluded: Vec<Vec<(usize, usize)>>,
    /// Levels, the heaviest first.
    pub levels: Option<[Level; LEVELS]>,
}

impl Problem {
    /// Levels, the heaviest first.
    #[must_use]
    pub fn order(&self) -> [Level; LEVELS] {
        self.levels.unwrap_or(Level::PLACING)
    }
}

/// A head.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Item {
    /// What it costs to leave it dark.
    pub importance: i64,
    /// It stays where its only choice says, whatever that breaks.
    pub is_fixed: bool,
    /// Where it may go.
    pub choices: Vec<Choice>,
}

/// Somewhere that a head may go.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choice {
    /// What it adds to rows; each row once.
    pub loads: Vec<Load>,
    /// Rows whose lowered limit counts where this is chosen.
    pub lowers: Vec<usize>,
    /// What it leaks through devices; each device once.
    pub leaks: Vec<Leak>,
    /// Generators that it needs.
    pub generators: Vec<usize>,
    /// Which source feeds it, where neighbours must know.
    pub source: Option<usize>,
    /// 1 where the head is somewhere else now, else 0.
    pub moved: i64,
    /// Length of lead.
    pub metres: i64,
    /// 1 where no RCD fine enough protects it, else 0.
    pub unprotected: i64,
}

/// What a choice adds to a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// The row.
    pub row: usize,
    /// How much.
    pub amount: i64,
}

/// What a choice leaks through a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Leak {
    /// The device.
    pub device: usize,
    /// Once lit.
    pub standing: i64,
    /// On top of it while it strikes.
    pub strike: i64,
    /// Its place in the order of striking: lower ones are struck first. In the best order, `-strike`.
    pub rank: i64,
}

/// A sum with a limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// What may be added up at most.
    pub limit: i64,
    /// A lower limit that counts once a choice asks for it.
    pub lowered: Option<i64>,
    /// Rows of one family share a number: where a head takes from one of them in every choice, their
    /// limits together bound how many heads there are.
    pub family: Option<usize>,
    /// Whether how full it is counts as headroom.
    pub is_headroom: bool,
}

/// An RCD in a setup.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Device {
    /// What leaks anyway.
    pub before: i64,
    /// It surely holds up to here.
    pub low: i64,
    /// It surely drops from here on; `None`: it never dropped.
    pub high: Option<i64>,
}

/// Whole odds, in the unit of [`Level::Odds`].
pub(crate) const CERTAIN: i64 = 1_000_000;

impl Device {
    /// Whether a peak surely drops it.
    #[must_use]
    pub fn drops(&self, peak: i64) -> bool {
        self.high.is_some_and(|high| peak >= high && peak > self.low)
    }

    /// Chance that a peak drops it, in millionths, rounded up.
    #[must_use]
    pub fn odds(&self, peak: i64) -> i64 {
        let Some(high) = self.high else { return 0 };
        if peak <= self.low {
            return 0;
        }
        if self.drops(peak) {
            return CERTAIN;
        }
        let share = i128::from(peak - self.low) * i128::from(CERTAIN);
        let span = i128::from((high - self.low).max(1));
        i64::try_from((share + span - 1) / span).unwrap_or(CERTAIN).min(CERTAIN)
    }
}
