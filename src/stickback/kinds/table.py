"""The kinds there are; a new kind is one module, one line here and one test module."""

from stickback.kinds import choice, explain
from stickback.kinds.mark import Kind

KINDS: dict[str, Kind] = {kind.NAME: kind for kind in (choice, explain)}
