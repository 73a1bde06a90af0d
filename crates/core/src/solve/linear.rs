//! A problem as a linear program: alike items as one count a choice, the order of striking as one switch
//! for each strike, generators and lowered limits as switches.

use std::collections::{BTreeMap, HashMap};

use super::bound::{cost, step_of};
use super::problem::{CERTAIN, LEVELS, Leak, Level, Problem};
use super::program::{Column, Program, Sum};
use super::search::Terrain;
use super::state::{State, evaluate};

/// Alike items.
struct Group {
    items: Vec<usize>,
    /// (choice, its column).
    choices: Vec<(usize, usize)>,
    dark: usize,
}

/// A column that follows from the others.
enum Follows {
    /// 1 where any of these is over 0.
    Switch(usize, Vec<usize>),
    /// How far the largest of these sums is over `low`, and the odds of that.
    Excess { excess: usize, odds: usize, device: usize, sums: Vec<Vec<(usize, i64)>> },
}

/// A problem as a program, without a cost.
pub(super) struct Linear<'a> {
    problem: &'a Problem,
    program: Program,
    groups: Vec<Group>,
    follows: Vec<Follows>,
    /// What a level comes to: columns, each so many times, and what is so anyway.
    levels: [(Vec<(usize, i64)>, i64); LEVELS],
}

impl<'a> Linear<'a> {
    /// The program of a problem whose fixed items break nothing. `None` where a device is one that it
    /// has no words for: unlike strikes at one place of the order, or sums that fall.
    pub fn new(terrain: &Terrain<'a>) -> Option<Self> {
        let problem = terrain.problem;
        let choices = || problem.items.iter().flat_map(|item| &item.choices);
        if choices().flat_map(|choice| &choice.loads).any(|load| load.amount < 0) {
            return None;
        }
        let mut linear = Self {
            problem,
            program: Program::default(),
            groups: Vec::new(),
            follows: Vec::new(),
            levels: Default::default(),
        };
        linear.count(terrain);
        linear.limit_rows();
        for device in 0..problem.devices.len() {
            linear.limit_device(device)?;
        }
        linear.switch_generators();
        linear.keep_company();
        linear.drop_idle_rows();
        Some(linear)
    }

    fn column(&mut self, least: i64, most: i64) -> usize {
        self.program.columns.push(Column { least, most, cost: 0 });
        self.program.columns.len() - 1
    }

    fn at_most(&mut self, terms: Vec<(usize, i64)>, most: i64) {
        self.program.sums.push(Sum { terms, least: None, most: Some(most) });
    }

    /// A switch that is on where any of these is over 0.
    fn switch(&mut self, of: Vec<usize>) -> usize {
        let switch = self.column(0, 1);
        for column in &of {
            let most = self.program.columns[*column].most;
            self.at_most(vec![(*column, 1), (switch, -most)], 0);
        }
        self.follows.push(Follows::Switch(switch, of));
        switch
    }

    /// One count a choice of alike items, and one of those left dark.
    fn count(&mut self, terrain: &Terrain<'a>) {
        let problem = self.problem;
        let fixed = terrain.fixed();
        let mut of_kind: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (item, kind) in terrain.kinds.iter().copied().enumerate() {
            of_kind.entry(kind).or_default().push(item);
        }
        for (first, items) in of_kind {
            let node = &problem.items[first];
            let count = i64::try_from(items.len()).unwrap_or(i64::MAX);
            let is_kept = node.is_fixed && !node.choices.is_empty();
            let dark = self.column(0, if is_kept { 0 } else { count });
            let mut terms = vec![(dark, 1)];
            let mut choices = Vec::new();
            for choice in &terrain.allowed[first] {
                let most = if is_kept { count } else { most_of(problem, &fixed, first, *choice, count) };
                if most == 0 {
                    continue;
                }
                let column = self.column(0, most);
                terms.push((column, 1));
                choices.push((*choice, column));
                for level in [Level::Moves, Level::Metres, Level::Unprotected] {
                    self.costs(level, column, cost(problem, level, first, Some(*choice)));
                }
            }
            self.costs(Level::Dark, dark, node.importance);
            self.program.sums.push(Sum { terms, least: Some(count), most: Some(count) });
            self.groups.push(Group { items, choices, dark });
        }
    }

    fn costs(&mut self, level: Level, column: usize, times: i64) {
        if times != 0 {
            self.levels[level.index()].0.push((column, times));
        }
    }

    /// Every count with its first item and choice.
    fn counts(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        self.groups
            .iter()
            .flat_map(|group| group.choices.iter().map(|(choice, column)| (group.items[0], *choice, *column)))
    }

    fn limit_rows(&mut self) {
        let problem = self.problem;
        let mut terms: Vec<Vec<(usize, i64)>> = vec![Vec::new(); problem.rows.len()];
        let mut lowering: Vec<Vec<usize>> = vec![Vec::new(); problem.rows.len()];
        for (item, choice, column) in self.counts() {
            let node = &problem.items[item].choices[choice];
            for load in node.loads.iter().filter(|load| load.amount > 0) {
                terms[load.row].push((column, load.amount));
            }
            for row in &node.lowers {
                lowering[*row].push(column);
            }
        }
        for (at, (mut terms, lowering)) in terms.into_iter().zip(lowering).enumerate() {
            if terms.is_empty() {
                continue;
            }
            let row = &problem.rows[at];
            let limit = row.limit.max(0);
            let lowered = row.lowered.map_or(limit, |lowered| lowered.clamp(0, limit));
            if lowered < limit && !lowering.is_empty() {
                let switch = self.switch(lowering);
                terms.push((switch, limit - lowered));
            }
            self.at_most(terms, limit);
        }
    }

    /// The peak while heads are struck: what leaks up to each place of the order, and the strike there
    /// where any is struck.
    fn limit_device(&mut self, device: usize) -> Option<()> {
        let problem = self.problem;
        let node = problem.devices[device];
        let leak_of = |(item, choice, column): (usize, usize, usize)| {
            let leaks = &problem.items[item].choices[choice].leaks;
            leaks.iter().find(|leak| leak.device == device).map(|leak| (*leak, column))
        };
        let leaks: Vec<(Leak, usize)> = self.counts().filter_map(leak_of).collect();
        let Some(high) = node.high.filter(|_| !leaks.is_empty()) else {
            self.levels[Level::Odds.index()].1 += node.odds(node.before);
            return Some(());
        };
        let most = node.low.max(high - 1);
        let mut places: BTreeMap<i64, (i64, Vec<usize>)> = BTreeMap::new();
        for (leak, column) in &leaks {
            let (strike, columns) = places.entry(leak.rank).or_insert((leak.strike, Vec::new()));
            if *strike != leak.strike || leak.strike < 0 || leak.standing < 0 {
                return None;
            }
            columns.push(*column);
        }
        let mut sums: Vec<Vec<(usize, i64)>> = vec![Vec::new(); places.len()];
        for (leak, column) in &leaks {
            let from = places.range(..leak.rank).count();
            let later = sums[from..].iter_mut().filter(|_| leak.standing > 0);
            later.for_each(|sum| sum.push((*column, leak.standing)));
        }
        for (sum, (strike, columns)) in sums.iter_mut().zip(places.into_values()) {
            if strike > 0 {
                let switch = self.switch(columns);
                sum.push((switch, strike));
            }
        }
        let excess = (most > node.low).then(|| self.excess(device, most, &sums));
        for mut sum in sums.into_iter().filter(|sum| !sum.is_empty()) {
            sum.extend(excess.map(|excess| (excess, -1)));
            let limit = if excess.is_some() { node.low } else { most } - node.before;
            self.at_most(sum, limit);
        }
        Some(())
    }

    /// How far a peak is over where a device surely holds, and its odds, rounded up.
    fn excess(&mut self, device: usize, most: i64, sums: &[Vec<(usize, i64)>]) -> usize {
        let node = self.problem.devices[device];
        let span = (node.high.unwrap_or(node.low) - node.low).max(1);
        let excess = self.column((node.before - node.low).clamp(0, most - node.low), most - node.low);
        let odds = self.column(0, CERTAIN);
        self.at_most(vec![(excess, CERTAIN), (odds, -span)], 0);
        self.costs(Level::Odds, odds, 1);
        self.follows.push(Follows::Excess { excess, odds, device, sums: sums.to_vec() });
        excess
    }

    fn switch_generators(&mut self) {
        for (generator, cost) in self.problem.generators.iter().enumerate() {
            let needs = |(item, choice, _): &(usize, usize, usize)| {
                self.problem.items[*item].choices[*choice].generators.contains(&generator)
            };
            let of: Vec<usize> = self.counts().filter(needs).map(|(.., column)| column).collect();
            if !of.is_empty() {
                let switch = self.switch(of);
                self.costs(Level::Generator, switch, *cost);
            }
        }
    }

    /// Neighbours on one source, and what may not stand together.
    fn keep_company(&mut self) {
        let problem = self.problem;
        let of_item: HashMap<usize, &Group> =
            self.groups.iter().flat_map(|group| group.items.iter().map(move |item| (*item, group))).collect();
        let mut sums: Vec<(Vec<(usize, i64)>, i64)> = Vec::new();
        for (a, b) in &problem.neighbours {
            let fed = |item: &usize| -> Vec<(usize, usize)> {
                let choices = of_item.get(item).map_or(&[][..], |group| &group.choices);
                let source = |choice: usize| problem.items[*item].choices[choice].source;
                choices.iter().filter_map(|(choice, column)| Some((source(*choice)?, *column))).collect()
            };
            let (ours, theirs) = (fed(a), fed(b));
            let mut sources: Vec<usize> = ours.iter().map(|(source, _)| *source).collect();
            sources.sort_unstable();
            sources.dedup();
            for source in sources {
                let here = ours.iter().filter(|(own, _)| *own == source);
                let elsewhere = theirs.iter().filter(|(other, _)| *other != source);
                sums.push((here.chain(elsewhere).map(|(_, column)| (*column, 1)).collect(), 1));
            }
        }
        for set in &problem.excluded {
            let column = |(item, choice): &(usize, usize)| {
                let choices = &of_item.get(item)?.choices;
                choices.iter().find(|(own, _)| own == choice).map(|(_, column)| (*column, 1))
            };
            let terms: Vec<(usize, i64)> = set.iter().filter_map(column).collect();
            // One that cannot be chosen keeps the set apart already.
            if terms.len() == set.len() {
                sums.push((terms, i64::try_from(set.len()).unwrap_or(i64::MAX) - 1));
            }
        }
        for (terms, most) in sums {
            self.at_most(terms, most);
        }
    }

    /// Leaves out sums that another with the same limit holds down already: setups whose heads are all on
    /// in another one.
    fn drop_idle_rows(&mut self) {
        for sum in &mut self.program.sums {
            sum.terms.sort_unstable();
        }
        let sums = &self.program.sums;
        let mut of_limit: BTreeMap<(Option<i64>, Option<i64>), Vec<usize>> = BTreeMap::new();
        for (at, sum) in sums.iter().enumerate() {
            of_limit.entry((sum.least, sum.most)).or_default().push(at);
        }
        let is_positive = |at: usize| sums[at].terms.iter().all(|(_, times)| *times > 0);
        let is_idle = |at: usize| {
            let sum = &sums[at];
            sum.least.is_none()
                && is_positive(at)
                && of_limit[&(sum.least, sum.most)].iter().any(|other| {
                    let (ours, theirs) = (&sum.terms, &sums[*other].terms);
                    let is_larger = theirs.len() > ours.len() || theirs == ours && *other < at;
                    *other != at && is_larger && is_positive(*other) && is_part(ours, theirs)
                })
        };
        let kept: Vec<Sum> = (0..sums.len()).filter(|at| !is_idle(*at)).map(|at| sums[at].clone()).collect();
        self.program.sums = kept;
    }

    /// The program of one level, those above it held, in steps of its unit; and what a step is.
    pub fn of_level(&self, level: Level, held: &[(Level, i64)]) -> (Program, i64) {
        let mut program = self.program.clone();
        let step = step_of(self.problem, level);
        for (column, times) in &self.levels[level.index()].0 {
            program.columns[*column].cost = times / step;
        }
        for (own, most) in held {
            let (terms, anyway) = &self.levels[own.index()];
            if !terms.is_empty() {
                program.sums.push(Sum { terms: terms.clone(), least: None, most: Some(most - anyway) });
            }
        }
        (program, step)
    }

    /// What a level comes to whatever is placed.
    pub const fn anyway(&self, level: Level) -> i64 {
        self.levels[level.index()].1
    }

    /// The values of a placement.
    pub fn values(&self, chosen: &[Option<usize>]) -> Vec<i64> {
        let mut values = vec![0; self.program.columns.len()];
        for group in &self.groups {
            for item in &group.items {
                let column = match chosen[*item] {
                    Some(choice) => group.choices.iter().find(|(own, _)| *own == choice).map(|(_, at)| *at),
                    None => Some(group.dark),
                };
                if let Some(column) = column {
                    values[column] += 1;
                }
            }
        }
        for follows in &self.follows {
            match follows {
                Follows::Switch(switch, of) => {
                    values[*switch] = i64::from(of.iter().any(|column| values[*column] > 0));
                }
                Follows::Excess { excess, odds, device, sums } => {
                    let node = self.problem.devices[*device];
                    let total = |sum: &Vec<(usize, i64)>| {
                        sum.iter().map(|(column, times)| values[*column] * times).sum()
                    };
                    let peak = node.before + sums.iter().map(total).max().unwrap_or(0);
                    values[*excess] = (peak - node.low).max(0);
                    values[*odds] = node.odds(peak);
                }
            }
        }
        values
    }

    /// The placement of values, where it breaks nothing.
    pub fn placement(&self, values: &[i64]) -> Option<State<'a>> {
        let mut chosen = vec![None; self.problem.items.len()];
        for group in &self.groups {
            let mut left = group.items.iter();
            for (choice, column) in &group.choices {
                for _ in 0..*values.get(*column)? {
                    chosen[*left.next()?] = Some(*choice);
                }
            }
        }
        evaluate(self.problem, &chosen).ok()?;
        let mut state = State::new(self.problem);
        for (item, choice) in chosen.into_iter().enumerate() {
            if let Some(choice) = choice {
                state.place(item, choice);
            }
        }
        Some(state)
    }
}

/// How many of alike items may have a choice at most, beside the fixed ones.
fn most_of(problem: &Problem, fixed: &State<'_>, item: usize, choice: usize, count: i64) -> i64 {
    if !fixed.fits(item, choice) {
        return 0;
    }
    let loads = problem.items[item].choices[choice].loads.iter().filter(|load| load.amount > 0);
    let room = loads.map(|load| (problem.rows[load.row].limit - fixed.used(load.row)) / load.amount);
    room.min().unwrap_or(count).clamp(0, count)
}

/// Whether every term is among others that are in the same order, as often at least.
fn is_part(terms: &[(usize, i64)], of: &[(usize, i64)]) -> bool {
    let mut rest = of.iter();
    terms.iter().all(|(column, times)| rest.any(|(other, most)| other == column && most >= times))
}
