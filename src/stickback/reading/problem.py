"""An author's mistake as a value: where it is, what is wrong, and what to type.

Reading a course never raises; it gives values and a list of these. Lines and columns count from 1, in characters.
As they are told, a crowded line has its first ones, and a long one the part around the mistake.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Severity = Literal["error", "warning"]
Place = tuple[int, int]  # a line and a column, each from 1


@dataclass(frozen=True, order=True)
class At:
    """Where an author must type: a file by its path in the course folder, a line and a column."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in a course folder; sorts by place.

    Args:
        code: a stable key of `CODES`.
        message: what is wrong, one sentence in the author's words.
        hint: what to type instead.
        severity: an `error` leaves the question out; a `warning` does not.
    """

    at: At
    code: str
    message: str
    hint: str
    severity: Severity = "error"

    @property
    def file(self) -> str:
        """The file that it stands in."""
        return self.at.file

    @property
    def line(self) -> int:
        """The line that it stands on."""
        return self.at.line

    @property
    def column(self) -> int:
        """Where in the line it stands."""
        return self.at.column


CODES: dict[str, str] = {
    "answer-doubled": "A question with two answers: options and an `### Answer`, or two lists of options.",
    "answer-empty": "An `### Answer` without a list of points.",
    "answer-fails": "An answer that has no value, or is not marked right, for some draw.",
    "answer-form": "An `### Answer` in a form that no kind of question reads.",
    "answer-missing": "A question with neither options nor an `### Answer`.",
    "answer-points": "More points than an examiner can listen for.",
    "attribute-doubled": "The same attribute stands twice in one pair of braces.",
    "attribute-form": "The braces at the end of a heading or item cannot be read.",
    "attribute-place": "Braces that stand below their heading.",
    "attribute-unknown": "An attribute that this heading does not take.",
    "attribute-value": "An attribute whose value is not one of those allowed.",
    "block-alias": "YAML anchors and aliases are not read in a fenced block.",
    "block-doubled": "A key that stands twice in a fenced block.",
    "block-form": "A fenced block that is not a list of `key: value` lines.",
    "bold-open": "Signs that should have made something bold and are shown as they stand.",
    "choice-blank": "An option without text.",
    "choice-doubled": "Two options of a question read the same.",
    "choice-few": "A choice needs two options at the least.",
    "choice-long": "More than one line of text under an option.",
    "choice-many": "More options than there are keys for.",
    "choice-marker": "A line that looks like an option and is not read as one.",
    "choice-no-right": "No option is marked as right.",
    "choice-no-wrong": "Every option is marked as right.",
    "comment-unclosed": "A comment that is never closed.",
    "craft-absolute": "One option alone uses an absolute word, which gives it away.",
    "craft-alike": "Two stems that share most of their words.",
    "craft-exact": "A tolerance of nought for a figure with a unit.",
    "craft-longest": "A right option that is by far the longest.",
    "craft-position": "Right options that stand at one place too often.",
    "craft-side": "A side typed by hand where it follows from the propeller.",
    "craft-source": "A question without a source.",
    "craft-why": "A question that does not say why.",
    "deck-empty": "A deck without a question.",
    "deck-large": "A file with more questions than are read.",
    "error-form": "An error seen that does not say its id and topics.",
    "fence-place": "A fenced block of a question that stands where it is not read.",
    "fence-unclosed": "A fenced block that is never closed.",
    "fence-unknown": "A fenced block with a name that no block has.",
    "figure-form": "A `figure` block that cannot be drawn.",
    "file-control": "A control character or a mark that turns the direction of text.",
    "file-encoding": "A file that is not UTF-8 text.",
    "file-large": "A file over the size that is read.",
    "file-mark": "A byte order mark at the start of the file.",
    "file-nesting": "Lists or quotes nested deeper than is read.",
    "file-place": "A file that looks like a deck and is not read, for its name or its place.",
    "file-unread": "A file that is there and cannot be read.",
    "footnote-doubled": "A footnote defined twice.",
    "footnote-form": "A footnote that is not read.",
    "footnote-unknown": "A footnote that no file of the course defines.",
    "front-alias": "YAML anchors and aliases are not read.",
    "front-doubled": "A key that stands twice in the front matter.",
    "front-form": "Front matter that is not a list of `key: value` lines.",
    "front-key": "A key of the front matter that is not known.",
    "front-missing": "A key that the front matter must have.",
    "front-place": "Front matter that does not start on the first line.",
    "front-unclosed": "Front matter that is never closed.",
    "front-value": "A value of the front matter that is not one of those allowed.",
    "given-doubled": "A value that stands in a list more than once.",
    "given-form": "A `given` block that cannot be read.",
    "given-hides": "A name that is drawn and is a value of an aircraft sheet too.",
    "given-idle": "A condition that every draw meets.",
    "given-impossible": "A `given` block whose conditions no draw meets.",
    "given-unused": "A name that is drawn and nothing uses.",
    "heading-empty": "A heading without a title.",
    "heading-space": "A heading without a space after its `#` signs.",
    "html-shown": "HTML is shown as it stands, not obeyed.",
    "id-doubled": "An id that already names something else.",
    "id-form": "An id that is not lower-case letters, digits and hyphens.",
    "id-missing": "A question, lesson or topic without an id.",
    "key-changed": "A question whose right answer has changed since students answered it.",
    "line-crowded": "More problems on one line than are told.",
    "merge-conflict": "A merge that was not finished.",
    "number-ambiguous": "A slip that would be marked right for some draw.",
    "number-exact": "A tolerance of nought for a figure that is worked out.",
    "number-form": "A number's answer that cannot be read.",
    "number-unit": "An answer in another unit than the value of a sheet that it follows from.",
    "picture-form": "A picture that is not read.",
    "picture-missing": "A picture that is not in the course folder.",
    "picture-outside": "A picture outside the course folder.",
    "picture-silent": "A picture without a text for those who cannot see it.",
    "plan-empty": "A lesson plan without a topic.",
    "plan-missing": "A course without a `lesson-plan.md`.",
    "plan-place": "A topic that stands before the first lesson.",
    "question-level": "A heading of a question that does not have two `#` signs.",
    "question-missing": "Options or an answer that stand under no question.",
    "radio-callsign": "A transmission without a callsign.",
    "radio-fails": "A right answer that is not marked right, or a wrong one that is, for some draw.",
    "radio-form": "A transmission or call that cannot be read, or in which nothing is listened for.",
    "radio-station": "A word that this station does not use.",
    "radio-unasked": "Something in bold that the phraseology does not want read back.",
    "radio-unmarked": "Something that must be read back and is not in bold.",
    "section-doubled": "The same section stands twice in one question.",
    "section-form": "A line that is meant as a section's heading and is none.",
    "section-level": "A heading of a section that does not have three `#` signs.",
    "section-unknown": "A `###` section that questions do not have.",
    "sequence-same": "Two steps of a sequence read the same.",
    "sequence-steps": "A sequence with too few or too many steps.",
    "sheet-lacks": "An aircraft sheet without a value that questions need.",
    "sheet-missing": "A course without an aircraft sheet.",
    "sheet-place": "An aircraft sheet that lies outside their folder.",
    "stick-form": "A `stick` block that cannot be read.",
    "then-apart": "A question to go on with that those who were asked the first are never asked.",
    "then-loop": "A chain of questions that leads back to its beginning.",
    "then-unknown": "A question to begin or go on with that is not there.",
    "topic-missing": "A question that does not say its topic.",
    "topic-unknown": "A topic that the lesson plan does not have.",
    "value-form": "Double braces that do not hold one name.",
    "value-same": "Values that make two options read the same on one aircraft sheet.",
    "value-unknown": "A value that no aircraft sheet of the course has.",
}


def errors(problems: Iterable[Problem]) -> list[Problem]:
    """Those that leave something out of the course."""
    return [problem for problem in problems if problem.severity == "error"]


BEFORE, BEHIND = 80, 80  # characters of a long line that are shown around a mistake
LONGEST = 400  # characters of a message or hint
# What is reported where it is first met: one thing is missing, wherever it is used.
ONCE = frozenset({"footnote-unknown", "topic-unknown", "value-unknown"})
A_LINE = 20  # problems of one line that are told; one mistake seldom makes more, and a line can hold thousands


def once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, of those that say the same of many places the first."""
    first: dict[tuple[str, str], Problem] = {}
    many: dict[tuple[str, str], int] = {}
    kept: list[Problem] = []
    for problem in problems:
        same = problem.code, problem.message
        many[same] = many.get(same, 0) + 1
        if problem.code not in ONCE or first.setdefault(same, problem) is problem:
            kept.append(problem)
    return [_with_others(problem, many[problem.code, problem.message]) for problem in kept]


def _with_others(problem: Problem, many: int) -> Problem:
    if problem.code not in ONCE or many == 1:
        return problem
    others = "one more place" if many == 2 else f"{many - 1} more places"
    return replace(problem, message=f"{problem.message.removesuffix('.')}, here and at {others}.")


def few(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, of a line that holds very many the first."""
    kept: list[Problem] = []
    many: dict[tuple[str, int], int] = {}
    for problem in problems:
        place = problem.file, problem.line
        many[place] = many.get(place, 0) + 1
        if many[place] <= A_LINE:
            kept.append(problem)
        elif many[place] == A_LINE + 1:
            message, hint = f"More than {A_LINE} problems stand on this line.", "mend these first"
            kept.append(replace(problem, code="line-crowded", message=message, hint=hint))
    return kept


def as_text(problem: Problem, source: str | None) -> str:
    """The problem as compilers print it: the place, the source line with a caret, and the hint.

    Args:
        source: the line of the file it stands on; None when the file cannot be shown.
    """
    message, hint = _short(problem.message), _short(problem.hint)
    head = f"{problem.file}:{problem.line}:{problem.column}: {problem.severity}: {message} [{problem.code}]"
    if source is None:
        return f"{head}\n    hint: {hint}"
    number = f"{problem.line:>6}"
    before, behind = _excerpt(source, problem.column - 1)
    # Tabs are kept, so that the caret stands under its character however wide a tab is.
    pad = "".join("\t" if char == "\t" else " " for char in before)
    shown = "".join(
        char if char.isprintable() or char == "\t" else "\N{REPLACEMENT CHARACTER}" for char in before + behind
    )
    return f"{head}\n{number} | {shown}\n       | {pad}^\n    hint: {hint}"


def _excerpt(source: str, at: int) -> tuple[str, str]:
    """What stands before and behind a place, as much of it as a screen shows."""
    begin = max(0, at - BEFORE) if len(source) > BEFORE + BEHIND else 0
    before, behind = source[begin:at], source[at:]
    cut = len(behind) > BEHIND and begin + len(before) + len(behind) > BEFORE + BEHIND
    return ("…" if begin else "") + before, behind[:BEHIND] + ("…" if cut else "")


def _short(text: str) -> str:
    """A sentence that a file's own words may have made very long."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def as_json(problems: Iterable[Problem]) -> str:
    """The list as a JSON array of objects with the fields of `Problem`."""
    fields = ("file", "line", "column", "severity", "code", "message", "hint")
    rows = [{field: getattr(problem, field) for field in fields} for problem in problems]
    return json.dumps(rows, indent=2, ensure_ascii=False)
