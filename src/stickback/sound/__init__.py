"""What is said on the radio, as sound: a speech engine, and what a radio does to a voice."""
