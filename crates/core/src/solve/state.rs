//! A placement as it grows: its sums, whether one more choice fits, what it costs.

use super::problem::{Choice, Device, LEVELS, Leak, Level, Problem, Score};

/// A hard limit that a placement breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Broken {
    /// A row over its limit.
    Row(usize),
    /// A device that drops for sure.
    Device(usize),
    /// Two neighbours fed from different sources.
    Neighbours(usize, usize),
    /// A set of choices that may not be chosen together.
    Excluded(usize),
}

/// What a device sees.
#[derive(Clone, Debug, Default)]
struct Seen {
    /// Leaks in the order of striking.
    lit: Vec<Leak>,
    /// What leaks once all are lit, at most.
    total: i64,
    /// The largest strike among them.
    most_strike: i64,
    odds: i64,
}

/// A placement, with its sums.
#[derive(Clone, Debug)]
pub(super) struct State<'a> {
    pub problem: &'a Problem,
    /// The choice of each item.
    pub chosen: Vec<Option<usize>>,
    used: Vec<i64>,
    /// What is left of each row, as it stands.
    left: Vec<i64>,
    lowered: Vec<u32>,
    seen: Vec<Seen>,
    running: Vec<u32>,
    neighbours: Vec<Vec<usize>>,
    excluded: Vec<Vec<usize>>,
    /// What it costs, items without a choice as dark.
    pub score: Score,
}

impl<'a> State<'a> {
    /// Nothing placed.
    pub fn new(problem: &'a Problem) -> Self {
        let mut neighbours = vec![Vec::new(); problem.items.len()];
        for (a, b) in &problem.neighbours {
            neighbours[*a].push(*b);
            neighbours[*b].push(*a);
        }
        let mut excluded = vec![Vec::new(); problem.items.len()];
        for (set, members) in problem.excluded.iter().enumerate() {
            for (item, _) in members {
                excluded[*item].push(set);
            }
        }
        let mut score = Score::default();
        score.0[Level::Dark.index()] = problem.items.iter().map(|item| item.importance).sum();
        // Odds of what leaks anyway are no placement's doing.
        let seen = |device: &Device| Seen {
            lit: Vec::new(),
            total: device.before,
            most_strike: 0,
            odds: device.odds(device.before),
        };
        let seen: Vec<Seen> = problem.devices.iter().map(seen).collect();
        Self {
            problem,
            chosen: vec![None; problem.items.len()],
            used: vec![0; problem.rows.len()],
            left: problem.rows.iter().map(|row| row.limit).collect(),
            lowered: vec![0; problem.rows.len()],
            seen,
            running: vec![0; problem.generators.len()],
            neighbours,
            excluded,
            score,
        }
    }

    /// The limit of a row as it stands.
    fn limit(&self, row: usize, with_lowering: u32) -> i64 {
        let node = &self.problem.rows[row];
        match node.lowered {
            Some(lowered) if self.lowered[row] + with_lowering > 0 => lowered.min(node.limit),
            _ => node.limit,
        }
    }

    /// What is left of a row, as it stands.
    #[inline]
    pub fn left(&self, row: usize) -> i64 {
        self.left[row]
    }

    /// What a row carries.
    pub fn used(&self, row: usize) -> i64 {
        self.used[row]
    }

    /// The first hard limit that one more choice would break.
    pub fn breaks(&self, item: usize, choice: usize) -> Option<Broken> {
        let wanted = &self.problem.items[item].choices[choice];
        for load in &wanted.loads {
            let lowers = u32::from(wanted.lowers.contains(&load.row));
            if load.amount > 0 && self.used[load.row] + load.amount > self.limit(load.row, lowers) {
                return Some(Broken::Row(load.row));
            }
        }
        for leak in &wanted.leaks {
            if self.problem.devices[leak.device].drops(self.peak_or_less(leak.device, Some(leak))) {
                return Some(Broken::Device(leak.device));
            }
        }
        self.breaks_company(item, choice, wanted)
    }

    fn breaks_company(&self, item: usize, choice: usize, wanted: &Choice) -> Option<Broken> {
        if let Some(source) = wanted.source {
            for other in &self.neighbours[item] {
                let theirs =
                    self.chosen[*other].and_then(|choice| self.problem.items[*other].choices[choice].source);
                if theirs.is_some_and(|theirs| theirs != source) {
                    return Some(Broken::Neighbours(item, *other));
                }
            }
        }
        for set in &self.excluded[item] {
            let is_chosen = |(other, theirs): &(usize, usize)| {
                if *other == item { *theirs == choice } else { self.chosen[*other] == Some(*theirs) }
            };
            if self.problem.excluded[*set].iter().all(is_chosen) {
                return Some(Broken::Excluded(*set));
            }
        }
        None
    }

    /// Whether a choice breaks nothing besides rows.
    pub fn fits_besides_rows(&self, item: usize, choice: usize) -> bool {
        let wanted = &self.problem.items[item].choices[choice];
        let drops =
            |leak: &Leak| self.problem.devices[leak.device].drops(self.peak_or_less(leak.device, Some(leak)));
        !wanted.leaks.iter().any(drops) && self.breaks_company(item, choice, wanted).is_none()
    }

    /// Whether a choice breaks nothing.
    pub fn fits(&self, item: usize, choice: usize) -> bool {
        self.breaks(item, choice).is_none()
    }

    /// Largest leakage of a device while its heads are struck in order.
    fn peak(&self, device: usize, more: Option<&Leak>) -> i64 {
        let mut lit = self.problem.devices[device].before;
        let mut peak = lit;
        let mut waiting = more;
        let mut strike = |leak: &Leak| {
            lit += leak.standing;
            peak = peak.max(lit + leak.strike);
        };
        for leak in &self.seen[device].lit {
            if let Some(first) = waiting.filter(|more| more.rank < leak.rank) {
                strike(first);
                waiting = None;
            }
            strike(leak);
        }
        if let Some(last) = waiting {
            strike(last);
        }
        peak
    }

    /// The same, or where it surely holds the most that it could be: that is cheaper to know.
    fn peak_or_less(&self, device: usize, more: Option<&Leak>) -> i64 {
        let seen = &self.seen[device];
        let (standing, strike) = more.map_or((0, 0), |leak| (leak.standing.max(0), leak.strike));
        let most = seen.total + standing + seen.most_strike.max(strike);
        if most <= self.problem.devices[device].low { most } else { self.peak(device, more) }
    }

    /// What the placement would cost with one more choice.
    pub fn score_with(&self, item: usize, choice: usize) -> Score {
        let wanted = &self.problem.items[item].choices[choice];
        let mut score = self.score;
        score.0[Level::Dark.index()] -= self.problem.items[item].importance;
        score.0[Level::Moves.index()] += wanted.moved;
        score.0[Level::Metres.index()] += wanted.metres;
        score.0[Level::Unprotected.index()] += wanted.unprotected;
        for generator in &wanted.generators {
            if self.running[*generator] == 0 {
                score.0[Level::Generator.index()] += self.problem.generators[*generator];
            }
        }
        for leak in &wanted.leaks {
            let odds = self.problem.devices[leak.device].odds(self.peak_or_less(leak.device, Some(leak)));
            score.0[Level::Odds.index()] += odds - self.seen[leak.device].odds;
        }
        score
    }

    /// Chooses for an item, whatever that breaks.
    pub fn place(&mut self, item: usize, choice: usize) {
        let problem = self.problem;
        let wanted = &problem.items[item].choices[choice];
        self.score.0[Level::Dark.index()] -= problem.items[item].importance;
        self.score.0[Level::Moves.index()] += wanted.moved;
        self.score.0[Level::Metres.index()] += wanted.metres;
        self.score.0[Level::Unprotected.index()] += wanted.unprotected;
        self.chosen[item] = Some(choice);
        for load in &wanted.loads {
            self.used[load.row] += load.amount;
            self.left[load.row] -= load.amount;
        }
        for row in &wanted.lowers {
            self.lowered[*row] += 1;
            self.left[*row] = self.limit(*row, 0) - self.used[*row];
        }
        for generator in &wanted.generators {
            if self.running[*generator] == 0 {
                self.score.0[Level::Generator.index()] += problem.generators[*generator];
            }
            self.running[*generator] += 1;
        }
        for leak in &wanted.leaks {
            let seen = &mut self.seen[leak.device];
            let at = seen.lit.partition_point(|other| other.rank <= leak.rank);
            seen.lit.insert(at, *leak);
            seen.total += leak.standing.max(0);
            seen.most_strike = seen.most_strike.max(leak.strike);
            let before = seen.odds;
            let odds = problem.devices[leak.device].odds(self.peak_or_less(leak.device, None));
            self.seen[leak.device].odds = odds;
            self.score.0[Level::Odds.index()] += odds - before;
        }
    }

    /// Takes an item out again.
    pub fn lift(&mut self, item: usize) {
        let Some(choice) = self.chosen[item].take() else { return };
        let problem = self.problem;
        let had = &problem.items[item].choices[choice];
        for load in &had.loads {
            self.used[load.row] -= load.amount;
            self.left[load.row] += load.amount;
        }
        for row in &had.lowers {
            self.lowered[*row] -= 1;
            self.left[*row] = self.limit(*row, 0) - self.used[*row];
        }
        self.score.0[Level::Dark.index()] += problem.items[item].importance;
        self.score.0[Level::Moves.index()] -= had.moved;
        self.score.0[Level::Metres.index()] -= had.metres;
        self.score.0[Level::Unprotected.index()] -= had.unprotected;
        for generator in &had.generators {
            self.running[*generator] -= 1;
            if self.running[*generator] == 0 {
                self.score.0[Level::Generator.index()] -= problem.generators[*generator];
            }
        }
        for leak in &had.leaks {
            let seen = &mut self.seen[leak.device];
            let before = seen.odds;
            if let Some(at) = seen.lit.iter().position(|other| other == leak) {
                seen.lit.remove(at);
                seen.total -= leak.standing.max(0);
                if seen.most_strike == leak.strike {
                    seen.most_strike = seen.lit.iter().map(|other| other.strike).max().unwrap_or(0).max(0);
                }
            }
            let odds = problem.devices[leak.device].odds(self.peak_or_less(leak.device, None));
            self.seen[leak.device].odds = odds;
            self.score.0[Level::Odds.index()] += odds - before;
        }
    }

    /// The score in the order of its levels.
    pub fn ordered(&self) -> [i64; LEVELS] {
        self.score.in_order(&self.problem.order())
    }

    /// How full a row is, in thousandths of its limit.
    pub fn share(&self, row: usize) -> i64 {
        let limit = self.limit(row, 0);
        if limit > 0 { self.used[row] * 1000 / limit } else { 0 }
    }

    /// The fullest row that counts as headroom, in thousandths of its limit.
    fn tightest(&self) -> i64 {
        let counts = |row: &usize| self.problem.rows[*row].is_headroom;
        (0..self.used.len()).filter(counts).map(|row| self.share(row)).max().unwrap_or(0)
    }
}

/// What a placement costs, one choice or none an item.
///
/// # Errors
/// The first hard limit that it breaks.
pub fn evaluate(problem: &Problem, chosen: &[Option<usize>]) -> Result<Score, Broken> {
    let mut state = State::new(problem);
    for (item, choice) in chosen.iter().enumerate() {
        let Some(choice) = choice else { continue };
        if let Some(broken) = state.breaks(item, *choice) {
            return Err(broken);
        }
        state.place(item, *choice);
    }
    Ok(state.score)
}

/// How full the fullest row is that counts as headroom, in thousandths of its limit.
#[must_use]
pub fn tightest(problem: &Problem, chosen: &[Option<usize>]) -> i64 {
    let mut state = State::new(problem);
    for (item, choice) in chosen.iter().enumerate() {
        if let Some(choice) = choice {
            state.place(item, *choice);
        }
    }
    state.tightest()
}

/// What the fixed items break by themselves.
pub(super) struct BrokenByFixed {
    /// Rows over their limit, each with what it carries.
    pub rows: Vec<(usize, i64)>,
    /// Devices that drop for sure.
    pub devices: Vec<usize>,
}

/// What the fixed items break by themselves.
pub(super) fn broken_by_fixed(problem: &Problem) -> BrokenByFixed {
    let mut state = State::new(problem);
    for (at, item) in problem.items.iter().enumerate() {
        if item.is_fixed && !item.choices.is_empty() {
            state.place(at, 0);
        }
    }
    let over = |row: &usize| state.used[*row] > state.limit(*row, 0);
    let rows = (0..problem.rows.len()).filter(over).map(|row| (row, state.used[row])).collect();
    let drops = |at: &usize| {
        let has_lit = !state.seen[*at].lit.is_empty();
        has_lit && problem.devices[*at].drops(state.peak(*at, None))
    };
    let devices = (0..problem.devices.len()).filter(drops).collect();
    BrokenByFixed { rows, devices }
}

/// What a placement costs, whatever it breaks.
pub(super) fn score_of(problem: &Problem, chosen: &[Option<usize>]) -> Score {
    let mut state = State::new(problem);
    for (item, choice) in chosen.iter().enumerate() {
        if let Some(choice) = choice {
            state.place(item, *choice);
        }
    }
    state.score
}
