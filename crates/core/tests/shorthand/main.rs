//! Lines of one entry each: what they are echoed as, what they write into the plan, and their laws.

#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]

mod examples;
mod laws;
mod slips;

use ampwalk_core::edit::{Edit, Table, apply};
use ampwalk_core::file::{Gravity, parse};
use ampwalk_core::plan::Plan;
use ampwalk_core::shorthand::{Line, Subject, read};

/// A plan with a bit of everything, in Australia; an invented place.
const HOUSE: &str = r#"ampwalk = 1

[location]
region = "au"
board = "found"

[supply.house]
kind = "mains"
limit_a = 63

[supply.yard]
kind = "mains"
wiring = "star"

[rcd.RA]
rated_ma = 30

[rcd.PR1]
rated_ma = 30
class = "portable"

[circuit.P1]
supply = "house"
breaker_a = 20

[circuit.P2]
supply = "house"
breaker_a = 20
rcd = "RA"
base = [{ name = "fridge", amps = 0.65, leak_ma = 8 }, { name = "clock and hood", amps = 1.35 }]

[floor.ground]
level = 0
name = "Ground floor"

[room.living]
floor = "ground"
name = "Living room"

[room.dining]
floor = "ground"
name = "Dining room"
box = [7, 5, 4, 4]

[socket.G1]
room = "living"
circuit = "P1"
test = "ok"
ramp = { held_ma = 10, tripped_ma = 15 }

[socket.g4]
room = "living"

[socket.G4]
room = "dining"

[head.A]
class = "discharge-2k5"
socket = "G1"
leads = ["b20"]

[head.B]
class = "led-600"

[cable.b20]
length_m = 20
mm2 = 2.5

[block.four]
ways = 4

[setup.day]
minutes = 240
on = ["A", "B"]

[[trace]]
off = "P2"
dead = ["G4"]
"#;

const SOCKET: Subject = Subject::Entry(Table::Socket);
const HEAD: Subject = Subject::Entry(Table::Head);
const CIRCUIT: Subject = Subject::Entry(Table::Circuit);

fn house() -> Plan {
    parse(HOUSE).plan
}

fn line(subject: Subject, text: &str) -> Line {
    read(&house(), subject, text)
}

/// The text of a plan after a line.
fn entered(plan: &str, subject: Subject, text: &str) -> String {
    let line = read(&parse(plan).plan, subject, text);
    let edit = line.edit().unwrap_or_else(|why| panic!("{text}: {} {}", line.echo(), why.message));
    after(plan, &edit)
}

fn after(plan: &str, edit: &Edit) -> String {
    let change = apply(plan, edit).unwrap_or_else(|why| panic!("{edit:?}: {} {}", why.message, why.remedy));
    change.apply(plan)
}

/// What is wrong with a plan, notes apart.
fn errors(text: &str) -> Vec<String> {
    let problems = parse(text).problems.into_iter();
    problems.filter(|one| one.gravity == Gravity::Error).map(|one| one.message).collect()
}
