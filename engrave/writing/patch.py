"""Single values of a YAML text replaced, added and taken away; all else stays as it was typed.

Values are named by their path from the root, through aliases. Where the uses of an anchor no longer agree, an alias is
written out.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from engrave.problems import ProblemLog
from engrave.source.parse import parse_yaml
from engrave.writing.dump import WIDTH, entry_lines, flow, key_text
from engrave.writing.nodes import Kind, Node, Style, read_nodes

Step = str | int
Path = tuple[Step, ...]
_KEEP = object()
"""Stands for a value that is not replaced."""
_LINE_ENDS = "\n\r\x85\u2028\u2029"
"""What ends a line of YAML 1.1."""
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(slots=True)
class _Edits:
    """What changes at one value and inside it."""

    value: Any = _KEEP
    spread: list[Any] | None = None
    names: dict[str, str] = field(default_factory=dict)
    removed: set[str] = field(default_factory=set)
    added: list[tuple[str, Any, tuple[str, ...]]] = field(default_factory=list)
    inside: dict[Step, _Edits] = field(default_factory=dict)


_NONE = _Edits()


class Patch:
    """Changes of one YAML text, collected and then made together."""

    def __init__(self, text: str) -> None:
        """`text` has been read without errors."""
        self._mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
        self._text = text.removeprefix(_BYTE_ORDER_MARK)
        self.root = read_nodes(self._text)
        self._edits = _Edits()
        found = re.search(r"\r\n|\n|\r", self._text)
        self._newline = found.group() if found else "\n"
        self._applied: dict[int, _Edits] = {}
        self._pieces: list[tuple[int, int, str]] = []

    def node(self, path: Sequence[Step]) -> Node | None:
        """The node at `path`, aliases followed; None when there is none."""
        node: Node | None = self.root
        for step in path:
            node = node.known if node is not None else None
            if node is None:
                return None
            if isinstance(step, str):
                node = node.get(step)
            else:
                node = node.items[step] if node.kind is Kind.LIST and step < len(node.items) else None
        return node.known if node is not None else None

    def replace(self, path: Path, value: Any) -> None:
        """Write `value` in place of what stands at `path`."""
        self._at(path).value = value

    def spread(self, path: Path, values: list[Any]) -> None:
        """Write several items in place of the list item at `path`."""
        self._at(path).spread = values

    def put(self, path: Path, value: Any, after: tuple[str, ...] = ()) -> None:
        """Set the key at the end of `path`; a new one goes behind the last of the keys `after` that is there."""
        parent, key = path[:-1], str(path[-1])
        if self.node(path) is not None:
            self.replace(path, value)
        else:
            self._at(parent).added.append((key, value, after))

    def rename(self, path: Path, key: str) -> None:
        """Give the key at the end of `path` another name."""
        self._at(path[:-1]).names[str(path[-1])] = key

    def remove(self, path: Path) -> None:
        """Take away the key at the end of `path`, if it is there."""
        if self.node(path) is not None:
            self._at(path[:-1]).removed.add(str(path[-1]))

    def _at(self, path: Path) -> _Edits:
        edits = self._edits
        for step in path:
            edits = edits.inside.setdefault(step, _Edits())
        return edits

    def apply(self) -> str:
        """The text with all changes made. Raises ValueError when its layout does not allow them."""
        if self._edits == _Edits():
            return self._mark + self._text
        self._applied, self._pieces = {}, []
        self._walk(self.root, self._edits)
        text = self._put_together()
        found, wanted = parse_yaml(text, ProblemLog("")), _edited(self.root, self._edits)
        if _plain(found) != _plain(wanted):
            line = self._line_at(_difference(found, wanted))
            what = f"the layout of line {line} does not allow the change"
            raise ValueError(f"{what}; write the mapping that stands there on one line")
        return self._mark + text

    def _line_at(self, path: Path) -> int:
        """The line of the value at `path`, or of the innermost one on the way there."""
        node, start = self.root, self.root.start
        for step in path:
            found = node.known
            inner = found.get(step) if isinstance(step, str) else None
            if found.kind is Kind.LIST and isinstance(step, int) and step < len(found.items):
                inner = found.items[step]
            if inner is None:
                break
            node, start = inner, inner.start
        return self._text.count("\n", 0, start) + 1

    def _put_together(self) -> str:
        made: list[str] = []
        done = 0
        for start, end, new in sorted(self._pieces, key=lambda piece: piece[:2]):
            made.extend((self._text[done:start], new))
            done = end
        return "".join((*made, self._text[done:]))

    def _walk(self, node: Node, edits: _Edits) -> None:
        if node.target is not None:
            if self._applied.get(id(node.target)) != edits:
                self._pieces.append((node.start, node.end, flow(_edited(node, edits))))
            return
        if node.anchor:
            self._applied[id(node)] = edits
        if edits.value is not _KEEP:
            self._replace_node(node, self._block(node, edits.value) or flow(edits.value))
            return
        if node.kind is Kind.MAP:
            self._walk_map(node, edits)
        for index, item in enumerate(node.items if node.kind is Kind.LIST else ()):
            own = edits.inside.get(index, _NONE)
            if own.spread is None:
                self._walk(item, own)
            else:
                self._spread(node, item, own.spread)

    def _spread(self, node: Node, item: Node, values: list[Any]) -> None:
        """Several items where one stood; in a block each gets a line of its own."""
        gap = ", "
        if node.style is Style.BLOCK:
            lead = self._text[self._line_start(item.start) : item.start]
            gap = self._newline + " " * (len(lead) - len(lead[lead.rfind("-") :])) + lead[lead.rfind("-") :]
        self._pieces.append((item.start, item.end, gap.join(flow(value) for value in values)))

    def _replace_node(self, node: Node, new: str) -> None:
        anchor = f"&{node.anchor} " if node.anchor else ""
        self._pieces.append((node.start, node.end, anchor + new))

    def _block(self, node: Node, value: Any) -> str:
        """The literal block of `node` with the lines of `value`; "" when it is none or has not as many lines."""
        typed = self._text[node.start : node.end]
        if node.anchor:
            typed = typed.removeprefix(f"&{node.anchor}").lstrip()
        rows, old = typed.splitlines(keepends=True), node.text.splitlines()
        new = value.splitlines() if isinstance(value, str) else []
        if not typed.startswith("|") or not len(new) == len(old) == len(rows) - 1:
            return ""
        pairs = list(zip(rows[1:], old, new))
        if any(was != now and was not in row for row, was, now in pairs):
            return ""
        changed = [row.replace(was, now, 1) if was != now else row for row, was, now in pairs]
        return "".join((rows[0], *changed))

    def _walk_map(self, node: Node, edits: _Edits) -> None:
        gone = len(edits.removed)
        if gone and (gone == len(node.keys) or (gone > 1 and node.style is not Style.BLOCK)):
            self._replace_node(node, flow(_edited(node, edits)))
            return
        for index, (key, item) in enumerate(zip(node.keys, node.items, strict=True)):
            name = key.known.text
            if name in edits.removed:
                self._remove_entry(node, index)
                continue
            own = edits.inside.get(name, _NONE)
            new_name = edits.names.get(name)
            if self._goes_over_lines(node, key, item, own):
                lines = entry_lines(new_name or name, own.value, "")
                self._pieces.append((key.start, item.end, self._indented(lines, key)))
                continue
            if new_name is not None:
                self._rename_key(key, new_name)
            self._walk(item, own)
        for entry in edits.added:
            self._add_entry(node, edits.removed, *entry)

    def _goes_over_lines(self, node: Node, key: Node, item: Node, own: _Edits) -> bool:
        """True for a new list or mapping that is too long for its line."""
        if own.value is _KEEP or not isinstance(own.value, list | dict) or node.style is not Style.BLOCK:
            return False
        anchored = item.anchor or key.anchor or key.target is not None
        return not anchored and self._column(key) + len(key.text) + 2 + len(flow(own.value)) > WIDTH

    def _indented(self, lines: Sequence[str], key: Node) -> str:
        return (self._newline + " " * self._column(key)).join(lines)

    def _column(self, node: Node) -> int:
        return node.start - self._line_start(node.start)

    def _rename_key(self, key: Node, name: str) -> None:
        quote = self._text[key.end - 1 : key.end]
        self._replace_node(key, f"{quote}{name}{quote}" if quote in ("'", '"') else key_text(name))

    def _remove_entry(self, node: Node, index: int) -> None:
        start, end = node.keys[index].start, node.items[index].end
        if node.style is Style.BLOCK:
            line = self._line_start(start)
            if self._text[line:start].strip() and index + 1 < len(node.keys):
                end = node.keys[index + 1].start
            else:
                start, end = line, self._line_stop(end)
                end += len(self._newline) if self._text.startswith(self._newline, end) else 1
                end = min(end, len(self._text))
        elif index + 1 < len(node.keys):
            end = node.keys[index + 1].start
        elif index:
            start = node.items[index - 1].end
        self._pieces.append((start, end, ""))

    def _line_start(self, place: int) -> int:
        return max(self._text.rfind(end, 0, place) for end in _LINE_ENDS) + 1

    def _line_stop(self, place: int) -> int:
        found = (self._text.find(end, place) for end in _LINE_ENDS)
        return min((end for end in found if end >= 0), default=len(self._text))

    def _add_entry(self, node: Node, gone: set[str], name: str, value: Any, after: tuple[str, ...]) -> None:
        found = [index for key in after if key not in gone and (index := node.find(key)) is not None]
        index = max(found, default=-1)
        if node.style is not Style.BLOCK:
            entry = flow({name: value})[1:-1]
            if node.style is Style.PAIR:
                entry = f", {entry}}}" if index >= 0 else f"{{{entry}, "
                place = node.end if index >= 0 else node.start
                other = (node.start, node.start, "{") if index >= 0 else (node.end, node.end, "}")
                self._pieces.append(other)
            elif index >= 0:
                place, entry = node.items[index].end, f", {entry}"
            else:
                place = node.keys[0].start if node.keys else node.end - 1
                entry = f"{entry}, " if node.keys else entry
            self._pieces.append((place, place, entry))
            return
        lines = self._indented(entry_lines(name, value, ""), node.keys[0])
        gap = self._newline + " " * self._column(node.keys[0])
        if index >= 0:
            place = self._line_stop(node.items[index].end)
            self._pieces.append((place, place, gap + lines))
        else:
            self._pieces.append((node.keys[0].start, node.keys[0].start, lines + gap))


def _edited(node: Node, edits: _Edits) -> Any:
    """The plain value of a node with the changes made."""
    if edits.value is not _KEEP:
        return edits.value
    node = node.known
    if node.kind is Kind.SCALAR:
        return node.value
    if node.kind is Kind.LIST:
        plain: list[Any] = []
        for index, item in enumerate(node.items):
            own = edits.inside.get(index, _NONE)
            plain.extend([_edited(item, own)] if own.spread is None else own.spread)
        return plain
    entries = [
        (edits.names.get(name, name), _edited(item, edits.inside.get(name, _NONE)))
        for name, item in node.entries()
        if name not in edits.removed
    ]
    order = [name for name, _ in node.entries() if name not in edits.removed]
    for name, value, after in edits.added:
        found = [order.index(other) for other in after if other in order]
        index = max(found, default=-1) + 1
        entries.insert(index, (name, value))
        order.insert(index, name)
    return dict(entries)


def _difference(one: Any, other: Any) -> Path:
    """The way to the first place where two trees differ."""
    if isinstance(one, dict) and isinstance(other, dict):
        pairs: list[tuple[Step, Any, Any]] = [(key, one.get(key), other[key]) for key in map(str, other)]
    elif isinstance(one, list) and isinstance(other, list):
        pairs = [(index, *pair) for index, pair in enumerate(zip(one, other, strict=False))]
    else:
        return ()
    for step, mine, yours in pairs:
        if _plain(mine) != _plain(yours):
            return (step, *_difference(mine, yours))
    return ()


def _plain(value: Any) -> Any:
    """A tree without places, keys as text; mappings as lists of pairs, so that their order counts."""
    if isinstance(value, dict):
        return [(str(key), _plain(entry)) for key, entry in value.items()]
    return [_plain(entry) for entry in value] if isinstance(value, list | tuple) else value
