"""YAML text to a tree with places, from the parser's events.

The tree is built without recursion, so that no input can exhaust the stack; aliases, nesting and size are bounded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import yaml

from engrave.problems import Location, ProblemLog
from engrave.source.scalars import resolve_scalar
from engrave.source.slips.kinds import CANNOT_BE_READ, Slip
from engrave.source.tree import SourceList, SourceMap, Value

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SCALAR: Any = yaml.ScalarEvent
_NEW = object()
DEEPEST = 64
"""Collections in collections, at most."""
_ALIAS_ALLOWANCE = 10_000
"""Nodes that aliases may add to a file beyond twice what is written there."""
MOST_NODES = 700_000
"""Collections and words, those of aliases too, long words counted by their length: more than the longest file written out has."""
_WORD_NODES = 2
"""Characters of a word that count as one node."""
MOST_KEYS = 1000
"""Keys of one mapping, at most: nobody has that many verses, shapes or signs (house rule)."""

_GREATEST_WHOLE = 2**53
"""From here on a float does not tell one whole number from the next (IEEE 754)."""


class _Refused(Exception):
    """Something that a score file may not contain."""

    def __init__(self, location: Location, what: str, hint: str = "", is_slip: bool = False) -> None:
        """`is_slip`: it may come from a slip of typing."""
        super().__init__(what)
        self.location, self.what, self.hint, self.is_slip = location, what, hint, is_slip


@dataclass(slots=True, eq=False)
class _Open:
    """A collection that is being read."""

    node: SourceMap | SourceList
    anchor: str | None
    nodes_before: int
    key: str | None = None
    key_location: Location = Location(0, 0)
    repeated: bool = False


@dataclass(slots=True, eq=False)
class _Builder:
    """The state of one reading."""

    log: ProblemLog
    stack: list[_Open] = field(default_factory=list)
    anchors: dict[str, tuple[Value, int]] = field(default_factory=dict)
    nodes: int = 0
    aliased: int = 0
    root: Value = None
    has_root: bool = False
    scalars: dict[str, object] = field(default_factory=dict)


def parse_yaml(text: str, log: ProblemLog) -> Value | None:
    """The tree of the only document in `text`. Everything wrong is added to `log`; None when nothing can be used."""
    builder = _Builder(log)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            _take(builder, event)
    except _Refused as refusal:
        slip = _find_slip(text, refusal.location) if refusal.is_slip else None
        if slip is None or slip.what == CANNOT_BE_READ:
            log.error(refusal.location, refusal.what, hint=refusal.hint)
        else:
            log.error(slip.location, slip.what, hint=slip.hint)
        return None
    except yaml.YAMLError as error:
        # Where the parser gave up tells how far to look for the slip; its own words are for programmers.
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        slip = _find_slip(
            text, Location(mark.line + 1, mark.column + 1) if mark is not None else Location(1, 1)
        )
        log.error(slip.location, slip.what, hint=slip.hint)
        return None
    if not builder.has_root or builder.root is None:
        log.error(Location(1, 1), "the file is empty", hint="a score starts with score: 1")
        return None
    return builder.root


def _take(builder: _Builder, event: Any) -> None:
    kind = type(event)
    if kind is _SCALAR:
        _take_scalar(builder, event)
    elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
        mark = event.start_mark
        location = Location(mark.line + 1, mark.column + 1)
        _check_tag(event.tag, location)
        if len(builder.stack) >= DEEPEST:
            raise _Refused(location, f"nested more than {DEEPEST} deep", "a score needs no more than ten")
        node = SourceMap(location) if kind is yaml.MappingStartEvent else SourceList(location)
        builder.stack.append(_Open(node, event.anchor, builder.nodes + builder.aliased))
        builder.nodes += 1
    elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
        done = builder.stack.pop()
        if done.anchor:
            builder.anchors[done.anchor] = (done.node, builder.nodes + builder.aliased - done.nodes_before)
        _add(builder, done.node, done.node.location, None)
    elif kind is yaml.AliasEvent:
        _take_alias(builder, event)
    elif kind is yaml.DocumentStartEvent and builder.has_root:
        mark = event.start_mark
        raise _Refused(
            Location(mark.line + 1, mark.column + 1), "a second document starts here", "one score to a file"
        )


def _take_scalar(builder: _Builder, event: Any) -> None:
    mark = event.start_mark
    location = Location(mark.line + 1, mark.column + 1)
    if event.tag is not None:
        _check_tag(event.tag, location)
    text = event.value
    size = 1 + len(text) // _WORD_NODES
    builder.nodes += size
    top = builder.stack[-1] if builder.stack else None
    if top is not None and top.key is None and isinstance(top.node, SourceMap) and not event.anchor:
        _take_key(builder, top, top.node, text, location)
        return
    value: object = text
    if not event.style and event.implicit[0]:
        value = builder.scalars.get(text, _NEW)
        if value is _NEW:
            value = builder.scalars[text] = _resolve(text)
        if isinstance(value, float) and not math.isfinite(value):
            value = _refuse_number(builder, text, location)
    if event.anchor:
        builder.anchors[event.anchor] = (value, size)
    _add(builder, value, location, text)


def _resolve(text: str) -> object:
    """The value of an unquoted scalar; a whole number is one however it is written (2.0, 2e0), as JSON Schema has it."""
    value = resolve_scalar(text)
    if isinstance(value, float) and value.is_integer() and abs(value) < _GREATEST_WHOLE:
        return int(value)
    return value


def _refuse_number(builder: _Builder, text: str, location: Location) -> Value:
    """Say that infinity and "not a number" measure nothing; a number that most places take, so that this is the one fault."""
    top = builder.stack[-1] if builder.stack else None
    if top is not None and isinstance(top.node, SourceMap) and top.key is None:
        return text
    name = f'"{top.key}"' if top is not None and top.key is not None else "an entry"
    builder.log.error(location, f"{name} must be a number, not {text}", hint="write it in digits")
    return 1


def _take_alias(builder: _Builder, event: Any) -> None:
    location = Location(event.start_mark.line + 1, event.start_mark.column + 1)
    known = builder.anchors.get(event.anchor)
    if known is None:
        raise _Refused(
            location,
            f"the alias *{event.anchor} has no anchor before it",
            f"write &{event.anchor} at what it repeats",
        )
    value, size = known
    builder.aliased += size
    too_large = builder.aliased > 2 * builder.nodes + _ALIAS_ALLOWANCE
    if too_large or builder.aliased + builder.nodes > MOST_NODES:
        raise _Refused(
            location,
            "the aliases make this file too large",
            "write the repeated music with a repeat",
        )
    _add(builder, value, location, value if isinstance(value, str) else None)


def _add(builder: _Builder, value: Value, location: Location, text: str | None) -> None:
    """Put a finished value where it belongs: root, list item, key or value."""
    if not builder.stack:
        builder.root, builder.has_root = value, True
        return
    top = builder.stack[-1]
    node = top.node
    if isinstance(node, SourceList):
        node.put(value, location)
    elif top.key is None:
        _take_key(builder, top, node, text, location)
    else:
        if top.repeated:
            top.repeated = False
        else:
            node.put(top.key, top.key_location, value, location)
        top.key = None


def _take_key(builder: _Builder, top: _Open, node: SourceMap, text: str | None, location: Location) -> None:
    if text is None:
        what = "a key must be a word or a number, not a list or a mapping"
        raise _Refused(location, what, is_slip=True)
    if text == "<<":
        raise _Refused(
            location,
            "merge keys (<<) are not used here",
            "write the keys out, or use an alias for a whole value",
        )
    if len(node) >= MOST_KEYS:
        raise _Refused(location, f"a mapping with more than {MOST_KEYS} keys", "no mapping needs that many")
    if text in node:
        first = node.key_location(text)
        builder.log.error(location, f'"{text}" is written twice here', hint=_say_first(first, location))
        top.repeated = True
    top.key, top.key_location = text, location


def _say_first(first: Location, second: Location) -> str:
    where = f"column {first.column}" if first.line == second.line else f"line {first.line}"
    return f"remove one of them; the first is in {where}"


def _check_tag(tag: str | None, location: Location) -> None:
    if tag is not None and tag != "!":
        raise _Refused(location, f"tags like {tag} are not used here", "remove the tag")


def _find_slip(text: str, limit: Location) -> Slip:
    """The slip in `text` at or before `limit`."""
    from engrave.source.slips.find import find_slip

    return find_slip(text, limit)
