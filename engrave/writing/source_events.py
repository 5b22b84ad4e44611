"""The events of a voice where they stand in the text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from engrave.writing.nodes import Kind, Node
from engrave.writing.patch import Patch, Path


class SourceEvent(NamedTuple):
    """An event as typed; aliases are followed."""

    path: Path
    node: Node

    @property
    def words(self) -> str:
        """What is typed, "" for a mapping."""
        return self.node.text if self.node.kind is Kind.SCALAR else ""

    @property
    def strings(self) -> list[tuple[str, Node]]:
        """The strings of a mapping with what stands behind them, in order."""
        if self.node.kind is not Kind.MAP:
            return []
        return [(key, value.known) for key, value in self.node.entries() if key.isdigit()]

    @property
    def has_pitches(self) -> bool:
        """True when notes are written as pitches under a key of the event."""
        return self.node.get("pitch") is not None

    def spelled(self, notes: int) -> tuple[bool, ...]:
        """For each of its `notes` notes, whether its spelling is written."""
        strings = self.strings
        if not strings:
            return (self.words not in ("rest", "tie") and not self.words.startswith("slash"),) * notes
        flags: list[bool] = []
        for key, value in self.node.entries():
            if key == "pitch":
                flags.extend([True] * (notes - len(strings)))
            elif key.isdigit():
                flags.append(value.known.get("pitch") is not None)
        return tuple(flags)


def source_events(patch: Patch, path: Path) -> Iterator[SourceEvent]:
    """The events of the voice at `path`, grace notes too, in the order in which they are written."""
    content = patch.node(path)
    for index, item in enumerate(content.items if content is not None and content.kind is Kind.LIST else ()):
        yield from _timed(item.known, (*path, index))


def _timed(item: Node, path: Path) -> Iterator[SourceEvent]:
    """The events behind the durations of one entry."""
    for key, value in item.entries():
        node, here = value.known, (*path, key)
        if node.kind is not Kind.LIST:
            yield SourceEvent(here, node)
            continue
        for index, entry in enumerate(node.items):
            inner = entry.known
            if " in " in key and inner.kind is Kind.MAP and any("/" in name for name, _ in inner.entries()):
                yield from _timed(inner, (*here, index))
            else:
                yield SourceEvent((*here, index), inner)
