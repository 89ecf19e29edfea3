"""A place for what a person sees: see `shells`."""

from shells import blank, courses, place, school, session, template

__all__ = ["blank", "courses", "place", "school", "session", "template"]
