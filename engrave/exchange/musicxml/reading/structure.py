"""Barlines, repeats, endings, D.C. and D.S., brought into an order that can be played."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate, count, pairwise
from typing import Any

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Shared
from engrave.exchange.musicxml.reading.source import Node
from engrave.theory.repeats import GoBack, RepeatInfo, check_structure
from engrave.writing.key_values import repeat_tree

_STYLES = {
    "light-light": "double",
    "light-heavy": "final",
    "heavy": "final",
    "dashed": "dashed",
    "dotted": "dashed",
    "none": "none",
    "regular": "single",
}
_MOST_TIMES = 99
_PATIENCE = 50
"""How often the endings that follow each other are looked at anew before all wrong ones go at once (house rule)."""


def read_barline(node: Node, shared: Shared, before: Shared | None, losses: LossLog) -> None:
    """One `barline` of a measure; what stands at its left end belongs to the measure `before`."""
    left = node.get("location", "right") == "left"
    if node.get("location") == "middle":
        losses.add("barline inside a measure")
        return
    repeat, ending, style = node.find("repeat"), node.find("ending"), node.text("bar-style")
    if repeat is not None:
        if repeat.get("direction") == "forward":
            shared.starts, shared.starts_after = shared.starts or left, shared.starts_after or not left
        else:
            times = repeat.get("times")
            number = int(times) if times.isascii() and times.isdigit() and len(times) < 3 else 2
            ended = before if left and before is not None else shared
            ended.ends = max(2, min(number, _MOST_TIMES))
    if ending is not None and ending.get("type") == "start":
        shared.ending = _passes(ending)
    shared.segno = shared.segno or node.has("segno")
    shared.coda = shared.coda or node.has("coda")
    if repeat is None and style:
        target = before if left else shared
        name = _STYLES.get(style, "")
        if not name:
            losses.add(f"{style} barline")
        elif target is not None and (not left or name != "single"):
            target.barline = name


def _passes(ending: Node) -> tuple[int, ...]:
    """The passes for which an ending is played; one that does not say so is the first."""
    numbers = {int(text) for text in re.findall(r"\d{1,2}", ending.get("number"))} - {0}
    return tuple(sorted(numbers)) or (1,)


@dataclass(slots=True)
class Endings:
    """Which ending holds, measure by measure of one part."""

    _now: tuple[int, ...] = ()
    _later: list[Shared] = field(default_factory=list)
    """The measures of the ending that holds, after its first."""

    def read(self, measure: Node, shared: Shared) -> None:
        """Tell `shared` its ending. One that stops and never started holds for this measure alone."""
        found = (barline.find("ending") for barline in measure.all("barline"))
        stop = next((e for e in found if e is not None and e.get("type") in ("stop", "discontinue")), None)
        if shared.ending:
            self._later = []
        elif self._now:
            shared.ending = self._now
            self._later.append(shared)
        elif stop is not None:
            shared.ending = _passes(stop)
        self._now = () if stop is not None or shared.ends else shared.ending

    def close(self) -> None:
        """An ending that never stops holds for its first measure."""
        for shared in self._later if self._now else ():
            shared.ending = ()


def settle_endings(row: Sequence[Shared]) -> None:
    """Endings that reach their repeat, and repeats that are taken as often as their endings want."""
    _extend_endings(row)
    for shared, following in pairwise(row):
        if shared.ends and shared.ending:
            goes_on = following.ending[:1] == (shared.ending[-1] + 1,)
            shared.ends = max(shared.ends, min(_MOST_TIMES, shared.ending[-1] + goes_on))


def _extend_endings(row: Sequence[Shared]) -> None:
    """An ending whose bracket stops before its repeat goes on as far as that, where the next ending follows."""
    for index, shared in enumerate(row):
        if not shared.ending or shared.ends:
            continue
        stop = index + 1
        while stop < len(row) and not (row[stop].ending or row[stop].starts or row[stop].ends):
            stop += 1
        following = row[stop + 1].ending if stop + 1 < len(row) else ()
        reaches = stop < len(row) and row[stop].ends and not (row[stop].ending or row[stop].starts)
        if reaches and following and following[0] == shared.ending[-1] + 1:
            for inside in row[index + 1 : stop + 1]:
                inside.ending = shared.ending


def settle_codas(row: list[Shared]) -> None:
    """Of two coda signs without further words, the first says where to leave and the second where the coda starts."""
    signs = [shared for shared in row if shared.coda]
    if len(signs) > 1 and not any(shared.to_coda for shared in row):
        signs[0].coda, signs[0].to_coda = False, True


def repair_structure(row: list[Shared], losses: LossLog) -> None:
    """Take away repeats, D.C. and D.S. that lead nowhere, until the rest can be played.

    Of endings that follow each other, the first wrong one goes first, as it may be what is wrong with the others.
    """
    for attempt in count():
        problems = check_structure([_info(shared) for shared in row])
        if not problems:
            return
        runs = list(accumulate(not shared.ending for shared in row))
        taken: set[tuple[str, int]] = set()
        for index, what, _ in problems:
            keys = {("measure", index)}
            if "ending" in what and attempt < _PATIENCE:
                keys.add(("run", runs[index]))
            if not keys & taken:
                taken |= keys
                losses.at("", row[index].number)
                _weaken(row[index], what, losses)


def _info(shared: Shared) -> RepeatInfo:
    return RepeatInfo(
        start=shared.starts,
        end_times=shared.ends or None,
        ending=shared.ending,
        segno=shared.segno,
        coda=shared.coda,
        to_coda=shared.to_coda,
        fine=shared.fine,
        go_back=GoBack(shared.go_back) if shared.go_back else None,
    )


def _weaken(shared: Shared, what: str, losses: LossLog) -> None:
    """Drop what `what` complains of."""
    if "ending" in what:
        losses.add(f"ending {', '.join(map(str, shared.ending))}")
        shared.ending = ()
    elif "to the coda" in what and what.startswith("nothing"):
        losses.add("to coda")
        shared.to_coda = False
    elif "segno" in what:
        losses.add("segno")
        shared.segno = False
    else:
        losses.add(shared.go_back)
        shared.go_back = ""


def write_structure(shared: Shared) -> dict[str, Any]:
    """The keys of a measure for its repeats, signs and barline."""
    keys = repeat_tree(_info(shared))
    if shared.barline:
        keys["barline"] = shared.barline
    if shared.rests > 1:
        keys["multiple-rest"] = shared.rests
    return keys


def is_plain(shared: Shared) -> bool:
    """True when a measure says nothing that could not stand inside a multiple rest."""
    return replace(shared, number="", implicit=False, rests=1, free=False) == Shared()
