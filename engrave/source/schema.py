"""The form of a document checked against its JSON Schema, every fault told in plain words at its place."""

from __future__ import annotations

import json
from functools import cache
from itertools import islice
from typing import Any, NamedTuple

import jsonschema_rs

from engrave.problems import ProblemLog, nearest_word
from engrave.resources import schema_text
from engrave.source.tree import SourceMap, Value


@cache
def _schema(name: str) -> tuple[dict[str, Any], Any]:
    schema = without_word_patterns(json.loads(schema_text(name)))
    return schema, jsonschema_rs.validator_for(schema)


def without_word_patterns(rule: Any) -> Any:
    """A schema without the patterns of words, which are those with a message for editors.

    Editors have nothing else; here the reader of those words says which one is wrong, and what would be right.
    """
    if isinstance(rule, list):
        return [without_word_patterns(entry) for entry in rule]
    if not isinstance(rule, dict):
        return rule
    left = {"pattern", "patternErrorMessage"} if "patternErrorMessage" in rule else set()
    return {key: without_word_patterns(entry) for key, entry in rule.items() if key not in left}


def check_form(tree: Value, name: str, log: ProblemLog) -> bool:
    """Check `tree` against the schema called `name`; True when its form is right. All faults go to `log`.

    Conditions between keys are no faults here: see `_CONDITIONS`.
    """
    schema, validator = _schema(name)
    if validator.is_valid(tree):
        return True
    return _tell_faults(tree, schema, _first_errors(validator, tree), log)


def _tell_faults(tree: Value, schema: dict[str, Any], errors: list[Any], log: ProblemLog) -> bool:
    """Log what is wrong; True when nothing is."""
    from engrave.source.faults import MeasureNumbers, explain, find_case, find_slips

    numbers = MeasureNumbers(tree)
    cases = [find_case(tree, schema, error, numbers) for error in errors]
    slips = {(*map(str, case.path), key) for case in cases for key, _ in find_slips(case)}
    for case in cases:
        if tuple(map(str, case.path)) not in slips:  # a key without its colon has no value: that is one fault
            explain(case, log)
    return not errors


_MOST_ERRORS = 1001
"""Errors of form that are looked at: one more than a log keeps."""


def _first_errors(validator: Any, tree: Value) -> list[Any]:
    errors = (error for error in validator.iter_errors(tree) if not _is_condition(error))
    return list(islice(errors, _MOST_ERRORS))


class Fault(NamedTuple):
    """Where the form is wrong: keys and indices from the root.

    `unknown` are the keys there that are not known, each with the known one that was probably meant ("" for none).
    """

    path: list[str | int]
    unknown: tuple[tuple[str, str], ...] = ()


def find_faults(tree: Value, name: str) -> list[Fault]:
    """Where `tree` breaks the schema called `name`."""
    schema, validator = _schema(name)
    return [_fault(schema, error) for error in _first_errors(validator, tree)]


_CONDITIONS = "allOf"
"""Where the schemas say what keys mean for each other. That is for editors: readers say the same in better words."""


def _is_condition(error: Any) -> bool:
    return _CONDITIONS in list(error.schema_path)


def _fault(schema: dict[str, Any], error: Any) -> Fault:
    from engrave.source.faults import find_rule

    known = find_rule(schema, list(error.schema_path)[:-1]).get("properties", {})
    unexpected = getattr(error.kind, "unexpected", ())
    return Fault(
        list(error.instance_path), tuple((key, nearest_word(key, known) or "") for key in unexpected)
    )


def find_faulty(tree: SourceMap, name: str, key: str) -> frozenset[int] | None:
    """Which items of the list under `key` break the schema called `name`; None when something else breaks it."""
    items: set[int] = set()
    for fault in find_faults(tree, name):
        path = fault.path
        if path[:1] == [key] and len(path) > 1 and isinstance(path[1], int):
            items.add(path[1])
        elif path:
            return None
    return frozenset(items) if isinstance(tree.get(key), list) else None
