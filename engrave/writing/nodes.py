"""The nodes of a YAML text with the stretch of text that each takes, so that one can be replaced and the rest kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

import yaml

from engrave.source.scalars import resolve_scalar

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Kind(Enum):
    """What a node is."""

    SCALAR = "scalar"
    MAP = "map"
    LIST = "list"
    ALIAS = "alias"


class Style(Enum):
    """How a collection is laid out. A pair is the only entry of a mapping in a list, without braces: [a: 1, b: 2]."""

    BLOCK = "block"
    FLOW = "flow"
    PAIR = "pair"


@dataclass(slots=True)
class Node:
    """One node: `start` (its anchor included) and `end` are places in the text, counted in characters.

    The end of a block lies right after its last scalar, before blank lines and comments that follow.
    `text` and `value` are a scalar's; `keys` runs parallel to `items` in a mapping; `target` is what an alias stands for.
    """

    kind: Kind
    start: int
    end: int
    style: Style = Style.FLOW
    anchor: str = ""
    text: str = ""
    value: Any = None
    keys: list[Node] = field(default_factory=list)
    items: list[Node] = field(default_factory=list)
    target: Node | None = None

    @property
    def known(self) -> Node:
        """The node itself, or what an alias stands for."""
        return self.target.known if self.target is not None else self

    @property
    def plain(self) -> Any:
        """The value as dicts, lists and scalars."""
        node = self.known
        if node.kind is Kind.MAP:
            return {key: item.plain for key, item in node.entries()}
        return [item.plain for item in node.items] if node.kind is Kind.LIST else node.value

    def find(self, key: str) -> int | None:
        """Where `key` stands among the entries of a mapping; None when it is not there."""
        return next((index for index, node in enumerate(self.keys) if node.known.text == key), None)

    def get(self, key: str) -> Node | None:
        """The value of `key`, alias or not; None when it is not there or this is no mapping."""
        index = self.find(key) if self.kind is Kind.MAP else None
        return None if index is None else self.items[index]

    def entries(self) -> Iterator[tuple[str, Node]]:
        """Every key of a mapping with its value."""
        for key, item in zip(self.keys, self.items, strict=True):
            yield key.known.text, item


def read_nodes(text: str) -> Node:
    """The root of the only document in `text`, which has been read without errors before (no byte order mark)."""
    stack: list[Node] = []
    anchors: dict[str, Node] = {}
    root: Node | None = None
    for event in yaml.parse(text, Loader=_LOADER):
        mark: Any = event.end_mark
        end = mark.index
        node = _node(event, text, anchors)
        if node is None:
            if not isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                continue
            node = stack.pop()
            node.end = end if node.style is Style.FLOW else _last_end(node)
        if node.anchor and node.kind is not Kind.ALIAS:
            anchors[node.anchor] = node
        if isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            _attach(stack, node)
            stack.append(node)
            root = root or node
        elif node.kind in (Kind.SCALAR, Kind.ALIAS):
            _attach(stack, node)
            root = root or node
    if root is None:
        raise ValueError("the text holds no document")
    return root


def _last_end(node: Node) -> int:
    return node.items[-1].end if node.items else node.end


def _attach(stack: list[Node], node: Node) -> None:
    if not stack:
        return
    parent = stack[-1]
    if parent.kind is Kind.MAP and len(parent.keys) == len(parent.items):
        parent.keys.append(node)
    else:
        parent.items.append(node)


def _node(event: Any, text: str, anchors: dict[str, Node]) -> Node | None:
    """The node that an event starts, None when it starts none."""
    start, end = event.start_mark.index, event.end_mark.index
    anchor = getattr(event, "anchor", None) or ""
    if isinstance(event, yaml.ScalarEvent):
        plain = not event.style and event.implicit[0]
        value = resolve_scalar(event.value) if plain else event.value
        end = start + len(text[start:end].rstrip())
        return Node(Kind.SCALAR, start, end, anchor=anchor, text=event.value, value=value)
    if isinstance(event, yaml.AliasEvent):
        return Node(Kind.ALIAS, start, end, anchor=anchor, target=anchors[anchor])
    if isinstance(event, yaml.MappingStartEvent):
        opens = text[start:end].endswith("{")
        style = Style.FLOW if opens else Style.PAIR if event.flow_style else Style.BLOCK
        return Node(Kind.MAP, start, end, style, anchor)
    if isinstance(event, yaml.SequenceStartEvent):
        style = Style.FLOW if text[start:end].endswith("[") else Style.BLOCK
        return Node(Kind.LIST, start, end, style, anchor)
    return None
