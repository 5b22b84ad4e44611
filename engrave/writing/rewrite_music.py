"""The notes of a part put back into the text: single frets where that is enough, whole events else."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from engrave.score.short_form import FINGER, PITCH, TIE, WITH_AMOUNT, TextEvent
from engrave.score.structure import Event, Measure, Note, Part, Voice
from engrave.score.techniques import TrillAccidental, technique_words
from engrave.writing.music_tree import (
    Own,
    event_tree,
    find_held,
    fret_tree,
    is_held,
    is_held_pitch,
    is_pitch,
    played_events,
    voice_tree,
)
from engrave.writing.nodes import Kind, Node
from engrave.writing.patch import Patch, Path
from engrave.writing.rewrite_tab import change_frets
from engrave.writing.source_events import SourceEvent, says_pitch, source_events
from engrave.writing.spellings import EventAt, find_spellings

_WORD = re.compile(r"\S+")


def write_row(patch: Patch, spot: SourceEvent, events: Sequence[Any]) -> None:
    """Write the events of the row that `spot` stands in: texts as typed where nothing changes, else their trees.

    They stay one text where each of them is one, and only plain ones or ones that were typed with words stand together.
    """
    typed = [event.text for event in spot.row]
    if list(events) == typed:
        return
    with_words = any(" " in text for text in typed)
    if len(events) == 1:
        patch.replace(spot.path, events[0])
    elif all(isinstance(event, str) and (with_words or " " not in event) for event in events):
        patch.replace(spot.path, _retype(spot.node.text, spot.row, events))
    elif isinstance(spot.path[-1], int):
        patch.spread(spot.path, list(events))
    else:
        patch.replace(spot.path, list(events))


def _retype(text: str, row: Sequence[TextEvent], events: Sequence[str]) -> str:
    """`text` with other words for its events, and the blanks between them as they were typed."""
    words = list(_WORD.finditer(text))
    pieces, done = [], 0
    for event, new in zip(row, events, strict=True):
        start = words[event.at].start()
        pieces += [text[done:start], new]
        done = words[event.at + len(event.text.split()) - 1].end()
    return "".join((*pieces, text[done:]))


_VOICE_KEYS = ("notes", "lower")
_BEFORE_NOTES = ("time", "key", "tempo", "label", "number", "chord", "strum")
"""Keys of a measure that a person writes before its notes."""
_BESIDE_FRET = ("fret", "marks", *WITH_AMOUNT)


class MusicRewriter:
    """Rewrites the notes of one part. `contents` are the paths of what it has in each measure, None for nothing."""

    def __init__(
        self,
        patch: Patch,
        before: Part,
        after: Part,
        measures: Sequence[Measure],
        contents: Sequence[Path | None],
    ) -> None:
        """`before` is what the text says, `after` what it shall say."""
        self._patch = patch
        self._before = before
        self._after = after
        self._measures = measures
        self._contents = contents
        self._own: dict[EventAt, Own] = {}
        self._last: list[Event | None] = [None, None]

    def rewrite(self) -> None:
        """Collect the changes. Raises ValueError, with the measure, for what the language cannot say."""
        self._own = find_spellings(self._after, self._measures, self._find_written())
        for number, path in enumerate(self._contents):
            try:
                self._rewrite_measure(number, path)
            except ValueError as error:
                where = f"{self._after.name}, measure {self._measures[number].number}"
                raise ValueError(f"{where}: {error}") from None

    def _voices(self, number: int) -> list[tuple[Voice, Voice]]:
        pairs = zip(self._before.measures[number].voices, self._after.measures[number].voices, strict=True)
        return list(pairs)

    def _find_written(self) -> dict[EventAt, Own]:
        """The notes whose spelling stands in the text and is still right."""
        written: dict[EventAt, Own] = {}
        for number, path in enumerate(self._contents):
            for voice, (before, after) in enumerate(self._voices(number)):
                if path is None:
                    continue
                source = source_events(self._patch, (*path, _VOICE_KEYS[voice]))
                rows = zip(source, played_events(before), played_events(after))
                for order, (spot, old, new) in enumerate(rows):
                    flags = spot.spelled(len(old.notes))
                    written[EventAt(number, voice, order)] = tuple(
                        flag and was.pitch == now.pitch and not is_pitch(was)
                        for flag, was, now in zip(flags, old.notes, new.notes)
                    )
        return written

    def _rewrite_measure(self, number: int, path: Path | None) -> None:
        voices = self._voices(number)
        if path is not None and self._patch.node((*path, "tab")) is not None:
            self._rewrite_tab(number, path, voices)
        elif path is not None and self._before.measures[number].is_strummed:
            if not self._after.measures[number].is_strummed:
                self._write_out(number, path, voices[0][1])
        elif path is not None:
            for voice, pair in enumerate(voices):
                self._rewrite_voice(number, voice, path, *pair)
        for voice in range(2):
            events = list(played_events(voices[voice][1])) if voice < len(voices) else []
            self._last[voice] = events[-1] if events and events[-1].notes else None

    def _write_out(self, number: int, path: Path, after: Voice) -> None:
        """The music of a measure that no strum pattern makes any longer."""
        row = [self._own[EventAt(number, 0, order)] for order, _ in enumerate(played_events(after))]
        self._patch.put((*path, "notes"), voice_tree(after, row, self._last[0]), after=_BEFORE_NOTES)

    def _rewrite_tab(self, number: int, path: Path, voices: Sequence[tuple[Voice, Voice]]) -> None:
        """A drawn tab stays one while only its frets change; else it becomes lists of notes."""
        rows = [
            [self._own[EventAt(number, voice, order)] for order, _ in enumerate(played_events(after))]
            for voice, (_, after) in enumerate(voices)
        ]
        fits = all(
            _is_same(old, new) and not any(own)
            for (before, after), row in zip(voices, rows, strict=True)
            for old, new, own in zip(played_events(before), played_events(after), row, strict=True)
        )
        if fits:
            return
        here = (*path, "tab")
        tab = self._patch.node(here)
        spelled = any(any(own) for row in rows for own in row)
        kept = None if tab is None or spelled else change_frets(tab.text, *zip(*voices))
        if kept is not None:
            self._patch.replace(here, kept)
            return
        trees = [voice_tree(after, row, last) for (_, after), row, last in zip(voices, rows, self._last)]
        self._patch.rename(here, "notes")
        self._patch.replace(here, trees[0])
        if len(trees) > 1:
            self._patch.put((*path, "lower"), trees[1], after=("tab",))

    def _rewrite_voice(self, number: int, voice: int, path: Path, before: Voice, after: Voice) -> None:
        last = self._last[voice]
        source = list(source_events(self._patch, (*path, _VOICE_KEYS[voice])))
        events = list(zip(played_events(before), played_events(after), strict=True))
        if len(source) != len(events):
            raise ValueError(f"the text has {len(source)} events where the score has {len(events)}")
        row: list[Any] = []
        for order, (spot, (old, new)) in enumerate(zip(source, events, strict=True)):
            own = self._own[EventAt(number, voice, order)]
            stays = self._stays(spot, old, new, own, last)
            if not spot.row:
                if not stays:
                    self._rewrite_event(spot, old, new, own, last)
            else:
                row.append(spot.words if stays else event_tree(new, own, last))
                if spot.number == len(spot.row) - 1:
                    write_row(self._patch, spot, row)
                    row = []
            last = new if new.notes else None

    def _stays(self, spot: SourceEvent, old: Event, new: Event, own: Own, last: Event | None) -> bool:
        """True when the text says the event as it shall be."""
        if spot.words == TIE:
            return is_held(new, last)
        for note in new.notes:
            find_held(note, last)
        return (
            _is_same(old, new)
            and spot.spelled(len(old.notes)) == tuple(own)
            and all(o.pitch == n.pitch for o, n, s in zip(old.notes, new.notes, own) if s)
        )

    def _rewrite_event(self, spot: SourceEvent, old: Event, new: Event, own: Own, last: Event | None) -> None:
        strings = spot.strings
        singly = len(strings) == len(new.notes) == len(old.notes) and not spot.has_pitches
        if not singly or _names(old) != _names(new) or any(is_pitch(note) for note in new.notes):
            self._patch.replace(spot.path, event_tree(new, own, last))
            return
        pairs = list(zip(old.notes, new.notes))
        if len(pairs) == 1:
            pairs = [(_with_marks(spot, old), _with_marks(spot, new))]
        for (key, node), (was, now), spelled in zip(strings, pairs, own):
            here = (*spot.path, key)
            if str(now.string) != key:
                self._patch.rename(here, str(now.string))
            self._rewrite_note(here, node, (was, now), spelled, find_held(now, last))

    @staticmethod
    def _is_anew(node: Node, was: Note, now: Note, held: Note | None) -> bool:
        """True when what stands behind a string is written as a whole: no mapping, or one where more is to change."""
        if (
            node.kind is not Kind.MAP
            or held is not None
            or _techniques(was) != _techniques(now)
            or was.tie_from
        ):
            return True
        words = node.items[node.find("fret") or 0].known.text.split()
        return FINGER in words or PITCH in words

    def _rewrite_note(
        self, path: Path, node: Node, notes: tuple[Note, Note], spelled: bool, held: Note | None
    ) -> None:
        """What stands behind a string: the keys of a mapping one by one where only fret, finger or spelling change."""
        was, now = notes
        patch = self._patch
        if self._is_anew(node, was, now, held):
            if was._replace(string=0) != now._replace(string=0) or says_pitch(node) != spelled:
                tree = fret_tree(now, spelled, held)
                if tree != node.plain and str(tree) != " ".join(node.text.split()):
                    patch.replace(path, tree)
            return
        if was.fret != now.fret:
            words = node.items[node.find("fret") or 0].known.text.split()[1:]
            patch.replace((*path, "fret"), " ".join([str(now.fret), *words]) if words else now.fret)
        if was.finger != now.finger:
            if now.finger:
                finger = int(now.finger) if now.finger.isdigit() else now.finger
                patch.put((*path, "finger"), finger, after=_BESIDE_FRET)
            else:
                patch.remove((*path, "finger"))
        if spelled and not (says_pitch(node) and was.pitch == now.pitch):
            patch.put((*path, "pitch"), now.pitch.name, after=(*_BESIDE_FRET, "finger"))
        elif not spelled:
            patch.remove((*path, "pitch"))


def _with_marks(spot: SourceEvent, event: Event) -> Note:
    """The only note of an event, with the marks of the event that stand after its fret."""
    key = spot.node.get("marks")
    under_key = 0 if key is None else len(key.known.items) or len(key.known.text.split())
    return event.notes[0]._replace(
        techniques=event.techniques[: len(event.techniques) - under_key] + event.notes[0].techniques
    )


def _names(event: Event) -> list[str]:
    return [technique.sign.value for technique in event.techniques]


def _techniques(note: Note) -> list[str]:
    """The techniques as they are written: what is over a trill comes from the key."""
    return [technique_words(t) for t in note.techniques if not isinstance(t, TrillAccidental)]


def _is_same(old: Event, new: Event) -> bool:
    """True when two events are written the same way, but for how their notes are spelled."""
    if len(old.notes) != len(new.notes) or _names(old) != _names(new):
        return False
    return all(_written(was) == _written(now) for was, now in zip(old.notes, new.notes))


def _written(note: Note) -> tuple[object, ...]:
    if is_pitch(note):
        return note.pitch, True
    where = note.pitch if is_held_pitch(note) else (note.string, note.fret)
    return where, note.tie_from, _techniques(note), note.finger


def pin_moved(before: Part, after: Part) -> Part:
    """`after` with the notes taken as written on their strings that no longer lie where the reader put them."""
    measures = []
    for old, new in zip(before.measures, after.measures, strict=True):
        voices = [_pin_voice(was, now) for was, now in zip(old.voices, new.voices, strict=True)]
        measures.append(new._replace(voices=tuple(voices)))
    return after._replace(measures=tuple(measures))


def _pin_voice(before: Voice, after: Voice) -> Voice:
    if before is after or not any(note.chosen for event in played_events(after) for note in event.notes):
        return after
    return Voice(tuple(_pin_event(old, new) for old, new in zip(before.events, after.events, strict=True)))


def _pin_event(old: Event, new: Event) -> Event:
    graces = []
    for was, now in ((old.before, new.before), (old.after, new.after)):
        if was is not None and now is not None:
            now = now._replace(events=tuple(map(_pin_event, was.events, now.events)))
        graces.append(now)
    notes = [
        now._replace(chosen=False) if was.pitch == now.pitch and was[1:3] != now[1:3] else now
        for was, now in zip(old.notes, new.notes)
    ]
    return new._replace(notes=(*notes, *new.notes[len(notes) :]), before=graces[0], after=graces[1])
