//! Reads the generalized assignments of `tests/reference/gap/` into problems: a job is a head, an agent a
//! circuit, and what a job earns less than the most that any does is its length of lead.

use ampwalk_core::solve::{Choice, Item, Level, Load, Problem, Row, Solution};

/// An assignment, and the published optimum.
pub struct Instance {
    /// The name of its file.
    pub name: String,
    /// What may be earned at most.
    pub optimum: i64,
    /// Itself.
    pub problem: Problem,
    most: i64,
}

impl Instance {
    /// What a placement of every job earns; `None` where a job is left.
    pub fn earned(&self, solution: &Solution) -> Option<i64> {
        let jobs = i64::try_from(self.problem.items.len()).unwrap();
        let is_whole = solution.score.of(Level::Dark) == 0;
        is_whole.then(|| jobs * self.most - solution.score.of(Level::Metres))
    }
}

fn text(name: &str) -> String {
    let path = format!("{}/../../tests/reference/gap/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

/// All of them, in the order of the table.
pub fn instances() -> Vec<Instance> {
    let table = text("optima.csv");
    let rows = table.lines().skip(1).map(|line| line.split(',').collect::<Vec<_>>());
    rows.map(|row| instance(row[1], row[2].parse().unwrap())).collect()
}

fn instance(name: &str, optimum: i64) -> Instance {
    let text = text(&format!("{name}.txt"));
    let numbers: Vec<i64> = text.split_whitespace().map(|number| number.parse().unwrap()).collect();
    let (agents, jobs) = (usize::try_from(numbers[0]).unwrap(), usize::try_from(numbers[1]).unwrap());
    let (earns, rest) = numbers[2..].split_at(agents * jobs);
    let (takes, limits) = rest.split_at(agents * jobs);
    assert_eq!(limits.len(), agents, "{name}");
    let most = *earns.iter().max().unwrap();
    let row = |limit: &i64| Row { limit: *limit, lowered: None, family: Some(0), is_headroom: false };
    let choice = |agent: usize, job: usize| Choice {
        loads: vec![Load { row: agent, amount: takes[agent * jobs + job] }],
        metres: most - earns[agent * jobs + job],
        ..Choice::default()
    };
    let item = |job: usize| Item {
        importance: 1,
        is_fixed: false,
        choices: (0..agents).map(|agent| choice(agent, job)).collect(),
    };
    let problem = Problem {
        items: (0..jobs).map(item).collect(),
        rows: limits.iter().map(row).collect(),
        ..Problem::default()
    };
    Instance { name: name.to_owned(), optimum, problem, most }
}
