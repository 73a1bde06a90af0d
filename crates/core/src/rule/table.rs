//! The table of rules, in the order in which findings of one severity are told.

use super::Check::{Circuit, Head, Location, Rcd, Setup, Socket, Supply};
use super::{
    Rule, battery, cable, circuit, earth_loop, generator, head, inrush, location, neutral, rcd, setup,
    socket, supply,
};

pub(super) const PLATE_OVER: &str = "plate-over";
pub(super) const NEUTRAL_OVER: &str = "neutral-over";
/// The one rule on what shared leads take from a head.
pub(crate) const DROP_HIGH: &str = "drop-high";

/// Every rule.
pub static RULES: &[Rule] = &[
    Rule {
        id: "socket-unsafe",
        severity: "danger; note or risk on outlets that are not polarised or have no earth",
        fires: "a head is on a socket whose test is not ok, a small floating generator apart",
        remedy: "unplug it; nobody uses the socket; tell the owner",
        source: "HSE: a plug-in tester shows wrong wiring, not a poor earth; the generator exception is common practice, no source",
        checks: &[Socket(socket::socket_unsafe)],
    },
    Rule {
        id: "socket-banned",
        severity: "danger",
        fires: "a head is on a socket with a ban, or on a shaver, medical or UPS outlet",
        remedy: "another socket",
        source: "common practice, no source",
        checks: &[Socket(socket::socket_banned)],
    },
    Rule {
        id: "outlet-over",
        severity: "danger",
        fires: "a head, or all on a block, draws more than outlet, plugs or plug fuses carry, or a plug does not fit",
        remedy: "a larger outlet, with plug and lead to match",
        source: "the outlet's own standard: AS/NZS 3112, BS 1363 and BS 1362, CEE 7, NEMA WD 6, IEC 60309 (from memory)",
        checks: &[Head(head::outlet_over), Socket(socket::outlet_over)],
    },
    Rule {
        id: PLATE_OVER,
        severity: "danger",
        fires: "the sum on one plate is over its total",
        remedy: "move a head to another plate",
        source: "BS 1363-2: 20 A for a twin; other kinds typical, from memory",
        checks: &[Socket(socket::plate_over)],
    },
    Rule {
        id: "volts-wrong",
        severity: "danger",
        fires: "a head's volts are not its socket's, by more than 15 %",
        remedy: "a socket with the volts that it is built for",
        source: "nameplate against nominal volts; the 15 % is ours",
        checks: &[Head(head::volts_wrong)],
    },
    Rule {
        id: "rcd-absent",
        severity: "danger; in us and ca risk unless wet, outdoors or in rain",
        fires: "no RCD is proven between a head and the supply, and no portable one is in the socket",
        remedy: "a plug-in RCD in the socket, tested that day",
        source: "IEC 60364-4-41 411.3.3, AS/NZS 3000 2.6.3 (sockets to 32 A, from memory); that a ramp to the end proves none is common practice, no source",
        checks: &[Socket(socket::rcd_absent)],
    },
    Rule {
        id: "rcd-coarse",
        severity: "as rcd-absent",
        fires: "the smallest rating in the chain is over 30 mA",
        remedy: "a plug-in 30 mA RCD in the socket, tested that day",
        source: "IEC 60364-4-41 411.3.3 (from memory)",
        checks: &[Socket(socket::rcd_coarse)],
    },
    Rule {
        id: NEUTRAL_OVER,
        severity: "danger",
        fires: "the neutral carries more than its limit, that of a line or, where circuits share it, that of the smallest of their breakers: none of them sees it",
        remedy: "move electronic heads to other lines",
        source: "IEC 60364-5-52 Annex E; the phasor sum of what meets in it",
        checks: &[Supply(neutral::neutral_over), Circuit(neutral::shared_neutral_over)],
    },
    Rule {
        id: "cable-hot",
        severity: "danger; risk where its rating is not known",
        fires: "a lead carries more than its rating as laid, one before a block with all that hangs on that",
        remedy: "a heavier lead, or unwind it",
        source: "region's flexible-cord tables",
        checks: &[Head(cable::cable_hot), Socket(cable::shared_cable_hot)],
    },
    Rule {
        id: "loop-high",
        severity: "risk with an RCD that drops over it, else danger",
        fires: "the earth-fault loop is over what the breaker and the plug fuses on the way allow",
        remedy: "a shorter or heavier lead",
        source: "BS 7671 Tables 41.2, 41.3 and 41.5, its rule taken over for ie, eu and it; AS/NZS 3000 Table 8.1; us, ca and jp have no table",
        checks: &[Head(earth_loop::loop_high)],
    },
    Rule {
        id: "wet-joint",
        severity: "danger",
        fires: "a plug or joint is outdoors in rain",
        remedy: "off the ground, under cover, splash-proof parts, and an RCD that was tested that day",
        source: "common practice, no source",
        checks: &[Head(head::wet_joint)],
    },
    Rule {
        id: "fumes",
        severity: "danger",
        fires: "a generator stands indoors; keep it 6 m from any opening",
        remedy: "outdoors, 6 m and more from doors, windows and vents",
        source: "common practice, no source",
        checks: &[Location(supply::fumes)],
    },
    Rule {
        id: "two-sources",
        severity: "danger",
        fires: "heads within 2 m of each other are on different supplies without a common earth",
        remedy: "one supply for heads that can be touched together",
        source: "common practice, no source",
        checks: &[Setup(setup::two_sources)],
    },
    Rule {
        id: "neutral-floating",
        severity: "danger in rain or with more than one class I head, else note",
        fires: "a small generator or battery station has a floating neutral",
        remedy: "one class I head at most; for more, a competent person bonds and earths it behind an RCD",
        source: "IET On-Site Guide 2.4.1, BS 7671 551.4.4 and 418.3",
        checks: &[Supply(supply::neutral_floating)],
    },
    Rule {
        id: "rcd-trips",
        severity: "dark",
        fires: "the peak while striking is at or over what drops the RCD",
        remedy: "another RCD for the head that peaks",
        source: "IEC 61008-1, UL 943, or the ramp test; ramp steps are common practice, no source",
        checks: &[Rcd(rcd::rcd_trips)],
    },
    Rule {
        id: "rcd-standing",
        severity: "dark",
        fires: "standing leakage is over what the RCD surely holds",
        remedy: "another RCD for some of the heads",
        source: "IEC 61008-1, UL 943, or the ramp test",
        checks: &[Rcd(rcd::rcd_standing)],
    },
    Rule {
        id: "breaker-over",
        severity: "dark",
        fires: "circuit amps are over the limit",
        remedy: "move heads to other circuits",
        source: "the rating; for three hours and more in us and ca 0.8 of it, NEC 210.20(A)",
        checks: &[Circuit(circuit::breaker_over)],
    },
    Rule {
        id: "main-over",
        severity: "dark; risk where untraced heads may be on the line",
        fires: "a line of the mains is over its main switch or service fuse, or may be",
        remedy: "another supply, or another setup",
        source: "the rating",
        checks: &[Supply(supply::main_over)],
    },
    Rule {
        id: "line-over",
        severity: "dark",
        fires: "a line of a generator or battery station is over its limit",
        remedy: "another line, or another supply",
        source: "the rating",
        checks: &[Supply(supply::line_over)],
    },
    Rule {
        id: "contract-over",
        severity: "dark",
        fires: "kilowatts are over the metered contract for the setup's length",
        remedy: "take heads off, or ask for more power",
        source: "public press and grid pages on the Italian 3 kW contract",
        checks: &[Supply(supply::contract_over)],
    },
    Rule {
        id: "generator-over",
        severity: "dark; risk for moments while heads run up",
        fires: "a generator or battery station is over its kVA or kW, or a battery station is over its peak or empty before the setup ends",
        remedy: "a larger set or station",
        source: "the rating",
        checks: &[Supply(generator::generator_over), Supply(battery::energy_out), Supply(battery::peak_over)],
    },
    Rule {
        id: "socket-full",
        severity: "dark",
        fires: "more plugs than ways, those of heads that are off included",
        remedy: "another socket, or a block where its rating allows",
        source: "counting",
        checks: &[Socket(socket::socket_full)],
    },
    Rule {
        id: "cable-short",
        severity: "dark",
        fires: "the leads given do not reach, or the truck has none left",
        remedy: "a longer lead from the truck, or a nearer socket",
        source: "along the walls, by the stair, 4 m a level and 2 m for the ends (ours)",
        checks: &[Head(head::cable_short), Setup(setup::stock_short)],
    },
    Rule {
        id: "dimmed",
        severity: "dark",
        fires: "a discharge or LED head is on a dimmed socket, or the heads are over the dimmer's watts",
        remedy: "a socket that no dimmer feeds",
        source: "common practice, no source",
        checks: &[Head(head::dimmed), Circuit(circuit::dimmer_over)],
    },
    Rule {
        id: "hours-out",
        severity: "dark; risk where nobody can say",
        fires: "a timed, key-card or sensor circuit is off during the setup, or may go off",
        remedy: "another circuit, or the owner overrides it",
        source: "common practice, no source",
        checks: &[Circuit(circuit::hours_out)],
    },
    Rule {
        id: "head-unplaced",
        severity: "dark",
        fires: "a head that is on has no socket",
        remedy: "pick it up and drop it on a socket that fits",
        source: "counting",
        checks: &[Setup(setup::head_unplaced)],
    },
    Rule {
        id: "rcd-may-trip",
        severity: "risk",
        fires: "the peak while striking is between what the RCD surely holds and what drops it",
        remedy: "another RCD for the head that peaks",
        source: "IEC 61008-1, UL 943, or the ramp test; the even threshold is an assumption",
        checks: &[Rcd(rcd::rcd_may_trip)],
    },
    Rule {
        id: "rcd-share",
        severity: "risk",
        fires: "standing leakage is over 30 % of the rating",
        remedy: "another RCD for some of the heads",
        source: "BS 7671 531.3.2",
        checks: &[Rcd(rcd::rcd_share)],
    },
    Rule {
        id: "rcd-untested",
        severity: "risk; danger in the wet, outdoors or in rain",
        fires: "heads are behind an RCD that was not ramp-tested",
        remedy: "ask the owner, then ramp-test from 10 mA",
        source: "common practice, no source",
        checks: &[Rcd(rcd::rcd_untested)],
    },
    Rule {
        id: "rcd-type",
        severity: "risk",
        fires: "the RCD sees alternating current only and electronic heads are behind it, or it is not type B and electronic heads on three lines are",
        remedy: "a socket behind a type A, F or B device",
        source: "BS 7671 531.3.3; where type AC may not be fitted: Australia from memory, Germany a device maker's manual",
        checks: &[Rcd(rcd::rcd_type)],
    },
    Rule {
        id: "socket-untested",
        severity: "risk; danger in the wet, outdoors or in rain",
        fires: "a head is on a socket that nobody tested",
        remedy: "test it before anything is plugged in",
        source: "common practice, no source",
        checks: &[Socket(socket::socket_untested)],
    },
    Rule {
        id: "breaker-may-over",
        severity: "risk",
        fires: "possible amps are over the limit",
        remedy: "trace the untraced sockets",
        source: "the rating",
        checks: &[Circuit(circuit::breaker_may_over), Setup(setup::no_circuit_known)],
    },
    Rule {
        id: "breaker-tight",
        severity: "risk",
        fires: "circuit amps are over 0.8 of the rating and within the limit",
        remedy: "nothing more on it",
        source: "common practice, no source",
        checks: &[Circuit(circuit::breaker_tight)],
    },
    Rule {
        id: "start-over",
        severity: "risk",
        fires: "amps reach over the rating while heads run up",
        remedy: "strike the largest first, one at a time, and let each settle",
        source: "the rating",
        checks: &[Circuit(inrush::start_over)],
    },
    Rule {
        id: "breaker-inrush",
        severity: "risk",
        fires: "inrush of heads switched together can reach the magnetic band",
        remedy: "switch on one by one",
        source: "IEC 60898-1; how much less a short pulse counts: typical, from memory; a filament by a model",
        checks: &[Circuit(inrush::breaker_inrush)],
    },
    Rule {
        id: "amps-low-volts",
        severity: "risk",
        fires: "a limit is crossed only at the region's lowest mains",
        remedy: "leave room for it",
        source: "the region's grid rules",
        checks: &[Circuit(circuit::amps_low_volts)],
    },
    Rule {
        id: "afci",
        severity: "risk",
        fires: "dimmed or cheap drivers are behind an arc-fault breaker",
        remedy: "another circuit",
        source: "common practice, no source",
        checks: &[Circuit(circuit::afci)],
    },
    Rule {
        id: "chain-long",
        severity: "risk",
        fires: "more than two leads are joined, or a block is behind a block",
        remedy: "one longer lead",
        source: "common practice, no source",
        checks: &[Head(head::chain_long)],
    },
    Rule {
        id: DROP_HIGH,
        severity: "risk; note where a lead's resistance is not known",
        fires: "over 4 % is lost on our own leads",
        remedy: "a heavier or shorter lead",
        source: "4 %: common practice, no source; light and colour: IES, from memory, 3200 K assumed; the region's total: its own source",
        checks: &[Head(cable::drop_high)],
    },
    Rule {
        id: "two-lines",
        severity: "risk",
        fires: "heads within 2 m of each other are on different lines",
        remedy: "one line for heads that can be touched together",
        source: "common practice, no source",
        checks: &[Setup(setup::two_lines)],
    },
    Rule {
        id: "label-wrong",
        severity: "risk",
        fires: "the label and the trace disagree: the trace wins",
        remedy: "trust no label here that no test proved; leave the owner's label, tell the owner",
        source: "common practice, no source",
        checks: &[Location(location::label_wrong)],
    },
    Rule {
        id: "trace-conflict",
        severity: "risk",
        fires: "traces leave a socket no circuit, or not the one given",
        remedy: "test it again: a shared neutral, a moved label, or a second board",
        source: "logic",
        checks: &[Location(location::trace_conflict)],
    },
    Rule {
        id: "ramp-conflict",
        severity: "risk",
        fires: "ramp tests of one RCD share no window; the lower one is used",
        remedy: "ramp-test again with the same things switched on; note what was",
        source: "logic",
        checks: &[Location(location::ramp_conflict)],
    },
    Rule {
        id: "generator-tight",
        severity: "risk",
        fires: "a generator or battery station is over 80 % of its rating",
        remedy: "a larger set",
        source: "common practice, no source",
        checks: &[Supply(generator::generator_tight)],
    },
    Rule {
        id: "generator-step",
        severity: "risk",
        fires: "the largest step is over what the set takes at once",
        remedy: "the largest first, or a larger set",
        source: "ISO 8528-5",
        checks: &[Supply(generator::generator_step)],
    },
    Rule {
        id: "generator-harmonics",
        severity: "risk",
        fires: "the non-linear share is over 40 %",
        remedy: "corrected heads, or a larger alternator",
        source: "common practice, no source",
        checks: &[Supply(generator::generator_harmonics)],
    },
    Rule {
        id: "generator-light",
        severity: "note",
        fires: "a diesel set runs under 30 % of its kW",
        remedy: "a smaller set",
        source: "NFPA 110 8.4.2",
        checks: &[Supply(generator::generator_light)],
    },
    Rule {
        id: "reserve-unknown",
        severity: "note",
        fires: "others use the circuit or the RCD and nobody knows how much",
        remedy: "ask them, and give the circuit its reserve_a",
        source: "common practice, no source",
        checks: &[Circuit(circuit::reserve_unknown), Rcd(rcd::reserve_unknown)],
    },
];

/// The rule of an id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id == id)
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn every_rule_has_one_id_of_its_own_and_says_all_there_is() {
        let ids: HashSet<_> = RULES.iter().map(|rule| rule.id).collect();
        assert_eq!(ids.len(), RULES.len());
        for rule in RULES {
            for text in [rule.severity, rule.fires, rule.remedy, rule.source] {
                assert!(!text.trim().is_empty(), "{}", rule.id);
            }
            assert!(!rule.checks.is_empty(), "{}", rule.id);
        }
    }
}
