"""What was said on the radio, and what it was worth: three phraseologies, held as data."""
