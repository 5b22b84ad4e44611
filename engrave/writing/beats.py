"""What is written by beat in a measure: chord names, words, dynamics, signs that last."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from engrave.score.structure import Measure, PartMeasure
from engrave.theory.metre import beat_text
from engrave.writing.nodes import Kind
from engrave.writing.patch import Patch, Path


def beat_paths(patch: Patch, path: Path) -> list[Path]:
    """Where each entry of what is written by beat at `path` stands, in order of time."""
    node = patch.node(path)
    if node is None:
        return []
    if node.kind is Kind.LIST:
        return [(*path, index) for index in range(len(node.items))]
    if node.kind is not Kind.MAP:
        return [path]
    found: list[tuple[Fraction, Path]] = []
    for key, value in node.entries():
        beat = sum((Fraction(piece) for piece in key.split()), Fraction(0))
        inner = value.known
        if inner.kind is Kind.LIST:
            found.extend((beat, (*path, key, index)) for index in range(len(inner.items)))
        else:
            found.append((beat, (*path, key)))
    return [spot for _, spot in sorted(found, key=lambda entry: entry[0])]


def beat_offset(measure: Measure, content: PartMeasure) -> Fraction:
    """How far into its metre the music of a measure starts, as the reader counts: a part silent in a pickup starts at 0."""
    silent = all(event.whole_measure for voice in content.voices for event in voice.events)
    return Fraction(0) if silent else measure.metre_offset


def beat_tree(entries: Sequence[tuple[Fraction, str]], measure: Measure, content: PartMeasure) -> Any:
    """`entries` (onset in whole notes, words) by beat; one alone on the first beat as it is, several on a beat in a list."""
    offset = beat_offset(measure, content)
    if len(entries) == 1 and entries[0][0] == 0 and not offset:
        return entries[0][1]
    tree: dict[str, Any] = {}
    for onset, words in entries:
        beat = beat_text(onset + offset, measure.metre)
        before = tree.get(beat)
        if before is None:
            tree[beat] = words
        else:
            tree[beat] = [*before, words] if isinstance(before, list) else [before, words]
    return tree
