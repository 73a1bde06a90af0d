//! README's two long tables: every key of the plan file, and what each built-in value rests on.

use std::fmt::Write as _;

use ampwalk_core::file::schema::{Key, Kind, Need, TableSchema, Use, tables};
use ampwalk_core::library::library;
use ampwalk_core::plan::FORMAT_VERSION;
use indexmap::IndexMap;

use super::readme::is_fresh;

/// A cell in which no character ends it.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

/// How a table stands in the file.
fn written(table: &TableSchema) -> String {
    let within = tables().into_iter().find_map(|outer| {
        let key = outer.keys.iter().find(|key| match key.kind {
            Kind::Table(inner) | Kind::Tables(inner) | Kind::Entries(inner, _) => std::ptr::eq(inner, table),
            _ => false,
        })?;
        Some((outer, key))
    });
    match within {
        None => "The top of the file, before the first `[table]`".to_owned(),
        Some((outer, key)) if !outer.name.is_empty() => match key.kind {
            Kind::Entries(_, target) => {
                format!(
                    "`{} = {{ {} = {{ … }} }}` of a {}",
                    key.name,
                    target.noun().to_uppercase(),
                    outer.noun
                )
            }
            _ => format!("`{} = {{ … }}` of a {}", key.name, outer.noun),
        },
        Some((_, key)) => match key.kind {
            Kind::Entries(..) => format!("`[{}.ID]`", key.name),
            Kind::Tables(_) => format!("`[[{}]]`", key.name),
            _ => format!("`[{}]`", key.name),
        },
    }
}

/// Which of a few keys has to be there, in a sentence.
fn needs(table: &TableSchema) -> String {
    let Some(either) = table.either else { return String::new() };
    let keys: Vec<String> = either.keys.iter().map(|key| format!("`{key}`")).collect();
    let how = if either.both.is_some() { "One" } else { "One at least" };
    format!(" {how} of {} must be there.", keys.join(", "))
}

fn row(table: &TableSchema, key: &Key) -> String {
    let is_version = table.name.is_empty() && key.name == "ampwalk";
    let takes = match key.kind {
        _ if is_version => FORMAT_VERSION.to_string(),
        // Within another table there is no header for it.
        Kind::Entries(_, target) if !table.name.is_empty() => {
            format!(
                "a table for each {0}, by id: {{ {1} = {{ … }} }}",
                target.noun(),
                target.noun().to_uppercase()
            )
        }
        _ => key.kind.expects(),
    };
    let need = if key.need == Need::Required { "yes" } else { "" };
    let kept = match key.use_of {
        Use::Now => String::new(),
        Use::Later(waits_for) => format!(" Read and kept; nothing is computed from it yet: {waits_for}."),
    };
    format!("| `{}` | {} | {need} | {}{kept} |\n", key.name, cell(&takes), cell(key.doc))
}

#[test]
fn the_reference_of_the_plan_file_is_the_table_that_it_is_read_by() {
    let mut text = String::new();
    for table in tables() {
        let _ = write!(text, "\n{}. {}{}\n\n", written(table), table.doc, needs(table));
        text.push_str("| key | takes | must be there | what it says |\n|---|---|---|---|\n");
        text.extend(table.keys.iter().map(|key| row(table, key)));
    }
    text.push('\n');
    is_fresh("plan file", &text);
}

/// What rests on each source, in the order in which they come.
#[derive(Default)]
struct Sources(IndexMap<(&'static str, String), Vec<String>>);

impl Sources {
    fn add(&mut self, what: &'static str, source: &str, of: String) {
        let named = self.0.entry((what, source.to_owned())).or_default();
        if !named.contains(&of) {
            named.push(of);
        }
    }

    fn table(&self) -> String {
        let mut table = String::from("| what | of | rests on |\n|---|---|---|\n");
        for ((what, source), of) in &self.0 {
            let _ = writeln!(table, "| {what} | {} | {} |", cell(&of.join(", ")), cell(source));
        }
        table
    }
}

fn size(mm2: Option<f64>, awg: Option<i32>) -> String {
    let gauge = |awg: i32| if awg < 1 { format!("{}/0 AWG", 1 - awg) } else { format!("{awg} AWG") };
    mm2.map(|mm2| format!("{mm2} mm²")).or(awg.map(gauge)).expect("a size")
}

/// Of a region, what is no number and no rule that numbers rest on.
const WORDS_OF_A_REGION: [&str; 4] = ["name", "words", "paper", "decimal"];

#[test]
fn the_table_of_sources_is_what_the_built_in_values_say_of_themselves() {
    let library = library();
    let mut sources = Sources::default();
    for (code, region) in &library.regions {
        for (value, source) in &region.sources {
            if !WORDS_OF_A_REGION.contains(&value.as_str()) {
                sources.add("region", source, format!("`{value}` in {code}"));
            }
        }
    }
    for (id, class) in &library.heads {
        sources.add("class of head", &class.source, format!("`{id}`"));
    }
    for (id, outlet) in &library.outlets {
        sources.add("outlet", &outlet.source, format!("`{id}`"));
    }
    for row in &library.cables.conductor {
        sources.add("resistance", &row.source, size(row.mm2, row.awg));
    }
    for row in &library.cables.ampacity {
        let regions: Vec<String> = row.regions.iter().map(ToString::to_string).collect();
        sources.add(
            "what a lead carries",
            &row.source,
            format!("{} in {}", size(row.mm2, row.awg), regions.join(" ")),
        );
    }
    is_fresh("sources", &sources.table());
}
