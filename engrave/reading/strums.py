"""Strum patterns: those that travel with the program, those of a score, and measures of slashes made of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from engrave.problems import Location, ProblemLog, did_you_mean
from engrave.reading.context import Context
from engrave.reading.drafts import DraftVoice
from engrave.reading.header import PartHeader
from engrave.reading.voices import InRow, VoiceReader
from engrave.score.short_form import REST, SLASH, TIE, row_events
from engrave.score.sign_list import SignName
from engrave.score.structure import ChordAt, Measure
from engrave.score.strums import (
    NO_STRUM,
    Stroke,
    StrumPattern,
    StrumRow,
    is_strum_row,
    lay_out_strokes,
    parse_strum_row,
    say_misfit,
    strike_changes,
)
from engrave.settings.shipped import read_tree, shipped_file
from engrave.source.tree import SourceMap, Value
from engrave.theory.metre import Metre, parse_metre

_WORDS = {
    Stroke.DOWN: f"{SLASH} {SignName.STRUM_DOWN}",
    Stroke.UP: f"{SLASH} {SignName.STRUM_UP}",
    Stroke.ON: TIE,
    Stroke.REST: REST,
}
"""Each stroke as an event of the language."""


class Strums(NamedTuple):
    """The patterns of a score: its own by name, and the one at its head, as written."""

    own: tuple[StrumPattern, ...]
    text: str | None
    """None where there is none."""
    location: Location

    def find(self, name: str) -> StrumPattern | None:
        """The pattern called `name`, the score's own before those that travel with the program."""
        own = {pattern.name: pattern for pattern in self.own}
        return own.get(name) or read_shipped_strums().get(name)

    @property
    def names(self) -> tuple[str, ...]:
        """Every name."""
        return tuple(dict.fromkeys((*(pattern.name for pattern in self.own), *read_shipped_strums())))


@lru_cache(maxsize=1)
def read_shipped_strums() -> dict[str, StrumPattern]:
    """The patterns that travel with the program, by name. Raises ValueError where their file is wrong: a test rules it out."""
    tree = read_tree(shipped_file("strums", "patterns.yaml"))
    return {name: StrumPattern(name, _rows_by_time(rows)) for name, rows in tree.items()}


def _rows_by_time(rows: SourceMap) -> tuple[StrumRow, ...]:
    return tuple(parse_strum_row(str(row), parse_metre(time)) for time, row in rows.items())


def read_strums(tree: SourceMap, log: ProblemLog) -> Strums:
    """The patterns at the head of a score; what is wrong with them goes to `log`."""
    found: list[StrumPattern] = []
    content: Value = tree.get("strums")
    for name, rows, location in content.entries() if isinstance(content, SourceMap) else ():
        if name == NO_STRUM or is_strum_row(name):
            what = f'"{name}" cannot be the name of a strum pattern'
            log.error(content.key_location(name), what, hint="it has a meaning of its own; choose another")
            continue
        read = _read_rows(rows, location, log)
        if read:
            found.append(StrumPattern(name, read))
    location = tree.value_location("strum") if "strum" in tree else tree.location
    return Strums(tuple(found), str(tree["strum"]) if "strum" in tree else None, location)


def _read_rows(rows: Value, location: Location, log: ProblemLog) -> tuple[StrumRow, ...]:
    entries = [("", rows, location)]
    if isinstance(rows, SourceMap):
        entries = list(rows.entries())
        if not entries:
            log.error(
                location,
                "this strum pattern has no row",
                hint="write strokes by time: {4/4: d - d u d u d u}",
            )
    found = []
    for time, row, spot in entries:
        try:
            found.append(parse_strum_row(str(row), parse_metre(time) if time else None))
        except ValueError as error:
            what, _, hint = str(error).partition("; ")
            log.error(spot, what, hint=hint)
    return tuple(found)


class Strummer:
    """The strum pattern of one part from measure to measure."""

    def __init__(self, context: Context, strums: Strums, header: PartHeader) -> None:
        """`context` is kept up to date by the caller."""
        self._context = context
        self._strums = strums
        instrument = context.instrument
        self._is_strung = bool(instrument.tuning or instrument.usual_tuning)
        """False for a voice; a part that is read without its strings, for another instrument, has some."""
        self._told: set[tuple[StrumPattern, Metre]] = set()
        self.pattern: StrumPattern | None = None
        if header.strum is not None:
            self.pattern = self._find_strung(header.strum, header.strum_location)
        elif strums.text is not None:
            self.pattern = self._find(strums.text, strums.location)

    def read(self, content: SourceMap) -> None:
        """What a measure says of the pattern, from here on."""
        if "strum" not in content:
            return
        self.pattern = self._find_strung(str(content["strum"]), content.value_location("strum"))

    def row_for(self, content: SourceMap, measure: Measure) -> StrumRow | None:
        """The row that fills a measure: one with chord names and no music of its own; None where none does."""
        has_music = any(key in content for key in ("notes", "lower", "tab", "measure-repeat"))
        alone = "chord" in content and not has_music and not measure.pickup and measure.rests == 1
        if self.pattern is None or not alone or not self._is_strung:
            return None
        row = self.pattern.row_for(measure.metre)
        key = self.pattern, measure.metre
        if row is None and key not in self._told:
            self._told.add(key)
            what, hint = say_misfit(self.pattern, measure.metre)
            self._context.error(content.value_location("chord"), what, hint)
        return row

    def _find_strung(self, text: str, location: Location) -> StrumPattern | None:
        """The pattern that `text` names or is, in a part that must have strings for it."""
        found = self._find(text, location)
        if found is not None and not self._is_strung:
            what = f"the {self._context.instrument.name} has no strings to strum"
            self._context.log.error(location, what, self._context.part, "remove strum:")
        return found

    def _find(self, text: str, location: Location) -> StrumPattern | None:
        """The pattern that `text` names or is."""
        if text == NO_STRUM:
            return None
        found = self._strums.find(text)
        if found is not None:
            return found
        log = self._context.log
        if " " not in text.strip() and not is_strum_row(text):
            hint = did_you_mean(text, (*self._strums.names, NO_STRUM))
            log.error(location, f'there is no strum pattern "{text}"', hint=hint)
            return None
        try:
            return StrumPattern("", (parse_strum_row(text),))
        except ValueError as error:
            what, _, hint = str(error).partition("; ")
            log.error(location, what, hint=hint)
            return None


def strum_measure(
    reader: VoiceReader, row: StrumRow, metre: Metre, chords: Sequence[ChordAt], location: Location
) -> DraftVoice:
    """A measure of slashes strummed as `row` under its chord names, read as if a person had written it at `location`."""
    voice = reader.start(location)
    for piece in lay_out_strokes(strike_changes(row, metre, (chord.onset for chord in chords)), metre):
        (event,) = row_events(_WORDS[piece.stroke])
        reader.add(piece.value, InRow(event, (location, location)), location)
    return voice
