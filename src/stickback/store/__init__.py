"""The answer log and the students on disk; the only floor that imports sqlmodel."""
