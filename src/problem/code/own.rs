//! What can be wrong in a course's own look and words: colors, attachments, cautions, terms, phrases, templates.

super::entries! {
    COLOUR_FORM "colour-form" Error
        "A colour that is not written as six digits after `#`, in quotes."
        "The page would have another colour, or none."
        "Write it as in `band: \"#163a2b\"`.";
    COLOUR_CONTRAST "colour-contrast" Error
        "A pair of colours that lie on each other and are nearer than WCAG 2.2 allows: 4.5 to 1 for text."
        "In the sun, on a phone, nobody can read it."
        "Write a darker or a lighter colour.";
    ATTACHMENT_KIND "attachment-kind" Error
        "An attachment that is not of a kind that only shows itself, such as PDF."
        "A browser might run what is in it."
        "Save it as one of the kinds that are named.";
    ATTACHMENT_MISSING "attachment-missing" Error
        "An attachment that is listed and has no file."
        "The learner finds a link that leads nowhere."
        "Put the file into the folder `attachments/`, or correct its name.";
    CAUTION_WITHOUT_SOURCE "caution-without-source" Warning
        "A caution of one's own that does not say what it rests on."
        "Nobody can check it when the label or the law changes."
        "Say what it rests on: a line `Source: …` at its end, or `sources` in `cautions.yaml`.";
    NAME_TAKEN "name-taken" Error
        "A name that the page needs itself."
        "A link to it would lead to another part of the page."
        "Choose another name.";
    PHRASE_UNKNOWN "phrase-unknown" Warning
        "A phrase of one's own that replaces none."
        "It is shown nowhere."
        "Write the name of a phrase that is there.";
    PHRASES_FILE_NAME "phrases-file-name" Warning
        "A file among the phrases that is not named after a language."
        "It is not read."
        "Name it `LANGUAGE.yaml`.";
    PHRASE_MISSING "phrase-missing" Warning
        "A phrase that the course's language lacks."
        "The learner reads the name of a phrase instead of a sentence."
        "Add the phrase to `phrases/LANGUAGE.yaml` of the course.";
    PLACE_LEFT_OUT "place-left-out" Warning
        "A phrase of one's own without a place that the stock phrase has."
        "The number or the name that belongs there is not shown."
        "Write the place in braces into the phrase.";
    PART_UNKNOWN "part-unknown" Error
        "A template of one's own that replaces none."
        "It is used nowhere."
        "Name it like the template that it is to replace.";
    PART_FAILS "part-fails" Error
        "A template of one's own that fails while a page is made."
        "That page would be missing."
        "Correct it at the place that is named.";
}
