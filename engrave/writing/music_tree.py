"""The music of one voice of a measure as the tree of the score language."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from engrave.score.joins import find_tied
from engrave.score.short_form import DEAD, HIDDEN, REST, SLASH, TIE, technique_texts
from engrave.score.sign_list import KEPT_BY_TIES, SignName
from engrave.score.structure import Event, Graces, Note, Voice
from engrave.score.techniques import NaturalHarmonic, Technique, TrillAccidental
from engrave.theory.duration import DENOMINATORS, NoteValue, TupletRatio, note_value
from engrave.writing.short_events import Item, join_runs, short_event, short_tie, tuplet_content

Own = Sequence[bool]
"""For each note of an event: whether its spelling has to be written."""


def played_events(voice: Voice) -> Iterator[Event]:
    """The events of a voice with their grace notes, in the order in which they are written; none in a whole rest."""
    for event in voice.events:
        if not event.whole_measure:
            yield from event.before.events if event.before is not None else ()
            yield event
            yield from event.after.events if event.after is not None else ()


def voice_tree(voice: Voice, own: Sequence[Own], before: Event | None = None) -> Any:
    """What stands behind `notes:` or `bass:`.

    `own` has an entry for each of `played_events`; `before` is the event of the voice that a tie would hold. Raises
    ValueError for what the language cannot say.
    """
    if any(event.whole_measure for event in voice.events):
        return REST
    return join_runs(_VoiceWriter(iter(own), before).items(voice.events, 0))


class _VoiceWriter:
    """Writes events in order; it remembers the last one for ties."""

    def __init__(self, own: Iterator[Own], before: Event | None) -> None:
        self._own = own
        self._last = before

    def items(self, events: Sequence[Event], depth: int) -> list[Item]:
        """Values with one event each, and tuplets, of `events`, which stand in `depth` tuplets already."""
        items: list[Item] = []
        index = 0
        while index < len(events):
            event = events[index]
            if len(event.tuplets) <= depth:
                self._put_event(event, items)
                index += 1
                continue
            tuplet, start = event.tuplets[depth], index
            while index < len(events) and events[index].tuplets[depth : depth + 1] == (tuplet,):
                index += 1
            items.append(self._tuplet(events[start:index], tuplet.ratio, depth + 1))
        return items

    def _tuplet(self, events: Sequence[Event], ratio: TupletRatio, depth: int) -> Item:
        unit = _unit(events, ratio, depth).name
        content = tuplet_content(unit, self.items(events, depth))
        return {f"{ratio.actual} in {ratio.normal} of {unit}": content}

    def _put_event(self, event: Event, items: list[Item]) -> None:
        if event.before is not None:
            self._put_graces(event.before, "grace" if event.before.slashed else "appoggiatura", items)
        items.append({event.value.name: self._write(event)})
        if event.after is not None:
            self._put_graces(event.after, "closing-grace", items)

    def _put_graces(self, graces: Graces, kind: str, items: list[Item]) -> None:
        items.extend({f"{kind} {event.value.name}": self._write(event)} for event in graces.events)

    def _write(self, event: Event) -> Any:
        tree = event_tree(event, next(self._own), self._last)
        self._last = event if event.notes else None
        return tree


def _unit(events: Sequence[Event], ratio: TupletRatio, depth: int) -> NoteValue:
    """The value that the tuplet counts; a drawn tab does not say it, so there it is found from the sum."""
    factor = Fraction(1)
    for tuplet in events[0].tuplets[:depth]:
        factor *= tuplet.ratio.factor
    length = sum((event.length for event in events), Fraction(0)) / factor / ratio.actual
    if length == ratio.unit.length:
        return ratio.unit
    if length.numerator != 1 or length.denominator not in DENOMINATORS:
        raise ValueError(
            f"a tuplet of {ratio.actual} in {ratio.normal} that is not full can stand in a drawn tab only"
        )
    return note_value(length.denominator)


def event_tree(event: Event, own: Own, before: Event | None) -> Any:
    """One event, as text where that can say it. Raises ValueError for what the language cannot say."""
    marks = [technique.sign.value for technique in event.techniques]
    shared: dict[str, Any] = {"marks": marks} if marks else {}
    if not event.notes:
        return short_event(shared, HIDDEN if event.hidden else REST)
    if is_held(event, before):
        return TIE
    if event.notes[0].is_slash:
        first = event.notes[0]
        return " ".join(
            [
                TIE if first.tie_from else SLASH,
                *(t.sign.value for t in first.techniques if t.sign is not SignName.SLASH),
                *(marks if first.tie_from else ()),
            ]
        )
    pitches = "+".join(note.pitch.name for note in event.notes if is_pitch(note))
    held = "+".join(note.pitch.name for note in event.notes if is_held_pitch(note))
    tree: dict[str, Any] = {}
    for note, spelled in zip(event.notes, own, strict=True):
        if is_held_pitch(note):
            find_held(note, before)
            tree["tie"] = held
        elif is_pitch(note):
            tree["pitch"] = pitches
        elif not note.string:
            raise ValueError("a note without a string cannot have marks of its own")
        else:
            tree[str(note.string)] = fret_tree(note, spelled, find_held(note, before))
    return short_tie(tree | shared) if _holds_all(event, before) else short_event(tree | shared)


def _holds_all(event: Event, before: Event | None) -> bool:
    """True when an event holds every string of the one before, in the same order."""
    held = [note.string for note in event.notes if note.tie_from]
    strings = [note.string for note in before.notes] if before is not None else []
    return len(held) == len(event.notes) and held == strings


def is_pitch(note: Note) -> bool:
    """True for a note that can be and is written as a pitch alone."""
    if note.is_slash or note.tie_from or note.techniques or note.finger:
        return False
    return note.chosen or not note.string


def is_held_pitch(note: Note) -> bool:
    """True for a note that is held, and is written as a pitch."""
    return note.tie_from and not note.finger and not note.techniques and (note.chosen or not note.string)


def is_held(event: Event, before: Event | None) -> bool:
    """True when the word tie says all of the event: it holds just what sounded before."""
    if before is None or not event.notes or event.techniques or len(event.notes) != len(before.notes):
        return False
    return all(
        note.tie_from
        and (note.string, note.fret, note.pitch) == (held.string, held.fret, held.pitch)
        and not _techniques_of_held(note, held)
        for note, held in zip(event.notes, before.notes, strict=True)
    )


def find_held(note: Note, before: Event | None) -> Note | None:
    """The note that `note` holds, None when it is struck. Raises ValueError when there is none to hold."""
    if not note.tie_from:
        return None
    notes = before.notes if before is not None else ()
    index = find_tied(notes, note)
    held = notes[index] if index is not None else None
    if held is None or (held.string, held.fret, held.pitch) != (note.string, note.fret, note.pitch):
        raise ValueError(f"string {note.string} fret {note.fret} is tied to nothing before it")
    return held


def _techniques_of_held(note: Note, held: Note) -> tuple[Technique, ...]:
    """The techniques of a held note that are its own; that it is dead or a slash comes with the tie."""
    copied = sum(technique.sign in KEPT_BY_TIES for technique in held.techniques)
    return note.techniques[copied:]


def fret_tree(note: Note, spelled: bool, held: Note | None = None) -> int | float | str:
    """What stands behind the string of `note`: its fret and words. `held` is the note that it holds."""
    every = note.techniques if held is None else _techniques_of_held(note, held)
    techniques = [technique for technique in every if not isinstance(technique, TrillAccidental)]
    fret: int | float | str = note.fret
    if held is not None:
        fret = TIE
    elif techniques and techniques[0].sign is SignName.DEAD and note.fret == 0:
        fret, techniques = DEAD, techniques[1:]
    elif note.has(SignName.NATURAL_HARMONIC):
        fret = _node(note)
    words = technique_texts(techniques, note.finger, note.pitch.name if spelled else "")
    return " ".join([str(fret), *words]) if words else fret


def _node(note: Note) -> int | float:
    """Where a natural harmonic is touched: its fret, or between two."""
    node = next((t.node for t in note.techniques if isinstance(t, NaturalHarmonic)), float(note.fret))
    if node == note.fret:
        return note.fret
    if node.is_integer() or round(node) != note.fret:
        raise ValueError(f"a natural harmonic at fret {note.fret} cannot be touched at {node:g}")
    return node
