"""The kinds there are; a new kind is one module, one line here and one test module."""

from stickback.kinds import choice, explain, number, radio, sequence, stick
from stickback.kinds.protocol import Kind

# In the order in which they are asked whether a question is written in their form: the plainest last.
KINDS: dict[str, Kind] = {kind.NAME: kind for kind in (choice, number, sequence, stick, radio, explain)}
