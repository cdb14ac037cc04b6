//! What was made of the stock's own words when the program was built (`build.rs`), for courses that have no others.

use super::assets::asset_names;
use super::card::CardPart;
use super::work::Facts;
use crate::catalogue::first_phrases;
use crate::embedded::words_ready;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A file, if these are the stock's own words.
fn made(name: &str, phrases: &Phrases) -> Option<&'static [u8]> {
    std::ptr::eq(phrases, first_phrases()).then(|| words_ready(name)).flatten()
}

/// What the pages show of a calculator.
pub(super) fn facts(calculator: &str, system: System, phrases: &Phrases) -> Option<Facts> {
    let place = format!("work/{}-{calculator}", system.id());
    let example = str::from_utf8(made(&format!("{place}.html"), phrases)?).ok()?;
    let facts: Facts = serde_json::from_slice(made(&format!("{place}.json"), phrases)?).ok()?;
    Some(Facts { example: example.into(), ..facts })
}

/// The calibration card.
pub(super) fn card(system: System, phrases: &Phrases) -> Option<CardPart> {
    serde_json::from_slice(made(&format!("card/{}.json", system.id()), phrases)?).ok()
}

/// Scripts and styles by name, in their order; `site.css` without a course's own colours.
pub(super) fn scripts(phrases: &Phrases) -> Option<Vec<(String, &'static [u8])>> {
    let script = |name: String| made(&format!("assets/{name}"), phrases).map(|bytes| (name, bytes));
    asset_names().into_iter().map(script).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::card;
    use crate::site::work::shown;

    #[test]
    fn what_was_made_ready_is_what_is_made_of_the_same_words() {
        let (stock, own) = (first_phrases(), first_phrases().clone());
        for system in [System::Us, System::Metric] {
            let all = || shown(system).expect("readable");
            for (ready, now) in all().iter().zip(&all()) {
                let id = ready.calculator.id;
                assert!(facts(id, system, stock).is_some(), "{id}");
                assert!(facts(id, system, &own).is_none(), "a course's own words may differ");
                let (ready, now) = (ready.facts(stock).expect("there"), now.facts(&own).expect("it can be worked"));
                assert!(ready == now && !now.example.is_empty(), "{id}");
            }
            assert!(card(system, stock).is_some_and(|ready| ready == card::part(system, &own)), "{system:?}");
        }
    }
}
