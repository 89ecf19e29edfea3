"""What came of fitting the memory model to a student's answers."""

from stickback.services.tune import Outcome


def outcome(found: Outcome) -> str:
    """An outcome as one sentence."""
    there = "a set of their own" if found.personal else "the defaults"
    did = {"adopted": "adopted", "kept": f"kept {there}", "back": f"went back to {there}"}[found.what]
    return f"{found.student}: {did}; {found.why}."
