"""Settings laid over each other: what a file writes is checked, converted and put over what stood there before.

Values on their way are plain dicts by field names, so that a file may say a part of a record; records are built at the
end, when all files have spoken. Every fault goes to the log, all at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple

from engrave.problems import NOWHERE, Location, ProblemLog, did_you_mean
from engrave.settings.kinds import GREATEST, Having, Keys, Kind, OneOf, Spoken, defaults_of, kinds_of
from engrave.source.tree import SourceList, SourceMap, Value

Values = dict[str, Any]
Path = tuple[str, ...]
Locations = dict[Path, Location]
"""The location of each value, by the keys that lead to it."""
_FRACTION = re.compile(r"\d{1,6}(/[1-9]\d{0,5})?")
_FEW = 3
"""Of a mapping with so many keys all are named where it is missing (house rule)."""


class Form(NamedTuple):
    """How the files of some settings look.

    `document` is what one is called ("a style"), `header` the keys that say so, `apart` keys that the caller reads.
    Words of a key are joined as in the file: `height_mm`, or `first-second`.
    """

    document: str
    kinds: Mapping[str, Kind]
    header: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    joint: str = "-"


class Layering(NamedTuple):
    """One file on its way over the values: where its faults and the locations of its values go."""

    form: Form
    log: ProblemLog
    locations: Locations

    def lay(self, tree: SourceMap, values: Values) -> None:
        """Put everything the file says over `values`."""
        kinds = _by_key(self.form.kinds, self.form.joint)
        for key, value, location in tree.entries():
            if key in self.form.header or key in self.form.apart:
                continue
            if key not in kinds:
                known = (*kinds, *self.form.apart)
                holds_records = any(kind.is_record for _, kind in kinds.values())
                what = "a section of" if holds_records else "known in"
                self.log.error(
                    tree.key_location(key),
                    f'"{key}" is not {what} {self.form.document}',
                    hint=did_you_mean(key, known),
                )
                continue
            field, kind = kinds[key]
            self.put(kind, (key,), field, values, value=value, location=location)

    def put(
        self, kind: Kind, path: Path, field: str, values: Values, *, value: Value, location: Location
    ) -> None:
        """Put one value, of whatever kind, under `field` of `values`; `path` are the keys that lead to it."""
        if kind.is_record or kind.type is Mapping:
            before = values.get(field, {})
            if not isinstance(value, SourceMap):
                self._refuse(
                    location,
                    f"{_name(path)} must be a mapping{_keys_inside(kind, self.form.joint)}",
                    _example(kind, before, self.form.joint),
                )
                return
            inside = values.setdefault(field, {})
            if kind.is_record:
                self.put_fields(kind.type, path, inside, value)
            else:
                self._put_keys(kind, path, inside, value)
            return
        converted = self.convert(kind, path, value, location)
        if converted is not None:
            values[field] = converted
            self.locations[path] = location

    def put_fields(self, record: type, path: Path, values: Values, tree: SourceMap) -> None:
        """Put the fields of a record that stand under `path`."""
        kinds = _keys_of(record, self.form.joint)
        for key, value, location in tree.entries():
            if key in kinds:
                field, kind = kinds[key]
                self.put(kind, (*path, key), field, values, value=value, location=location)
            else:
                self._unknown(tree, key, path, kinds)

    def _put_keys(self, kind: Kind, path: Path, values: Values, tree: SourceMap) -> None:
        """Put the keys of a mapping that stand under `path`."""
        keys = kind.rule(Keys) or Keys()
        known = keys.words or tuple(values)
        for key, value, location in tree.entries():
            if keys.pattern:
                if not re.fullmatch(keys.pattern, key):
                    self._refuse(tree.key_location(key), f'"{key}" is not {keys.noun}', keys.hint)
                    continue
            elif known and key not in known:
                self._unknown(tree, key, path, known, keys.noun)
                continue
            self.put(kind.parts[0], (*path, key), key, values, value=value, location=location)

    def convert(self, kind: Kind, path: Path, value: Value, location: Location) -> Any:
        """A single value as its field wants it; None, and an error, when it cannot be."""
        if kind.type is str:
            return self._word(kind, path, value, location)
        if kind.type is int or kind.type is float:
            return self._number(kind, path, value, location)
        if kind.type is bool:
            if isinstance(value, bool):
                return value
            return self._refuse(location, f"{_name(path)} must be true or false")
        if kind.type is Fraction:
            written = str(value)
            if isinstance(value, bool) or not _FRACTION.fullmatch(written):
                return self._refuse(location, f"{_name(path)} must be a fraction", "for example: 1/16")
            return Fraction(written)
        return self._several(kind, path, value, location)

    def _number(self, kind: Kind, path: Path, value: Value, location: Location) -> Any:
        wanted = int if kind.type is int else (int, float)
        if isinstance(value, bool) or not isinstance(value, wanted) or value != value:
            whole = "a whole number" if kind.type is int else "a number"
            return self._refuse(location, f"{_name(path)} must be {whole}{_range(kind)}")
        fault = kind.number.fault(value)
        return self._refuse(location, f"{_name(path)} {fault}") if fault else kind.type(value)

    def _word(self, kind: Kind, path: Path, value: Value, location: Location) -> Any:
        if isinstance(value, str) and not kind.rules:
            return value
        name = _name(path)
        choice: OneOf | None = kind.rule(OneOf)
        if choice is not None:
            what, hint = choice.fault(value if isinstance(value, str) else str(value))
            if what or hint or not isinstance(value, str):
                return self._refuse(location, f'"{value}" {what or f"is not known for {name}"}', hint)
            return value
        if not isinstance(value, str):
            quoted = f'put it in quotation marks: "{value}"' if isinstance(value, int | float) else ""
            return self._refuse(location, f"{name} must be words", quoted)
        if kind.rule(Spoken) is not None and not value.strip():
            return self._refuse(location, f"{name} must be words")
        having: Having | None = kind.rule(Having)
        if having is not None and having.slot not in value:
            return self._refuse(location, f"{name} must have {having.slot} where {having.what} stands")
        return value

    def _several(self, kind: Kind, path: Path, value: Value, location: Location) -> Any:
        """A list: of as many as a tuple has locations, or of any number."""
        count = len(kind.parts) if kind.type is tuple else None
        if not isinstance(value, SourceList) or (count is not None and len(value) != count):
            what = "numbers" if kind.parts[0].type is not str else "words"
            return self._refuse(
                location, f"{_name(path)} must be a list of {what if count is None else f'{count} {what}'}"
            )
        parts = kind.parts if count is not None else kind.parts * len(value)
        found = [
            self.convert(part, path, item, value.item_location(index))
            for index, (part, item) in enumerate(zip(parts, value, strict=True))
        ]
        if None in found:
            return None
        return frozenset(found) if kind.type is frozenset else tuple(found)

    def _unknown(self, tree: SourceMap, key: str, path: Path, known: Iterable[str], noun: str = "") -> None:
        what = f"is not {noun}" if noun else f"is not known in {_name(path)}"
        self.log.error(tree.key_location(key), f'"{key}" {what}', hint=did_you_mean(key, known))

    def _refuse(self, location: Location, what: str, hint: str = "") -> Any:
        """Write down a mistake; None, for the caller to return."""
        self.log.error(location, what, hint=hint)
        return None


def build(kinds: Mapping[str, Kind], values: Values, log: ProblemLog, form: Form, hint: str = "") -> Values:
    """The values with their records made, all of them frozen. What is missing goes to `log`, each thing by its keys."""
    return {
        field: _built(kind, values.get(field), (field.replace("_", form.joint),), log, form=form, hint=hint)
        for field, kind in kinds.items()
    }


def _built(kind: Kind, value: Any, path: Path, log: ProblemLog, *, form: Form, hint: str) -> Any:
    """The record, mapping or value that is meant; what is missing inside goes to `log`."""
    if value is None and not kind.is_record:
        log.error(NOWHERE, f"{_name(path)} is missing", hint=hint)
        return None
    if kind.type is Mapping:
        wanted = (kind.rule(Keys) or Keys()).words
        for key in wanted:
            if key not in value:
                log.error(NOWHERE, f"{_name((*path, key))} is missing", hint=hint)
        inner = kind.parts[0]
        return MappingProxyType(
            {key: _built(inner, item, (*path, key), log, form=form, hint=hint) for key, item in value.items()}
        )
    if not kind.is_record:
        return value
    values = {**defaults_of(kind.type), **(value or {})}
    for key, (field, inner) in _keys_of(kind.type, form.joint).items():
        if field not in values or inner.is_record or inner.type is Mapping:
            values[field] = _built(inner, values.get(field), (*path, key), log, form=form, hint=hint)
    return kind.type(**values)


def _by_key(kinds: Mapping[str, Kind], joint: str) -> dict[str, tuple[str, Kind]]:
    """Fields and their kinds by the keys of a file."""
    return {field.replace("_", joint): (field, kind) for field, kind in kinds.items()}


@cache
def _keys_of(record: type, joint: str) -> dict[str, tuple[str, Kind]]:
    return _by_key(kinds_of(record), joint)


def copy_values(values: Values) -> Values:
    """The same values, which may be changed without changing these."""
    return {key: copy_values(value) if isinstance(value, dict) else value for key, value in values.items()}


def _name(path: Path) -> str:
    return ": ".join(path)


def _range(kind: Kind) -> str:
    limits = kind.number
    unit = f" {limits.unit}" if limits.unit else ""
    return (
        f" from {limits.least:g} to {limits.most:g}{unit}"
        if (limits.least, limits.most) != (0.0, GREATEST)
        else ""
    )


def _keys_inside(kind: Kind, joint: str) -> str:
    """The keys of a small record, as words."""
    keys = list(_keys_of(kind.type, joint)) if kind.is_record else []
    return f" of {', '.join(keys[:-1])} and {keys[-1]}" if 1 < len(keys) <= _FEW else ""


def _example(kind: Kind, before: Values, joint: str) -> str:
    """What a mapping may look like: the first keys of what stood there before."""
    single = {key: _written(value) for key, value in before.items() if isinstance(value, str | int | float)}
    said = [
        (key.replace("_", joint) if kind.is_record else key, words) for key, words in single.items() if words
    ]
    written = ", ".join(f"{key}: {words}" for key, words in said[:_FEW])
    return f"for example: {{{written}}}" if written else ""


def _written(value: str | float) -> str:
    """A value as YAML has it."""
    if isinstance(value, bool):
        return str(value).lower()
    return value if isinstance(value, str) else f"{value:g}"
