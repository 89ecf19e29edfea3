"""Scene `propeller`: the disc from behind, its direction, and what an effect does: its cause and where the nose goes.

Words: `propeller` (clockwise or anticlockwise, seen from the cockpit); `effect`: torque, slipstream, p-factor,
gyroscopic, or `all` four of a take-off; `tail`: raised or lowered, for gyroscopic alone; `show: answer` for the sides.
"""

from stickback.pictures import canvas, disc, shapes
from stickback.pictures.canvas import DASHES, HEAVY, TEXT, Element, part
from stickback.pictures.disc import Disc
from stickback.pictures.scene import ANSWER, Figure, Scene, Words, Wrong, one_of
from stickback.pictures.shapes import step
from stickback.trade import yaw
from stickback.trade.yaw import Side

_ALL = "all"
_CROSSED = "a crossed circle is a force away from you"
_YAW = {"torque": "torque_yaw", "slipstream": "slipstream_yaw", "p-factor": "p_factor_yaw"}


def nose(propeller: str, effect: str, tail: str) -> Side:
    """The way an effect turns the nose."""
    gyroscopic = "tail_up_yaw" if tail == "raised" else "tail_down_yaw"
    return yaw.yaw_sides(propeller)[_YAW.get(effect, gyroscopic)]


def draw(words: Words) -> Figure:
    """The picture and its sentence."""
    propeller, effect, tail, show = (words[key] for key in ("propeller", "effect", "tail", "show"))
    height, drawn = (
        _four(propeller, show == ANSWER) if effect == _ALL else _one(propeller, effect, tail, show == ANSWER)
    )
    sentence = _sentence(propeller, effect, tail, show == ANSWER)
    title = "The propeller seen from behind" + ("" if effect == _ALL else f": {effect}")
    return Figure(canvas.svg(height, title, sentence, *drawn), sentence)


def _one(propeller: str, effect: str, tail: str, answer: bool) -> tuple[float, list[Element]]:
    low = effect == "torque"
    shown = Disc((180, 148), 82, propeller, tail, answer)
    y = 322 if low else 276
    told = [" ".join(_cause(shown, effect))] if answer else [" ".join(_given(effect, tail))]
    if answer and effect == "slipstream":
        told.append(f"the dashed arrow: {_pushed(propeller)}")
    if effect == "gyroscopic" or (answer and effect == "p-factor"):
        told.append(_CROSSED)
    drawn = [
        _heading(20, effect, bold=True),
        _heading(39, f"seen from behind, turning {propeller}"),
        *_panel(shown, effect),
        shapes.lines((180, y - 9 + 8.5 * (len(told) - 1)), *told),
        *_nose(y + 34, nose(propeller, effect, tail) if answer else None),
    ]
    return y + 72, drawn


def _four(propeller: str, answer: bool) -> tuple[float, list[Element]]:
    """The four effects of a take-off, which share the swing."""
    drawn = [_heading(20, f"seen from behind, turning {propeller}")]
    for index, name in enumerate(disc.EFFECTS):
        x, y = 90 + 180 * (index % 2), 52 + 198 * (index // 2)
        shown = Disc((x, y + 64), 44, propeller, "raised", answer)
        told = _cause(shown, name) if answer else _given(name, "raised")
        drawn += [shapes.lines((x, y - 5), name, size=TEXT, bold=True), *_panel(shown, name)]
        drawn.append(shapes.lines((x, y + 155), *told))
    drawn += [_heading(452, _CROSSED), *_nose(474, yaw.yaw_sides(propeller)["swing"] if answer else None)]
    return 512, drawn


def _panel(shown: Disc, effect: str) -> list[Element]:
    drawn = disc.EFFECTS[effect](shown)
    return [part(effect, *disc.turning(shown, effect), *drawn)]


def _heading(y: float, text: str, bold: bool = False) -> Element:
    return canvas.label((180, y), text, TEXT if bold else canvas.SMALL, bold=bold)


def _nose(y: float, side: Side | None) -> list[Element]:
    """The way the nose goes, or the question."""
    middle = (180.0, y)
    if side is None:
        ends = [canvas.arrow(step(middle, (9 * x, 0)), step(middle, (64 * x, 0)), dashes=DASHES) for x in (-1, 1)]
        return [part("question", *ends, shapes.lines((180, y + 24), "which way does the nose go?", bold=True))]
    far = 64 * disc.sign(side)
    arrow = canvas.arrow(step(middle, (-far, 0)), step(middle, (far, 0)), width=HEAVY, size=18)
    return [part("nose", arrow, shapes.lines((180, y + 24), f"the nose goes {side}", size=TEXT, bold=True))]


def _given(effect: str, tail: str) -> tuple[str, str]:
    """What the question gives, in two short lines."""
    push = "top" if tail == "raised" else "bottom"
    return {
        "torque": ("power on, both main", "wheels on the ground"),
        "slipstream": ("the wash turns with", "the disc, past the fin"),
        "p-factor": ("tail low: the disc", "is tilted back"),
        "gyroscopic": (f"tail being {tail}:", f"a push at the {push}"),
    }[effect]


def _cause(shown: Disc, effect: str) -> tuple[str, str]:
    """What causes it, in two short lines."""
    sides, push = shown.sides(), "top" if shown.tail == "raised" else "bottom"
    return {
        "torque": (f"the {sides['torque_wheel']} wheel", "is pressed and drags"),
        "slipstream": (f"the {sides['slipstream_fin']} side", "of the fin is struck"),
        "p-factor": (f"the {sides['down_blade']} blade, going", "down, pulls more"),
        "gyroscopic": (f"a push at the {push}", f"comes out on the {disc.comes_out(shown.propeller, shown.tail)}"),
    }[effect]


def _pushed(propeller: str) -> str:
    return f"the tail is pushed {yaw.opposite(yaw.slipstream_fin(propeller))}"


def _sentence(propeller: str, effect: str, tail: str, answer: bool) -> str:
    seen = f"The propeller disc seen from behind, turning {propeller}"
    names = tuple(disc.EFFECTS) if effect == _ALL else (effect,)
    if not answer:
        told = (
            "torque, slipstream, p-factor and gyroscopic effect" if effect == _ALL else " ".join(_given(effect, tail))
        )
        return f"{seen}; {told}: which way does the nose go?"
    shown = Disc((0, 0), 1, propeller, tail, answer)
    causes = "; ".join(f"{name}: {' '.join(_cause(shown, name))}" for name in names)
    causes = causes.replace("is struck", f"is struck and {_pushed(propeller)}")
    return f"{seen}. {causes[0].upper()}{causes[1:]}. The nose goes {nose(propeller, names[-1], tail)}."


def _rule(words: Words) -> Wrong | None:
    if "tail" in words and words.get("effect", "gyroscopic") != "gyroscopic":
        return "The word 'tail' is for the gyroscopic effect alone.", "leave `tail:` out"
    return None


SCENE = Scene(
    {
        "propeller": one_of(*yaw.PROPELLERS),
        "effect": one_of(*disc.EFFECTS, _ALL),
        "tail": one_of("raised", "lowered", default="raised"),
        "show": one_of("question", ANSWER, default="question"),
    },
    draw,
    _rule,
)
