"""The kinds there are; a new kind is one module, one line here and one test module."""

from stickback.kinds.choice import Choice
from stickback.kinds.explain import Explain
from stickback.kinds.number import Number
from stickback.kinds.protocol import Kind
from stickback.kinds.radio import Radio
from stickback.kinds.sequence import Sequence
from stickback.kinds.stick import Stick

# In the order in which they are asked whether a question is written in their form: the plainest last.
KINDS: dict[str, type[Kind]] = {kind.NAME: kind for kind in (Choice, Number, Sequence, Stick, Radio, Explain)}
