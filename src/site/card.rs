//! The page of the calibration card: the invented example, worked when the site is published.

use serde::Serialize;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::card::CARD;
use tankside_calc::page::worked::{Options, Show, fragment, tools};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// What the page's template is given.
#[derive(Serialize)]
pub(super) struct CardPart {
    name: &'static str,
    units: &'static str,
    level: u8,
    form: String,
    face: String,
    tools: String,
}

/// The example in the units of the course.
pub(super) fn part(system: System, phrases: &Phrases) -> CardPart {
    let options = Options {
        name: CARD.id,
        title: phrases.get("card.title"),
        system,
        level: 2,
        show: Show::Everything,
        first: None,
        large: "",
        unfolded: None,
        formed: false,
        brief: false,
    };
    let given = RawInputs::from_pairs(system.pick(CARD.example, CARD.example_metric));
    let made = fragment(&CARD, &given, &options, phrases);
    CardPart {
        name: CARD.id,
        units: system.id(),
        level: options.level,
        form: made.form,
        face: made.answer,
        tools: tools(&CARD, system, phrases),
    }
}
