"""Chord names and the frets of signs that last, put back into the measures of a text."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engrave.score.structure import Part, Score
from engrave.writing.beats import beat_paths, beat_tree
from engrave.writing.patch import Patch, Path
from engrave.writing.rewrite_head import finds_shapes

_BEFORE_CHORD = ("time", "key", "tempo", "label", "pickup", "number")
"""Keys of a measure that a person writes before its chord names."""
_DETAIL = re.compile(r"(\s*\S+\s+)(\S+)")


def rewrite_chords(
    patch: Patch, before: Part, after: Part, score: Score, contents: Sequence[Path | None]
) -> None:
    """The chord names of a part. Raises ValueError for a name that the text cannot carry."""
    found = finds_shapes(patch)
    shapes = {named.name: named.shape for named in score.shapes}
    rows = zip(before.measures, after.measures, contents, score.measures, strict=True)
    for old, new, path, measure in rows:
        for chord in new.chords:
            if not found and chord.shape != shapes.get(chord.name):
                where = f"{after.name}, measure {measure.number}"
                raise ValueError(
                    f"{where}: the shape of {chord.name.text} is not that of the head of the score"
                )
        names = [(chord.onset, chord.name) for chord in new.chords]
        if names == [(chord.onset, chord.name) for chord in old.chords]:
            continue
        if path is None:
            raise ValueError(f"{after.name}, measure {measure.number}: there is no music for chord names")
        here = (*path, "chord")
        spots = beat_paths(patch, here)
        if len(spots) == len(names) and [c.onset for c in old.chords] == [c.onset for c in new.chords]:
            for spot, was, now in zip(spots, old.chords, new.chords):
                if was.name != now.name:
                    patch.replace(spot, now.name.text)
        elif names:
            rows_of_words = [(onset, name.text) for onset, name in names]
            patch.put(here, beat_tree(rows_of_words, measure, new), after=_BEFORE_CHORD)
        else:
            patch.remove(here)


def rewrite_spans(patch: Patch, before: Part, after: Part, contents: Sequence[Path | None]) -> None:
    """The frets of positions and barres."""
    for old, new, path in zip(before.measures, after.measures, contents, strict=True):
        if path is None or [span.detail for span in old.spans] == [span.detail for span in new.spans]:
            continue
        spots = beat_paths(patch, (*path, "spans"))
        for spot, was, now in zip(spots, old.spans, new.spans, strict=True):
            node = patch.node(spot)
            if was.detail != now.detail and node is not None:
                patch.replace(spot, _DETAIL.sub(rf"\g<1>{now.detail}", node.text, count=1))
