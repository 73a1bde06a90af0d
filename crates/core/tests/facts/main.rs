//! What the assessment says of the smallest plans that show each rule.
//!
//! Ramp-test facts are common practice, no source. Bands of RCDs: IEC 61008-1; of ground-fault
//! interrupters: UL 943; the continuous load: NEC 210.20(A); the 30 % share: BS 7671 531.3.2.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

mod amps;
mod boxes;
mod breakers;
mod generator;
mod inrush;
mod leads;
mod leakage;
mod neutrals;
mod outlets;
mod ramps;
mod side_by_side;
mod stations;
mod supplies;
mod tester;
mod untraced;

use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Hand, Outlook, RcdUse, SetupUse, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

/// A house of one circuit, one socket, one head and one setup; each field is lines of its table.
struct House<'a> {
    region: &'a str,
    location: &'a str,
    supply: &'a str,
    rcd: &'a str,
    circuit: &'a str,
    socket: &'a str,
    head: &'a str,
    setup: &'a str,
    more: &'a str,
}

/// A corrected 1.2 kW discharge head: 1350/(230·0.98) = 5.9894 A, q 3.5 mA, x 10 mA.
const DISCHARGE: &str = "class = \"discharge-1k2\"\nsocket = \"G1\"";

const LEADS: &str = "[cable.c]\nlength_m = 10\nmm2 = 1.5\ncount = 2\n[cable.d]\nlength_m = 1\nmm2 = 1.5";

impl Default for House<'_> {
    fn default() -> Self {
        Self {
            region: "au",
            location: "",
            supply: "kind = \"mains\"",
            rcd: "rated_ma = 30",
            circuit: "supply = \"house\"\nbreaker_a = 20\nrcd = \"RA\"",
            socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 25, tripped_ma = 30 }",
            head: DISCHARGE,
            setup: "minutes = 60\non = [\"A\"]",
            more: "",
        }
    }
}

/// A plan, assessed.
#[derive(Debug)]
struct Found {
    network: Network,
    assessment: Assessment,
}

impl House<'_> {
    fn assess(&self) -> Found {
        found(&format!(
            "ampwalk = 1\n[location]\nregion = \"{}\"\nboard = \"found\"\n{}\n[supply.house]\n{}\n[rcd.RA]\n{}\n\
             [circuit.P1]\n{}\n[floor.ground]\nlevel = 0\n[room.in]\nfloor = \"ground\"\n\
             [room.out]\nfloor = \"ground\"\noutdoor = true\n[room.bath]\nfloor = \"ground\"\nwet = true\n\
             [socket.G1]\nroom = \"in\"\n{}\n[head.A]\n{}\n[setup.s]\n{}\n{}",
            self.region,
            self.location,
            self.supply,
            self.rcd,
            self.circuit,
            self.socket,
            self.head,
            self.setup,
            self.more
        ))
    }
}

fn found(text: &str) -> Found {
    let parsed = parse(text);
    let problems: Vec<_> = parsed.problems.iter().map(|problem| &problem.message).collect();
    assert!(problems.is_empty(), "{problems:?} in\n{text}");
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    Found { network, assessment }
}

impl Found {
    /// All findings as `severity rule subject`, worst first.
    fn all(&self) -> Vec<String> {
        let line = |finding: &ampwalk_core::assess::Finding| {
            format!("{} {} {}", finding.severity, finding.rule.id, finding.subject.path(&self.network))
        };
        self.assessment.findings.iter().map(line).collect()
    }

    /// The findings of one rule.
    fn of(&self, rule: &str) -> Vec<String> {
        self.all().into_iter().filter(|line| line.split(' ').nth(1) == Some(rule)).collect()
    }

    #[track_caller]
    fn is(&self, rule: &str, wanted: &[&str]) {
        assert_eq!(self.of(rule), wanted, "all: {:#?}", self.all());
    }

    fn text(&self, rule: &str) -> &str {
        &self.assessment.findings.iter().find(|finding| finding.rule.id == rule).unwrap().text
    }

    fn setup(&self, id: &str) -> &SetupUse {
        &self.assessment.setups[self.network.setup(id).unwrap()]
    }

    fn rcd(&self, id: &str) -> &RcdUse {
        &self.setup("s").rcds[self.network.rcd(id).unwrap()]
    }

    /// Certain and possible amps of a circuit.
    fn amps(&self, id: &str) -> (f64, f64) {
        let used = &self.setup("s").circuits[self.network.circuit(id).unwrap()];
        (used.amps.0, used.possible.0)
    }

    fn limit(&self, setup: &str, id: &str) -> f64 {
        self.setup(setup).circuits[self.network.circuit(id).unwrap()].limit.0
    }

    #[track_caller]
    fn room(&self, id: &str, low: f64, high: f64) {
        let room = self.rcd(id).room.room;
        near(room.low.0, low);
        near(room.high.unwrap().0, high);
    }
}

#[track_caller]
fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 0.005, "{got}, worked out as {wanted}");
}

#[track_caller]
fn near_both(got: (f64, f64), wanted: (f64, f64)) {
    near(got.0, wanted.0);
    near(got.1, wanted.1);
}

fn ramp(steps: &str) -> Found {
    let socket = format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {{ {steps} }}");
    House { socket: &socket, ..House::default() }.assess()
}

fn heads(region: &str, socket: &str, heads: &[&str], more: &str) -> Found {
    let socket =
        format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {{ held_ma = 25, tripped_ma = 30 }}\n{socket}");
    let names = ["A", "B", "C", "D"];
    let on: Vec<String> = names[..heads.len()].iter().map(|name| format!("\"{name}\"")).collect();
    let setup = format!("minutes = 60\non = [{}]", on.join(", "));
    let mut more = more.to_owned();
    for (name, head) in names.iter().zip(heads).skip(1) {
        more = format!("{more}\n[head.{name}]\nsocket = \"G1\"\n{head}");
    }
    let first = format!("socket = \"G1\"\n{}", heads[0]);
    let circuit = "supply = \"house\"\nbreaker_a = 63\nrcd = \"RA\"";
    House { region, circuit, socket: &socket, head: &first, setup: &setup, more: &more, ..House::default() }
        .assess()
}
