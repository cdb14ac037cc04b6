//! The stock and demo questions are judged beforehand, into `src/course/offered.txt` and `chosen.txt`: after a change to a question or
//! to a mistake run with `JUDGE_DRAWS=1`, which rewrites the table.

use crate::banks;
use std::collections::{BTreeMap, BTreeSet};
use tankside::course::offered::{chosen, digests, line};
use tankside_calc::question::offered::JUDGED;
use tankside_calc::question::options::choosable;

#[test]
fn what_was_judged_beforehand_is_what_judging_finds() {
    let each: BTreeMap<String, _> = banks::numbers().map(|question| (question.digest(), question)).collect();
    let (mut table, mut stale) = (String::new(), Vec::new());
    for (digest, question) in &each {
        let judged = question.judged(JUDGED).unwrap_or_else(|fault| panic!("{}: {fault:?}", question.id));
        if judged != question.offered {
            stale.push(question.id.as_str());
        }
        table.push_str(&line(digest, &judged));
    }
    if std::env::var_os("JUDGE_DRAWS").is_some() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/course/offered.txt");
        std::fs::write(path, table).expect("the table can be written");
        return;
    }
    assert!(stale.is_empty(), "judged otherwise beforehand; run with JUDGE_DRAWS=1: {stale:?}");
    let (known, wanted): (BTreeSet<&str>, BTreeSet<&str>) =
        (digests().collect(), each.keys().map(String::as_str).collect());
    assert_eq!(known, wanted, "templates that came or went; run with JUDGE_DRAWS=1");
}

#[test]
fn which_templates_may_be_chosen_in_an_exam_is_what_looking_at_them_finds() {
    let fit: BTreeSet<String> =
        banks::numbers().filter(|question| choosable(question)).map(|question| question.digest()).collect();
    if std::env::var_os("JUDGE_DRAWS").is_some() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/course/chosen.txt");
        let table: String = fit.iter().map(|digest| format!("{digest}\n")).collect();
        std::fs::write(path, table).expect("the table can be written");
        return;
    }
    let known: BTreeSet<&str> = chosen().collect();
    let found: BTreeSet<&str> = fit.iter().map(String::as_str).collect();
    assert_eq!(known, found, "templates that came, went or changed; run with JUDGE_DRAWS=1");
}
