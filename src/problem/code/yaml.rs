//! What can be wrong with any YAML of an author.

super::entries! {
    YAML_SYNTAX "yaml-syntax" Error
        "Lines that are not YAML: a bracket, a quote or a colon out of place."
        "Nothing in the file can be read from there on, so learners would miss all of it."
        "Write `key: value` lines, indented with spaces; put texts with colons or brackets in quotes.";
    SPACE_MISSING "space-missing" Error
        "A colon or a dash without the space after it, as in `calculator:catch-test`."
        "YAML takes the whole line for a text, and the value is lost."
        "Write one space after the colon or the dash.";
    ODD_SPACE "odd-space" Error
        "A no-break or another odd space where YAML needs a plain one."
        "It looks right on the screen, but the value is still lost."
        "Delete the space and type a plain one.";
    LIST_INDENT "list-indent" Error
        "A list that is not indented below the key it belongs to."
        "The items would be taken for something else, such as further questions."
        "Indent each `- …` two spaces more than its key.";
    COMMA_IN_BRACES "comma-in-braces" Error
        "A value inside braces with a comma in it, as in `{ area: 4,800 ft2 }`."
        "Inside braces a comma ends the value, so a learner would read 4 where 4,800 was meant."
        "Put the value in quotes: `{ area: \"4,800 ft2\" }`.";
    TEXT_CUT "text-cut" Warning
        "A text with a ` #` in it: what follows is a comment and is left out."
        "The learner reads half a sentence."
        "Put the whole text in quotes, or put the comment on its own line.";
    CAUTION_CUT "caution-cut" Error
        "A caution, or its source, with a ` #` in it: what follows is a comment and is left out."
        "Half a caution is read as a whole one: the rest is lost."
        "Put the whole text in quotes, or put the comment on its own line.";
    QUESTION_CUT "question-cut" Error
        "A text in a question bank with a ` #` in it: what follows is a comment and is left out."
        "The learner is asked half a question, or reads half a reason, and takes it for the whole."
        "Put the whole text in quotes, or put the comment on its own line.";
    NOTE_SHOWN "note-shown" Error
        "A comment between `<!--` and `-->` in a YAML text: a title, a question, a caution."
        "Only the text of a lesson has such comments; here learners would read what its author wrote to themselves."
        "Write the comment on a line of its own that begins with `#`.";
    CURLY_QUOTES "curly-quotes" Warning
        "A text in curly quotation marks, as a word processor writes them."
        "The learner sees the marks, and a colon or a `#` inside them breaks the text."
        "Type straight quotation marks.";
    TOO_DEEP "too-deep" Error
        "Lists and mappings nested more than 32 levels deep."
        "No course needs it, and a page made from it could not be read."
        "Use fewer levels.";
    TOO_MANY_VALUES "too-many-values" Error
        "A file with more values than can be read: 50,000, or 200,000 in `course.yaml`."
        "Nobody can check a file of that size, and a learner would get what was never checked."
        "Split it into several files.";
    ANCHOR "anchor" Error
        "An anchor, `&name`, in front of a value."
        "What is written once and used elsewhere is easily changed by accident, so it is not read."
        "Remove the `&name`, or put the text in quotes if the `&` belongs to it.";
    ALIAS "alias" Error
        "A reference, `*name`, to a value elsewhere."
        "What is written once and used elsewhere is easily changed by accident, so it is not read."
        "Write the value out, or put it in quotes if the `*` belongs to the text.";
    TAG "tag" Error
        "A tag, `!name`, in front of a value."
        "A tag changes what a value means without a reader seeing it."
        "Remove the `!name`, or put the text in quotes if the `!` belongs to it.";
    MERGE_KEY "merge-key" Error
        "The key `<<`, which would copy keys from elsewhere."
        "Nobody checks what is copied unseen."
        "Write the keys out.";
    DUPLICATE_KEY "duplicate-key" Error
        "The same key twice in one mapping."
        "One of the two values would be lost, and it is not clear which."
        "Keep one of the two.";
    KEY_NOT_TEXT "key-not-text" Error
        "A list or a mapping where a key belongs."
        "There would be no name for its value."
        "Put the text in quotes if the bracket belongs to it.";
    EXTRA_DOCUMENT "extra-document" Error
        "A second YAML document, after a `---` line."
        "Everything after that line would be lost."
        "Keep one document per file.";
    NOT_A_NUMBER "not-a-number" Error
        "One of the words that YAML reads as infinity or as not a number, such as `.inf`."
        "An answer worked from it would be nonsense."
        "Write the number, or put the text in quotes.";
    UNKNOWN_KEY "unknown-key" Error
        "A key that does not belong where it is written; often a typing mistake."
        "What it says would be silently left out."
        "Write the suggested key.";
    MISSING_KEY "missing-key" Error
        "A required key that is missing."
        "The page would lack a title, an answer or a unit."
        "Add a line with the key and its value.";
    WRONG_TYPE "wrong-type" Error
        "A value of the wrong form: text for a list, a word for a number."
        "It cannot be used, so the learner would not see it."
        "Write the value in the form shown.";
    UNKNOWN_WORD "unknown-word" Error
        "A word that is not one of the choices."
        "It is not clear which was meant, and the page could come out differently."
        "Write one of the words listed.";
    WRONG_VALUE "wrong-value" Error
        "A value that does not fit its purpose."
        "It cannot be used, so the learner would not see it."
        "Write another value.";
    BLANK "blank" Error
        "A required text that is blank."
        "The learner would see a heading or a line without words."
        "Write the text.";
    NAME_FORM "name-form" Error
        "A name with capitals, spaces or letters that do not work in every file name and link."
        "A link to it would work on one computer and not on another."
        "Write lowercase letters, digits and hyphens.";
    DUPLICATE_ID "duplicate-id" Error
        "Two things of the same kind with the same name."
        "A link or a kept answer would lead to the wrong one."
        "Rename one of them.";
}
