"""The values that questions use: of the aircraft sheets, or drawn; which are nowhere, hidden, unused or lacking."""

import re
from collections.abc import Callable, Container, Iterable, Iterator, Mapping

from stickback import amount
from stickback.course import front
from stickback.course import sheet as sheet_values
from stickback.course.course import OF_A_STATE, PHRASEOLOGIES, Deck, Question, Sheet, applies
from stickback.course.question import HEADING
from stickback.reading import markup
from stickback.reading.document import Document
from stickback.reading.problem import At, Problem

_STUDENT = {"phraseology": PHRASEOLOGIES, "rules": PHRASEOLOGIES}
_WORD = re.compile(r"[a-z][a-z0-9_]*")
_UNIT = re.compile(r"(?<=unit: )\S|^.*(?:±|\+/-)")  # in a block, or on one line
_NAMED = re.compile(r"(?m)^[ \t]*([a-z][a-z0-9_-]*)\b")


def problems(documents: Mapping[str, Document], decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """What is wrong with the values of a course all of whose sheets are read."""
    yield from _values(documents, decks, sheets)
    yield from _restrictions(decks, sheets)
    yield from _apart(decks, sheets)
    yield from _hidden(decks, sheets)
    yield from _unused(documents, decks, sheets)
    yield from _lacking(documents, decks, sheets)
    yield from _misfits(documents, decks, sheets)


def _values(documents: Mapping[str, Document], decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Names that neither a sheet nor the question's own `given` block has, in texts and then in formulas."""
    known = {name for sheet in sheets.values() for name in sheet.values}
    hint = _hints(known)
    questions = {deck.file: deck.questions for deck in decks}
    for each in documents.values():
        drawn = _drawn(each, questions.get(each.file, ()))
        for found in each.references:
            if found.kind == "value" and found.text not in known and found.text not in drawn(found.line):
                message = f"No aircraft sheet has a value '{found.text}'."
                place = (each.file, found.line, found.column)
                yield Problem(At(*place), "value-unknown", message, hint(found.text))
        texts = {(found.line, found.text) for found in each.references}
        for question in questions.get(each.file, ()):
            for name in sorted(question.uses - known):
                line, column = _where(each, question, name)
                if (line, name) not in texts:
                    message = f"No aircraft sheet has a value '{name}'."
                    yield Problem(At(each.file, line, column), "value-unknown", message, hint(name))


def _hints(known: Iterable[str]) -> Callable[[str], str]:
    """What to type for a name that no sheet has; where a sheet has it nearly, the mistake is there."""
    near = front.nearest(sorted(known))

    def hint(name: str) -> str:
        meant = near(name)
        if meant and name in sheet_values.NUMBERS and meant not in sheet_values.NUMBERS:
            return f"on the sheets, write '{name}' for '{meant}'"
        return front.did_you_mean(meant, "add it to the sheets or to `given`, or use one they have")

    return hint


def _drawn(document: Document, questions: Iterable[Question]) -> Callable[[int], Container[str]]:
    """The names drawn for the question on a line; for one that was not read, those of the whole file."""
    lines: dict[int, frozenset[str]] = {}
    for each in questions:
        lines |= dict.fromkeys(range(each.line, each.end + 1), each.draws.defines)
    fences = [block.text for block in markup.every(document.blocks) if block.kind in {"fence", "indented"}]
    anywhere = frozenset(name.replace("-", "_") for text in fences for name in _NAMED.findall(text))
    return lambda line: lines.get(line, anywhere)


def _where(document: Document, question: Question, name: str) -> tuple[int, int]:
    """The first place at which a question uses a name."""
    word = re.compile(rf"(?<![a-z0-9_]){name}(?![a-z0-9_])")
    for line in range(question.line, question.end + 1):
        if match := word.search(document.lines[line - 1]):
            return line, match.start() + 1
    return question.line, 1


def _restrictions(decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    allowed: dict[str, set[str]] = {key: set(values) for key, values in _STUDENT.items()}
    for sheet in sheets.values():
        for key, value in sheet.values.items():
            allowed.setdefault(key, set()).add(value)
    near = front.nearest([*allowed, *HEADING])
    for question in (question for deck in decks for question in deck.questions):
        wrong = list(_restriction(question, allowed, near))
        yield from wrong or _never_asked(question, sheets.values())


def _restriction(question: Question, allowed: Mapping[str, set[str]], near: Callable[[str], str]) -> Iterator[Problem]:
    for key, value in question.only.items():
        place = (question.file, *question.places[key])
        if key not in allowed:
            message = f"This heading does not take the attribute '{key}'."
            hint = front.did_you_mean(near(key), f"use {', '.join(sorted(HEADING))} or a sheet's value")
            yield Problem(At(*place), "attribute-unknown", message, hint)
        elif not {*value.split()} <= allowed[key] if key == "rules" else value not in allowed[key]:
            message = f"No aeroplane of this course has {key}={value}, so the question would never be asked."
            if key in _STUDENT:
                message = f"There is no {key} '{question.only[key]}'."
            hint = f"write {key}= and one of: {', '.join(sorted(allowed[key]))}"
            yield Problem(At(*place), "attribute-value", message, hint)


def _never_asked(question: Question, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Restrictions each of which some meet, and nobody all of them."""
    of_sheet = dict(_of_sheet(question))
    who, keys = "Nobody flies by", [key for key in question.only if key not in of_sheet]
    if _states(question):
        who, keys = "No aeroplane of this course has", list(of_sheet)
        if any(of_sheet.items() <= sheet.values.items() for sheet in sheets):
            return
    both = " and ".join(f"{key}={question.only[key]}" for key in keys)
    place = At(question.file, *question.places[keys[-1]])
    message = f"{who} {both}, so the question would never be asked."
    yield Problem(place, "attribute-value", message, f"delete {' or '.join(keys)}")


def _apart(decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Chains that go on with a question which nobody is asked to whom the one before it was put."""
    questions = {each.id: each for deck in decks for each in deck.questions}
    for question in (each for each in questions.values() if each.then in questions):
        other = questions[question.then]
        if why := _never_both(question, other, sheets.values()):
            message = f"Nobody who is asked this question is ever asked '{other.id}': {why}."
            place = (question.file, *question.places["then"])
            yield Problem(At(*place), "then-apart", message, "go on with a question that the same students are asked")


def _never_both(question: Question, other: Question, sheets: Iterable[Sheet]) -> str:
    """Why no student is asked both of two questions; empty where some are, or one of them is never asked at all."""
    mine, theirs = _states(question), _states(other)
    if mine and theirs and mine.isdisjoint(theirs):
        return f"it goes by {', '.join(sorted(theirs))}, and this by {', '.join(sorted(mine))}"
    fit = [{sheet.id for sheet in sheets if applies(one, sheet.values, abroad=True)} for one in (question, other)]
    return "no aeroplane has what both speak of" if all(fit) and not set.intersection(*fit) else ""


def _states(question: Question) -> set[str]:
    """The phraseologies by which those fly who are asked a question."""
    return set(PHRASEOLOGIES).intersection(*(question.only[key].split() for key in OF_A_STATE & question.only.keys()))


def _hidden(decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Drawn names that are a sheet's as well: the question would never show that aeroplane's value."""
    known = {name for sheet in sheets.values() for name in sheet.values}
    for question in (question for deck in decks for question in deck.questions):
        for name in sorted(question.draws.defines & known):
            message = f"'{name}' is a value of the aircraft sheets, and this draws another in its place."
            place = (question.file, *question.draws.place(name))
            yield Problem(At(*place), "given-hides", message, "give what is drawn a name of its own")


def _unused(documents: Mapping[str, Document], decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Names that are drawn for nothing: no text, block or formula holds them."""
    known = {name for sheet in sheets.values() for name in sheet.values}
    for deck in decks:
        used = _used(documents[deck.file])
        for question in (each for each in deck.questions if each.draws.defines):
            words = {word for line in range(question.line, question.end + 1) for word in used.get(line, ())}
            for name in sorted(question.draws.defines - words - question.draws.uses - known):
                message, hint = f"Nothing in this question uses '{name}'.", "use it, or delete this line"
                place = (question.file, *question.draws.place(name))
                yield Problem(At(*place), "given-unused", message, hint, "warning")


def _used(document: Document) -> dict[int, list[str]]:
    """The words by their line that may be names: values in the text, and all that stands in a block but `given`."""
    used: dict[int, list[str]] = {}
    for found in (found for found in document.references if found.kind == "value"):
        used.setdefault(found.line, []).append(found.text)
    for block in markup.every(document.blocks):
        if block.name not in {"", "given"}:
            used.setdefault(block.line, []).extend(_WORD.findall(block.text))
    return used


def _lacking(documents: Mapping[str, Document], decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Sheets without a value that others have: the questions that need it are never asked on that aeroplane."""
    known = {name for sheet in sheets.values() for name in sheet.values}
    questions = [question for deck in decks for question in deck.questions if question.uses <= known]
    for sheet in sheets.values():
        fit = [one for one in questions if all(sheet.values.get(k, v) == v for k, v in _of_sheet(one))]
        lacking = {name for one in fit for name in one.uses - sheet.values.keys()}
        if not lacking:
            continue
        names = ", ".join(f"'{name}'" for name in sorted(lacking))
        without = [one for one in fit if not one.uses <= sheet.values.keys()]
        many = "" if len(without) == 1 else f" and {amount.many(len(without) - 1, 'other question')}"
        first = f"'{without[0].id}' ({without[0].file}:{without[0].line})"
        message = f"This sheet does not say {names}, so {first}{many} {'are' if many else 'is'} never asked on it."
        place, meant = _nearly(documents[sheet.file], lacking)
        hint = "write it here, or leave it so where the aeroplane has none"
        yield Problem(At(sheet.file, *place), "sheet-lacks", message, front.did_you_mean(meant, hint), "warning")


def _of_sheet(question: Question) -> Iterator[tuple[str, str]]:
    return ((key, value) for key, value in question.only.items() if key not in _STUDENT)


def _nearly(document: Document, lacking: Iterable[str]) -> tuple[tuple[int, int], str]:
    """The key of a sheet that is nearly one it lacks, and that one; else the sheet's beginning."""
    near = front.nearest(lacking)
    for key in document.front.data:
        if key.isidentifier() and (meant := near(key)):
            return document.front.key(key), meant
    return (1, 1), ""


def _misfits(documents: Mapping[str, Document], decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Questions that do not fit an aeroplane on which they are asked, each told once."""
    measured = {name: sheet_values.measured(sheet.values) for name, sheet in sheets.items()}
    for question in (question for deck in decks for question in deck.questions):
        fit = (one for one in sheets.values() if applies(question, one.values, abroad=True))
        found = (each for one in fit for each in question.body.misfits(one.values, measured[one.id], one.file))
        if fault := next(found, None):
            place = _said(documents[question.file], question)
            yield Problem(At(question.file, *place), fault.code, fault.message, fault.hint, fault.severity)


def _said(document: Document, question: Question) -> tuple[int, int]:
    """Where a question says the unit of its answer."""
    for line in range(question.line, question.end + 1):
        if match := _UNIT.search(document.lines[line - 1]):
            return line, match.start() + 1
    return question.line, 1
