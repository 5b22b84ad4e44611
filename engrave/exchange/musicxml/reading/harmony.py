"""Chord names from `harmony` elements."""

from __future__ import annotations

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.source import Node
from engrave.theory.chord_name import parse_chord_name

_KINDS = {
    "major": "",
    "minor": "m",
    "augmented": "aug",
    "diminished": "dim",
    "dominant": "7",
    "major-seventh": "maj7",
    "minor-seventh": "m7",
    "diminished-seventh": "dim7",
    "augmented-seventh": "aug7",
    "half-diminished": "m7b5",
    "major-minor": "mmaj7",
    "major-sixth": "6",
    "minor-sixth": "m6",
    "dominant-ninth": "9",
    "major-ninth": "maj9",
    "minor-ninth": "m9",
    "dominant-11th": "11",
    "major-11th": "maj11",
    "minor-11th": "m11",
    "dominant-13th": "13",
    "major-13th": "maj13",
    "minor-13th": "m13",
    "suspended-second": "sus2",
    "suspended-fourth": "sus4",
    "power": "5",
    "pedal": "",
}
"""Chord kinds (MusicXML 4.0, kind-value) as the language writes them."""
NO_CHORD = "N.C."
"""No chord, as the language writes it."""
_SIGNS = {-1: "b", 0: "", 1: "#"}


def read_harmony(node: Node, as_written: bool, losses: LossLog) -> str:
    """The chord name of a `harmony` element, "" when the language has none for it.

    `as_written`: the text of the kind is what stands between root and bass.
    """
    if node.text("kind") == "none":
        return NO_CHORD
    root = _letter(node.find("root"), "root")
    kind = _KINDS.get(node.text("kind"))
    if not root or kind is None:
        losses.add("chord name")
        return ""
    bass = _letter(node.find("bass"), "bass")
    tail = f"/{bass}" if bass else ""
    word = node.find("kind")
    if as_written and word is not None and _is_name(written := f"{root}{word.get('text')}{tail}"):
        return written
    degrees = _suspended("".join(_degree(degree) for degree in node.all("degree")))
    if _is_name(full := f"{root}{kind}{degrees}{tail}"):
        return full
    losses.add("degree of a chord name")
    return plain if _is_name(plain := f"{root}{kind}{tail}") else root


def _suspended(degrees: str) -> str:
    """A fourth or second instead of the third has a word of its own."""
    for tone in ("4", "2"):
        both = (f"no3add{tone}", f"add{tone}no3")
        degrees = next((degrees.replace(pair, f"sus{tone}") for pair in both if pair in degrees), degrees)
    return degrees


def _is_name(text: str) -> bool:
    try:
        parse_chord_name(text)
    except ValueError:
        return False
    return True


def _letter(node: Node | None, prefix: str) -> str:
    if node is None:
        return ""
    step = node.text(f"{prefix}-step")
    sign = _SIGNS.get(round(node.number(f"{prefix}-alter") or 0))
    return f"{step}{sign}" if len(step) == 1 and step in "ABCDEFG" and sign is not None else ""


def _degree(node: Node) -> str:
    value = node.whole("degree-value")
    sign = _SIGNS.get(round(node.number("degree-alter") or 0), "")
    kind = node.text("degree-type")
    if kind == "subtract":
        return f"no{value}"
    if kind == "alter" or sign:
        return f"{sign}{value}"
    return f"add{value}"
