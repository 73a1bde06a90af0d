use crate::id::OutletId;
use crate::library::{Outlet, OutletUse, RegionCode, library};
use crate::unit::Amps;

fn outlet(id: &str) -> &'static Outlet {
    library().outlets.get(id).unwrap_or_else(|| panic!("no outlet {id}"))
}

fn fits(plug: &str, socket: &str) -> bool {
    outlet(socket).accepts(&OutletId::from(plug))
}

#[test]
fn the_outlets_that_a_plan_may_count_on_are_there() {
    for id in [
        "au-10",
        "au-15",
        "au-20",
        "au-32",
        "uk-13",
        "uk-shaver",
        "eu-16",
        "it-10",
        "it-16",
        "us-15",
        "us-20",
        "us-240-30",
        "us-240-50",
        "jp-15",
        "cee-16",
        "cee-32",
        "cee-63",
        "cee-16-3",
        "cee-32-3",
    ] {
        assert!(library().outlets.contains_key(id), "{id}");
    }
}

#[test]
fn every_outlet_accepts_its_own_plug() {
    for (id, outlet) in &library().outlets {
        assert!(outlet.accepts(id), "{id}");
    }
}

#[test]
fn an_outlet_takes_known_plugs_only_and_names_none_twice() {
    for (id, outlet) in &library().outlets {
        for (at, plug) in outlet.takes.iter().enumerate() {
            assert!(library().outlets.contains_key(plug), "{id} takes {plug}");
            assert!(!outlet.takes[..at].contains(plug), "{id} takes {plug} twice");
        }
    }
}

#[test]
fn no_plug_goes_into_an_outlet_of_other_volts_or_lines() {
    // Two-pin plugs of the world go into a shaver outlet, which has a 115 V winding for them.
    for (id, outlet) in &library().outlets {
        for plug in &outlet.takes {
            let other = &library().outlets[plug];
            let shaver = outlet.usage == OutletUse::Shaver;
            assert_eq!(other.lines, outlet.lines, "{id} takes {plug}");
            assert!(shaver || other.volts == outlet.volts, "{id} takes {plug} of other volts");
        }
    }
}

#[test]
fn a_plug_is_never_rated_over_an_outlet_that_it_goes_into() {
    // Save where old two-pin, Danish and shaver outlets take plugs that could carry more, and where the
    // supply of a marked outlet is not known: there the outlet's own amps are the limit.
    for (id, outlet) in &library().outlets {
        if outlet.usage != OutletUse::General || matches!(id.as_str(), "eu-10-2" | "dk-13") {
            continue;
        }
        for plug in &outlet.takes {
            let other = &library().outlets[plug];
            assert!(!other.amps.is_over(outlet.amps), "{id} takes {plug}");
        }
    }
}

#[test]
fn smaller_plugs_go_into_larger_outlets_and_not_the_reverse() {
    // AS/NZS 3112: one-way compatible, 10 < 15 < 20 < 25 < 32. NEMA WD 6: T slots. JIS C 8303: the
    // same. CEI 23-50: an outlet with both spacings.
    for (smaller, larger) in [
        ("au-10", "au-15"),
        ("au-10", "au-32"),
        ("au-15", "au-20"),
        ("au-20", "au-25"),
        ("au-25", "au-32"),
        ("au-10-2", "au-10"),
        ("us-15", "us-20"),
        ("us-15-2", "us-15"),
        ("us-240-15", "us-240-20"),
        ("jp-15", "jp-15-earthed"),
        ("jp-15-earthed", "jp-20"),
        ("jp-15-200", "jp-20-200"),
        ("eu-2a5", "eu-16"),
        ("eu-16-2", "eu-16"),
        ("it-10", "it-10-16"),
        ("it-16", "it-10-16"),
        ("eu-16", "it-16-eu"),
        ("ch-10", "ch-16"),
    ] {
        assert!(fits(smaller, larger), "{smaller} into {larger}");
        assert!(!fits(larger, smaller), "{larger} into {smaller}");
    }
}

#[test]
fn kinds_that_do_not_mix_do_not_fit() {
    // CEI 23-50, BS 546, IEC 60309-2, NEMA WD 6: keyed by size and spacing.
    for (one, other) in [
        ("it-10", "it-16"),
        ("eu-16", "it-16"),
        ("uk-13", "uk-15"),
        ("uk-5", "uk-15"),
        ("us-240-30", "us-240-50"),
        ("us-240-30", "us-240-30-old"),
        ("us-15", "us-20-pin"),
        ("us-30", "us-30-lock"),
        ("cee-16", "eu-16"),
        ("cee-16", "cee-16-110"),
        ("jp-15", "us-15"),
    ] {
        assert!(!fits(one, other), "{one} into {other}");
        assert!(!fits(other, one), "{other} into {one}");
    }
}

#[test]
fn industrial_outlets_take_their_own_plug_only() {
    let industrial: Vec<_> =
        library().outlets.iter().filter(|(id, _)| id.as_str().starts_with("cee-")).collect();
    assert!(industrial.len() >= 8);
    for (id, outlet) in industrial {
        assert_eq!(outlet.takes, std::slice::from_ref(id), "{id}");
    }
}

#[test]
fn amps_and_plates_are_as_published() {
    // AU double 20 A in all: from memory. BS 1363-2 twin 20 A in all. EU, IT 16, JP 15: from memory.
    for (id, amps, plate) in [
        ("au-10", 10.0, Some(20.0)),
        ("au-15", 15.0, None),
        ("uk-13", 13.0, Some(20.0)),
        ("eu-16", 16.0, Some(16.0)),
        ("it-10", 10.0, Some(16.0)),
        ("it-16", 16.0, Some(16.0)),
        ("us-15", 15.0, Some(20.0)),
        ("us-20", 20.0, Some(20.0)),
        ("jp-15", 15.0, Some(15.0)),
        ("cee-63", 63.0, None),
    ] {
        let outlet = outlet(id);
        assert_eq!(outlet.amps, Amps(amps), "{id}");
        assert_eq!(outlet.plate_amps, plate.map(Amps), "{id}");
    }
}

#[test]
fn only_the_13_a_plug_has_a_fuse() {
    // BS 1362.
    for (id, outlet) in &library().outlets {
        let fuse = (id.as_str() == "uk-13").then_some(Amps(13.0));
        assert_eq!(outlet.plug_fuse_a, fuse, "{id}");
    }
}

#[test]
fn volts_are_of_the_outlet_s_lines_and_regions() {
    for (id, outlet) in &library().outlets {
        assert!(!outlet.regions.is_empty(), "{id} is nowhere");
        if id.as_str().ends_with("-110") {
            continue; // the transformer of a building site
        }
        for region in &outlet.regions {
            let nominal = region.region().volts.0;
            // Star: times the root of 3; split: twice. 400, 208, 200 and 240 are the names for it.
            let expected: &[f64] = match (outlet.lines, region) {
                (1, _) => &[nominal],
                (2, RegionCode::Us | RegionCode::Ca) => &[240.0],
                (3, RegionCode::Us | RegionCode::Ca) => &[208.0],
                (2 | 3, RegionCode::Jp) => &[200.0],
                (3, _) => &[400.0],
                _ => &[],
            };
            assert!(expected.contains(&outlet.volts.0), "{id} in {region}");
        }
    }
}

#[test]
fn earth_and_polarity_are_the_trade_s() {
    // BS 1363, AS/NZS 3112, NEMA 5-15: one way in. CEE 7, CEI 23-50: either way. Two-pin Japanese: no earth.
    for (id, polarised, earthed) in [
        ("au-10", true, true),
        ("uk-13", true, true),
        ("us-15", true, true),
        ("cee-16", true, true),
        ("eu-16", false, true),
        ("it-10", false, true),
        ("it-16", false, true),
        ("jp-15", false, false),
        ("jp-15-earthed", true, true),
        ("us-15-2", false, false),
        ("us-240-30-old", true, false),
        ("eu-10-2", false, false),
        ("uk-shaver", false, false),
    ] {
        let outlet = outlet(id);
        assert_eq!((outlet.polarised, outlet.earthed), (polarised, earthed), "{id}");
    }
}

#[test]
fn an_earthed_outlet_keeps_the_earth_of_every_earthed_plug() {
    // An earthed plug goes into an outlet without earth in one known case: old round outlets (CEE 7/1).
    for (id, outlet) in library().outlets.iter().filter(|(_, it)| !it.earthed) {
        for plug in &outlet.takes {
            let loses_its_earth = library().outlets[plug].earthed;
            assert!(!loses_its_earth || id.as_str() == "eu-10-2", "{id} takes {plug}");
        }
    }
}

#[test]
fn shaver_medical_and_clean_outlets_are_marked() {
    for (id, outlet) in &library().outlets {
        let text = id.as_str();
        let expected = if text.ends_with("shaver") {
            OutletUse::Shaver
        } else if text.ends_with("medical") {
            OutletUse::Medical
        } else if text.ends_with("ups") {
            OutletUse::Ups
        } else {
            OutletUse::General
        };
        assert_eq!(outlet.usage, expected, "{id}");
    }
    for (_, code) in RegionCode::WORDS {
        for usage in [OutletUse::Medical, OutletUse::Ups] {
            let marked = library()
                .outlets
                .values()
                .find(|outlet| outlet.usage == usage && outlet.regions.contains(&code));
            let marked = marked.unwrap_or_else(|| panic!("no {usage:?} outlet in {code}"));
            // What makes them a trap: the everyday plug goes in.
            assert!(marked.accepts(&code.region().outlet), "{usage:?} in {code}");
        }
    }
}

#[test]
fn every_outlet_names_its_source_and_its_lines() {
    for (id, outlet) in &library().outlets {
        assert!(super::says_something(&outlet.source), "{id}");
        assert!((1..=3).contains(&outlet.lines), "{id}");
        assert!(outlet.amps.0 > 0.0, "{id}");
        let legal = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        assert!(id.as_str().chars().all(legal), "{id}");
    }
}
