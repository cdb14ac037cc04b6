//! The case files of `tests/cases`, read and split into single cases. `tests/cases/README.md` describes their form.
//!
//! The same files are read by `tests/browser/cases.mjs`; this reader is the strict one, and that one relies on it.

mod figure;

pub(crate) use figure::{Figure, Within};

use serde::Deserialize;
use serde_yaml::{Mapping, Value};
use std::path::{Path, PathBuf};

/// One case: inputs, and the results they must give.
#[derive(Debug)]
pub(crate) struct Case {
    /// The calculator, from the file's name.
    pub(crate) calculator: String,
    /// Unique in the suite.
    pub(crate) name: String,
    /// Flat names and texts.
    pub(crate) given: Vec<(String, String)>,
    /// `us` or `metric`.
    pub(crate) units: String,
    /// Result names and what each must be.
    pub(crate) expect: Vec<(String, Expected)>,
    /// Ids of exactly the cautions that must be raised, sorted; `None` where the case does not say.
    pub(crate) cautions: Option<Vec<String>>,
}

/// What a result must be.
#[derive(Clone, Debug)]
pub(crate) enum Expected {
    /// A quantity.
    Quantity(Figure),
    /// A verdict in words, by its phrase id.
    Verdict(String),
}

/// An entry of a case file, as written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CaseEntry {
    /// A sentence.
    pub(crate) name: String,
    #[serde(default)]
    case: Ids,
    #[serde(default)]
    given: Mapping,
    #[serde(default = "us")]
    units: String,
    #[serde(default)]
    expect: Mapping,
    #[serde(default)]
    cautions: Option<Vec<String>>,
    #[serde(default)]
    table: Option<Table>,
    /// Title, publisher, year, address; or `by hand`.
    pub(crate) source: String,
    /// What the source got wrong, or how its words were taken.
    #[serde(default)]
    pub(crate) note: Option<String>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(untagged)]
enum Ids {
    #[default]
    None,
    One(String),
    Many(Vec<String>),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    columns: Vec<Column>,
    rows: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Column {
    #[serde(default)]
    given: Option<String>,
    #[serde(default)]
    expect: Option<String>,
    #[serde(default)]
    unit: String,
    #[serde(default)]
    with: Mapping,
    #[serde(default)]
    within: Option<String>,
    #[serde(default)]
    why: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wide {
    value: String,
    within: String,
    #[serde(default)]
    why: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Verdict {
    verdict: String,
}

fn us() -> String {
    "us".to_owned()
}

impl CaseEntry {
    /// Ids of the reference cases it covers.
    pub(crate) fn ids(&self) -> Vec<&str> {
        match &self.case {
            Ids::None => Vec::new(),
            Ids::One(id) => vec![id],
            Ids::Many(ids) => ids.iter().map(String::as_str).collect(),
        }
    }
}

/// The folder of the case files.
pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

/// Every entry of every case file, with its calculator's id.
pub(crate) fn entries() -> Vec<(String, CaseEntry)> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder())
        .expect("the folder of case files")
        .map(|file| file.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .filter(|path| path.file_stem().is_some_and(|stem| stem != "not-expressed"))
        .collect();
    files.sort();
    let mut all = Vec::new();
    for path in files {
        let text = std::fs::read_to_string(&path).expect("a readable case file");
        let entries: Vec<CaseEntry> =
            serde_yaml::from_str(&text).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
        let calculator = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
        all.extend(entries.into_iter().map(|entry| (calculator.to_owned(), entry)));
    }
    all
}

/// Every case; a table is split into a case for each printed figure.
pub(crate) fn cases() -> Vec<Case> {
    entries().iter().flat_map(|(calculator, entry)| opened(calculator, entry)).collect()
}

fn opened(calculator: &str, entry: &CaseEntry) -> Vec<Case> {
    let name = &entry.name;
    assert!(["us", "metric"].contains(&entry.units.as_str()), "{name}: units are us or metric");
    assert!(entry.source.len() >= 7, "{name}: a source names its title and publisher, or says `by hand`");
    let given = flat(name, &entry.given);
    let one = |name: String, given, expect| Case {
        calculator: calculator.to_owned(),
        name,
        given,
        units: entry.units.clone(),
        expect,
        cautions: entry.cautions.clone().map(|mut ids| {
            ids.sort();
            ids
        }),
    };
    let mut all = Vec::new();
    if !entry.expect.is_empty() {
        let expect = entry.expect.iter().map(|(result, value)| (word(name, result), expected(name, value)));
        all.push(one(name.clone(), given.clone(), expect.collect()));
    }
    if let Some(table) = &entry.table {
        let cells = cells(entry, table, &given);
        assert!(!cells.is_empty(), "{name}: the table expects something");
        all.extend(cells.into_iter().map(|(name, given, expect)| one(name, given, vec![expect])));
    }
    assert!(!all.is_empty(), "{name}: a case expects something");
    all
}

type Cell = (String, Vec<(String, String)>, (String, Expected));

/// A case for each printed figure of a table: the row's inputs, and those of the column itself.
fn cells(entry: &CaseEntry, table: &Table, given: &[(String, String)]) -> Vec<Cell> {
    let name = &entry.name;
    let mut all = Vec::new();
    for line in table.rows.lines().filter(|line| !line.trim().is_empty()) {
        let texts: Vec<&str> = line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).collect();
        assert_eq!(texts.len(), table.columns.len(), "{name}: cells of `{line}`");
        let mut row = given.to_vec();
        for (column, text) in table.columns.iter().zip(&texts) {
            if let Some(input) = &column.given {
                set(&mut row, input, &format!("{text} {}", column.unit));
            }
        }
        for (column, text) in table.columns.iter().zip(&texts) {
            let Some(result) = &column.expect else {
                assert!(column.given.is_some(), "{name}: a column is given or expected");
                continue;
            };
            assert!(column.given.is_none(), "{name}: a column is given or expected, not both");
            if *text == "-" {
                continue;
            }
            let mut pairs = row.clone();
            flat(name, &column.with).iter().for_each(|(input, value)| set(&mut pairs, input, value));
            let told: Vec<&str> = pairs.iter().filter(|pair| !given.contains(pair)).map(|(_, v)| v.as_str()).collect();
            let full = format!("{name} ({}; {result} {})", told.join(", "), column.unit);
            let figure = Figure::cell(&full, text, &column.unit, column.within.as_deref(), column.why.as_deref());
            assert!(!text.contains('~') || entry.note.is_some(), "{full}: a deviation needs the entry's note");
            all.push((full, pairs, (result.clone(), Expected::Quantity(figure))));
        }
    }
    all
}

fn set(pairs: &mut Vec<(String, String)>, name: &str, value: &str) {
    let value = value.trim().to_owned();
    match pairs.iter_mut().find(|(other, _)| other == name) {
        Some((_, old)) => *old = value,
        None => pairs.push((name.to_owned(), value)),
    }
}

/// Inputs as flat names: rows become `catch.1.volume`.
fn flat(name: &str, given: &Mapping) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    for (input, value) in given {
        let input = word(name, input);
        match value {
            Value::Sequence(rows) => {
                for (index, row) in rows.iter().enumerate() {
                    let row = row.as_mapping().unwrap_or_else(|| panic!("{name}: a row of {input} is a map"));
                    for (field, text) in row {
                        pairs.push((format!("{input}.{}.{}", index + 1, word(name, field)), word(name, text)));
                    }
                }
            }
            text => pairs.push((input, word(name, text))),
        }
    }
    pairs
}

fn word(name: &str, value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Number(number) if number.is_i64() => number.to_string(),
        // A decimal number would lose the zeros that were printed.
        other => panic!("{name}: {other:?} must be quoted"),
    }
}

fn expected(name: &str, value: &Value) -> Expected {
    if !value.is_mapping() {
        return Expected::Quantity(Figure::printed(name, &word(name, value), None, None));
    }
    if let Ok(verdict) = serde_yaml::from_value::<Verdict>(value.clone()) {
        return Expected::Verdict(verdict.verdict);
    }
    let wide: Wide = serde_yaml::from_value(value.clone()).unwrap_or_else(|fault| panic!("{name}: {fault}"));
    Expected::Quantity(Figure::printed(name, &wide.value, Some(&wide.within), wide.why.as_deref()))
}
