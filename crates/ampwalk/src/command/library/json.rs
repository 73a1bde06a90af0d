//! `library --json`: the built-in tables for other programs. Units are in the keys' endings.

use ampwalk_core::library::{HeadClass, Outlet, Region, library};
use ampwalk_core::plan::{Curve, FORMAT_VERSION, Load, RcdClass, Spectrum, word_of};
use ampwalk_core::rule::{RULES, Rule};
use indexmap::IndexMap;
use serde::Serialize;

use crate::arguments::LibraryTable;
use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Debug, Serialize)]
struct Answer<T> {
    ampwalk: u32,
    #[serde(flatten)]
    tables: IndexMap<&'static str, IndexMap<String, T>>,
}

#[derive(Debug, Serialize)]
struct HeadRow<'a> {
    name: &'a str,
    watts: f64,
    watts_low_volts: Option<f64>,
    pf: f64,
    leak_ma: f64,
    idle_ma: f64,
    strike_ma: f64,
    start_factor: f64,
    start_min: Option<f64>,
    inrush_a: Option<f64>,
    inrush_factor: Option<f64>,
    inrush_ms: Option<f64>,
    restrike_min: f64,
    load: &'static str,
    spectrum: &'static str,
    source: &'a str,
}

#[derive(Debug, Serialize)]
struct OutletRow<'a> {
    name: &'a str,
    rated_a: f64,
    plate_a: Option<f64>,
    plug_fuse_a: Option<f64>,
    lines: u8,
    volts: f64,
    polarised: bool,
    earthed: bool,
    regions: Vec<String>,
    takes: Vec<String>,
    source: &'a str,
}

#[derive(Debug, Serialize)]
struct RegionRow<'a> {
    name: &'a str,
    volts: f64,
    lowest_volts: f64,
    hertz: &'a [f64],
    outlet: &'a str,
    curve: &'static str,
    smallest_breaker_a: f64,
    rcd_class: &'static str,
    rcd_rated_ma: f64,
    must_trip_ma: f64,
    sockets_need_rcd: bool,
    continuous_factor: Option<f64>,
    drop_lighting_percent: f64,
    drop_other_percent: f64,
    paper: &'static str,
    decimal: char,
    sources: &'a std::collections::BTreeMap<String, String>,
}

#[derive(Debug, Serialize)]
struct RuleRow {
    severity: &'static str,
    fires: &'static str,
    #[serde(rename = "do")]
    remedy: &'static str,
    source: &'static str,
}

/// A table as JSON text.
pub fn table(table: LibraryTable) -> Result<String, Trouble> {
    let library = library();
    match table {
        LibraryTable::Heads => {
            answer("heads", library.heads.iter().map(|(id, class)| (id.to_string(), head(class))))
        }
        LibraryTable::Outlets => {
            answer("outlets", library.outlets.iter().map(|(id, kind)| (id.to_string(), outlet(kind))))
        }
        LibraryTable::Regions => {
            answer("regions", library.regions.iter().map(|(code, place)| (code.to_string(), region(place))))
        }
        LibraryTable::Rules => answer("rules", RULES.iter().map(|entry| (entry.id.to_owned(), rule(entry)))),
    }
}

fn answer<T: Serialize>(
    name: &'static str,
    rows: impl Iterator<Item = (String, T)>,
) -> Result<String, Trouble> {
    let tables = IndexMap::from([(name, rows.collect())]);
    as_json(&Answer { ampwalk: FORMAT_VERSION, tables })
}

fn head(class: &HeadClass) -> HeadRow<'_> {
    HeadRow {
        name: &class.name,
        watts: class.watts.0,
        watts_low_volts: class.watts_low_volts.map(|watts| watts.0),
        pf: class.power_factor,
        leak_ma: class.leak_ma.0,
        idle_ma: class.idle_ma.0,
        strike_ma: class.strike_ma.0,
        start_factor: class.start_factor,
        start_min: class.start_min.map(|minutes| minutes.0),
        inrush_a: class.inrush_a.map(|amps| amps.0),
        inrush_factor: class.inrush_factor,
        inrush_ms: class.inrush_ms,
        restrike_min: class.restrike_min.0,
        load: word_of(&Load::WORDS, &class.load),
        spectrum: word_of(&Spectrum::WORDS, &class.spectrum),
        source: &class.source,
    }
}

fn outlet(outlet: &Outlet) -> OutletRow<'_> {
    OutletRow {
        name: &outlet.name,
        rated_a: outlet.amps.0,
        plate_a: outlet.plate_amps.map(|amps| amps.0),
        plug_fuse_a: outlet.plug_fuse_a.map(|amps| amps.0),
        lines: outlet.lines,
        volts: outlet.volts.0,
        polarised: outlet.polarised,
        earthed: outlet.earthed,
        regions: outlet.regions.iter().map(ToString::to_string).collect(),
        takes: outlet.takes.iter().map(ToString::to_string).collect(),
        source: &outlet.source,
    }
}

fn region(region: &Region) -> RegionRow<'_> {
    RegionRow {
        name: &region.name,
        volts: region.volts.0,
        lowest_volts: region.lowest_volts * region.volts.0,
        hertz: &region.hertz,
        outlet: region.outlet.as_str(),
        curve: word_of(&Curve::WORDS, &region.curve),
        smallest_breaker_a: region.smallest_breaker_a.0,
        rcd_class: word_of(&RcdClass::WORDS, &region.rcd_class),
        rcd_rated_ma: region.rcd_rated_ma.0,
        must_trip_ma: region.must_trip_ma.0,
        sockets_need_rcd: region.sockets_need_rcd,
        continuous_factor: region.continuous_factor,
        drop_lighting_percent: region.drop_lighting_percent,
        drop_other_percent: region.drop_other_percent,
        paper: region.paper.word(),
        decimal: region.decimal,
        sources: &region.sources,
    }
}

fn rule(rule: &Rule) -> RuleRow {
    RuleRow { severity: rule.severity, fires: rule.fires, remedy: rule.remedy, source: rule.source }
}
