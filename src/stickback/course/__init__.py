"""From the text of a course folder to a Course and its problems; no files are opened here."""
