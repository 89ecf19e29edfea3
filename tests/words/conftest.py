"""A place for what a person sees: see `shells`."""

from shells import blank, courses, no_waiting, place, school, session, template

__all__ = ["blank", "courses", "no_waiting", "place", "school", "session", "template"]
