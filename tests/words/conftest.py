"""A place for what a person sees: see `shells`."""

from shells import blank, courses, place, read_once, school, session, template

__all__ = ["blank", "courses", "place", "read_once", "school", "session", "template"]
