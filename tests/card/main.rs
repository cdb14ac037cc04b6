//! The calibration card from outside: its figures against hand arithmetic and published examples, what it refuses, the
//! words it shares with the stock content, and what is kept of it.

mod figures;
mod saved;
mod words;

use tankside::catalogue;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::card::{CARD, work_card};
use tankside_calc::page::worked::{Fragment, Options, fragment};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

fn phrases() -> Phrases {
    catalogue::phrases("en").expect("readable phrases").expect("English")
}

/// The example with some inputs changed; an empty text leaves one out.
fn changed(changes: &[(&str, &str)]) -> RawInputs {
    let mut pairs = RawInputs::from_pairs(CARD.example).0;
    for (name, text) in changes {
        pairs.retain(|(other, _)| other != name);
        pairs.push(((*name).to_owned(), (*text).to_owned()));
    }
    RawInputs(pairs)
}

/// A card of one run and one tank, and nothing else.
fn plain(more: &[(&str, &str)]) -> RawInputs {
    let own = [("operator", "Ada"), ("date", "2026-04-14"), ("tank", "200 gal")];
    let pairs = own.iter().filter(|(name, _)| more.iter().all(|(other, _)| other != name)).chain(more);
    RawInputs::from_pairs(&pairs.copied().collect::<Vec<_>>())
}

fn worked(given: &RawInputs) -> Worked {
    work_card(given, System::Us).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn shown(given: &RawInputs, system: System) -> Fragment {
    let phrases = phrases();
    fragment(&CARD, given, &Options { name: "card", title: "", system, level: 2, ..Options::default() }, &phrases)
}
