"""What commands share at a terminal: keys, the screen, lines, paragraphs, files written."""
