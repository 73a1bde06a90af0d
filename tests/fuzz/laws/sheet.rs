//! A sheet from a spreadsheet: taken in whole or refused with places; what it does goes back, leaves a good
//! plan, and taken in twice changes nothing more.

use ampwalk_core::file::parse;
use ampwalk_core::import::{Sheet, import};

use super::plan::{are_told, goes_back, is_good};
use crate::seeds::HOUSE;

/// Takes bytes into the small house as a sheet, and holds it to the laws.
pub fn check(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    for what in [None, Some(Sheet::Sockets), Some(Sheet::Heads)] {
        // By one of the three for most inputs: they take long, and read alike.
        if bytes.len() % 4 != what.map_or(0, |sheet| sheet.word().len() % 4) {
            continue;
        }
        let done = import(HOUSE, &text, what);
        assert!(import(HOUSE, &text, what) == done, "taken in twice it says two things");
        match done {
            Err(refused) => {
                assert!(!refused.is_empty(), "refused without a reason");
                for one in refused {
                    assert!(one.line >= 1 && one.column >= 1, "{one:?}");
                    are_told([&one.message, &one.remedy]);
                }
            }
            Ok(done) => {
                let after = goes_back(HOUSE, &done.change);
                assert!(is_good(&parse(&after)), "the plan is wrong with it: {:?}", parse(&after).problems);
                let again = import(&after, &text, what).unwrap_or_else(|refused| panic!("{refused:?}"));
                assert!(again.change.is_empty(), "taken in again it changes {:?}", again.change);
            }
        }
    }
}
