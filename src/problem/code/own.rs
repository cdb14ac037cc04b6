//! What can be wrong in a course's own look and words: colors, attachments, cautions, terms, phrases, templates.

super::entries! {
    COLOR_FORM "color-form" Error
        "A color that is not written as six digits after `#`, in quotes."
        "The page would have a different color, or none."
        "Write it as in `band: \"#163a2b\"`.";
    COLOR_CONTRAST "color-contrast" Error
        "A pair of colors, one on the other, with less contrast than WCAG 2.2 asks for: 4.5 to 1 for text."
        "In the sun, on a phone, nobody can read it."
        "Write a darker or a lighter color.";
    LOGO_CONTRAST "logo-contrast" Warning
        "A logo with less contrast to its band, on a light or a dark screen, than WCAG 2.2 asks for: 3 to 1 for a picture."
        "Nobody can see whose course it is, and the band looks stained."
        "Save the logo in lighter colors, or on a ground of its own.";
    ATTACHMENT_KIND "attachment-kind" Error
        "An attachment that is not a kind of file that browsers only show or save, such as PDF."
        "A browser might run what is in it."
        "Save it as one of the kinds listed.";
    ATTACHMENT_MISSING "attachment-missing" Error
        "A listed attachment that has no file."
        "The learner finds a link that leads nowhere."
        "Put the file into the folder `attachments/`, or correct its name.";
    CAUTION_WITHOUT_SOURCE "caution-without-source" Warning
        "A course's own caution that does not say what it rests on."
        "Nobody can check it when the label or the law changes."
        "Say what it rests on: a line `Source: …` at its end, or `sources` in `cautions.yaml`.";
    CAUTION_UNPLACED "caution-unplaced" Error
        "A caution of a course's own that no lesson shows."
        "A caution is lost: the learner never reads it."
        "Write a block `caution NAME` into the lesson where the danger is, or remove the caution.";
    NAME_TAKEN "name-taken" Error
        "A name that the page needs itself."
        "A link to it would lead to another part of the page."
        "Choose another name.";
    PHRASE_UNKNOWN "phrase-unknown" Warning
        "A course's own phrase that replaces no stock phrase."
        "It is never shown: learners still read the stock's words."
        "Write the name of an existing phrase.";
    PHRASES_FILE_NAME "phrases-file-name" Warning
        "A file among the phrases that is not named after a language, or after one that the course is not in."
        "It is not read, so learners see none of its words."
        "Name it `LANGUAGE.yaml`.";
    PHRASE_MISSING "phrase-missing" Warning
        "A phrase that the course's language lacks."
        "The learner reads an English sentence among those of the course's language."
        "Add the phrase to `phrases/LANGUAGE.yaml` of the course.";
    LIMIT_WORDS_MISSING "limit-words-missing" Warning
        "A course in a language of which no words for a maximum are known, such as `at most`."
        "An example could use more than the label allows, right beside the sentence that says how much that is."
        "List such words as `desk.limit-before` and `desk.limit-after` in `phrases/LANGUAGE.yaml` of the course.";
    PLACE_LEFT_OUT "place-left-out" Warning
        "A course's own phrase without a place that the stock phrase has."
        "The number or the name that belongs there is not shown."
        "Write the place in braces into the phrase.";
    PART_UNKNOWN "part-unknown" Error
        "A course's own template that replaces no stock template."
        "It is never used: learners see the stock's page."
        "Give it the name of the template it should replace.";
    PART_FAILS "part-fails" Error
        "A course's own template that fails while a page is made."
        "That page would be missing."
        "Correct it at the place shown.";
    PART_ENDLESS "part-endless" Error
        "A course's own template that repeats itself without an end, or makes a text or a page that is far too large."
        "The site would never be finished, or no phone could open it."
        "Look for a loop in a loop, or for a text that is added to itself.";
}
