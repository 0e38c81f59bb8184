"""The frozen dataclasses of the model, held against those of the standard library."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitup.model.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of metal."""

    metal: str
    thickness: float = 0.81
    cut: tuple[int, ...] = ()
    bought: date | None = None
    remark: str = dataclasses.field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Painted(Sheet):
    """A sheet with paint on it."""

    coats: int = 1


@dataclass(frozen=True)
class Rack:
    """Sheets that lie together."""

    sheets: dict[str, Sheet] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Tag:
    """One word."""

    word: str


@dataclasses.dataclass(frozen=True, slots=True)
class _Sheet:
    metal: str
    thickness: float = 0.81
    cut: tuple[int, ...] = ()
    bought: date | None = None
    remark: str = dataclasses.field(default="", compare=False, repr=False)


_VALUES = st.tuples(
    st.text(max_size=3),
    st.floats(0, 1),
    st.lists(st.integers(0, 2), max_size=2).map(tuple),
    st.none() | st.dates(),
    st.text(max_size=2),
)


@settings(deadline=None)
@given(_VALUES, _VALUES)
def test_values_compare_and_hash_like_those_of_the_standard_library(one: Any, other: Any) -> None:
    ours, theirs = (Sheet(*one), Sheet(*other)), (_Sheet(*one), _Sheet(*other))
    assert (ours[0] == ours[1]) == (theirs[0] == theirs[1])
    assert (hash(ours[0]) == hash(ours[1])) == (hash(theirs[0]) == hash(theirs[1]))
    assert repr(ours[0]) == repr(theirs[0]).replace("_Sheet", "Sheet")
    assert dataclasses.astuple(ours[0]) == dataclasses.astuple(theirs[0])


@pytest.mark.parametrize("value", [Sheet("aluminium"), Painted("steel", coats=2), Rack(), Tag("spar")])
def test_a_value_is_never_changed(value: Any) -> None:
    name = dataclasses.fields(value)[0].name
    with pytest.raises(dataclasses.FrozenInstanceError, match=f"cannot assign to field '{name}'"):
        setattr(value, name, "copper")
    with pytest.raises(dataclasses.FrozenInstanceError, match=f"cannot delete field '{name}'"):
        delattr(value, name)


@pytest.mark.parametrize("value", [Sheet("aluminium", 0.51), Painted("steel", coats=2), Rack({"a": Sheet("b")})])
def test_a_value_survives_copying_pickling_and_replacing(value: Any) -> None:
    assert pickle.loads(pickle.dumps(value)) == value
    assert copy.deepcopy(value) == value
    same = dataclasses.replace(value)
    assert (same, type(same)) == (value, type(value))


def test_arguments_are_checked_like_those_of_any_function() -> None:
    with pytest.raises(TypeError, match=r"Sheet.__init__\(\) missing 1 required positional argument: 'metal'"):
        Sheet()  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="unexpected keyword argument 'colour'"):
        Sheet("steel", colour="red")  # type: ignore[call-arg]


def test_every_rack_gets_a_mapping_of_its_own() -> None:
    assert Rack().sheets is not Rack().sheets
    assert Rack({"a": Sheet("steel")}).sheets["a"].metal == "steel"


def test_values_of_other_classes_differ_even_with_the_same_fields() -> None:
    rack: object = Rack()
    assert Tag("a") != rack
    assert Sheet("a") != Painted("a")
    assert len({Tag("a"), Tag("a"), Tag("b")}) == 2


def test_a_class_with_slots_has_no_dictionary() -> None:
    assert not hasattr(Sheet("steel"), "__dict__")
    assert Sheet.__match_args__ == ("metal", "thickness", "cut", "bought", "remark")
