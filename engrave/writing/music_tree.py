"""The music of one voice of a measure as the tree of the score language."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from engrave.score.structure import Event, Graces, Mark, Note, Voice
from engrave.theory.duration import DENOMINATORS, NoteValue, TupletRatio, note_value

DETAILS = (
    "bend",
    "vibrato-bar",
    "pluck",
    "trill",
    "artificial-harmonic",
    "tapped-harmonic",
    "touched-harmonic",
)
"""Marks with an amount that have a key of their own beside the fret."""
REST, TIE = "rest", "tie"
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
    return _VoiceWriter(iter(own), before).items(voice.events, 0)


class _VoiceWriter:
    """Writes events in order; it remembers the last one for ties."""

    def __init__(self, own: Iterator[Own], before: Event | None) -> None:
        self._own = own
        self._last = before

    def items(self, events: Sequence[Event], depth: int) -> list[Any]:
        """Values and tuplets of `events`, which stand in `depth` tuplets already."""
        items: list[Any] = []
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
        return join_runs(items)

    def _tuplet(self, events: Sequence[Event], ratio: TupletRatio, depth: int) -> dict[str, Any]:
        unit = _unit(events, ratio, depth)
        content: list[Any] = []
        for item in self.items(events, depth):
            ((key, value),) = item.items()
            if key == unit.name:
                content.extend(value if isinstance(value, list) else [value])
            else:
                content.append(item)
        return {f"{ratio.actual} in {ratio.normal} of {unit.name}": content}

    def _put_event(self, event: Event, items: list[Any]) -> None:
        if event.before is not None:
            self._put_graces(event.before, "grace" if event.before.slashed else "appoggiatura", items)
        items.append({event.value.name: self._write(event)})
        if event.after is not None:
            self._put_graces(event.after, "closing-grace", items)

    def _put_graces(self, graces: Graces, kind: str, items: list[Any]) -> None:
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


def join_runs(items: Sequence[dict[str, Any]]) -> list[Any]:
    """Neighbours of one duration share its key: [{1/4: a}, {1/4: b}] becomes [{1/4: [a, b]}]."""
    joined: list[Any] = []
    for item in items:
        ((key, value),) = item.items()
        if joined and " in " not in key and key in joined[-1]:
            before = joined[-1][key]
            joined[-1] = {key: [*before, value] if isinstance(before, list) else [before, value]}
        else:
            joined.append({key: value})
    return joined


def event_tree(event: Event, own: Own, before: Event | None) -> Any:
    """One event. Raises ValueError for what the language cannot say."""
    marks = [mark.name for mark in event.marks]
    shared: dict[str, Any] = {"marks": marks} if marks else {}
    if not event.notes:
        return shared or REST
    if is_held(event, before):
        return TIE
    if event.notes[0].is_slash:
        return " ".join(["slash", *(mark.name for mark in event.notes[0].marks if mark.name != "slash")])
    pitches = [note.pitch.name for note in event.notes if is_pitch(note)]
    if len(pitches) == len(event.notes) and not marks:
        return " ".join(pitches)
    tree: dict[str, Any] = {}
    for note, spelled in zip(event.notes, own, strict=True):
        if is_pitch(note):
            tree["pitch"] = " ".join(pitches)
        elif not note.string:
            raise ValueError("a note without a string cannot have marks of its own or be tied by itself")
        else:
            tree[str(note.string)] = fret_tree(note, spelled, find_held(note, before))
    return tree | shared


def is_pitch(note: Note) -> bool:
    """True for a note that can be and is written as a pitch alone."""
    if note.is_slash or note.tie_from or note.marks or note.finger:
        return False
    return note.chosen or not note.string


def is_held(event: Event, before: Event | None) -> bool:
    """True when the word tie says all of the event: it holds just what sounded before."""
    if before is None or not event.notes or event.marks or len(event.notes) != len(before.notes):
        return False
    return all(
        note.tie_from
        and (note.string, note.fret, note.pitch) == (held.string, held.fret, held.pitch)
        and not _marks_of_held(note, held)
        for note, held in zip(event.notes, before.notes, strict=True)
    )


def find_held(note: Note, before: Event | None) -> Note | None:
    """The note that `note` holds, None when it is struck. Raises ValueError when there is none to hold."""
    if not note.tie_from:
        return None
    for held in before.notes if before is not None else ():
        if (held.string, held.fret, held.pitch) == (note.string, note.fret, note.pitch):
            return held
    raise ValueError(f"string {note.string} fret {note.fret} is tied to nothing before it")


def _marks_of_held(note: Note, held: Note) -> tuple[Mark, ...]:
    """The marks of a held note that are its own; that it is dead comes with the tie."""
    copied = sum(mark.name == "dead" for mark in held.marks)
    return note.marks[copied:]


def fret_tree(note: Note, spelled: bool, held: Note | None = None) -> Any:
    """What stands behind the string of `note`. The finger of a `held` note is that of its start and not written."""
    all_marks = note.marks if held is None else _marks_of_held(note, held)
    details = {m.name: _number(m.amount) for m in all_marks if m.amount and m.name in DETAILS}
    names = [m.name for m in all_marks if m.name not in details and m.name != "accidental-mark"]
    fret: Any = note.fret
    if held is not None:
        fret = TIE
    elif names[:1] == ["dead"] and fret == 0:
        fret, names = "x", names[1:]
    elif "natural-harmonic" in names:
        fret = _node(note)
    if details or spelled or (note.finger and held is None):
        tree: dict[str, Any] = {"fret": fret, **details}
        if names:
            tree["marks"] = names
        if note.finger and held is None:
            tree["finger"] = _number(note.finger)
        if spelled:
            tree["pitch"] = note.pitch.name
        return tree
    return " ".join([str(fret), *names]) if names else fret


def _number(text: str) -> int | str:
    """A number where the text is one."""
    return int(text) if text.isascii() and text.isdigit() and str(int(text)) == text else text


def _node(note: Note) -> int | float | str:
    """Where a natural harmonic is touched: its fret, or between two."""
    amount = next((mark.amount for mark in note.marks if mark.name == "natural-harmonic"), "")
    if "." not in amount:
        if amount not in ("", str(note.fret)):
            raise ValueError(f"a natural harmonic at fret {note.fret} cannot be touched at {amount}")
        return note.fret
    if round(float(amount)) != note.fret:
        raise ValueError(f"a natural harmonic at fret {note.fret} cannot be touched at {amount}")
    return float(amount) if str(float(amount)) == amount else amount
