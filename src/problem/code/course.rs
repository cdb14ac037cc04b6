//! What can be wrong with the files of a course and its settings.

super::entries! {
    COURSE_MISSING "course-missing" Error
        "A course folder that is not there, or is a file."
        "There is nothing to publish."
        "Name the folder that holds `course.yaml`.";
    FILE_MISSING "file-missing" Error
        "A file that the course needs but does not have."
        "Its content would be missing from the pages."
        "Write the file, or correct its name.";
    FILE_TOO_LARGE "file-too-large" Error
        "A file over the size limit: 2 MiB for text, 20 MiB for a picture."
        "A phone out on a lawn would take minutes to load it."
        "Split a text into several files; make a picture smaller.";
    FILE_UNREAD "file-unread" Error
        "A file that the system will not let us read."
        "Its content is missing from the pages."
        "Check the file's permissions and the disk.";
    NOT_A_FILE "not-a-file" Error
        "A folder, a pipe or a device where a file belongs."
        "It holds no text for a page."
        "Replace it with a file of that name.";
    OUTSIDE_COURSE "outside-course" Error
        "A path or a link that leads outside the course folder."
        "A page could show something that was never meant for it."
        "Copy the file into the course folder.";
    NOT_UTF_8 "not-utf-8" Error
        "A text file that is not UTF-8."
        "Accented letters, degree signs and fractions would come out wrong."
        "Save the file as UTF-8.";
    NUL "nul" Error
        "A NUL character in a text."
        "Browsers stop at it or drop it, and the rest is lost."
        "Remove the character, or save the file again as UTF-8 text.";
    MERGE_LEFT "merge-left" Error
        "Both versions of a text, with the marks of a version control system around them."
        "Learners would read both, and the marks."
        "Keep one of the two, and remove the lines of marks.";
    FILE_NOT_READ "file-not-read" Warning
        "A file in the course folder that nothing reads."
        "Learners do not see what its author wrote."
        "Move it to where it is read, or out of the course folder.";
    FOLDER_NOT_READ "folder-not-read" Warning
        "A folder in the course folder that nothing reads."
        "Learners do not see what is in it."
        "Give it the name under which it is read, or move it out of the course folder.";
    WORDS_FILE_NAME "words-file-name" Error
        "A file of cautions or terms under a name or in a folder where it is not read, such as `cautions.yml`."
        "A caution is lost."
        "Name it `cautions.yaml` or `glossary.yaml`, and put it beside `course.yaml`.";
    FILE_SUFFIX "file-suffix" Warning
        "A lesson or a YAML file with another ending, such as `.markdown`, `.MD` or `.yml`."
        "It is not read, so learners do not see it."
        "Rename it: lessons end in `.md`, everything else in `.yaml`.";
    LANGUAGE_FORM "language-form" Error
        "A language that is not written as a code such as `en` or `es`."
        "Browsers and screen readers would pronounce the page wrongly."
        "Write the code of the language, for example `language: en`.";
    LANGUAGE_UNKNOWN "language-unknown" Error
        "A language for which there are no phrases."
        "Forms, steps and feedback would have no words."
        "Write one of the languages listed.";
    ONLY_DRAFTS "only-drafts" Warning
        "A course of which every lesson is a draft."
        "Learners find a site without a lesson."
        "Remove `draft: true` from a lesson that is ready.";
    NO_LESSONS "no-lessons" Error
        "A course that lists no lesson."
        "There is nothing in it to learn."
        "List the lessons below `lessons:`, one line `- name` for each.";
    LESSON_MISSING "lesson-missing" Error
        "A listed lesson that has no file."
        "The learner would find a link that leads nowhere."
        "Write the lesson, or correct its name in the list.";
    LESSON_SUFFIX "lesson-suffix" Error
        "A lesson listed with `.md` or with its folder."
        "Its page would get a name with two extensions, and links to it would fail."
        "List the name only.";
    LESSON_UNLISTED "lesson-unlisted" Warning
        "A lesson file that `course.yaml` does not list."
        "Nobody will see the lesson."
        "Add it to the list, or remove the file.";
    LESSON_FILE_NAME "lesson-file-name" Warning
        "A lesson file whose name has capitals, spaces or accents."
        "It cannot be listed, so nobody will see the lesson."
        "Rename the file in lowercase letters, digits and hyphens.";
    BANK_FILE_NAME "bank-file-name" Error
        "A file in `questions/` that is not named like a bank."
        "Its questions are never asked."
        "Rename it to `name.yaml` in lowercase letters, digits and hyphens.";
    BANK_REPLACES_STOCK "bank-replaces-stock" Warning
        "A question bank with the same name as a stock one, which it replaces everywhere."
        "A stock lesson would ask questions it was not written for."
        "Rename the bank, unless you mean to replace the stock one.";
    BANK_UNPLACED "bank-unplaced" Warning
        "A question bank that no lesson asks."
        "It gets its own page outside the lessons, and learners may never find it."
        "Write a block `questions NAME` into a lesson.";
    IMAGE_KIND "image-kind" Warning
        "A file in `images/` that is not a picture."
        "It is left out, so a learner does not see it."
        "Save it as PNG, JPEG, GIF, WebP, AVIF or SVG.";
    IMAGE_BROKEN "image-broken" Error
        "A picture that is empty, that breaks off before its end, or that is not what its name says."
        "The learner would see a broken frame."
        "Save the picture again in the format its name says.";
    IMAGE_LARGE "image-large" Warning
        "A picture of more than 1 MiB."
        "On a phone with a poor signal it takes a minute to load, and the lesson waits."
        "Save it at most 1,600 pixels wide, as WebP or JPEG.";
    IMAGE_WITH_SCRIPT "image-with-script" Error
        "A drawing that contains a script, an event handler or an address."
        "Opened by itself it could run in a learner's browser."
        "Save it as a plain drawing, or as PNG.";
    IMAGE_NOT_SVG "image-not-svg" Error
        "A drawing that is not SVG, or that cannot be read as XML."
        "The learner would see a broken frame."
        "Save it again with the program that drew it, or as PNG.";
    IMAGE_REACHES_OUT "image-reaches-out" Error
        "A drawing that points at something outside itself."
        "It would be missing without a signal, and it tells others who is looking."
        "Point at a part of the drawing, as `#part`, or put the picture into it.";
    FOLDER_UNREAD "folder-unread" Error
        "A folder of the course that cannot be read."
        "Everything in it would be missing from the pages."
        "Check the folder's permissions and the disk.";
    STOCK_UNREADABLE "stock-unreadable" Error
        "Stock content of this program that cannot be read."
        "This is a fault in the program, and no page can be trusted without that content."
        "Install the program again, or report the fault.";
    TEMPLATE_UNUSABLE "template-unusable" Error
        "A page template that fails while a page is made."
        "That page would be missing."
        "Correct the template at the place shown.";
    CORE_PART_MISSING "core-part-missing" Error
        "A calculator that was never built for the browser."
        "Its pages would show their printed numbers and answer nothing."
        "Run `cargo xtask wasm`, build the program again, and publish.";
    PREVIEW_REFUSED "preview-refused" Error
        "An address or a port at which no preview can be opened."
        "Its author cannot see what a learner will see."
        "Name another port with `--port`.";
    START_REFUSED "start-refused" Error
        "A folder in which a course cannot be started."
        "Files already there would be lost."
        "Name a new folder.";
}
