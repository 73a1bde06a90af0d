//! The load sheet: what every circuit carries in a setup, and what is left on it.
//!
//! Not on it, because no plan says it: the circuit's way on the board.

mod circuits;
mod rcds;
mod supplies;

use ampwalk_core::assess::Assessment;
use ampwalk_core::network::{Network, SetupAt};

use crate::basis;
use crate::frame::{Source, bare, caution, fields, listed, no_setup, state};
use crate::sheet::{Kind, Sheet};

/// The load sheet of a setup: a row for every circuit, and footers for every RCD, line and supply.
/// `assessment` is that of `network`. Without a setup, or with one that the plan has not, the tables
/// are empty and a note says why.
#[must_use]
pub fn load_sheet(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> Sheet {
    let source = Source::of(network, assessment, setup);
    let mut notes = no_setup(source);
    notes.extend(explained(network));
    let words = &network.region.words;
    Sheet {
        title: "Load sheet, circuit by circuit".to_owned(),
        fields: fields(network, source),
        tables: vec![
            circuits::table(words, source),
            rcds::table(words, source),
            supplies::line_table(words, source),
            supplies::table(source),
        ],
        notes,
        ..bare(network, Kind::Load, source)
    }
}

fn explained(network: &Network) -> Vec<String> {
    let words = &network.region.words;
    let rcd = &words.rcd;
    vec![
        "A \"-\" says nothing. \"May be\" counts heads on untraced sockets on every circuit that they may be \
         on, and what others may draw; used and left are reckoned with it. k is the share of the breaker's \
         rating that may be used. Watts left are at power factor 1. What is left is rounded down."
            .to_owned(),
        format!(
            "State is the worst finding about the row's own parts: clear, note, risk, dark, danger. The {rcd} of a \
             circuit is the one with least left. Holds: leakage that it surely holds; drops at: leakage that \
             surely drops it; left: what it surely holds less the peak while striking. A set's kVA are of \
             its plate; what height and heat take from it is in its state."
        ),
        caution(network),
    ]
}
