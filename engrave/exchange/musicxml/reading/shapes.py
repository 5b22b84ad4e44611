"""Chord shapes: the grids of `harmony` elements, and the shapes that the writer of this project lists in the head."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.source import Node
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.chord_shape import ChordShape, parse_chord_shape
from engrave.writing.rewrite_head import shape_tree

SOFTWARE = "engrave"
"""What the files say wrote them."""
SHAPE_FIELD = "shape "
"""How the name of a field starts that holds a chord shape; the chord's name follows."""
FINGERS_FOLLOW = "; fingers "
"""What stands between frets and fingers in such a field."""


_MOST_STRINGS = 8


@dataclass(slots=True)
class ShapeBook:
    """The shapes of a file by chord name: of several for one chord the first."""

    _shapes: dict[str, ChordShape] = field(default_factory=dict)
    _printed: bool = False

    def read_head(self, root: Node) -> None:
        """The shapes listed in the head, in their order, as far as they are right; the head says too where they are printed."""
        self._printed = True
        miscellaneous = root.find("identification", "miscellaneous")
        for entry in miscellaneous.all("miscellaneous-field") if miscellaneous is not None else ():
            name = entry.get("name")
            if not name.startswith(SHAPE_FIELD):
                continue
            frets, _, fingers = entry.content.strip().partition(FINGERS_FOLLOW)
            try:
                chord = parse_chord_name(name.removeprefix(SHAPE_FIELD))
                self._shapes.setdefault(chord.text, parse_chord_shape(frets, fingers))
            except ValueError:
                continue

    def read_frame(self, name: str, harmony: Node, losses: LossLog) -> None:
        """The grid of a chord, if it has one."""
        frame = harmony.find("frame")
        if frame is None:
            return
        self._printed = self._printed or harmony.get("print-frame") != "no"
        shape = _read_frame(frame)
        if shape is None:
            losses.add("chord grid")
        elif self._shapes.setdefault(name, shape) != shape:
            losses.add(f"another grid of {name}")

    def write(self, strings: int, losses: LossLog) -> dict[str, Any]:
        """The keys at the head of a score whose first fretted part has `strings` strings, 0 for none."""
        kept = {name: shape for name, shape in self._shapes.items() if shape.strings == strings}
        losses.at("", "")
        for name in self._shapes:
            if name not in kept:
                losses.add(f"grid of {name}" if strings else "chord grids, as no part has strings")
        keys: dict[str, Any] = {"shapes": {name: shape_tree(shape) for name, shape in kept.items()}}
        return {} if not kept else keys if self._printed else {**keys, "grids": "none"}


def _read_frame(frame: Node) -> ChordShape | None:
    """A grid as a shape, None when the language has none like it; fingers that make no sense are left out."""
    strings = frame.whole("frame-strings") or 0
    if not 0 < strings <= _MOST_STRINGS:
        return None
    frets: dict[int, int] = {}
    fingers: dict[int, str] = {}
    for note in frame.all("frame-note"):
        string, fret = note.whole("string"), note.whole("fret")
        if string is not None and fret is not None and 1 <= string <= strings:
            frets[string] = fret
            fingers[string] = note.text("fingering").upper()
    lift = _lift(frame, frets)
    order = range(strings, 0, -1)
    words = [str(frets[s] + (lift if frets[s] else 0)) if s in frets else "x" for s in order]
    for row in ([fingers.get(string) or "0" for string in order], []):
        try:
            return parse_chord_shape(" ".join(words), " ".join(row))
        except ValueError:
            continue
    return None


def _lift(frame: Node, frets: dict[int, int]) -> int:
    """What is added to the frets of a grid that starts higher up: nothing, unless they count from its first row.

    MusicXML 4.0 counts frets from the nut; where a stopped one would lie above the grid, the file cannot mean that.
    """
    first = frame.whole("first-fret") or 1
    stopped = [fret for fret in frets.values() if fret > 0]
    return first - 1 if stopped and min(stopped) < first else 0
