"""What the attributes of a part say: time, key, clefs, strings, transposition, repeated measures."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Shared, StaffSetup
from engrave.exchange.musicxml.reading.pitches import (
    Transposition,
    read_key,
    read_pitch,
    read_transposition,
    without_capo,
)
from engrave.exchange.musicxml.reading.source import Node
from engrave.theory.metre import parse_metre

_MOST_STAVES = 8
_HIGHEST_CAPO = 12
_CLEFS = {
    ("G", 2, 0): "treble",
    ("G", 2, -1): "octave-treble",
    ("C", 3, 0): "alto",
    ("C", 4, 0): "tenor",
    ("F", 4, 0): "bass",
    ("F", 4, -1): "octave-bass",
}
_USUAL_LINES = {"G": 2, "C": 3, "F": 4}
"""The lines of clefs that do not say theirs (MusicXML 4.0, line of clef)."""
_WHOLE_GROUPS = (1, 2, 4)
"""How many measures a sign may repeat (the language's own)."""


@dataclass(slots=True)
class PartSetup:
    """The attributes of one part as they hold at the moment."""

    transposition: Transposition = Transposition()
    staves: dict[int, StaffSetup] = field(default_factory=lambda: {1: StaffSetup()})
    repeats: int = 0
    new_clefs: list[tuple[int, str]] = field(default_factory=list)
    """Clefs that the last attributes have changed to, each with the number of its staff."""

    def read_attributes(self, node: Node, shared: Shared, losses: LossLog, at_start: bool) -> None:
        """Bring the setup up to date; what holds for all parts goes to `shared`. `at_start`: of the measure."""
        count = node.whole("staves") or 1
        for number in range(1, min(count, _MOST_STAVES) + 1):
            self.staves.setdefault(number, StaffSetup())
        transpose = node.find("transpose")
        if transpose is not None:
            self.transposition = without_capo(read_transposition(transpose), self._capo(node))
        if at_start:
            self._read_shared(node, shared, losses)
        elif node.has("time") or node.has("key"):
            losses.add("key or time inside a measure")
        self.new_clefs = []
        for clef in node.all("clef"):
            self._read_clef(clef, losses)
        for details in node.all("staff-details"):
            self._read_details(details, losses)
        for style in node.all("measure-style"):
            self._read_style(style, shared, losses)

    def _capo(self, node: Node) -> int:
        """The capo that these attributes or earlier ones set."""
        found = (details.whole("capo") or 0 for details in node.all("staff-details"))
        return next((capo for capo in found if capo), max(staff.capo for staff in self.staves.values()))

    def _read_shared(self, node: Node, shared: Shared, losses: LossLog) -> None:
        key, time = node.find("key"), node.find("time")
        if key is not None and not shared.key:
            shared.key = read_key(key, self.transposition, losses)
        if time is not None and not shared.time:
            shared.time = read_time(time)
            shared.free = not shared.time
            if not shared.time:
                losses.add("time signature that cannot be written")

    def _staff(self, node: Node) -> StaffSetup:
        return self.staves.setdefault(self._number(node), StaffSetup())

    def _number(self, node: Node) -> int:
        number = node.get("number", "1")
        index = int(number) if number.isascii() and number.isdigit() and len(number) < 3 else 1
        return max(1, min(index, _MOST_STAVES))

    def _read_clef(self, node: Node, losses: LossLog) -> None:
        staff = self._staff(node)
        sign = node.text("sign")
        if sign.upper() == "TAB":
            staff.is_tab = True
            return
        line = node.whole("line") or _USUAL_LINES.get(sign, 0)
        clef = _CLEFS.get((sign, line, node.whole("clef-octave-change") or 0))
        if clef is None:
            losses.add(f"{sign or 'unknown'} clef")
            clef = "octave-treble" if sign == "C" else "treble"
        if staff.clef and clef != staff.clef_now:
            self.new_clefs.append((self._number(node), clef))
        staff.clef = staff.clef or clef
        staff.clef_now = clef

    def _read_details(self, node: Node, losses: LossLog) -> None:
        staff = self._staff(node)
        lines: dict[int, Node] = {}
        for tuning in node.all("staff-tuning"):
            line = tuning.get("line")
            if line.isascii() and line.isdigit() and len(line) < 3:
                lines[int(line)] = tuning
        pitches = [read_pitch(lines[line], "tuning-") for line in sorted(lines)]
        found = [pitch for pitch in pitches if pitch is not None]
        if found and not staff.tuning:
            staff.tuning = found if len(found) == len(pitches) else []
        elif found and found != staff.tuning:
            losses.add("change of tuning")
        capo = node.whole("capo")
        if capo is not None:
            if 0 <= capo <= _HIGHEST_CAPO and staff.capo in (0, capo):
                staff.capo = capo
            else:
                losses.add("capo")

    def _read_style(self, node: Node, shared: Shared, losses: LossLog) -> None:
        repeat = node.find("measure-repeat")
        rests = node.whole("multiple-rest")
        if rests is not None:
            shared.rests = max(shared.rests, min(rests, 999))
        elif repeat is not None:
            number = repeat.whole() or 1
            self.repeats = 0 if repeat.get("type") == "stop" else number
            if number not in _WHOLE_GROUPS:
                self.repeats = 0
                losses.add("measure repeat")
        else:
            losses.add("measure style")


def read_time(node: Node) -> str:
    """The `time` element as the language writes it; "" for no usual time."""
    pairs: list[tuple[list[int], int]] = []
    beats = [child.content.strip() for child in node.all("beats")]
    units = [child.content.strip() for child in node.all("beat-type")]
    for upper, lower in zip(beats, units, strict=False):
        numbers = re.findall(r"\d{1,3}", upper)
        if not numbers or not lower.isascii() or not lower.isdigit() or not 1 <= int(lower[:4]) <= 32:
            return ""
        pairs.append(([int(number) for number in numbers], int(lower[:4])))
    if not pairs:
        return ""
    unit = lcm(*(lower for _, lower in pairs))
    groups = [number * unit // lower for numbers, lower in pairs for number in numbers]
    text = f"{'+'.join(map(str, groups))}/{unit}"
    symbol = {("common", "4/4"): "C", ("cut", "2/2"): "cut C"}.get((node.get("symbol"), text), text)
    try:
        parse_metre(symbol)
    except ValueError:
        return ""
    return symbol


def time_for(length: Fraction) -> str:
    """A time in which a measure of `length` whole notes fits, rounded up to thirty-seconds."""
    thirty_seconds = -(-length.numerator * 32 // length.denominator)
    for unit in (4, 8, 16, 32):
        count = Fraction(thirty_seconds * unit, 32)
        if count.denominator == 1 and 1 <= count <= 64:
            return f"{count}/{unit}"
    halves = -(-thirty_seconds // 16)
    return f"{min(64, -(-halves // 2))}/1"
