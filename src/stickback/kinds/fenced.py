"""An answer that is a fenced block of `key: value` lines, and nothing else: how every kind that has one reads it."""

from collections.abc import Callable

from stickback.kinds.protocol import Kind, Reading, Written
from stickback.reading import places
from stickback.reading.markup import Block
from stickback.reading.places import Placed
from stickback.reading.problem import At, Problem


class Wrong(Exception):  # noqa: N818 - turned into a problem where the block is read
    """What is wrong with a block, and what to write.

    Args:
        path: of keys, to where it stands; the whole block where there is none.
        column: in what stands there.
        code: of the problem, where it is not the kind's own.
    """

    def __init__(self, message: str, hint: str, *path: str, column: int = 1, code: str = "") -> None:
        super().__init__(message)
        self.message, self.hint, self.path, self.column, self.code = message, hint, path, column, code


def read(
    written: Written,
    kind: type[Kind],
    code: str,
    make: Callable[[Placed], Kind],
    in_a_line: Callable[[Block], Placed | None] = lambda _: None,
) -> Reading:
    """The question that the block of an answer makes, else its problems.

    Args:
        code: of a problem with what the block says.
        make: takes what the block says. Errors: Wrong.
        in_a_line: the same of a block that says it in another form; None of any other. Errors: Wrong.
    """
    block, *more = written.answer
    if more:
        message, hint = "This is not read: the answer stands above, alone.", "put it under `### Why`"
        return None, written.prompt, [Problem(At(written.file, more[0].line, 1), "answer-form", message, hint)]
    placed, problems = Placed(), list[Problem]()
    try:
        if in_line := in_a_line(block):
            placed = in_line
        else:
            placed, problems = places.read(block.text, written.file, block.line + 1, "block")
        for key in (each for each in placed.data if each not in kind.KEYS):
            raise Wrong(f"No {kind.NAME} block has a key '{key}'.", f"use {', '.join(kind.KEYS)}", key, "")
        return (None if problems else make(placed)), written.prompt, problems
    except Wrong as wrong:
        line, column = placed.places.get(wrong.path, (block.line, 1))
        at = At(written.file, line, column + wrong.column - 1)
        return None, written.prompt, problems or [Problem(at, wrong.code or code, wrong.message, wrong.hint)]
