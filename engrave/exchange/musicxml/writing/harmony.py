"""Chord names as harmony elements: root, kind, bass, degrees, and the grid of a shape."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.xml import add, make
from engrave.score.structure import ChordAt
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.pitch import STEPS


class Degree(NamedTuple):
    """A tone that a kind does not tell: its number, its alteration in semitones, and add, alter or subtract."""

    value: int
    alter: int
    kind: str


_STACK = re.compile(r"6/9|69|13|11|9|7|6|5|4|2")
_TOKEN = re.compile(r"sus2/4|sus24|sus[24]?|add([#b]?)(\d+)|alt|no(\d+)|(?:maj|M|△)7?|([#b+\-])(\d+)")
_TRIADS = {"": "major", "m": "minor", "dim": "diminished", "aug": "augmented", "half": "half-diminished"}
_KINDS = {
    ("", "7"): "dominant",
    ("", "9"): "dominant-ninth",
    ("", "11"): "dominant-11th",
    ("", "13"): "dominant-13th",
    ("", "6"): "major-sixth",
    ("", "5"): "power",
    ("m", "7"): "minor-seventh",
    ("m", "9"): "minor-ninth",
    ("m", "11"): "minor-11th",
    ("m", "13"): "minor-13th",
    ("m", "6"): "minor-sixth",
    ("maj", "7"): "major-seventh",
    ("maj", "9"): "major-ninth",
    ("maj", "11"): "major-11th",
    ("maj", "13"): "major-13th",
    ("dim", "7"): "diminished-seventh",
    ("aug", "7"): "augmented-seventh",
    ("half", "7"): "half-diminished",
}
"""Kinds by quality and number (MusicXML 4.0, kind-value)."""
_ADDED = {
    "6/9": (6, 9),
    "69": (6, 9),
    "6": (6,),
    "7": (7,),
    "9": (7, 9),
    "11": (7, 9, 11),
    "13": (7, 9, 13),
    "2": (9,),
    "4": (11,),
}
"""Degrees of a number that has no kind of its own."""
_ALTERED = (Degree(5, -1, "alter"), Degree(5, 1, "add"), Degree(9, -1, "add"), Degree(9, 1, "add"))
"""What "alt" stands for: flat and sharp fifths and ninths (common practice, no source)."""
_SUSPENDED = {"sus2": ("suspended-second", (2,)), "sus24": ("", (2, 4)), "sus2/4": ("", (2, 4))}
_USUAL_SUSPENSION = ("suspended-fourth", (4,))
_NO_CHORD = "N.C."


def harmony(chord: ChordAt, print_frame: bool) -> Element:
    """The harmony element of a chord name; the kind's text is the name as written, after its root."""
    name = chord.name
    element = make("harmony", print_frame="yes" if print_frame else "no")
    root = add(element, "root")
    if name.root is None:
        add(root, "root-step", "C", text="")
        add(element, "kind", "none", text=_NO_CHORD)
        return element
    _add_letter(root, "root", name.root)
    kind, degrees = read_kind(name)
    add(element, "kind", kind, text=_suffix(name))
    if name.bass is not None:
        _add_letter(add(element, "bass"), "bass", name.bass)
    for degree in degrees:
        entry = add(element, "degree")
        add(entry, "degree-value", degree.value)
        add(entry, "degree-alter", degree.alter)
        add(entry, "degree-type", degree.kind)
    if chord.shape is not None:
        _add_frame(element, chord.shape)
    return element


def _add_letter(parent: Element, prefix: str, letter: tuple[int, int]) -> None:
    add(parent, f"{prefix}-step", STEPS[letter[0]])
    if letter[1]:
        add(parent, f"{prefix}-alter", letter[1])


def _suffix(name: ChordName) -> str:
    """What is written between root and bass."""
    text = name.text.strip()[1:]
    if name.root is not None and name.root[1]:
        text = text[1:]
    return text[: text.rindex("/")] if name.bass is not None else text


def read_kind(name: ChordName) -> tuple[str, list[Degree]]:
    """The kind of a chord and the degrees that it leaves open (MusicXML 4.0, kind and degree)."""
    match = _STACK.match(name.extension)
    stack = match.group(0) if match else ""
    tail = name.extension[len(stack) :]
    quality = name.quality
    if quality == "m" and not stack and re.match(r"\(?(?:maj|M|△)7?", tail):
        tail = re.sub(r"^\(?(?:maj|M|△)7?", "", tail)
        return "major-minor", _tail_degrees(tail, ())
    kind = _KINDS.get((quality, stack), "")
    inner: tuple[int, ...] = _ADDED.get(stack, ()) if kind else ()
    degrees: list[Degree] = []
    if not kind:
        kind = _TRIADS.get(quality, "major-seventh")
        inner = _ADDED.get(stack, ())
        degrees = [Degree(value, 0, "add") for value in inner]
        if stack in ("6/9", "69") and quality in ("", "m"):
            kind, degrees = _KINDS[quality, "6"], degrees[1:]
    suspension = re.fullmatch(r"sus(?:2|4)?", tail)
    if suspension and kind == "major" and not degrees:
        return _SUSPENDED.get(tail, _USUAL_SUSPENSION)[0], []
    return kind, degrees + _tail_degrees(tail, inner)


def _tail_degrees(tail: str, inner: Sequence[int]) -> list[Degree]:
    """The degrees of what follows the number; `inner` are those above the fifth that the kind has already."""
    degrees: list[Degree] = []
    for match in _TOKEN.finditer(tail):
        token = match.group(0)
        if token.startswith("sus"):
            tones = _SUSPENDED.get(token, _USUAL_SUSPENSION)[1]
            degrees += [Degree(3, 0, "subtract"), *(Degree(tone, 0, "add") for tone in tones)]
        elif token == "alt":
            degrees += _ALTERED
        elif match[2]:
            degrees.append(Degree(int(match[2]), {"#": 1, "b": -1, "": 0}[match[1]], "add"))
        elif match[3]:
            degrees.append(Degree(int(match[3]), 0, "subtract"))
        elif match[5]:
            value = int(match[5])
            has = value == 5 or value in inner
            degrees.append(Degree(value, 1 if match[4] in "#+" else -1, "alter" if has else "add"))
        else:
            degrees.append(Degree(7, 1, "add"))
    return degrees


def _add_frame(element: Element, shape: ChordShape) -> None:
    """A chord grid; strings count from 1, the thinnest."""
    sounding = [index for index, fret in enumerate(shape.frets) if fret is not None]
    if not sounding:
        return
    frame = add(element, "frame", unplayed="x")
    add(frame, "frame-strings", shape.strings)
    add(frame, "frame-frets", shape.rows)
    if shape.base_fret > 1:
        add(frame, "first-fret", shape.base_fret)
    starts = {(barre.lowest, barre.fret) for barre in shape.barres}
    stops = {(barre.highest, barre.fret) for barre in shape.barres}
    for index in sounding:
        fret = shape.frets[index] or 0
        note = add(frame, "frame-note")
        add(note, "string", shape.strings - index)
        add(note, "fret", fret)
        if shape.fingers[index]:
            add(note, "fingering", shape.fingers[index])
        if (index, fret) in starts:
            add(note, "barre", type="start")
        elif (index, fret) in stops:
            add(note, "barre", type="stop")
