"""Why a question was chosen, in a few words."""

from stickback.amount import percent
from stickback.study.choose import Candidate


def reason(one: Candidate, weight: int, gain: float | None, *, on_the_day: bool, sure_but_wrong: bool) -> str:
    """Such as `never seen: an answer today makes it 31 % surer on the day`.

    Args:
        gain: what an answer today is expected to add to `known` on the date; None when no date says so.
        on_the_day: the date is the end of the course, else that of a lesson.
        sure_but_wrong: it was answered wrong and sure, and that is still open.
    """
    if one.first:
        return "answered wrong and sure, still open" if sure_but_wrong else "behind an error seen in flight"
    if gain is None:
        return _state(one)
    counted = {2: "; it counts twice", 3: "; it counts three times"}.get(weight, "")
    when = "on the day" if on_the_day else "for the lesson"
    return f"{_state(one)}: an answer today makes it {percent(gain)} surer {when}{counted}"


def _state(one: Candidate) -> str:
    if one.known is None:
        return "new on this aeroplane" if one.elsewhere else "never seen"
    return f"known {percent(one.known)} today"
