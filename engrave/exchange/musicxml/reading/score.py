"""The score-language tree put together from staves and shared measures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate
from typing import Any

from engrave.exchange.musicxml.reading.events import REST, LaneWriter
from engrave.exchange.musicxml.reading.instruments import Header
from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.lyrics import write_lyrics
from engrave.exchange.musicxml.reading.merging import is_lower
from engrave.exchange.musicxml.reading.music import (
    ZERO,
    At,
    Shared,
    Staff,
    StaffMeasure,
    VoiceEvent,
    count_tones,
    sounds,
    speaks,
)
from engrave.exchange.musicxml.reading.plan import Plan
from engrave.exchange.musicxml.reading.rhythm import lay_out, snap
from engrave.exchange.musicxml.reading.slurs import settle_slurs
from engrave.exchange.musicxml.reading.spans import write_spans
from engrave.exchange.musicxml.reading.voices import keep_voice
from engrave.theory.clef import Clef
from engrave.theory.key import Key, parse_key
from engrave.writing.key_values import lyrics_tree

_LANES = 2
"""Voices that a part of the language has."""


@dataclass(slots=True)
class StaffWriter:
    """Writes one staff measure by measure."""

    staff: Staff
    header: Header
    plans: Sequence[Plan]
    row: Sequence[Shared]
    losses: LossLog
    _ranks: dict[str, int] = field(default_factory=dict)
    _held: dict[int, bool] = field(default_factory=dict)

    def write(self) -> list[dict[str, Any]]:
        """What the part has in each measure."""
        self._rank()
        self._move_late_words()
        starts = list(accumulate((plan.length for plan in self.plans), initial=ZERO))
        self.losses.at(self.staff.name, "")
        numbers = [shared.number for shared in self.row]
        spans = write_spans(self.staff.measures, starts, numbers, self.losses)
        lanes = [LaneWriter(self.header, self.losses) for _ in range(_LANES)]
        key = Key(0)
        written = []
        for index, (measure, plan, shared) in enumerate(
            zip(self.staff.measures, self.plans, self.row, strict=True)
        ):
            self.losses.at(self.staff.name, shared.number)
            key = parse_key(shared.key) if shared.key else key
            for lane in lanes:
                lane.key = key
            written.append(self._staff_measure(index, measure, plan, lanes, spans.get(index, [])))
        settle_slurs(written, numbers, self.losses)
        return written

    def _rank(self) -> None:
        """Voices in the order in which they are first heard, then those of rests; two of them in the order of their names.

        Of two staves in one the fullest voice of each comes first.
        """
        if self.staff.merged:
            counts_of = Counter[str]()
            for measure in self.staff.measures:
                for voice, events in measure.voices.items():
                    counts_of[voice] += count_tones(events)
            ordered = sorted(counts_of, key=lambda voice: -counts_of[voice])
            tops = [next((v for v in ordered if is_lower(v) is low), "") for low in (False, True)]
            rest = [voice for voice in ordered if voice not in tops]
            self._ranks = {voice: rank for rank, voice in enumerate([*tops, *rest])}
            return
        for counts in (sounds, _is_seen):
            for measure in self.staff.measures:
                for voice in sorted(measure.voices, key=_by_name):
                    if counts(measure.voices[voice]) and (counts is sounds or len(self._ranks) < _LANES):
                        self._ranks.setdefault(voice, len(self._ranks))
            if len(self._ranks) == _LANES:
                self._ranks = {voice: rank for rank, voice in enumerate(sorted(self._ranks, key=_by_name))}

    def _move_late_words(self) -> None:
        """Words at the very end of a measure belong to the start of the next one."""
        measures = self.staff.measures
        for index, (measure, plan) in enumerate(zip(measures, self.plans, strict=True)):
            following = measures[index + 1] if index + 1 < len(measures) else None
            for name in ("chords", "texts", "dynamics", "clefs"):
                row: list[At] = getattr(measure, name)
                late = [at for at in row if snap(at.onset) >= plan.length]
                setattr(measure, name, [at for at in row if snap(at.onset) < plan.length])
                if following is not None:
                    setattr(
                        following,
                        name,
                        [*(at._replace(onset=ZERO) for at in late), *getattr(following, name)],
                    )
                elif late:
                    self.losses.at(self.staff.name, self.row[index].number)
                    self.losses.add(f"{name} after the last note")
            self._move_late_edges(measure, plan, following)

    def _move_late_edges(self, measure: StaffMeasure, plan: Plan, following: StaffMeasure | None) -> None:
        late = [edge for edge in measure.edges if snap(edge.onset) >= plan.length and edge.starts]
        if following is not None and late:
            measure.edges = [edge for edge in measure.edges if edge not in late]
            moved = [edge._replace(onset=max(ZERO, edge.onset - plan.length), until=None) for edge in late]
            following.edges = [*moved, *following.edges]

    def _staff_measure(
        self, index: int, measure: StaffMeasure, plan: Plan, lanes: list[LaneWriter], spans: list[At]
    ) -> dict[str, Any]:
        content: dict[str, Any] = {}
        if measure.repeats:
            self._lose(measure.voices, "shown by a sign that repeats measures")
            content["measure-repeat"] = measure.repeats
            for lane in lanes:
                lane.skip()
        else:
            by_beat = bool(measure.chords or measure.texts or measure.dynamics or spans or measure.clefs)
            self._voices({} if self.row[index].rests > 1 else measure.voices, plan, lanes, content, by_beat)
        _put(content, "chord", measure.chords, plan, self.losses, "")
        _put(content, "text", measure.texts, plan, self.losses, ", ")
        _put(content, "dynamics", measure.dynamics, plan, self.losses, "")
        clefs = [at._replace(text=clef) for at in measure.clefs if (clef := self._clef(at.text))]
        _put(content, "clef", clefs, plan, self.losses, "")
        if spans:
            rows: dict[Any, list[str]] = {}
            for at in spans:
                rows.setdefault(_beat(at.onset, plan), []).append(at.text)
            content["spans"] = {beat: row[0] if len(row) == 1 else row for beat, row in rows.items()}
        return content

    def _clef(self, wanted: str) -> str:
        """A clef of the file, with the 8 of the part's own clef or without: its notes are read in one octave throughout."""
        own, clef = self.header.instrument.clef, Clef(wanted)
        if clef.says_octave is not own.says_octave:
            if clef.in_other_octave is None:
                self.losses.add(f"{wanted} clef in a part written an octave higher")
                return ""
            return clef.in_other_octave.value
        return wanted

    def _voices(
        self,
        voices: dict[str, list[VoiceEvent]],
        plan: Plan,
        lanes: list[LaneWriter],
        content: dict[str, Any],
        by_beat: bool,
    ) -> None:
        upper, lower = self._lanes(voices)
        explicit = by_beat and not plan.is_full
        if speaks(upper) or explicit:
            rows = [event for event in upper if not event.fills]
            content["notes"] = lanes[0].write(lay_out(rows, plan.length, self.losses), {})
        else:
            lanes[0].skip()
        if lower and "notes" not in content:
            content["notes"] = REST
        if speaks(lower):
            rows = [event for event in lower if not event.fills]
            taken = lanes[0].starts
            content["lower"] = lanes[1].write(lay_out(rows, plan.length, self.losses), taken)
        else:
            lanes[1].skip()
            if lower and content["notes"] == REST:
                content["lower"] = REST
        words = write_lyrics(lanes[0].sung, self._held)
        if words:
            content["lyrics"] = lyrics_tree(words)
        if any(event.lyrics for event in lanes[1].sung):
            self.losses.add("lyric of the second voice")

    def _lanes(self, voices: dict[str, list[VoiceEvent]]) -> tuple[list[VoiceEvent], list[VoiceEvent]]:
        """Which voices stand above and below; a third one takes the place of one that is silent, else joins their chords.

        Rests that are not printed leave no voice; the language has no place for them.
        """
        order = sorted(voices, key=lambda voice: (self._ranks.get(voice, len(self._ranks)), _by_name(voice)))
        lanes: list[list[VoiceEvent]] = [[], []]
        further: list[list[VoiceEvent]] = []
        for voice in order:
            if not sounds(voices[voice]):
                continue
            rank = self._ranks[voice]
            wish = rank if rank < _LANES else 0
            free = next((lane for lane in (wish, 1 - wish) if not lanes[lane]), None)
            if free is None:
                further.append(voices[voice])
            else:
                lanes[free] = list(voices[voice])
        for voice in order:
            lane = self._ranks.get(voice, _LANES)
            if lane < _LANES and not lanes[lane] and _is_seen(voices[voice]):
                lanes[lane] = voices[voice]
        for events in further:
            keep_voice(events, lanes, self.losses)
        if not lanes[0] and lanes[1] and not _is_tied(lanes[1]):
            lanes.reverse()
        return lanes[0], lanes[1]

    def _lose(self, voices: dict[str, list[VoiceEvent]], why: str) -> None:
        self.losses.notes(sum(count_tones(voice) for voice in voices.values()), why)


def _is_seen(events: list[VoiceEvent]) -> bool:
    """Whether a voice shows anything: notes, or rests that are printed."""
    return any(event.tones or not event.hidden for event in events)


def _by_name(voice: str) -> tuple[int, str]:
    """Voices are numbers as a rule: 2 comes before 10."""
    return len(voice), voice


def _is_tied(events: list[VoiceEvent]) -> bool:
    return any(tone.tied for event in events[:1] for tone in event.tones)


def _beat(onset: Fraction, plan: Plan) -> Any:
    """A moment as the language counts it: 1, "2 1/2"."""
    whole, rest = divmod((snap(onset) + plan.offset) * plan.metre.unit + 1, 1)
    return f"{whole} {rest}" if rest else int(whole)


def _put(
    content: dict[str, Any], key: str, row: Sequence[At], plan: Plan, losses: LossLog, joint: str
) -> None:
    """Words by beat; where the language has room for one, the first stays (`joint` joins free words)."""
    words: dict[Any, str] = {}
    for at in sorted(row, key=lambda at: snap(at.onset)):
        beat = _beat(at.onset, plan)
        if beat not in words:
            words[beat] = at.text
        elif joint:
            words[beat] += joint + at.text
        elif words[beat] != at.text:
            losses.add(f"second {key} at one moment")
    if words:
        content[key] = words
