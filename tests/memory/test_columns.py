import numpy as np

from stickback.memory.columns import Columns


def test_the_columns_of_an_answer_stand_at_one_place():
    ints, flags = np.array([0, 0, 1]), np.array([True, False, False])
    made = Columns({("q/a", ""): 0, ("q/a", "x"): 1}, ints, ints[::-1], ints + 20_000, ints + 1, flags)
    rows = [*zip(made.student, made.history, made.day, made.grade, made.sure, strict=True)]
    assert rows == [(0, 1, 20_000, 1, True), (0, 0, 20_000, 1, False), (1, 0, 20_001, 2, False)]
    assert made.histories["q/a", "x"] == 1
