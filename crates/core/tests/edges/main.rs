//! Edge cases of a survey, E01 to E16, one test a number: a label that lies, a board behind a lock, an RCD over two
//! floors, a fridge that leaks. What must happen is common practice, no source, where nothing else is named.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

mod devices;
mod sockets;

use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, RcdUse, SetupUse, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::{CircuitAt, Network, SocketAt};
use ampwalk_core::trace::room::Story;
use ampwalk_core::trace::{Report, SocketTrace, words};

/// A house of two floors: P1 and P2 behind RA, P3 behind RB; rooms `in`, `up` and `out`. Lines of tables to add.
fn house(region: &str, location: &str, more: &str) -> String {
    format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\n{location}\n[supply.house]\nkind = \"mains\"\n\
         [rcd.RA]\nrated_ma = 30\n[rcd.RB]\nrated_ma = 30\n\
         [circuit.P1]\nsupply = \"house\"\nbreaker_a = 20\nrcd = \"RA\"\n\
         [circuit.P2]\nsupply = \"house\"\nbreaker_a = 20\nrcd = \"RA\"\n\
         [circuit.P3]\nsupply = \"house\"\nbreaker_a = 20\nrcd = \"RB\"\n\
         [floor.ground]\nlevel = 0\n[floor.first]\nlevel = 1\n[room.in]\nfloor = \"ground\"\n\
         [room.up]\nfloor = \"first\"\n[room.out]\nfloor = \"ground\"\noutdoor = true\n{more}\n"
    )
}

/// The same, in the United Kingdom with its board found.
fn found_house(more: &str) -> Told {
    told(&house("uk", "board = \"found\"", more))
}

/// A plan with all that is told of it.
struct Told {
    network: Network,
    assessment: Assessment,
    report: Report,
}

fn told(text: &str) -> Told {
    let parsed = parse(text);
    let problems: Vec<_> = parsed.problems.iter().map(|problem| &problem.message).collect();
    assert!(problems.is_empty(), "{problems:?} in\n{text}");
    let network = Network::of(Arc::new(parsed.plan));
    let (assessment, report) = (assess(&network), Report::of(&network));
    Told { network, assessment, report }
}

impl Told {
    /// Findings of a rule, as `severity subject`.
    fn of(&self, rule: &str) -> Vec<String> {
        let line =
            |finding: &Finding| format!("{} {}", finding.severity, finding.subject.path(&self.network));
        self.assessment.findings.iter().filter(|finding| finding.rule.id == rule).map(line).collect()
    }

    /// What the first finding of a rule says, and what to do.
    fn text(&self, rule: &str) -> String {
        let finding = self.assessment.findings.iter().find(|finding| finding.rule.id == rule).unwrap();
        format!("{}: {}", finding.text, finding.remedy)
    }

    fn socket(&self, id: &str) -> SocketAt {
        self.network.socket(id).unwrap()
    }

    fn circuit(&self, id: &str) -> CircuitAt {
        self.network.circuit(id).unwrap()
    }

    fn known(&self, id: &str) -> &SocketTrace {
        &self.report.sockets[self.socket(id)]
    }

    /// Ids of the circuits that a socket may be on.
    fn on(&self, id: &str) -> Vec<&str> {
        self.known(id).circuits.iter().map(|at| self.network.circuit_id(at).as_str()).collect()
    }

    fn day(&self) -> &SetupUse {
        &self.assessment.setups[self.network.setup("day").unwrap()]
    }

    fn rcd(&self, id: &str) -> &RcdUse {
        &self.day().rcds[self.network.rcd(id).unwrap()]
    }

    /// Certain and possible amps of a circuit.
    fn amps(&self, id: &str) -> (f64, f64) {
        let used = &self.day().circuits[self.circuit(id)];
        (used.amps.0, used.possible.0)
    }

    #[track_caller]
    fn room(&self, id: &str, low: f64, high: Option<f64>) {
        let room = self.rcd(id).room.room;
        assert_eq!((room.low.0, room.high.map(|high| high.0)), (low, high));
    }

    fn stories(&self) -> String {
        self.report.stories.iter().map(|story| words::story(&self.network, story) + "\n").collect()
    }

    fn base_load(&self) -> &ampwalk_core::trace::room::BaseLoadLeaks {
        let load = self.report.stories.iter().find_map(|story| match story {
            Story::BaseLoad(leaks) => Some(leaks),
            _ => None,
        });
        load.unwrap()
    }
}

#[track_caller]
fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() < 1e-6, "{got}, worked out as {expected}");
}

#[track_caller]
fn says(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "`{part}` in: {text}");
    }
}
