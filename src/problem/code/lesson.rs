//! What can be wrong in the text of a lesson.

super::entries! {
    HEADER_MISSING "header-missing" Error
        "A lesson without its header between two `---` lines."
        "The page would have no title, and no list could name it."
        "Start the file with `---`, `title: …`, `summary: …` and `---`, each on a line of its own.";
    HEADER_OPEN "header-open" Error
        "A header without its second `---` line."
        "The whole lesson would be taken for its header."
        "Write a second `---` line below the last key.";
    RAW_HTML "raw-html" Error
        "HTML in a lesson, a caution, a term or the footer."
        "It is not published: it could break the page or run a script."
        "Write it as Markdown; a bare `<` is written `\\<`.";
    HEADING_ATTRIBUTE "heading-attribute" Error
        "Something in the braces of a heading other than `#name` or `.class`."
        "It would become a live attribute of the page."
        "Write `## Time one pass {#one-pass}`.";
    HEADING_NAME "heading-name" Error
        "A heading name that the page itself uses, or that does not work in an address."
        "A link to it could lead to another part of the page."
        "Write another name, in letters, digits and hyphens.";
    HEADING_BLANK "heading-blank" Error
        "A heading with no text."
        "Screen readers announce it, with nothing to read."
        "Write the words after the `#`, or remove the line.";
    HEADING_SKIPS_LEVEL "heading-skips-level" Warning
        "A heading that is two or more levels below the one before it."
        "Someone moving from heading to heading by keyboard thinks that a part is missing."
        "Use one `#` more than the heading above.";
    HEADING_MISSING "heading-missing" Error
        "A link to a heading that does not exist."
        "The learner lands at the top of the page and has to search."
        "Write the name of an existing heading.";
    LINK_SCHEME "link-scheme" Error
        "A link that starts with anything but `https:`, `http:`, `mailto:` or `tel:+`."
        "It could run a script, or lead into the learner's own files."
        "Write a web address in full.";
    LINK_ABSOLUTE "link-absolute" Error
        "A link that starts at the root of a server or a disk."
        "It leads elsewhere on a memory stick and in a learning management system."
        "Write the name of the lesson file.";
    LINK_EMPTY "link-empty" Error
        "A link without an address."
        "A tap on it does nothing."
        "Write the address between the round brackets.";
    LINK_TO_NOWHERE "link-to-nowhere" Error
        "A link to a lesson or a file that the course does not have."
        "The learner finds a page that is missing."
        "Write the name of a lesson that is listed in `course.yaml`, or a web address in full.";
    LINK_REFERENCE "link-reference" Error
        "A link by reference, `[words][name]`, without the line that gives its address."
        "The learner sees brackets and no link."
        "Add the line `[name]: address`.";
    LINK_IN_BRACKETS "link-in-brackets" Warning
        "A word in square brackets for which there is no address."
        "If a link was meant, the learner sees brackets."
        "Add a line with the address, or write the brackets with backslashes.";
    LINK_BARE "link-bare" Error
        "A computed number or a trade term, `figure:…` or `term:…`, in plain text."
        "The learner reads a name instead of a number."
        "Write it as a link: `[words](figure:example/result)`, `[words](term:name)`.";
    LINK_OPEN "link-open" Error
        "A link in which one of the brackets is missing, as in `[our tank](our-tank.md`."
        "The learner sees brackets and an address, and no link or number."
        "Write both pairs: `[words](address)`.";
    HEADING_SPACE "heading-space" Error
        "A line that begins with `#` and a word, without a space between them."
        "The learner sees the sign, and the lesson has one heading less."
        "Write a space after the `#`; a sign that is meant is written `\\#`.";
    EMPHASIS_OPEN "emphasis-open" Warning
        "Two asterisks without their partner."
        "The learner sees asterisks, and what should be in bold is not."
        "Write two asterisks on both sides of the words, without a space inside.";
    NOTATION_OTHER "notation-other" Warning
        "Signs that other programs read, such as `~~words~~` or `- [ ]`."
        "The learner sees the signs."
        "Take them out, and say it in words.";
    LIST_SIGN "list-sign" Warning
        "Lines that begin with `•` or another bullet, or with `-` or `1)` and no space."
        "Markdown does not take them for a list: they run together in one paragraph."
        "Begin each line with a hyphen and a space.";
    QUOTE_OPEN "quote-open" Warning
        "A paragraph in which a curly quotation mark has no partner."
        "The learner cannot tell where the quoted words end."
        "Write the other mark, or take this one out.";
    LINK_SPACE "link-space" Error
        "An address with a space in it, as in `(../images/my bucket.png)`."
        "Markdown takes it for plain text: the learner sees brackets instead of a picture, a number or a link."
        "Rename the file without spaces, write `_` for the space in a unit, or put the address in angle brackets.";
    LINK_TO_DRAWING "link-to-drawing" Error
        "A link that would open a drawing as its own page."
        "Opened by itself, a drawing is outside the page and its protections."
        "Show it in the page: `![what it shows](../images/name.svg)`.";
    IMAGE_MISSING "image-missing" Error
        "A picture that the course does not have."
        "The learner sees a broken frame."
        "Put the picture into the folder `images/`, or correct its name.";
    IMAGE_ELSEWHERE "image-elsewhere" Error
        "A picture that is not in the folder `images/` of the course."
        "It would be missing without a signal, and on a memory stick."
        "Copy it into `images/` and write `../images/name.png`.";
    IMAGE_WITHOUT_WORDS "image-without-words" Error
        "A picture without words that say what it shows."
        "Whoever cannot see it learns nothing from it."
        "Write what it shows between the square brackets.";
    TERM_UNKNOWN "term-unknown" Error
        "A link to a term that the glossary does not have."
        "The learner looks for an explanation and finds none."
        "Write the name of an existing term.";
    TERM_FORM "term-form" Error
        "A link to the glossary that is not written `term:NAME`."
        "It leads to no term."
        "Write `[pass spacing](term:pass-spacing)`.";
    NOTE_MISSING "note-missing" Error
        "A footnote that is not written anywhere."
        "The learner sees brackets and no note."
        "Add a line `[^name]: …`, or write the brackets with backslashes.";
    NOTE_UNUSED "note-unused" Warning
        "A footnote that nothing refers to."
        "It is left out, and with it perhaps a source."
        "Write `[^name]` where the note belongs, or remove it.";
    CAUTION_LOST "caution-lost" Error
        "A block whose words begin like those of a caution, such as `warning` or `caution-clean-water`, and are not read as one."
        "The learner would see it as a piece of code, or not at all: a caution is lost."
        "Write `caution danger`, `caution warning`, `caution notice` or `caution` with the name of a stock caution.";
    CAUTION_PLAIN "caution-plain" Warning
        "A paragraph that begins like a caution, such as `Warning:` or `**Danger**`, and is not one."
        "It looks like any other sentence, so whoever skims the page skips it."
        "Write it as a block: `caution danger`, `caution warning` or `caution notice`.";
    CAUTION_UNKNOWN "caution-unknown" Error
        "A stock caution that does not exist."
        "A caution is lost."
        "Write the name of a stock caution, or a caution of your own.";
    CAUTION_TEXT "caution-text" Error
        "Sentences inside a stock caution, which has its own."
        "One of the two would be lost, and a caution must never be lost silently."
        "Leave the block empty, or write a caution of your own.";
    CAUTION_BLANK "caution-blank" Error
        "An author's own caution without sentences."
        "The learner would see a warning with nothing in it."
        "Write the sentences between the fences.";
    CAUTION_BLOCK "caution-block" Error
        "A heading, a table, a picture or another block inside a caution."
        "A caution is read in one glance or not at all."
        "Move it out of the caution.";
    CONSTRUCT_UNKNOWN "construct-unknown" Error
        "A block whose words begin like those of a worked example or of questions, and are not read as such."
        "The learner would see its lines as code."
        "Write the suggested name, or one that is less like it.";
    CONSTRUCT_NAME "construct-name" Error
        "A block without its name, or with more than one."
        "Numbers and questions could not refer to it."
        "Write one name after it, in lowercase letters, digits and hyphens.";
    FENCE_SHORT "fence-short" Error
        "A block that is fenced by one or two backticks instead of three, or not at all."
        "The learner sees raw lines on the page, and a caution, an example or a quiz is lost."
        "Write three backticks on a line of their own, above and below.";
    FENCE_OPEN "fence-open" Error
        "A block without the fence below it."
        "Everything to the end of the lesson becomes part of it."
        "Write three backticks on a line of their own below the block.";
    FENCE_INDENTED "fence-indented" Error
        "A block with four spaces or more in front of its fence."
        "The learner sees raw lines on the page, and a caution, an example or a quiz is lost."
        "Begin its lines at the left margin; within a list, below the words of the item.";
    FIGURE_IN_BRACES "figure-in-braces" Error
        "A computed number in braces, `{figure:…}`, which lessons do not read."
        "The learner sees braces instead of a number."
        "Write it as a link: `[words](figure:example/result)`.";
    PLACE_IN_LESSON "place-in-lesson" Error
        "A place in braces, such as `{catch.1.volume}`, which only questions fill."
        "The learner sees braces instead of a number."
        "Write a computed number, `[words](figure:example/input/catch.1.volume)`.";
    TABLE_ROW "table-row" Error
        "A table row with more cells than the head, or one that Markdown leaves out of the table."
        "The learner does not see those cells, or sees bars instead of a table."
        "Give every row as many cells as the head, and write the line `|---|---|` below it.";
    TABLE_ROW_SHORT "table-row-short" Warning
        "A row of a table with fewer cells than its head."
        "The learner sees empty cells and wonders what belongs there."
        "Write the cells that are missing; an empty one is ` | | `.";
    BANK_MISSING "bank-missing" Error
        "A question bank that does not exist."
        "The learner finds no questions."
        "Write the name of an existing bank, or add the file.";
    ASKS_TOO_MANY "asks-too-many" Error
        "More questions asked for than the bank has."
        "The rule on the page would promise what cannot be kept."
        "Write a smaller number, or leave `ask` out to ask them all.";
    LINK_TO_DRAFT "link-to-draft" Error
        "A link to a lesson that is a draft."
        "The lesson is not published, so the link leads nowhere."
        "Remove `draft: true` from that lesson, or the link.";
    NOTE_OPEN "note-open" Error
        "A comment, `<!-- … -->`, that is never closed."
        "Everything after it is left out, even a caution."
        "Write `-->` where the comment ends.";
    NOTE_HIDES_TEXT "note-hides-text" Error
        "Text that follows a comment on the same line."
        "It is left out together with the comment."
        "Start it on a new line, after a blank one.";
}
