//! The page of the calibration card: the invented example, worked when the site is published, or for the
//! stock's own words when the program is built (`build.rs`).

use serde::{Deserialize, Serialize};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::card::CARD;
use tankside_calc::page::worked::{Options, Show, fragment, tools};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// What the page's template is given.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct CardPart {
    name: String,
    units: String,
    level: u8,
    form: String,
    face: String,
    tools: String,
}

/// The example in the units of the course.
pub(crate) fn part(system: System, phrases: &Phrases) -> CardPart {
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
        name: CARD.id.to_owned(),
        units: system.id().to_owned(),
        level: options.level,
        form: made.form,
        face: made.answer,
        tools: tools(&CARD, system, phrases),
    }
}
