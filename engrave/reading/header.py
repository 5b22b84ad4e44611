"""What stands before the measures: titles, credits, parts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.problems import NOWHERE, Location, ProblemLog
from engrave.reading.instruments import read_instrument
from engrave.score.paper_size import Orientation, PaperSize, parse_size
from engrave.score.structure import Credits, Tempo, View
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.theory.duration import parse_note_value
from engrave.theory.instrument import PRESETS, Instrument

_MARK = re.compile(
    r"(?:(?P<words>.*?)[,\s]\s*)?(?P<value>1/\d+\.{0,2})\s*=\s*(?P<number>\d+(?:\.\d+)?)\s*", re.DOTALL
)


class PartHeader(NamedTuple):
    """A part before its measures are read."""

    id: str
    name: str
    instrument: Instrument
    view: View | None
    is_named: bool
    brace: str = ""
    strum: str | None = None
    """The strum pattern of the part, as written; None where the score's own counts."""
    strum_location: Location = NOWHERE


def read_parts(tree: SourceMap, log: ProblemLog) -> tuple[PartHeader, ...]:
    """The parts from the top down; one part with the instrument's name when none are listed."""
    default = read_instrument(tree, log, PRESETS["guitar"])
    listed: Value = tree.get("parts")
    if not isinstance(listed, SourceList):
        name = default.name[:1].upper() + default.name[1:]
        return (PartHeader(default.name, name, default, None, False),)
    parts = []
    seen: set[str] = set()
    for index, entry in enumerate(listed):
        identity = str(entry["id"])
        if identity in seen:
            log.error(listed.item_location(index), f'two parts are called "{identity}"')
        seen.add(identity)
        instrument = read_instrument(entry, log, default)
        name = str(entry.get("name", identity[:1].upper() + identity[1:]))
        view = View(entry["view"]) if "view" in entry else None
        is_named = "name" in entry or identity not in PRESETS
        header = PartHeader(identity, name, instrument, view, is_named, str(entry.get("brace", "")))
        if "strum" in entry:
            header = header._replace(strum=str(entry["strum"]), strum_location=entry.value_location("strum"))
        parts.append(header)
    _check_braces(listed, parts, log)
    return tuple(parts)


def _check_braces(listed: SourceList, parts: Sequence[PartHeader], log: ProblemLog) -> None:
    """Warn of braces that join nothing: around one part alone, or around parts that do not stand together."""
    braces = ["", *(part.brace for part in parts), ""]
    for index, entry in enumerate(listed):
        before, brace, after = braces[index : index + 3]
        if brace and brace not in (before, after):
            what = f'the brace "{brace}" has one part here, so none is drawn'
            log.warning(
                entry.value_location("brace"), what, hint="give the part above or below the same brace"
            )


def read_credits(tree: SourceMap) -> Credits:
    """Who made the piece; a text alone is the credit of the music."""
    entry = tree.get("credits")
    if isinstance(entry, str):
        return Credits(music=entry)
    if not isinstance(entry, SourceMap):
        return Credits()
    return Credits(**{key: str(entry[key]) for key in ("music", "words", "arrangement") if key in entry})


def read_tempo(text: str, location: Location = NOWHERE) -> Tempo:
    """A tempo mark: "1/4 = 96", "Lively, 1/4. = 60", or words. Raises ValueError for a mark that cannot be."""
    match = _MARK.fullmatch(text)
    if match is None:
        if "=" in text:
            raise ValueError(f'"{text}" is not a tempo; write 1/4 = 96, or Lively, 1/4. = 60')
        return Tempo(text.strip(), location=location)
    words = (match.group("words") or "").strip().rstrip(",")
    per_minute = Fraction(match.group("number"))
    if not 1 <= per_minute <= 1000:
        raise ValueError(f"{match.group('number')} beats per minute cannot be played")
    return Tempo(words, parse_note_value(match.group("value")), per_minute, location)


def read_paper_size(tree: SourceMap, log: ProblemLog) -> PaperSize:
    """What a document whose form is right asks of its sheet; a size that cannot be goes to `log`."""
    sides = None
    if "size" in tree:
        try:
            sides = parse_size(str(tree["size"]))
        except ValueError as error:
            log.error(tree.value_location("size"), str(error))
    return PaperSize(sides, Orientation(tree["orientation"]) if "orientation" in tree else None)
