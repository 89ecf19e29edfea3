"""From the bytes of a file to values with places, and everything wrong with it."""
