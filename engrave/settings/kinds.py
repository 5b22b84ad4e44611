"""What a setting may be: said once, as the annotation of a field.

A field is bool, int, float, str, Fraction, another record, a tuple of any of them (`tuple[str, ...]` of any length),
a frozenset of words, or a mapping from words to any of them. What belongs to a field beyond its type is said by
`Annotated[float, Number(0, 1)]` and the like.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, NamedTuple, TypeVar, get_args, get_origin, get_type_hints

from engrave.problems import did_you_mean

GREATEST = 10_000.0
"""No setting is as great, unless its field says so: it would be a slip of typing (safety limit)."""


class Number(NamedTuple):
    """The least and the greatest that a number may be. `is_open`: it is more than the least, not the least itself."""

    least: float = 0.0
    most: float = GREATEST
    unit: str = ""
    is_open: bool = False

    def fault(self, value: float) -> str:
        """What is wrong with `value`; "" when it is within."""
        if self.least <= value <= self.most and not (self.is_open and value == self.least):
            return ""
        unit = f" {self.unit}" if self.unit else ""
        if self.most >= GREATEST and value < GREATEST:
            if self.is_open:
                return f"must be above {self.least:g}{unit}"
            return f"must be {self.least:g}{unit} or more" if self.least else "may not be negative"
        return f"must be a number from {self.least:g} to {self.most:g}{unit}"


class OneOf(NamedTuple):
    """The words that a setting may be, and what one of them is called: "a face"."""

    words: tuple[str, ...]
    noun: str = ""

    def fault(self, value: str) -> tuple[str, str]:
        """What `value` is not, and what would be right; "" twice when it is one of the words."""
        if value in self.words:
            return "", ""
        return f"is not {self.noun}" if self.noun else "", did_you_mean(value, self.words)


class Having(NamedTuple):
    """Words that must have `slot` in them, where `what` stands."""

    slot: str
    what: str


class Spoken(NamedTuple):
    """Words that may not be empty."""


class Keys(NamedTuple):
    """The keys of a mapping, and what one of them is called: "a sign". Without words: just those that the base has.

    `pattern` is for keys that are free within it, `hint` says what would be right.
    """

    words: tuple[str, ...] = ()
    noun: str = ""
    pattern: str = ""
    hint: str = ""


Words = Annotated[str, Spoken()]
Share = Annotated[float, Number(0, 1)]
_PLAIN_NUMBER = Number()
_SINGLE = (bool, int, float, str, Fraction)
_Rule = TypeVar("_Rule")


class Kind(NamedTuple):
    """One type of setting, taken apart: `type` is what it is, `rules` what is said of it, `parts` the kinds inside.

    `is_record` is true for a record, which has fields of its own; `number` are the limits of a number.
    """

    type: Any
    rules: tuple[Any, ...] = ()
    parts: tuple[Kind, ...] = ()
    is_record: bool = False
    number: Number = _PLAIN_NUMBER

    def rule(self, wanted: type[_Rule]) -> _Rule | None:
        """What is said of the setting by a rule of the class `wanted`; None when nothing is."""
        for rule in self.rules:
            if isinstance(rule, wanted):
                found: _Rule = rule
                return found
        return None


@cache
def take_apart(annotation: Any) -> Kind:
    """The kind that an annotation asks for. Raises TypeError for one that no setting can have."""
    rules: tuple[Any, ...] = ()
    if get_origin(annotation) is Annotated:
        annotation, *said = get_args(annotation)
        rules = tuple(said)
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Mapping:
        return Kind(Mapping, rules, (take_apart(inner[1]),))
    if origin is frozenset:
        return Kind(frozenset, rules, (take_apart(inner[0]),))
    if origin is tuple:
        if inner[1:] == (...,):
            return Kind(list, rules, (take_apart(inner[0]),))
        return Kind(tuple, rules, tuple(map(take_apart, inner)))
    if annotation in _SINGLE:
        return Kind(
            annotation,
            rules,
            number=next((rule for rule in rules if isinstance(rule, Number)), _PLAIN_NUMBER),
        )
    if hasattr(annotation, "_fields") or is_dataclass(annotation):
        return Kind(annotation, rules, is_record=True)
    raise TypeError(f"no setting can be {annotation}")


@cache
def kinds_of(record: type) -> Mapping[str, Kind]:
    """The kind of each field of a record."""
    hints = get_type_hints(record, include_extras=True)
    return MappingProxyType({name: take_apart(hint) for name, hint in hints.items()})


@cache
def defaults_of(record: type) -> Mapping[str, Any]:
    """The fields that a record fills by itself where nothing is said."""
    if is_dataclass(record):
        return {field.name: field.default for field in fields(record) if field.default is not MISSING}
    found: Mapping[str, Any] = getattr(record, "_field_defaults")  # noqa: B009
    return found
