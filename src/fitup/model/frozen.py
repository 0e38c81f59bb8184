"""Frozen dataclasses that cost little to define and little to make.

Defining a frozen dataclass of the standard library compiles half a dozen functions. The screens need more than a
hundred such classes before they show anything, and a plan is read into thousands of their values. The `dataclass`
of this module gives the same classes, with three differences: `__init__` is compiled when the first value is made;
comparing, hashing and showing are shared functions; and the values of a class with slots are filled as those of a twin
class that is not frozen, which saves a call for each field. Type checkers see the standard library's.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool, slots: bool = False) -> Callable[[type], type]:
        """Make a class a frozen dataclass; every field is an argument of `__init__`."""
        if not frozen:
            raise TypeError("values of this module are frozen; take the standard library's dataclass for others")
        return lambda cls: _freeze(dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(cls), slots)


def _freeze(cls: Any, slots: bool) -> Any:
    """Give a bare dataclass the methods of a frozen one."""
    told = dataclasses.fields(cls)
    compared = _values_of([field.name for field in told if field.compare])

    def __init__(self: Any, *args: Any, **named: Any) -> None:
        cls.__init__ = _compiled_init(cls, slots)
        cls.__init__(self, *args, **named)

    def __eq__(self: Any, other: Any) -> Any:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __hash__(self: Any) -> int:
        return hash(compared(self))

    def __repr__(self: Any) -> str:
        shown = ", ".join(f"{field.name}={getattr(self, field.name)!r}" for field in told if field.repr)
        return f"{self.__class__.__qualname__}({shown})"

    for method in (__init__, __eq__, __hash__, __repr__, _set, _delete):
        setattr(cls, method.__name__, method)
    if slots:
        every = _values_of([field.name for field in told])
        cls.__reduce__ = lambda self: (self.__class__, every(self))
    return cls


def _set(self: Any, name: str, value: Any) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


_set.__name__, _delete.__name__ = "__setattr__", "__delattr__"


def _values_of(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """Return what takes the values of these fields out of an object, as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: tuple(getattr(value, name) for name in names)


def _compiled_init(cls: Any, slots: bool) -> Any:
    """Compile the `__init__` of a class from its fields."""
    known: dict[str, Any] = {}
    heads, lines = [], []
    for place, field in enumerate(dataclasses.fields(cls)):
        head = field.name
        if field.default_factory is not dataclasses.MISSING:
            known |= {f"_make{place}": field.default_factory, "_missing": dataclasses.MISSING}
            head += "=_missing"
            lines.append(f"if {field.name} is _missing: {field.name} = _make{place}()")
        elif field.default is not dataclasses.MISSING:
            known[f"_default{place}"] = field.default
            head += f"=_default{place}"
        heads.append(head)
    names = [field.name for field in dataclasses.fields(cls)]
    if slots:
        known |= {"_twin": _twin(cls), "_change": object.__setattr__}
        lines += ["_kind = self.__class__", "_change(self, '__class__', _twin)"]
        lines += [f"self.{name} = {name}" for name in names]
        lines.append("self.__class__ = _kind")
    else:
        lines.append("_kept = self.__dict__")
        lines += [f"_kept[{name!r}] = {name}" for name in names]
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    body = "\n ".join(lines)
    exec(f"def __init__(self, {', '.join(heads)}):\n {body}", known)
    init = known["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    return init


def _twin(cls: Any) -> type:
    """Return a class whose values are laid out in the same way, and may be written."""
    return type(cls.__name__, cls.__bases__, {"__slots__": cls.__slots__, "__setattr__": object.__setattr__})
