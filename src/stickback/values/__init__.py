"""Values in a question's text: how they are filled in, drawn and shuffled."""
