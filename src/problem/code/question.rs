//! What can be wrong in question banks.

super::entries! {
    ID_NOT_FILE_NAME "id-not-file-name" Error
        "A bank whose `id` is not the name of its file."
        "A lesson that uses one name would not find the other."
        "Write the same name in both.";
    BANK_EMPTY "bank-empty" Error
        "A bank without questions."
        "The learner would find a quiz that asks nothing."
        "Write a question below `questions:`.";
    PASS_NOT_A_SHARE "pass-not-a-share" Error
        "A `pass` that is not a percentage above 0 and up to 100 %."
        "Nobody could tell who has passed."
        "Write `pass: 80 %`.";
    ASKS_NOTHING "asks-nothing" Error
        "A question for a number that does not say which result it asks for, or a block that asks for no question."
        "There would be no answer to compare with."
        "Write `asks: catch-test/nozzle-output`, or a number of questions above 0.";
    OPTIONS_UNUSED "options-unused" Error
        "Options of a question that asks for a number."
        "The learner would never see them."
        "Remove them, or write `kind: one`.";
    KEY_UNUSED "key-unused" Error
        "A key that belongs to questions for a number, in a question with choices."
        "What it says would be left out."
        "Remove it, or write `kind: number`.";
    TOO_FEW_OPTIONS "too-few-options" Error
        "A question with fewer than two options."
        "There is nothing to choose."
        "Write two options or more.";
    RIGHT_OPTIONS "right-options" Error
        "More or fewer right options than the kind of question needs."
        "A learner with a correct answer would be marked wrong."
        "Mark the right ones with `right: true`.";
    RESULT_UNKNOWN "result-unknown" Error
        "A result that the calculator does not give with these inputs."
        "There would be no answer to compare with."
        "Write the name of one of its results.";
    PART_NOT_ON_THE_WAY "part-not-on-the-way" Error
        "A part of a question that does not lead to its last answer, or is one too many."
        "A wrong figure could not be carried forward, so a part worked correctly from it would earn nothing."
        "Ask for a result of the same calculator that the last answer is worked from.";
    RESULT_NOT_A_NUMBER "result-not-a-number" Error
        "A question for a number whose result is a verdict in words."
        "The learner could not answer with a number."
        "Ask for another result, or write a question with choices.";
    RANGE_UNREADABLE "range-unreadable" Error
        "A range or a list that cannot be drawn from."
        "The question would have no numbers."
        "Write `90 to 200 by 2 fl oz`, `one of 20, 30, 45 s` or one amount.";
    RANGE_STEP "range-step" Warning
        "A range whose step is larger than the range."
        "It gives one number, always the same, so there is nothing to practice twice."
        "Write a smaller step.";
    RANGE_IMPLAUSIBLE "range-implausible" Error
        "Ranges from which no draw makes a sensible problem."
        "There would be nothing to ask."
        "Move or widen a range.";
    UNIT_WRONG_KIND "unit-wrong-kind" Error
        "An `answer-in` that does not measure what the question asks for."
        "No right answer could be given in it."
        "Write a unit of the kind shown.";
    TOLERANCE_NOT_A_SHARE "tolerance-not-a-share" Error
        "A tolerance that is not a percentage above 0."
        "Nobody could tell which answers are right."
        "Write `tolerance: 2 %`.";
    BESIDE_UNREADABLE "beside-unreadable" Error
        "A value under `beside` that is not an amount, or is an input itself."
        "The text of the question would have a hole."
        "Give inputs under `given`; under `beside`, write a range, a list or one amount.";
    PLACE_UNKNOWN "place-unknown" Error
        "A place in the text of a question that names no input."
        "The learner would read braces instead of a number."
        "Write the name of an input that is given.";
    PLACE_IN_DOUBLE_BRACES "place-in-double-braces" Error
        "A place in double braces, `{{catch.1.volume}}`."
        "The learner would read braces around the number, or no number."
        "Write it in single braces.";
    PLACE_OPEN "place-open" Error
        "A brace in the text of a question without its counterpart."
        "The learner would read a brace, and perhaps no number."
        "Close the brace, or remove it.";
    QUESTION_LACKS_INPUT "question-lacks-input" Error
        "A question whose text leaves out a number that is drawn and that is needed to answer it."
        "Nobody can answer it."
        "Write the place of the input into the text.";
    QUESTION_LACKS_FIXED "question-lacks-fixed" Warning
        "A question whose text leaves out a number that is the same in every draw."
        "A learner has to guess it."
        "Write the place of the input, or the amount, into the text.";
    QUESTION_DANGER "question-danger" Error
        "A question of which some or all problems raise a danger: a rate over the label's maximum, say."
        "The key would call a dose right that the label forbids."
        "Move a range, or correct the limit.";
    QUESTION_UNUSUAL "question-unusual" Warning
        "A question whose fixed numbers leave the usual range of an input: a catch of 5 s, say."
        "The learner practices what nobody should do."
        "Write a usual value, or a range of usual ones.";
    DRAW_VERSION_LOW "draw-version-low" Error
        "A `draw-version` below 1."
        "There is no such draw, so the question would have no numbers."
        "Write `draw-version: 1`, or leave the line out.";
    MISTAKES_INSEPARABLE "mistakes-inseparable" Error
        "Ranges from which no draw keeps the right answer and the known mistakes apart."
        "A wrong way would land on the right answer, and the feedback would be wrong."
        "Widen or move a range.";
}
