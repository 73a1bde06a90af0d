use crate::id::ClassId;
use crate::library::{HeadClass, HeadFamily, library};
use crate::plan::{EarthClass, Load, Spectrum};
use crate::unit::{Amps, Volts, Watts};

fn class(id: &str) -> &'static HeadClass {
    library().heads.get(id).unwrap_or_else(|| panic!("no class {id}"))
}

/// Watts, power factor, standing, idle and strike leakage in mA, start factor, restrike in minutes.
/// Typical, from memory; strike leakage: common practice, no source.
type Row = (&'static str, [f64; 7]);

#[rustfmt::skip]
const CLASSES: [Row; 33] = [
    ("tungsten-300",         [  300.0, 1.00,  0.3, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-650",         [  650.0, 1.00,  0.3, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-1k",          [ 1000.0, 1.00,  0.3, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-2k",          [ 2000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-5k",          [ 5000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-10k",         [10000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
    ("tungsten-20k",         [20000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
    ("discharge-575",        [  650.0, 0.98,  2.0, 1.2, 10.0, 1.0,  8.0]),
    ("discharge-1k2",        [ 1350.0, 0.98,  3.5, 1.2, 10.0, 1.0,  8.0]),
    ("discharge-1k8",        [ 1960.0, 0.98,  3.5, 1.2, 10.0, 1.0,  8.0]),
    ("discharge-2k5",        [ 2700.0, 0.98,  4.0, 1.2, 10.0, 1.0, 10.0]),
    ("discharge-4k",         [ 4300.0, 0.98,  5.0, 1.2, 10.0, 1.0, 12.0]),
    ("discharge-6k",         [ 6450.0, 0.98,  5.0, 1.2, 10.0, 1.0, 15.0]),
    ("discharge-9k",         [ 9600.0, 0.98,  5.0, 1.2, 10.0, 1.0, 15.0]),
    ("discharge-12k",        [12750.0, 0.98,  5.0, 1.2, 10.0, 1.0, 15.0]),
    ("discharge-18k",        [19150.0, 0.98,  5.0, 1.2, 10.0, 1.0, 15.0]),
    ("discharge-575-plain",  [  650.0, 0.60, 16.5, 1.2,  0.0, 1.0, 10.0]),
    ("discharge-1k2-plain",  [ 1350.0, 0.60, 16.5, 1.2,  0.0, 1.0, 10.0]),
    ("discharge-2k5-plain",  [ 2700.0, 0.60, 16.5, 1.2,  0.0, 1.0, 10.0]),
    ("discharge-1k2-magnetic", [1400.0, 0.90, 5.0, 1.2, 10.0, 1.6, 10.0]),
    ("discharge-2k5-magnetic", [2800.0, 0.90, 5.0, 1.2, 10.0, 1.6, 10.0]),
    ("discharge-4k-magnetic",  [4500.0, 0.90, 5.0, 1.2, 10.0, 1.6, 10.0]),
    ("led-100",              [  110.0, 0.95,  0.5, 0.5,  0.0, 1.0,  0.0]),
    ("led-300",              [  330.0, 0.95,  1.0, 1.0,  0.0, 1.0,  0.0]),
    ("led-600",              [  620.0, 0.95,  1.5, 1.5,  0.0, 1.0,  0.0]),
    ("led-1k2",              [ 1230.0, 0.95,  2.5, 2.5,  0.0, 1.0,  0.0]),
    ("led-2k",               [ 2050.0, 0.95,  3.5, 3.5,  0.0, 1.0,  0.0]),
    ("led-tube-kit",         [  200.0, 0.90,  1.0, 1.0,  0.0, 1.0,  0.0]),
    ("fluorescent-220",      [  245.0, 0.95,  0.8, 0.8,  0.0, 1.0,  0.0]),
    ("monitors",             [  400.0, 0.95,  1.5, 1.5,  0.0, 1.0,  0.0]),
    ("chargers",             [  600.0, 0.95,  2.5, 2.5,  0.0, 1.0,  0.0]),
    ("haze",                 [ 1000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
    ("kettle",               [ 3000.0, 1.00,  0.5, 0.0,  0.0, 1.0,  0.0]),
];

#[test]
#[expect(clippy::float_cmp, reason = "both sides are the same decimal literal, none is computed")]
fn every_class_has_its_watts_power_factor_and_leakages() {
    for (id, row) in CLASSES {
        let class = class(id);
        let built_in = [
            class.watts.0,
            class.power_factor,
            class.leak_ma.0,
            class.idle_ma.0,
            class.strike_ma.0,
            class.start_factor,
            class.restrike_min.0,
        ];
        assert_eq!(built_in, row, "{id}");
    }
}

#[test]
fn no_class_is_there_that_the_list_does_not_know() {
    let built_in: Vec<&str> = library().heads.keys().map(ClassId::as_str).collect();
    let listed: Vec<&str> = CLASSES.iter().map(|(id, _)| *id).collect();
    assert_eq!(built_in, listed);
}

#[test]
fn running_amps_agree_with_the_crews_table() {
    // Typical, from memory; arithmetic P / (V x power factor).
    #[rustfmt::skip]
    let table: [(&str, f64, Option<f64>); 16] = [
        ("tungsten-650",            2.83, Some(5.42)),
        ("tungsten-1k",             4.35, Some(8.33)),
        ("tungsten-2k",             8.70, Some(16.67)),
        ("discharge-575",           2.88, Some(5.53)),
        ("discharge-1k2",           5.99, Some(11.48)),
        ("discharge-1k2-plain",     9.78, Some(18.75)),
        ("discharge-1k2-magnetic",  6.76, Some(12.96)),
        ("discharge-2k5",          11.98, Some(22.96)),
        ("discharge-4k",           19.08, None),
        ("led-300",                 1.51, Some(2.89)),
        ("led-600",                 2.84, Some(5.44)),
        ("led-1k2",                 5.63, Some(10.79)),
        ("led-tube-kit",            0.97, Some(1.85)),
        ("monitors",                1.83, Some(3.51)),
        ("chargers",                2.75, Some(5.26)),
        ("haze",                    4.35, Some(8.33)),
    ];
    for (id, at_230, at_120) in table {
        agrees(id, Volts(230.0), Amps(at_230));
        if let Some(amps) = at_120 {
            agrees(id, Volts(120.0), Amps(amps));
        }
    }
    agrees("discharge-2k5", Volts(240.0), Amps(11.48));
    agrees("discharge-4k", Volts(240.0), Amps(18.28));
}

/// Whether a class's running amps round to two places as printed.
fn agrees(id: &str, volts: Volts, printed: Amps) {
    let class = class(id);
    let amps = class.watts.0 / (volts.0 * class.power_factor);
    assert!((amps - printed.0).abs() <= 0.0051, "{id} at {volts:?}: {amps} against {printed:?}");
}

#[test]
fn only_the_kettle_has_half_the_watts_on_120_v() {
    // Typical, from memory: 1500 W on 120 V.
    for (id, class) in &library().heads {
        let expected = (id.as_str() == "kettle").then_some(Watts(1500.0));
        assert_eq!(class.watts_low_volts, expected, "{id}");
    }
}

#[test]
fn each_family_behaves_alike() {
    for (id, class) in &library().heads {
        let id = id.as_str();
        let load = match (class.family, id) {
            (HeadFamily::Tungsten, _) => Load::Filament,
            (HeadFamily::Other, "haze" | "kettle") => Load::Resistive,
            _ => Load::Steady,
        };
        assert_eq!(class.load, load, "{id}");
        let spectrum = match class.load {
            Load::Filament | Load::Resistive => Spectrum::Linear,
            Load::Steady if id.ends_with("-magnetic") => Spectrum::Linear,
            Load::Steady if id.ends_with("-plain") => Spectrum::Capacitor,
            Load::Steady => Spectrum::Corrected,
        };
        assert_eq!(class.spectrum, spectrum, "{id}");
        let discharge = class.family == HeadFamily::Discharge;
        assert_eq!(class.restrike_min.0 > 0.0, discharge, "{id}");
    }
}

#[test]
fn only_a_magnetic_ballast_runs_up_over_its_running_amps() {
    for (id, class) in &library().heads {
        let magnetic = id.as_str().ends_with("-magnetic");
        assert_eq!(class.start_factor > 1.0, magnetic, "{id}");
        let minutes = class.start_min.map(|minutes| minutes.0);
        assert_eq!(minutes, magnetic.then_some(3.0), "{id}");
    }
}

#[test]
fn inrush_is_what_is_published_for_tungsten_and_led() {
    for (id, class) in &library().heads {
        let id = id.as_str();
        match class.family {
            HeadFamily::Tungsten => {
                // Published: 10 to 15 times for some milliseconds.
                let factor = class.inrush_factor.unwrap();
                assert!((10.0..=15.0).contains(&factor), "{id}: {factor}");
                assert_eq!(class.inrush_a, None, "{id}");
                assert!(class.inrush_ms.is_some(), "{id}");
            }
            HeadFamily::Led if id != "led-tube-kit" => {
                // Typical, from memory: 40 to 80 A for 0.2 ms.
                let peak = class.inrush_a.unwrap();
                assert!((40.0..=80.0).contains(&peak.0), "{id}: {peak:?}");
                assert_eq!(class.inrush_factor, None, "{id}");
                assert_eq!(class.inrush_ms, Some(0.2), "{id}");
            }
            _ => {
                assert_eq!((class.inrush_a, class.inrush_factor), (None, None), "{id}");
                assert_eq!(class.inrush_ms, None, "{id}");
            }
        }
    }
}

#[test]
fn what_leaks_more_than_class_ii_may_is_not_class_ii() {
    // IEC 60335-1 13.2: class II 0.25 mA.
    for (id, class) in &library().heads {
        let too_much = class.leak_ma.0 > 0.25;
        assert!(
            !too_much || class.earth_class == EarthClass::I,
            "{id}: {:?} at {:?}",
            class.earth_class,
            class.leak_ma
        );
    }
}

#[test]
fn every_class_names_its_source() {
    for (id, class) in &library().heads {
        assert!(super::says_something(&class.source), "{id}");
        assert!(!class.name.trim().is_empty(), "{id}");
    }
}
