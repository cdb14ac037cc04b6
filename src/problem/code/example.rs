//! What can be wrong in worked examples and computed numbers.

super::entries! {
    CALCULATOR_UNKNOWN "calculator-unknown" Error
        "A calculator that does not exist."
        "The example or the question has nothing to work with."
        "Write the name of an existing calculator.";
    INPUT_MISSING "input-missing" Error
        "An input that the calculator cannot do without."
        "Nothing can be worked, so the learner would see an empty example."
        "Add a line with the input and its value.";
    INPUT_UNKNOWN "input-unknown" Error
        "An input that the calculator does not have."
        "Its value would not be used."
        "Write the name of one of its inputs.";
    INPUT_UNREADABLE "input-unreadable" Error
        "A value that is not an amount with a unit."
        "Nothing can be worked from it."
        "Write a number and its unit.";
    INPUT_IMPOSSIBLE "input-impossible" Error
        "A value that is not possible."
        "The learner would practice with a sprayer that cannot exist."
        "Write a value within the limits shown.";
    INPUT_NOT_A_CHOICE "input-not-a-choice" Error
        "A word that is not one of the input's choices."
        "Nothing can be worked from it."
        "Write one of the words listed.";
    INPUT_TOO_LONG "input-too-long" Error
        "A name that is too long for its place."
        "It would push the numbers off a phone's screen."
        "Write a shorter name.";
    INPUT_ROWS "input-rows" Error
        "More or fewer rows than the calculator works with."
        "Nothing can be worked, so the learner would see an empty example."
        "Write the number of rows shown.";
    INPUTS_CONTRADICT "inputs-contradict" Error
        "Inputs that cannot be worked together: two that contradict each other, or too few of them."
        "Whatever came out would be wrong."
        "Correct or remove one of them, or add the one named.";
    EXAMPLE_DANGER "example-danger" Warning
        "A worked example that raises a danger itself: a rate over the label's maximum, say."
        "Learners copy what they see in a lesson, danger included."
        "Change the inputs. Where the danger is what the lesson teaches, say so in the text and leave the warning.";
    EXAMPLE_UNUSUAL "example-unusual" Warning
        "An input of a worked example outside its usual range, such as a catch of 5 seconds."
        "The learner takes it for normal practice."
        "Write a usual value.";
    PRODUCT_TWICE "product-twice" Warning
        "A mix in which two products have the same name."
        "The learner cannot tell which amount belongs to which jug, or measures one product twice."
        "Give each product its own name, or leave one of the two out.";
    FIGURE_UNKNOWN "figure-unknown" Error
        "A computed number from an example, an input or a result that does not exist."
        "The sentence would have a hole where its number belongs."
        "Write the name of an existing example and one of its numbers.";
    FIGURE_FORM "figure-form" Error
        "A computed number that is not written `figure:EXAMPLE/RESULT`."
        "The sentence would have a hole where its number belongs."
        "Write `figure:first-catch/nozzle-output`.";
    FIGURE_UNIT_UNKNOWN "figure-unit-unknown" Error
        "A computed number in an unknown unit."
        "The sentence would have a hole where its number belongs."
        "Write a unit as labels do, for example `gal/min`.";
    FIGURE_UNIT_WRONG_KIND "figure-unit-wrong-kind" Error
        "A computed number in a unit of another kind: a flow in feet, say."
        "There is no such number."
        "Write a unit of the kind shown.";
    TOO_MANY_EXAMPLES "too-many-examples" Error
        "More than a hundred worked examples in one lesson."
        "A phone could not load the page; on it, each example is a hundred times larger."
        "Start another lesson.";
}
