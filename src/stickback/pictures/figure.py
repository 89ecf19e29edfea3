"""Figure: the words of a `figure` block as one sentence, or drawn as a picture; the one is never made for the other."""

from collections.abc import Mapping

from stickback.pictures import attitude, bounce, canvas, circuit, ground, propeller, scene, seat, slip, stick, wind
from stickback.pictures.scene import Drawing, Scene, Words, Wrong
from stickback.reading import fill

SCENES: Mapping[str, Scene] = {
    "wind": wind.SCENE,
    "stick": stick.SCENE,
    "propeller": propeller.SCENE,
    "attitude": attitude.SCENE,
    "circuit": circuit.SCENE,
    "swerve": ground.SWERVE,
    "weathercock": ground.WEATHERCOCK,
    "weave": ground.WEAVE,
    "slip": slip.SCENE,
    "bounce": bounce.SCENE,
    "view": seat.VIEW,
    "pedals": seat.PEDALS,
}


def check(words: Words) -> Wrong | None:
    """What is wrong with the words of a block, as a message and a hint; None when it is well.

    A value that still holds `{{ }}` is taken as fine: what it is filled with is checked when it is drawn.
    """
    name, names = words.get("scene", ""), " | ".join(SCENES)
    if not name:
        return "A figure does not say its scene.", f"add `scene:` with {names}"
    if fill.is_open(name):
        return None
    if name not in SCENES:
        return f"'{name}' is no scene of a figure.", f"write {names}"
    return scene.check(name, SCENES[name], {key: value for key, value in words.items() if key != "scene"})


def sentence(words: Words) -> str:
    """What the picture shows, for a terminal or a screen reader; or why there is none."""
    wrong = _wrong(words)
    if wrong:
        return f"No picture can be drawn. {wrong}"
    found = SCENES[words["scene"]]
    return found.sentence(scene.filled(found, words))


def draw(words: Words) -> str:
    """The picture as SVG. Never raises: words that cannot be drawn give an empty frame that says why."""
    if _wrong(words):
        drawn = _frame()
    else:
        found = SCENES[words["scene"]]
        drawn = found.draw(scene.filled(found, words))
    return canvas.svg(drawn.height, drawn.title, sentence(words), *drawn.inside)


def _wrong(words: Words) -> str:
    """Why there is no picture, a value that nothing has filled among the reasons; empty where there is one."""
    wrong = check(words)
    unfilled = next((key for key, value in words.items() if fill.is_open(value)), None)
    return wrong[0] if wrong else f"The word '{unfilled}' of a figure has no value." if unfilled else ""


def _frame() -> Drawing:
    frame = canvas.shape((2, 2), (canvas.WIDTH - 2, 2), (canvas.WIDTH - 2, 62), (2, 62), width=canvas.THIN)
    return Drawing(64, "No picture", [frame, canvas.lines((canvas.WIDTH / 2, 32), "no picture can be drawn")])
