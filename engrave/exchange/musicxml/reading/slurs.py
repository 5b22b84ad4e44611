"""Slurs of a MusicXML file: ends found by their numbers, and written as the words `slur`, `end-slur`, `phrase`, `end-phrase`.

While the file is read an end is a mark with a number of its own (`slur#12`), since only the finished tree tells whether
both its notes came over, and into the same voice. Slurs that hammer-ons, pull-offs and slides say already are left away.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import StaffMeasure, VoiceEvent
from engrave.score.joins import LEGATO
from engrave.score.sign_list import SLUR_ENDS, SignName

_LANES = ("notes", "lower")
_END = re.compile(r"\b(end-)?slur#(\d+)\b *")
_NO_START, _NO_END = "slur without a start", "slur without an end"
_CROSSING = "slur that crosses two others, or starts or stops with them"
_OTHER_VOICE = "slur from one voice to another"
_TWICE = "slur between the same notes as another"

Key = tuple[int, str]
"""A staff and a voice of a part."""


class _Open(NamedTuple):
    """A slur that has no end yet: its voice, the number of its event there, its own number, and where it starts."""

    key: Key
    event: int
    number: int
    measure: str


@dataclass(slots=True)
class SlurReader:
    """Finds the slurs of one part, measure by measure. `own`: the file is from the writer of this project."""

    losses: LossLog
    own: bool
    _rows: dict[Key, list[VoiceEvent]] = field(default_factory=dict)
    _open: dict[str, _Open] = field(default_factory=dict)
    _count: int = 0

    def read(self, events: Iterable[tuple[Key, VoiceEvent]]) -> None:
        """The events of the next measure, in the order of the file."""
        for key, event in events:
            row = self._rows.setdefault(key, [])
            row.append(event)
            for kind in ("stop", "start"):
                for number in [number for own, number in event.slurs if own == kind]:
                    (self._start if kind == "start" else self._stop)(key, event, number)

    def finish(self) -> None:
        """The end of the part: what is open has no end."""
        for slur in self._open.values():
            self._lose_start(slur)
        self._open.clear()

    def _start(self, key: Key, event: VoiceEvent, number: str) -> None:
        if number in self._open:
            self._lose_start(self._open.pop(number))
        self._count += 1
        self._open[number] = _Open(key, len(self._rows[key]) - 1, self._count, self.losses.measure)
        event.marks.append(f"slur#{self._count}")

    def _stop(self, key: Key, event: VoiceEvent, number: str) -> None:
        slur = self._open.pop(number, None)
        if slur is None:
            self.losses.add(_NO_START)
            return
        start = self._rows[slur.key][slur.event]
        under = self._rows[slur.key][slur.event + 1 :]
        if slur.key != key:
            self.losses.add(_OTHER_VOICE)
            start.marks.remove(f"slur#{slur.number}")
        elif not self.own and under and all(_is_reached(between) for between in under):
            start.marks.remove(f"slur#{slur.number}")
            for between in under:
                _slur_slides(between)
        else:
            event.marks.append(f"end-slur#{slur.number}")

    def _lose_start(self, slur: _Open) -> None:
        measure = self.losses.measure
        self.losses.at(self.losses.part, slur.measure)
        self.losses.add(_NO_END)
        self.losses.at(self.losses.part, measure)
        self._rows[slur.key][slur.event].marks.remove(f"slur#{slur.number}")


def _is_reached(event: VoiceEvent) -> bool:
    """Whether a sign of its own says that an event is reached without a stroke, or by a slide."""
    return any(mark in LEGATO for tone in event.tones for mark in tone.marks)


def _slur_slides(event: VoiceEvent) -> None:
    """Under a slur a slide is not struck again."""
    for tone in event.tones:
        if tone.slid and "slide" in tone.marks:
            tone.marks[tone.marks.index("slide")] = SignName.SLURRED_SLIDE.value


def take_slurs(measures: Sequence[StaffMeasure], others: Sequence[StaffMeasure]) -> None:
    """Give the events of a tab the slurs that stand on a staff which shows the same, where the tab has none of its own."""
    if any(mark for measure in measures for event in _events(measure) for mark in _ends_at(event)):
        return
    for measure, other in zip(measures, others, strict=True):
        rows = [measure.voices[name] for name in sorted(measure.voices)]
        for rank, name in enumerate(sorted(other.voices)):
            for event in other.voices[name]:
                ends = _ends_at(event)
                if ends:
                    alike = [
                        e
                        for row in rows[rank:] + rows[:rank]
                        for e in row
                        if e.onset == event.onset and e.tones
                    ]
                    if alike:
                        alike[0].marks.extend(ends)


def _events(measure: StaffMeasure) -> Iterable[VoiceEvent]:
    return (event for row in measure.voices.values() for event in row)


def _ends_at(event: VoiceEvent) -> list[str]:
    return [mark for mark in event.marks if _END.fullmatch(mark)]


class _Found(NamedTuple):
    """One end in the tree: the voice, the number of the event there, and the measure."""

    lane: str
    event: int
    measure: int


def settle_slurs(contents: Sequence[dict[str, Any]], measures: Sequence[str], losses: LossLog) -> None:
    """Put the words of the language into the measures of a part where the ends of slurs have numbers.

    `measures` are the printed numbers, for what is lost.
    """
    starts: dict[int, _Found] = {}
    stops: dict[int, _Found] = {}
    for lane in _LANES:
        count = 0
        for index, content in enumerate(contents):

            def find(text: str, lane: str = lane, index: int = index) -> str:
                nonlocal count
                count += 1
                for end, number in _END.findall(text):
                    (stops if end else starts)[int(number)] = _Found(lane, count, index)
                return text

            _change(content.get(lane), find)
    if starts or stops:
        _write(contents, _decide(starts, stops, measures, losses))


def _decide(
    starts: dict[int, _Found], stops: dict[int, _Found], measures: Sequence[str], losses: LossLog
) -> dict[int, SignName]:
    """The word that starts each slur that is kept.

    Those that hold others are phrases; of two that cross, one is a phrase and one is not, and so of two that start or stop
    together: an event has each word once.
    """
    kept: dict[tuple[str, SignName], list[tuple[int, int]]] = {}
    words: dict[int, SignName] = {}
    spans: dict[int, tuple[str, int, int]] = {}
    for number in sorted({*starts, *stops}):
        start, stop = starts.get(number), stops.get(number)
        if start is None or stop is None or start.lane != stop.lane or start.event >= stop.event:
            losses.at(losses.part, measures[(start or stop or _Found("", 0, 0)).measure])
            losses.add(_NO_END if stop is None else _NO_START if start is None else _OTHER_VOICE)
        elif (span := (start.lane, start.event, stop.event)) in spans.values():
            losses.at(losses.part, measures[start.measure])
            losses.add(_TWICE)
        else:
            spans[number] = span
    for number, (lane, first, last) in sorted(spans.items(), key=lambda item: (item[1][1], -item[1][2])):
        holds = any(
            other != number and own[0] == lane and first <= own[1] and own[2] <= last
            for other, own in spans.items()
        )
        kinds = (SignName.PHRASE, SignName.SLUR) if holds else (SignName.SLUR, SignName.PHRASE)
        for kind in kinds:
            row = kept.setdefault((lane, kind), [])
            if not any(
                a < first < b < last or first < a < last < b or first == a or last == b for a, b in row
            ):
                row.append((first, last))
                words[number] = kind
                break
        else:
            losses.at(losses.part, measures[starts[number].measure])
            losses.add(_CROSSING)
    return words


def _write(contents: Sequence[dict[str, Any]], words: dict[int, SignName]) -> None:
    def settle(text: str) -> str:
        ends: list[str] = []
        begins: list[str] = []
        for end, number in _END.findall(text):
            word = words.get(int(number))
            if word is not None:
                (ends if end else begins).append(SLUR_ENDS[word] if end else word)
        plain = _END.sub("", text).rstrip()
        return " ".join([*([plain] if plain else []), *ends, *begins]) if _END.search(text) else text

    for content in contents:
        for lane in _LANES:
            if lane in content:
                content[lane] = _change(content[lane], settle)


def _change(tree: Any, change: Callable[[str], str]) -> Any:
    """The tree with every text changed; marks that are gone leave no key."""
    if isinstance(tree, str):
        return change(tree)
    if isinstance(tree, list):
        return [_change(item, change) for item in tree]
    if isinstance(tree, dict):
        changed = {key: _change(value, change) for key, value in tree.items()}
        return {key: value for key, value in changed.items() if not (key == "marks" and not value)}
    return tree
