//! What can keep a site from being written to disk.

super::entries! {
    TARGET_UNWRITABLE "target-unwritable" Error
        "A folder for the site that cannot be written."
        "The site that learners use stays as it was."
        "Check the folder's permissions and the disk space, or name another folder.";
    TARGET_NOT_A_FOLDER "target-not-a-folder" Error
        "A file where the folder of the site should be."
        "The site that learners use stays as it was."
        "Name another folder with `--to`.";
    TARGET_NOT_OURS "target-not-ours" Error
        "A folder with files that publishing did not write."
        "Someone's files could be lost."
        "Name a new or an empty folder with `--to`.";
    TARGET_AND_COURSE "target-and-course" Error
        "A folder for the site that contains the course, or is inside it."
        "The course could be lost."
        "Name a folder next to the course with `--to`.";
    TARGET_OF_ANOTHER_COURSE "target-of-another-course" Error
        "A folder that holds the site of another course."
        "Its learners would find another course at their address."
        "Name another folder with `--to`.";
    TARGET_FILE_IN_THE_WAY "target-file-in-the-way" Error
        "Someone's own file where a page of the site belongs."
        "Somebody's file could be lost."
        "Move the file out of the folder of the site.";
    TARGET_LEFTOVERS "target-leftovers" Error
        "Leftovers of an interrupted run that cannot be repaired."
        "The site could be half old and half new."
        "Follow the instructions for the files listed.";
    TARGET_BUSY "target-busy" Error
        "Another run that is writing the same site."
        "Two runs at once would mix two sites."
        "Wait until the other one finishes.";
    SITE_CHANGED "site-changed" Error
        "Files of the site that someone has changed since it was published."
        "Someone's changes could be lost."
        "Keep the changes elsewhere, and publish into a new folder.";
    SITE_MOVED_AWAY "site-moved-away" Error
        "A run that was interrupted while it was putting the new site in place."
        "Until it is completed, learners may find no site."
        "Publish again; it is put back or completed first.";
    DESK_UNWRITABLE "desk-unwritable" Error
        "A folder or a file for papers and records that cannot be written."
        "What was marked or printed is not kept."
        "Check the folder's permissions and the disk space, or name another folder.";
    STOPPED "stopped" Error
        "A run that someone stopped before the site was complete."
        "The site that learners use stays as it was."
        "Publish again.";
}
