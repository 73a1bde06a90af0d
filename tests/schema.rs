//! The JSON Schema of the plan file takes what the reader takes, and refuses what a schema can refuse.

use std::fs;

use ampwalk_core::file::schema::{Kind, Need, tables};
use jsonschema::Validator;
use serde_json::{Map, Value, json};

use crate::support::{EXAMPLES, argument, folder, run};
use crate::tidy::{read, root};

/// Problems that stand in one value or one table: a schema can tell them.
const TOLD: [&str; 19] = [
    "bad-id",
    "bad-time",
    "control-character",
    "listed-twice",
    "missing-key",
    "not-whole",
    "out-of-range",
    "size-twice",
    "supply-and-from",
    "text-too-long",
    "two-devices",
    "unknown-class",
    "unknown-key",
    "unknown-outlet",
    "unknown-table",
    "unknown-word",
    "version-later",
    "version-missing",
    "wrong-count",
];
/// As are these two, of which JSON has no more than the second: there are no endless numbers in it.
const WRONG_TYPE: [&str; 2] = ["not-finite", "wrong-type"];

fn schema() -> Value {
    let ran = run(&["schema"]);
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
    ran.json()
}

fn validator() -> Validator {
    let schema = schema();
    assert!(jsonschema::draft202012::meta::is_valid(&schema), "the schema is one");
    jsonschema::draft202012::new(&schema).unwrap()
}

/// A plan's text as JSON; `None`: it is no TOML.
fn as_json(text: &str) -> Option<Value> {
    text.parse::<toml::Table>().ok().map(|table| json_of(toml::Value::Table(table)))
}

fn json_of(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => json!(text),
        toml::Value::Integer(whole) => json!(whole),
        toml::Value::Float(number) => json!(number),
        toml::Value::Boolean(flag) => json!(flag),
        toml::Value::Datetime(moment) => json!(moment.to_string()),
        toml::Value::Array(items) => items.into_iter().map(json_of).collect(),
        toml::Value::Table(table) => {
            Value::Object(table.into_iter().map(|(key, value)| (key, json_of(value))).collect())
        }
    }
}

fn every_key() -> Value {
    as_json(&read("tests/plans/every-key.toml")).unwrap()
}

#[track_caller]
fn takes(validator: &Validator, plan: &Value, name: &str) {
    let problems: Vec<String> =
        validator.iter_errors(plan).map(|error| format!("{}: {error}", error.instance_path())).collect();
    assert!(problems.is_empty(), "{name}: {problems:#?}");
}

#[test]
fn every_good_plan_is_taken() {
    let validator = validator();
    for name in EXAMPLES {
        takes(&validator, &as_json(&read(&format!("examples/{name}.toml"))).unwrap(), name);
    }
    takes(&validator, &every_key(), "every key");
    for house in fs::read_dir(root().join("tests/plans/houses")).unwrap() {
        let path = house.unwrap().path();
        let name = path.display().to_string();
        takes(&validator, &as_json(&fs::read_to_string(&path).unwrap()).unwrap(), &name);
    }
}

#[test]
fn a_new_plan_of_every_region_is_taken_and_names_the_schema_for_editors() {
    let validator = validator();
    let home = folder();
    for region in ["au", "nz", "uk", "ie", "eu", "it", "us", "ca", "jp"] {
        let file = home.path().join(format!("{region}.toml"));
        run(&["new", argument(&file), "--region", region]);
        let text = fs::read_to_string(&file).unwrap();
        takes(&validator, &as_json(&text).unwrap(), region);
        assert_eq!(text.lines().next(), Some("#:schema ./ampwalk.schema.json"), "{region}");
        assert!(text.contains("ampwalk schema > ampwalk.schema.json"), "{region}: how to have that file");
    }
}

#[test]
fn the_line_for_editors_stays_where_a_new_plan_is_changed_by_the_program() {
    let home = folder();
    let file = home.path().join("new.toml");
    run(&["new", argument(&file), "--region", "uk"]);
    let before = fs::read_to_string(&file).unwrap();
    let sheet = home.path().join("heads.csv");
    fs::write(&sheet, "head,socket\nB,G2\n").unwrap();
    let ran = run(&["import", argument(&sheet), argument(&file), "--write"]);
    assert_eq!(ran.err, "", "{ran:?}");
    let after = fs::read_to_string(&file).unwrap();
    assert!(!before.contains("\nsocket = \"G2\"") && after.contains("\nsocket = \"G2\""), "{after}");
    let comments = |text: &str| -> Vec<String> {
        text.lines().filter(|line| line.starts_with('#')).map(str::to_owned).collect()
    };
    assert_eq!(comments(&before), comments(&after));
    assert!(after.starts_with("#:schema ./ampwalk.schema.json\n"));
}

#[test]
fn of_the_broken_plans_those_are_refused_whose_problem_stands_in_one_value_or_table() {
    let validator = validator();
    let mut seen = Vec::new();
    for entry in fs::read_dir(root().join("tests/plans/invalid")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.display().to_string();
        let text = fs::read_to_string(&path).unwrap();
        let code = text.lines().next().and_then(|line| line.strip_prefix("# expect: ")).unwrap();
        let code = code.split(' ').next().unwrap().to_owned();
        let Some(plan) = as_json(&text) else { continue };
        let is_told = TOLD.contains(&code.as_str()) || WRONG_TYPE.contains(&code.as_str());
        assert_eq!(!validator.is_valid(&plan), is_told, "{name}: {code}");
        seen.push(code);
    }
    for code in TOLD.iter().chain(&WRONG_TYPE) {
        assert!(seen.iter().any(|seen| seen == code), "a broken plan shows {code}");
    }
}

#[test]
fn every_key_of_the_table_is_in_the_schema_with_its_words_and_none_besides() {
    let schema = schema();
    for table in tables() {
        let object = if table.name.is_empty() { &schema } else { &schema["$defs"][table.name] };
        let properties = object["properties"].as_object().unwrap();
        let names: Vec<&str> = properties.keys().map(String::as_str).collect();
        assert_eq!(names, table.keys.iter().map(|key| key.name).collect::<Vec<_>>(), "[{}]", table.name);
        assert_eq!(object["additionalProperties"], json!(false), "[{}]", table.name);
        for key in table.keys {
            let property = &properties[key.name];
            let words = property["description"].as_str().unwrap();
            assert!(words.starts_with(key.doc), "{}: {words}", key.name);
            if let Kind::Number(bounds) | Kind::Range(bounds) = key.kind {
                assert!(words.contains(bounds.unit.symbol()), "{}: {words}", key.name);
            }
            let required = object["required"].as_array().is_some_and(|keys| keys.contains(&json!(key.name)));
            assert_eq!(required, key.need == Need::Required, "{}", key.name);
        }
    }
    assert_eq!(schema["$defs"].as_object().unwrap().len() + 1, tables().len());
}

/// Every copy of a value in which one of its tables, however deep, is changed.
fn each_table_changed(value: &Value, change: &dyn Fn(&Map<String, Value>) -> Vec<Value>) -> Vec<Value> {
    match value {
        Value::Object(table) => {
            let mut copies = change(table);
            for (key, inner) in table {
                copies.extend(each_table_changed(inner, change).into_iter().map(|inner| {
                    let mut table = table.clone();
                    table.insert(key.clone(), inner);
                    Value::Object(table)
                }));
            }
            copies
        }
        Value::Array(items) => (0..items.len())
            .flat_map(|at| each_table_changed(&items[at], change).into_iter().map(move |inner| (at, inner)))
            .map(|(at, inner)| {
                let mut items = items.clone();
                items[at] = inner;
                Value::Array(items)
            })
            .collect(),
        _ => Vec::new(),
    }
}

#[test]
fn a_key_too_many_is_refused_in_every_table_however_deep() {
    let validator = validator();
    let with_one_more = |table: &Map<String, Value>| {
        let mut table = table.clone();
        table.insert("watt s".to_owned(), json!(1));
        vec![Value::Object(table)]
    };
    let copies = each_table_changed(&every_key(), &with_one_more);
    assert!(copies.len() > 40, "{}", copies.len());
    for copy in copies {
        assert!(!validator.is_valid(&copy), "{copy:#}");
    }
}
