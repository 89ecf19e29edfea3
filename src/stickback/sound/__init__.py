"""What is said on the radio, as sound: a speech engine, what a radio does to a voice, and the machine's player."""
