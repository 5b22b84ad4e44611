"""What a hand has to do, moment by moment: every note that starts or is held, with the places it may have."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import islice
from typing import NamedTuple

from engrave.fingering.hand import Pace
from engrave.fingering.neck import Neck
from engrave.problems import Location
from engrave.score.joins import SLIDING, Joins, NoteAt, events_in_order, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Note, Part, Score
from engrave.score.techniques import signs_of
from engrave.theory.metre import beat_text
from engrave.theory.pitch import Pitch

FIRST_SECONDS = 99.0
"""Before the first note there is time enough: nothing counts hurry over so long (algorithm)."""
_NO_HAND = (SignName.DEAD, SignName.SLASH)
"""Marks of notes that the left hand does not stop at a place."""


class Limits(NamedTuple):
    """What the author asks of all choices. `position` 0 and `highest` 99 ask nothing.

    `keep_strings`: notes whose place is chosen should stay on the strings they have.
    """

    avoid_open: bool = False
    highest: int = 99
    position: int = 0
    keep_strings: bool = False


NO_LIMITS = Limits()
"""Nothing asked."""


class Want(NamedTuple):
    """One note at one moment.

    `places` are its possible (string, fret); `finger` is 0 when free, else 1 to 4. `struck`: it starts here, else it is
    held over. `held_from` and `joined_to` are indices of wants of the moment before, or -1. `pitch` is as written,
    `midi` as fingered.
    """

    places: tuple[tuple[int, int], ...]
    finger: int
    struck: bool
    bends: bool
    held_from: int
    joined_to: int
    joins_by_slide: bool
    at: NoteAt
    pitch: Pitch = Pitch(0, 0, 4)
    midi: int = 0
    also: tuple[NoteAt, ...] = ()
    """Notes of another voice at the same pitch: one string sounds for both."""
    home: int = 0
    """The string that the note had before the music was moved, which it should keep; 0 for none."""


class Moment(NamedTuple):
    """All that sounds from one moment on. `seconds` since the moment before; `onset` in whole notes in its measure."""

    seconds: float
    wants: tuple[Want, ...]
    measure: int
    onset: Fraction


class _Sounding(NamedTuple):
    """One struck note, ties joined, on a line of time: (whole notes from the start, order of graces)."""

    start: tuple[Fraction, int]
    stop: tuple[Fraction, int]
    note: Note
    at: NoteAt
    onset: Fraction
    before: int
    """The number of the note that it is reached from on one string, -1 for none."""


def find_moments(
    score: Score, part: Part, neck: Neck, pace: Pace, limits: Limits = NO_LIMITS
) -> list[Moment]:
    """The moments of a fretted part in the order of the page (repeats not unfolded)."""
    sounding = _sounding_notes(score, part)
    seconds = clock(score, pace)
    order = sorted(range(len(sounding)), key=lambda number: sounding[number].start)
    moments: list[Moment] = []
    held: dict[int, int] = {}
    last: Fraction | None = None
    index = 0
    while index < len(order):
        start = sounding[order[index]].start
        struck = []
        while index < len(order) and sounding[order[index]].start == start:
            struck.append(order[index])
            index += 1
        over = [number for number in held if sounding[number].stop > start]
        groups = _share(sounding, sorted(over) + struck)
        wants = tuple(
            _merge([_want(sounding, n, held, neck, part, limits) for n in group]) for group in groups
        )
        now = start[0]
        gap = FIRST_SECONDS if last is None else seconds(last, now) if now > last else pace.grace
        first = sounding[struck[0]]
        moments.append(Moment(max(gap, pace.least), wants, first.at.measure, first.onset))
        held = {number: position for position, group in enumerate(groups) for number in group}
        last = now
    return moments


def _share(sounding: Sequence[_Sounding], numbers: Sequence[int]) -> list[list[int]]:
    """The notes gathered by the string that sounds for them: two voices share one where they meet at one pitch."""
    groups: list[list[int]] = []
    for number in numbers:
        own = sounding[number]
        for group in groups:
            first = sounding[group[0]]
            alike = first.note.pitch.midi == own.note.pitch.midi
            places = {(n.string, n.fret) for n in (first.note, own.note) if not n.chosen}
            if alike and len(places) <= 1 and all(sounding[n].at.voice != own.at.voice for n in group):
                group.append(number)
                break
        else:
            groups.append([number])
    return groups


def _merge(wants: Sequence[Want]) -> Want:
    """One want for notes that share a string."""
    first = wants[0]
    if len(wants) == 1:
        return first
    return first._replace(
        places=min((want.places for want in wants), key=len),
        finger=max(want.finger for want in wants),
        struck=any(want.struck for want in wants),
        bends=any(want.bends for want in wants),
        held_from=max(want.held_from for want in wants),
        joined_to=max(want.joined_to for want in wants),
        joins_by_slide=any(want.joins_by_slide for want in wants),
        also=tuple(want.at for want in wants[1:]),
    )


def _want(
    sounding: Sequence[_Sounding],
    number: int,
    before: dict[int, int],
    neck: Neck,
    part: Part,
    limits: Limits,
) -> Want:
    item = sounding[number]
    note = item.note
    is_held = number in before
    places = note_places(part, neck, note, limits)
    joined = before.get(item.before, -1) if not is_held and item.before >= 0 else -1
    return Want(
        places=places,
        finger=int(note.finger) if note.finger in ("1", "2", "3", "4") and places and places[0][1] else 0,
        struck=not is_held,
        bends=bool(note.bend),
        held_from=before[number] if is_held else -1,
        joined_to=joined,
        joins_by_slide=not SLIDING.isdisjoint(signs_of(note.techniques)),
        at=item.at,
        pitch=note.pitch,
        midi=note.pitch.midi - 12 * part.instrument.octave,
        home=note.string if limits.keep_strings and note.chosen else 0,
    )


def note_places(
    part: Part, neck: Neck, note: Note, limits: Limits = NO_LIMITS
) -> tuple[tuple[int, int], ...]:
    """The (string, fret) that a note may have: its own where the author wrote it, else all that sound its pitch."""
    if not note.chosen:
        return ((note.string, note.fret),)
    found = neck.places(note.pitch.midi - 12 * part.instrument.octave, limits.highest)
    if limits.avoid_open and any(fret for _, fret in found):
        return tuple(place for place in found if place[1])
    return found


def whole_note_seconds(score: Score, pace: Pace) -> list[float]:
    """How long a whole note lasts in each measure, by the metronome marks; words alone change nothing."""
    whole = pace.whole_note
    found = []
    for measure in score.measures:
        tempo = measure.tempo
        if tempo is not None and tempo.value is not None and tempo.per_minute:
            whole = 60.0 / float(tempo.per_minute * tempo.value.length)
        found.append(whole)
    return found


def clock(score: Score, pace: Pace) -> Callable[[Fraction, Fraction], float]:
    """Seconds between two moments in whole notes from the start, by the tempo at the first."""
    changes: list[tuple[Fraction, float]] = []
    moment = Fraction(0)
    for measure, whole in zip(score.measures, whole_note_seconds(score, pace), strict=True):
        if not changes or changes[-1][1] != whole:
            changes.append((moment, whole))
        moment += measure.length
    position = 0

    def seconds(start: Fraction, stop: Fraction) -> float:
        nonlocal position
        while position + 1 < len(changes) and changes[position + 1][0] <= start:
            position += 1
        return float(stop - start) * changes[position][1]

    return seconds


def _sounding_notes(score: Score, part: Part) -> list[_Sounding]:
    """Every note that is struck, voice by voice, with ties joined to it."""
    found: list[_Sounding] = []
    joins = resolve_joins(part.measures, are_placed=False)
    most = max((len(content.voices) for content in part.measures), default=0)
    for voice in range(most):
        _collect_voice(score, part, joins, voice, found)
    return found


def _collect_voice(score: Score, part: Part, joins: Joins, voice: int, found: list[_Sounding]) -> None:
    here: dict[NoteAt, int] = {}
    """The number in `found` of each note that is struck, and of those that ties hold."""
    for start, length, event, spot in timed_events(score, part, voice):
        for index, note in enumerate(event.notes):
            if not signs_of(note.techniques).isdisjoint(_NO_HAND) or not part.instrument.tuning:
                continue
            at = spot._replace(note=index)
            stop = (start[0] + length, -99) if length else (start[0], start[1] + 1)
            held = here.get(joins.held_from[at]) if at in joins.held_from else None
            if held is not None:
                found[held] = found[held]._replace(stop=stop)
                here[at] = held
                continue
            join = joins.reached.get(at)
            source = here.get(join.start, -1) if join is not None and join.start is not None else -1
            here[at] = len(found)
            found.append(_Sounding(start, stop, note, at, event.onset, source))


def timed_events(
    score: Score, part: Part, voice: int
) -> Iterator[tuple[tuple[Fraction, int], Fraction, Event, NoteAt]]:
    """The events of one voice in the order of playing, graces as events of no length around their own."""
    moment = Fraction(0)
    for number, (measure, content) in enumerate(zip(score.measures, part.measures, strict=True)):
        events = content.voices[voice].events if voice < len(content.voices) else ()
        order = 0
        for event in events:
            start = moment + event.onset
            graces = event.before.events if event.before is not None else ()
            for index, grace in enumerate(graces):
                at, grace = NoteAt(number, voice, order, 0), grace._replace(onset=event.onset)
                yield (start, index - len(graces)), Fraction(0), grace, at
                order += 1
            yield (start, 0), event.length, event, NoteAt(number, voice, order, 0)
            order += 1
            stop = start + event.length
            after = event.after.events if event.after is not None else ()
            for index, grace in enumerate(after):
                at, grace = NoteAt(number, voice, order, 0), grace._replace(onset=event.onset)
                yield (stop, index - len(after) - 50), Fraction(0), grace, at
                order += 1
        moment += measure.length


def locate(score: Score, part: Part, moment: Moment) -> tuple[Location, str]:
    """Where a moment stands in the file and, in words, in the music."""
    measure = score.measures[moment.measure]
    at = next((want.at for want in moment.wants if want.struck), moment.wants[0].at)
    event = next(islice(events_in_order(part.measures[at.measure].voices[at.voice]), at.event, None))
    beat = beat_text(moment.onset + measure.metre_offset, measure.metre)
    return event.location, f"{part.name}, measure {measure.number}, beat {beat}"
