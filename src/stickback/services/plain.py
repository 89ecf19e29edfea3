"""Values as plain ones, for JSON and back by their type hints.

Nothing but values is made, and a value class needs nothing for it. A field that is no part of a value (`compare=False`)
is left out and given anew.
"""

from collections.abc import Callable, Mapping
from dataclasses import Field, fields, is_dataclass
from typing import Any, Literal, TypeAlias, get_args, get_origin, get_type_hints

Plain: TypeAlias = Any  # None, a text, a number, a list of such, or a dict of such by text
Build: TypeAlias = Callable[[Plain], Any]

_SCALARS = (str, int, float, bool)


def packed(value: object) -> Plain:
    """The plain form of a value: of a value class a list of its fields, in their order."""
    if is_dataclass(value):
        return [packed(getattr(value, each.name)) for each in _kept(type(value))]
    if isinstance(value, tuple):
        return [packed(each) for each in value]
    if isinstance(value, frozenset):
        return [packed(each) for each in sorted(value)]
    if isinstance(value, dict):
        return {key: packed(each) for key, each in value.items()}
    return value


def unpacked(hint: Any, plain: Plain, anew: Mapping[str, object]) -> Any:
    """The value of a type from its plain form.

    Args:
        anew: what each field gets, by its name, that is no part of a value.
    Errors: TypeError or ValueError where the plain form is not one of that type.
    """
    return _Builder(anew).build(hint)(plain)


def _kept(of: type) -> list[Field[Any]]:
    return [each for each in fields(of) if each.compare]


class _Builder:
    """Makes one function a type, once; those of a value class that holds itself find themselves."""

    def __init__(self, anew: Mapping[str, object]) -> None:
        self._anew = anew
        self._made: dict[Any, Build] = {}

    def build(self, hint: Any) -> Build:
        """The function that makes values of a type."""
        if hint not in self._made:
            self._made[hint] = lambda plain: self._made[hint](plain)  # while it is being made
            self._made[hint] = self._new(hint)
        return self._made[hint]

    def _new(self, hint: Any) -> Build:
        origin, args = get_origin(hint), get_args(hint)
        if hint in _SCALARS:
            return _scalar(hint)
        if origin is Literal:
            return lambda plain: args[args.index(plain)]
        if is_dataclass(hint):
            return self._value_class(hint)
        if origin is dict and args[0] is str:
            key, each = self.build(str), self.build(args[1])
            return lambda plain: {key(name): each(value) for name, value in plain.items()}
        if origin is frozenset or (origin is tuple and args[-1] is ...):
            each, container = self.build(args[0]), origin
            return lambda plain: container(map(each, plain))
        if origin is tuple:
            parts = [self.build(arg) for arg in args]
            return lambda plain: tuple([part(value) for part, value in zip(parts, plain, strict=True)])
        raise NotImplementedError(f"{hint} has no plain form")

    def _value_class(self, of: Any) -> Build:
        hints = get_type_hints(of)
        kept = [(each.name, self.build(hints[each.name])) for each in _kept(of)]
        anew = {each.name: self._anew[each.name] for each in fields(of) if not each.compare}

        def make(plain: Plain) -> Any:
            return of(**{name: build(value) for (name, build), value in zip(kept, plain, strict=True)}, **anew)

        return make


def _scalar(of: type) -> Build:
    def same(plain: Plain) -> Any:
        if type(plain) is of or (of is float and type(plain) is int):
            return plain
        raise TypeError(f"{plain!r:.40} is not {of.__name__}")

    return same
