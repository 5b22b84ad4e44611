"""The form of a document checked against its JSON Schema, every fault told in plain words at its place."""

from __future__ import annotations

import json
from functools import cache
from typing import Any, NamedTuple

import jsonschema_rs

from engrave.diagnostics.problem import Place, ProblemLog, did_you_mean, nearest_word
from engrave.resources import schema_text
from engrave.source.tree import SourceMap, Value, place_of

_KINDS = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "object": "a mapping",
    "array": "a list",
    "boolean": "true or false",
    "null": "nothing",
}


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
    errors = [error for error in validator.iter_errors(tree) if not _is_condition(error)]
    for error in errors:
        _explain(tree, schema, error, log)
    return not errors


class Fault(NamedTuple):
    """Where the form is wrong: keys and indices from the root.

    `unknown` are the keys there that are not known, each with the known one that was probably meant ("" for none).
    """

    path: list[str | int]
    unknown: tuple[tuple[str, str], ...] = ()


def find_faults(tree: Value, name: str) -> list[Fault]:
    """Where `tree` breaks the schema called `name`."""
    schema, validator = _schema(name)
    return [_fault(schema, error) for error in validator.iter_errors(tree) if not _is_condition(error)]


_CONDITIONS = "allOf"
"""Where the schemas say what keys mean for each other. That is for editors: readers say the same in better words."""


def _is_condition(error: Any) -> bool:
    return _CONDITIONS in list(error.schema_path)


def _fault(schema: dict[str, Any], error: Any) -> Fault:
    known = _find(schema, list(error.schema_path)[:-1]).get("properties", {})
    unexpected = getattr(error.kind, "unexpected", ())
    return Fault(
        list(error.instance_path), tuple((key, nearest_word(key, known) or "") for key in unexpected)
    )


def _explain(tree: Value, schema: dict[str, Any], error: Any, log: ProblemLog) -> None:
    path = list(error.instance_path)
    rule_path = list(error.schema_path)
    place = place_of(tree, path)
    where = _where(tree, path)
    rule = _find(schema, rule_path[:-1])
    word = rule_path[-1] if rule_path else ""
    name = _name(path)
    if word == "additionalProperties":
        _explain_keys(_node(tree, path), rule, error.kind.unexpected, where, log)
    elif word == "required":
        log.error(
            place,
            f'"{error.kind.property}" is missing here',
            where,
            _example(_find(schema, [*rule_path[:-1], "properties", error.kind.property])),
        )
    elif word == "enum":
        value = _node(tree, path)
        known = [str(item) for item in rule["enum"]]
        hint = did_you_mean(str(value), known)
        if len(known) > _LISTED and nearest_word(str(value), known) is None:
            hint = _example(rule)
        log.error(place, f'"{value}" is not known as {name}', where, hint)
    elif word == "const":
        log.error(place, f"{name} must be {rule['const']}", where)
    elif word == "type":
        kinds = rule["type"] if isinstance(rule["type"], list) else [rule["type"]]
        wanted = " or ".join(_KINDS[kind] for kind in kinds)
        log.error(place, f"{name} must be {wanted}", where, _example(rule))
    elif word in ("minimum", "maximum"):
        bound = "at least" if word == "minimum" else "at most"
        if str(path[-1]).isdigit():
            name = f"fret {_node(tree, path)}"
        log.error(place, f"{name} must be {bound} {rule[word]}", where)
    elif word in ("minItems", "maxItems", "minProperties", "maxProperties"):
        log.error(place, f"{name} {_COUNTS[word].format(rule[word])}", where, _example(rule))
    elif word in ("pattern", "propertyNames"):
        log.error(
            place,
            f"{name} is not written as it should be",
            where,
            _example(_find(schema, [p for p in rule_path[:-1] if p != "propertyNames"])),
        )
    else:
        log.error(place, f"{name}: {error.message}", where, _example(rule))


_LISTED = 12
"""Known words that are listed where none of them is near (house rule)."""
_COUNTS = {
    "minItems": "needs at least {} entries",
    "maxItems": "may have at most {} entries",
    "minProperties": "needs a duration and its event",
    "maxProperties": "may hold one duration only; start a new list entry for the next",
}


_MEANT = {
    "composer": "write credits: {{music: {}}}",
    "music": "write credits: {{music: {}}}",
    "lyricist": "write credits: {{words: {}}}",
    "poet": "write credits: {{words: {}}}",
    "words": "write credits: {{words: {}}}",
    "arranger": "write credits: {{arrangement: {}}}",
    "arrangement": "write credits: {{arrangement: {}}}",
    "author": "write credits: {{music: {}}}, or words: for who wrote the words",
}
"""What stands at the head of a score for words of the trade that are often tried there."""


def _explain_keys(
    node: Value, rule: dict[str, Any], unexpected: list[str], where: str, log: ProblemLog
) -> None:
    known = list(rule.get("properties", {}))
    patterns = list(rule.get("patternProperties", {}))
    for key in unexpected:
        place = node.key_place(key) if isinstance(node, SourceMap) else Place(1, 1)
        hint = did_you_mean(key, known) if known else _example(rule)
        if "credits" in known and key.lower() in _MEANT:
            hint = _MEANT[key.lower()].format(_write(node[key]))
        if patterns and key[:1].isdigit():
            what = f'"{key}" is not a duration' if "/" in key else f'there is no string "{key}"'
            hint = (
                "durations are 1/1 to 1/64 with one or two dots, tuplets 3 in 2 of 1/8"
                if "/" in key
                else "strings count from 1, the thinnest, to 8"
            )
            log.error(place, what, where, hint)
        else:
            log.error(place, f'"{key}" is not known here', where, hint)


def _example(rule: Any) -> str:
    examples = rule.get("examples") if isinstance(rule, dict) else None
    if not examples:
        return ""
    return "for example: " + _write(examples[0])


def _write(value: Any) -> str:
    """A value as it would be typed on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_write(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_write(item) for item in value) + "]"
    return (
        {True: "true", False: "false", None: "null"}.get(value, str(value))
        if isinstance(value, bool | None)
        else str(value)
    )


def _find(schema: dict[str, Any], path: list[Any]) -> Any:
    node: Any = schema
    for step in path:
        try:
            node = node[step]
        except (KeyError, IndexError, TypeError):
            return {}
    return node


def _node(tree: Value, path: list[Any]) -> Value:
    node = tree
    for step in path:
        node = node[str(step)] if isinstance(node, SourceMap) else node[step]
    return node


def _name(path: list[Any]) -> str:
    for step in reversed(path):
        if isinstance(step, str):
            return f'"{step}"'
    return "an entry" if path else "the document"


def _where(tree: Value, path: list[Any]) -> str:
    """The measure (and part) that a path lies in, in words."""
    if len(path) < 2 or path[0] != "measures" or not isinstance(path[1], int):
        return ""
    words = f"measure entry {path[1] + 1}"
    if len(path) > 3 and path[2] == "parts":
        words = f"{path[3]}, {words}"
    return words
