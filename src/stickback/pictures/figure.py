"""Figure: the words of a `figure` block drawn as a picture, with one sentence for where no picture can be shown."""

import re
from collections.abc import Mapping

from stickback.pictures import attitude, canvas, circuit, propeller, scene, shapes, stick, wind
from stickback.pictures.scene import Figure, Scene, Words, Wrong
from stickback.reading import places

__all__ = ["SCENES", "Figure", "check", "draw", "words"]

_VALUE = re.compile(r"\{\{\s*([a-z][a-z0-9_]*)\s*\}\}")

SCENES: Mapping[str, Scene] = {
    "wind": wind.SCENE,
    "stick": stick.SCENE,
    "propeller": propeller.SCENE,
    "attitude": attitude.SCENE,
    "circuit": circuit.SCENE,
}


def check(words: Words) -> Wrong | None:
    """What is wrong with the words of a block, as a message and a hint; None when it is well.

    A value that still holds `{{ }}` is taken as fine: what it is filled with is checked when it is drawn.
    """
    name, names = words.get("scene", ""), " | ".join(SCENES)
    if not name:
        return "A figure does not say its scene.", f"add `scene:` with {names}"
    if "{{" in name:
        return None
    if name not in SCENES:
        return f"'{name}' is no scene of a figure.", f"write {names}"
    return scene.check(name, SCENES[name], {key: value for key, value in words.items() if key != "scene"})


def words(text: str, values: Mapping[str, str]) -> dict[str, str]:
    """The words of a block's text, with the values filled in as they are printed; none where it cannot be read."""
    placed, _ = places.read(text, "", 1)
    found = {key: value for key, value in placed.data.items() if isinstance(value, str)}
    return {key: _VALUE.sub(lambda match: values.get(match[1], match[0]), value) for key, value in found.items()}


def draw(words: Words) -> Figure:
    """The picture of a block. Never raises: words that cannot be drawn give an empty frame that says why."""
    wrong = check(words) or _open(words)
    if wrong:
        return _frame(wrong[0])
    drawn = SCENES[words["scene"]]
    return drawn.draw(scene.filled(drawn, words))


def _open(words: Words) -> Wrong | None:
    """A value that nothing has filled."""
    name = next((key for key, value in words.items() if "{{" in value), None)
    return (f"The word '{name}' of a figure has no value.", "name a value that is given") if name else None


def _frame(message: str) -> Figure:
    sentence = f"No picture can be drawn. {message}"
    frame = canvas.shape((2, 2), (canvas.WIDTH - 2, 2), (canvas.WIDTH - 2, 62), (2, 62), width=canvas.THIN)
    text = shapes.lines((canvas.WIDTH / 2, 32), "no picture can be drawn")
    return Figure(canvas.svg(64, "No picture", sentence, frame, text), sentence)
