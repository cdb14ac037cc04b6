//! What a proofreader of courses would mark: a course with these is published, and could be better.

super::entries! {
    UNTRANSLATED "untranslated" Warning
        "Stock content used in the course that has no translation into the course's language."
        "The learner reads it in English, between sentences of another language."
        "Write it in a folder of the language: `lessons/LANGUAGE/`, `questions/LANGUAGE/`.";
    NUMBER_CONTRADICTS "number-contradicts" Warning
        "A typed number with a unit that is close to, but not the same as, a number in the example next to it. One that is more than a quarter off may be another sprayer's or lawn's, and is left alone."
        "The learner sees two numbers for one thing and trusts neither."
        "Write it as a computed number, which follows the example.";
    RANGE_ONE_SIDED "range-one-sided" Warning
        "A question's range that can be drawn from at one end only."
        "The numbers are nearly the same each time, so practice is guessing."
        "Move the range to where every draw can be posed.";
    RANGE_MOSTLY_UNUSED "range-mostly-unused" Warning
        "Ranges from which fewer than half the draws make a sensible problem."
        "The learner meets the same few numbers again and again."
        "Narrow the ranges to what is usual.";
    OPTIONS_ALIKE "options-alike" Warning
        "Two options that differ in a letter or two, or two amounts within 4 % of each other."
        "The question tests eyesight or rounding, not knowledge."
        "Make the options differ in what they say, and amounts by a tenth or more.";
    MISTAKES_COLLIDE "mistakes-collide" Warning
        "A question in which a known mistake gives the right answer, or, with fixed numbers, one that is too near to it."
        "Anyone who makes the mistake is marked right, and makes it again on a lawn."
        "Change a number, or widen a range.";
    RIGHT_ALWAYS_LONGEST "right-always-longest" Warning
        "A bank in which the right option is always the longest."
        "Whoever notices passes without knowing anything."
        "Write the wrong options as carefully as the right ones.";
    RIGHT_STANDS_OUT "right-stands-out" Warning
        "A right option that is half as long again as every wrong one, or longer."
        "Whoever takes the longest option is right without knowing anything."
        "Write it shorter, or the wrong ones as fully.";
    OPTION_CATCH_ALL "option-catch-all" Warning
        "An option such as `All of the above`."
        "Options come in a different order each time, so nothing is above."
        "Write `kind: several`, and mark each right one.";
    OPTIONS_ONLY_TWO "options-only-two" Warning
        "A question with two options only."
        "Half of those who guess are right."
        "Add a third option that somebody who has not learned it would choose.";
    OPTION_UNEXPLAINED "option-unexplained" Warning
        "A wrong option without a `because`."
        "The learner sees that it is wrong, but not why."
        "Add `because: …`: why somebody would think so, and what is true instead.";
    SEVERAL_ALL_RIGHT "several-all-right" Warning
        "A question for several options, all of which are right."
        "Whoever ticks everything passes."
        "Add an option that is wrong.";
    QUESTION_TWICE "question-twice" Warning
        "Two questions of a bank with the same words."
        "The learner thinks that the page is broken."
        "Change one, or remove it.";
    QUESTION_NEGATIVE "question-negative" Warning
        "A question that asks for what is not so, with a plain `not`."
        "Readers skip the word and answer the opposite, most of all in a second language."
        "Ask what is true, or put the word in capitals.";
    PASS_UNUSUAL "pass-unusual" Warning
        "A `pass` below 60 % or of 100 %."
        "Below, guessing passes; at 100 % one typing mistake fails."
        "Write `pass: 80 %`, or what your certification asks for.";
    TOLERANCE_WIDE "tolerance-wide" Warning
        "A tolerance above 5 %."
        "An answer that far off would put down too much or too little."
        "Write `tolerance: 2 %`, or leave the line out.";
    TOLERANCE_NARROW "tolerance-narrow" Warning
        "A tolerance below 0.5 %."
        "Whoever rounds as the trade does would be told that they are wrong."
        "Write `tolerance: 2 %`, or leave the line out.";
    LESSON_WITHOUT_CAUTION "lesson-without-caution" Warning
        "A lesson with a worked example and no caution."
        "The learner is shown how to mix or spray, but not what can go wrong."
        "Add a block `caution NAME` where the work begins.";
    READING_LEVEL "reading-level" Warning
        "A lesson that reads far harder than the other lessons of the course."
        "Learners who read it in a second language get lost."
        "Write shorter sentences and plainer words.";
    SENTENCE_LONG "sentence-long" Warning
        "A sentence of more than 35 words."
        "By the end, the beginning is forgotten."
        "Split it in two.";
    PARAGRAPH_LONG "paragraph-long" Warning
        "A paragraph of more than 120 words."
        "On a phone it fills the screen, and is skipped."
        "Split it in two, or make it a list.";
    HEADINGS_FEW "headings-few" Warning
        "More than 400 words without a heading."
        "Nobody can find a place in it again."
        "Write a heading where the subject changes.";
    HEADING_TWICE "heading-twice" Warning
        "Two headings of a lesson with the same words."
        "In a list of headings nobody can tell them apart."
        "Say in each what sets it apart.";
    HEADING_IS_TITLE "heading-is-title" Warning
        "A heading that repeats the title of its lesson."
        "The page says the same twice before it says anything."
        "Remove the heading: the page begins with the title.";
    MINUTES_MISSING "minutes-missing" Warning
        "A lesson that does not say how long it takes."
        "Nobody can plan it into a morning."
        "Add a line `minutes: …` to its header.";
    MINUTES_SHORT "minutes-short" Warning
        "A lesson that takes longer than its header says."
        "The learner runs out of time before the questions."
        "Write the minutes shown, or split the lesson in two.";
    MINUTES_LONG "minutes-long" Warning
        "A lesson whose header says far more minutes than it takes."
        "The learner puts it off for want of an hour, and the morning is planned wrong."
        "Write the minutes shown, or what else is done in that time.";
    LESSON_LONG "lesson-long" Warning
        "A lesson that takes more than half an hour."
        "Whoever reads it on a phone stops before the end."
        "Split it in two, each with questions of its own at its end.";
    TITLE_LONG "title-long" Warning
        "A title of more than 60 letters."
        "Lists and tabs cut it off."
        "Write a shorter one.";
    TITLE_TWICE "title-twice" Warning
        "Two lessons, or two quizzes, with the same title."
        "Nobody can tell them apart in a list: neither the learner nor the trainer who reads the roster."
        "Write another title for one of the two.";
    SUMMARY_LONG "summary-long" Warning
        "A summary of more than 200 letters."
        "The list of lessons becomes too long to scan."
        "Say it in one or two sentences.";
    LESSON_EMPTY "lesson-empty" Warning
        "A lesson with fewer than 20 words, no example and no questions."
        "There is nothing in it to learn."
        "Write the lesson, or take it out of the list.";
    IMAGE_UNUSED "image-unused" Warning
        "A picture that no lesson shows."
        "It is published all the same, and every phone that keeps the course loads it."
        "Show it in a lesson, or remove it.";
    IMAGE_WORDS_POOR "image-words-poor" Warning
        "Words for a picture that only say that it is one, or repeat its file name."
        "Whoever cannot see it learns nothing from them."
        "Say what it shows, as you would on the phone.";
    IMAGE_WORDS_LONG "image-words-long" Warning
        "Words for a picture of more than 250 letters."
        "A screen reader reads them in one go, without a pause to go back to."
        "Say the main thing, and put the rest in the text.";
    LINK_WORDS_POOR "link-words-poor" Warning
        "A link whose words say nothing by themselves, such as `here`."
        "In a screen reader's list of links it says nothing."
        "Write where it leads.";
    LINK_NOT_SECURE "link-not-secure" Warning
        "A link that starts with `http:`."
        "Anyone between the learner and the site can change the page."
        "Write `https:`.";
    TABLE_HEAD_BLANK "table-head-blank" Warning
        "A table with an empty cell in its head."
        "A screen reader reads a column with no name."
        "Write what the column holds.";
    OUNCE_BARE "ounce-bare" Warning
        "A bare `oz` after a number."
        "A learner who confuses fluid ounces with ounces by weight measures the wrong dose."
        "Write `fl oz`, or `oz (weight)`.";
    WORD_TWICE "word-twice" Warning
        "The same word twice in a row."
        "It makes readers stop and go back."
        "Remove one of the two.";
    NOTE_TO_SELF "note-to-self" Warning
        "A note such as `TODO` or `TBD` in a text that is published."
        "The learner sees that the lesson is unfinished, but not what is missing."
        "Write what is missing, or put the note into a comment.";
    CONTACT_MISSING "contact-missing" Warning
        "A course without a `contact`."
        "A learner who is stuck does not know who to ask."
        "Add a line `contact: …` to `course.yaml`.";
    COURSE_SUMMARY_MISSING "course-summary-missing" Warning
        "A course without a `summary`."
        "The first page does not say what the course is for."
        "Add a line `summary: …` to `course.yaml`.";
}
