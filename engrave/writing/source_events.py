"""The events of a voice where they stand in the text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from engrave.score.short_form import EventKind, TextEvent, parse_fret, parse_row
from engrave.writing.nodes import Kind, Node
from engrave.writing.patch import Patch, Path


class SourceEvent(NamedTuple):
    """An event as typed; aliases are followed. `row`: the events of the text that it stands in, it at `number`."""

    path: Path
    node: Node
    row: tuple[TextEvent, ...] = ()
    number: int = 0

    @property
    def words(self) -> str:
        """What is typed, "" for a mapping."""
        return self.row[self.number].text if self.row else ""

    @property
    def strings(self) -> list[tuple[str, Node]]:
        """The strings of a mapping with what stands behind them, in order."""
        if self.node.kind is not Kind.MAP:
            return []
        return [(key, value.known) for key, value in self.node.entries() if key.isdigit()]

    @property
    def has_pitches(self) -> bool:
        """True when notes are written as pitches under a key of the event."""
        return self.node.get("pitch") is not None or self.node.get("tie") is not None

    def spelled(self, notes: int) -> tuple[bool, ...]:
        """For each of its `notes` notes, whether its spelling is written."""
        if self.row:
            text = self.row[self.number]
            if text.kind is EventKind.NOTES:
                return tuple(bool(note.words.typed.pitch) for note in text.notes)
            return (text.kind is EventKind.PITCHES,) * notes
        if self.node.get("tie") is not None:
            return (True,) * notes
        flags: list[bool] = []
        for key, value in self.node.entries():
            if key == "pitch":
                flags.extend([True] * (notes - len(self.strings)))
            elif key.isdigit():
                flags.append(says_pitch(value.known))
        return tuple(flags)


def says_pitch(node: Node) -> bool:
    """Whether the spelling of a note stands behind its string."""
    if node.kind is Kind.MAP:
        fret = node.get("fret")
        return node.get("pitch") is not None or (fret is not None and says_pitch(fret.known))
    return bool(parse_fret(node.text).typed.pitch)


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
            yield from _events(here, node)
            continue
        for index, entry in enumerate(node.items):
            inner = entry.known
            if " in " in key and inner.kind is Kind.MAP and any("/" in name for name, _ in inner.entries()):
                yield from _timed(inner, (*here, index))
            else:
                yield from _events((*here, index), inner)


def _events(path: Path, node: Node) -> Iterator[SourceEvent]:
    """The event of a mapping, or those of a row."""
    if node.kind is Kind.MAP:
        yield SourceEvent(path, node)
        return
    row = parse_row(node.text)
    for number in range(len(row)):
        yield SourceEvent(path, node, row, number)
