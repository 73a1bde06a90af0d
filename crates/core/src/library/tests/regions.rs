use crate::library::{ContractGrace, LengthWord, Region, RegionCode, library};
use crate::plan::{Curve, RcdClass};
use crate::unit::{Amps, MilliAmps, Minutes};

const FIELDS: [&str; 18] = [
    "continuous_factor",
    "contract_grace",
    "curve",
    "decimal",
    "drop_lighting_percent",
    "drop_other_percent",
    "hertz",
    "lowest_volts",
    "must_trip_ma",
    "name",
    "outlet",
    "paper",
    "rcd_class",
    "rcd_rated_ma",
    "smallest_breaker_a",
    "sockets_need_rcd",
    "volts",
    "words",
];

fn all() -> impl Iterator<Item = (RegionCode, &'static Region)> {
    RegionCode::WORDS.iter().map(|(_, code)| (*code, code.region()))
}

fn is_north_american(code: RegionCode) -> bool {
    matches!(code, RegionCode::Us | RegionCode::Ca)
}

#[test]
fn every_region_is_there_once() {
    let codes: Vec<RegionCode> = library().regions.keys().copied().collect();
    assert_eq!(codes, RegionCode::WORDS.map(|(_, code)| code));
}

#[test]
fn every_field_of_every_region_names_its_source() {
    for (code, region) in all() {
        let named: Vec<&str> = region.sources.keys().map(String::as_str).collect();
        assert_eq!(named, FIELDS, "{code}");
        for (field, source) in &region.sources {
            assert!(super::says_something(source), "{code} {field}: {source}");
        }
    }
}

#[test]
fn no_field_of_the_file_is_without_a_source() {
    let file: toml::Table = toml::from_str(include_str!("../../../../../assets/regions.toml")).unwrap();
    for (code, region) in &file {
        for field in region.as_table().unwrap().keys() {
            assert!(field == "sources" || FIELDS.contains(&field.as_str()), "{code} {field}");
        }
    }
}

#[test]
fn a_region_s_everyday_outlet_is_found_there_and_has_its_volts() {
    for (code, region) in all() {
        let outlet = &library().outlets[&region.outlet];
        assert!(outlet.regions.contains(&code), "{code}");
        assert_eq!(outlet.volts, region.volts, "{code}");
        assert_eq!(outlet.lines, 1, "{code}");
    }
}

#[test]
fn everyday_outlets_volts_and_breakers_are_the_region_s() {
    // Volts: IEC 60038, ANSI C84.1, JP 100 V. Breakers: from memory (a UK ring is seen as 20 A).
    #[rustfmt::skip]
    let table = [
        (RegionCode::Au, "au-10", 230.0, 16.0, Curve::C),
        (RegionCode::Nz, "au-10", 230.0, 16.0, Curve::C),
        (RegionCode::Uk, "uk-13", 230.0, 20.0, Curve::B),
        (RegionCode::Ie, "uk-13", 230.0, 20.0, Curve::B),
        (RegionCode::Eu, "eu-16", 230.0, 10.0, Curve::B),
        (RegionCode::It, "it-16", 230.0, 10.0, Curve::C),
        (RegionCode::Us, "us-15", 120.0, 15.0, Curve::Ul),
        (RegionCode::Ca, "us-15", 120.0, 15.0, Curve::Ul),
        (RegionCode::Jp, "jp-15", 100.0, 15.0, Curve::Ul),
    ];
    for (code, outlet, volts, breaker, curve) in table {
        let region = code.region();
        assert_eq!(region.outlet.as_str(), outlet, "{code}");
        assert!((region.volts.0 - volts).abs() < 1e-9, "{code}");
        assert_eq!(region.smallest_breaker_a, Amps(breaker), "{code}");
        assert_eq!(region.curve, curve, "{code}");
    }
}

#[test]
fn the_lowest_mains_is_what_each_grid_may_deliver() {
    // AS 60038 216.2 V; NZ regulations 216.2 V; ESQCR 216.2 V; EN 50160 207 V; ANSI C84.1 range A
    // service 114 V; CSA C235 110 V, from memory; Japan 95 V.
    for (code, volts) in [
        (RegionCode::Au, 216.2),
        (RegionCode::Nz, 216.2),
        (RegionCode::Uk, 216.2),
        (RegionCode::Ie, 207.0),
        (RegionCode::Eu, 207.0),
        (RegionCode::It, 207.0),
        (RegionCode::Us, 114.0),
        (RegionCode::Ca, 110.0),
        (RegionCode::Jp, 95.0),
    ] {
        let region = code.region();
        let lowest = region.volts.0 * region.lowest_volts;
        assert!((lowest - volts).abs() < 0.05, "{code}: {lowest}");
    }
}

#[test]
fn residual_devices_follow_iec_61008_and_ul_943() {
    for (code, region) in all() {
        if is_north_american(code) {
            // UL 943 class A: must trip at 6 mA; in a ramp the first step is 10.
            assert_eq!(region.rcd_class, RcdClass::Gfci, "{code}");
            assert_eq!(region.rcd_rated_ma, MilliAmps(6.0), "{code}");
            assert_eq!(region.must_trip_ma, MilliAmps(10.0), "{code}");
            assert!(!region.sockets_need_rcd, "{code}");
        } else {
            assert_eq!(region.rcd_class, RcdClass::Rcd, "{code}");
            assert_eq!(region.rcd_rated_ma, MilliAmps(30.0), "{code}");
            assert!(region.sockets_need_rcd, "{code}");
            // Common practice, no source: AU and NZ crews ramp on to 35.
            let expected = match code {
                RegionCode::Au | RegionCode::Nz => 35.0,
                _ => 30.0,
            };
            assert_eq!(region.must_trip_ma, MilliAmps(expected), "{code}");
        }
    }
}

#[test]
fn only_north_america_keeps_a_fifth_back_for_long_setups() {
    // NEC 210.20(A); Canadian Electrical Code 8-104, from memory.
    for (code, region) in all() {
        let expected = is_north_american(code).then_some(0.8);
        assert_eq!(region.continuous_factor, expected, "{code}");
    }
}

#[test]
fn only_italy_grants_more_than_the_contract() {
    // Public press and grid pages, for the contract of 3 kW.
    for (code, region) in all() {
        let expected: &[ContractGrace] = if code == RegionCode::It {
            &[
                ContractGrace { times: 1.10, minutes_a_day: None },
                ContractGrace { times: 1.33, minutes_a_day: Some(Minutes(180.0)) },
            ]
        } else {
            &[]
        };
        assert_eq!(region.contract_grace, expected, "{code}");
    }
}

#[test]
fn published_drops_are_three_and_five_percent_where_iec_60364_5_52_holds() {
    // IEC 60364-5-52 Table G.52.1, BS 7671 appendix 4; AS/NZS 3000 3.6.2: 5 % whatever it feeds.
    for (code, lighting) in [
        (RegionCode::Uk, 3.0),
        (RegionCode::Ie, 3.0),
        (RegionCode::Eu, 3.0),
        (RegionCode::Au, 5.0),
        (RegionCode::Nz, 5.0),
    ] {
        let region = code.region();
        assert!((region.drop_lighting_percent - lighting).abs() < 1e-9, "{code}");
        assert!((region.drop_other_percent - 5.0).abs() < 1e-9, "{code}");
    }
    // NEC 210.19(A) and 215.2(A), advice, and what Canada takes over: 3 + 3, 5 % in all; Japan 2 + 2 % (from
    // memory); Italy 4 % (CEI 64-8, from memory).
    for (code, total) in
        [(RegionCode::Us, 5.0), (RegionCode::Ca, 5.0), (RegionCode::Jp, 4.0), (RegionCode::It, 4.0)]
    {
        let region = code.region();
        for percent in [region.drop_lighting_percent, region.drop_other_percent] {
            assert!((percent - total).abs() < 1e-9, "{code}");
        }
    }
    for (code, region) in all() {
        assert!(region.drop_lighting_percent <= region.drop_other_percent, "{code}");
    }
}

#[test]
fn frequencies_are_50_or_60_and_both_in_japan() {
    for (code, region) in all() {
        let expected: &[f64] = match code {
            RegionCode::Us | RegionCode::Ca => &[60.0],
            RegionCode::Jp => &[50.0, 60.0],
            _ => &[50.0],
        };
        assert_eq!(region.hertz, expected, "{code}");
    }
}

#[test]
fn crews_read_the_words_of_their_region() {
    // The trade's words, from memory.
    for (code, active, earth, socket, rcd, board, length) in [
        (RegionCode::Au, "active", "earth", "power point", "RCD", "switchboard", LengthWord::Metres),
        (RegionCode::Uk, "line", "earth", "socket", "RCD", "consumer unit", LengthWord::Metres),
        (RegionCode::Us, "hot", "ground", "outlet", "GFCI", "panel", LengthWord::Feet),
        (RegionCode::Ca, "hot", "ground", "outlet", "GFCI", "panel", LengthWord::Feet),
    ] {
        let words = &code.region().words;
        assert_eq!(
            [&words.active, &words.earth, &words.socket, &words.rcd, &words.board],
            [active, earth, socket, rcd, board],
            "{code}"
        );
        assert_eq!(words.length, length, "{code}");
    }
    assert_eq!(RegionCode::Au.region().words.rcd_long, "safety switch");
}

#[test]
fn no_word_is_empty_and_active_is_never_called_neutral() {
    for (code, region) in all() {
        let words = &region.words;
        for word in [
            &words.active,
            &words.neutral,
            &words.earth,
            &words.socket,
            &words.rcd,
            &words.rcd_long,
            &words.board,
            &words.line,
            &words.lead,
        ] {
            assert!(!word.trim().is_empty(), "{code}");
        }
        // Sentences set these side by side.
        assert_ne!(words.active, words.neutral, "{code}");
        assert_ne!(words.active, words.line, "{code}");
    }
}
