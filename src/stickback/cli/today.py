"""For the student: today at a glance, which is shown when no command is named."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stickback.cli.options import Options


def glance(options: "Options") -> None:
    """Today in a few lines."""
    import shlex

    from stickback.cli.terminal import show
    from stickback.services import today
    from stickback.words import terms
    from stickback.words import today as words

    desk = options.desk()
    seen = today.glance(desk)
    out = show.console()
    out.print()
    show.say(*words.greeting(desk, seen), style="bold", indent=0)
    if not desk.questions:
        show.say("`stickback check` says why.", indent=0)
    if seen.weakest:
        show.heading("Weakest now")
        rows = ((one.topic.title, words.state(one), f"stickback lesson {one.topic.id}") for one in seen.weakest)
        show.columns(rows, typed=True)
    show.heading("Ahead")
    set_it = f"no date yet; stickback student set {shlex.quote(desk.student.name)} {terms.end_option(desk.course)} DATE"
    show.columns((name, when or set_it) for name, when in words.ahead(desk))
    out.print()
    one = "stickback review --lesson LESSON   practises one lesson."
    start = "stickback review   starts it." if seen.questions else one
    show.say(start, "stickback --help   lists the rest.", indent=0)
