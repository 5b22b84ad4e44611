"""Neck diagrams: what their author asks for, and the dots, range and path that follow from it for one instrument."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import Enum
from itertools import pairwise
from typing import NamedTuple

from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.neck_places import (
    Place,
    fingers_along_strings,
    fingers_in_position,
    fret_at,
    midi_of,
    places_along_strings,
    places_between,
    places_in_position,
    places_of_triad,
    row_of,
)
from engrave.theory.neck_words import NeckWords, parse_neck, parse_range
from engrave.theory.scales import Tone, parse_tones, tones_over
from engrave.theory.spelling import spell_midi

_LEAST_ROWS = 4
"""A diagram of fewer rows does not look like a neck (common practice, no source; as chord grids)."""
_NEAR_NUT = 2
"""What starts at this fret is shown from the nut (house rule)."""
_MOST_VISITS = 2
"""More numbers than these do not fit a dot (house rule)."""
_PLACE = re.compile(r"([0-9]{1,2}):([0-9]{1,2})")
_FINGERS = ("0", "1", "2", "3", "4", "T")
_UP, _DOWN, _AS_WRITTEN = "up", "down", "as-written"
_DOTS_EXAMPLE = (
    "string:fret, each with finger or root behind it where wanted: 6:5 root finger 1 6:8 finger 4 5:5"
)


class Labels(Enum):
    """What stands in the dots."""

    FINGERS = "fingers"
    DEGREES = "degrees"
    NOTES = "notes"
    NONE = "none"


class Direction(Enum):
    """How the neck lies: upright with its nut at the top, or lying with its thinnest string at the top, as a tab."""

    UPRIGHT = "upright"
    LYING = "lying"


class NeckRequest(NamedTuple):
    """What is asked for, as it is written; "" and None where nothing is said.

    `show` are the words of `neck_words.py`, `dots` places by hand. `numbers` and `arrows` name a path: up, down,
    as-written, or places in their order.
    """

    show: str = ""
    dots: str = ""
    root: str = ""
    frets: str = ""
    strings: str = ""
    labels: Labels | None = None
    direction: Direction | None = None
    numbers: str = ""
    arrows: str = ""
    title: str | None = None


class NeckDot(NamedTuple):
    """One dot. `row` is its fret on the neck, 0 over the nut; `numbers` when it is played, from 1."""

    string: int
    row: int
    tone: Tone
    finger: str = ""
    is_root: bool = False
    numbers: tuple[int, ...] = ()


class NeckDiagram(NamedTuple):
    """What is drawn. Frets `first` to `last` of the strings `thinnest` to `thickest`; `starts` is where each of these begins.

    `arrows` join dots by their index, in the order of playing. `words` say what is shown, None for dots by hand; `title`
    is the author's, None where there is none.
    """

    dots: tuple[NeckDot, ...]
    first: int
    last: int
    thinnest: int
    thickest: int
    starts: tuple[int, ...]
    labels: Labels
    direction: Direction | None = None
    arrows: tuple[tuple[int, int], ...] = ()
    words: NeckWords | None = None
    title: str | None = None

    @property
    def strings(self) -> int:
        """How many strings are shown."""
        return self.thickest - self.thinnest + 1

    @property
    def rows(self) -> int:
        """How many frets are shown."""
        return self.last - self.first + 1


class _Draft(NamedTuple):
    """Places found, with what is known of each; `order` are the places as they were written."""

    places: tuple[Place, ...]
    order: tuple[Place, ...]
    fingers: dict[Place, str]
    roots: frozenset[Place]
    tones: dict[int, Tone]
    root: int | None


def build_neck(request: NeckRequest, instrument: Instrument) -> NeckDiagram:
    """The diagram of `request` on `instrument`. Raises ValueError that says what is wrong and what would be right."""
    if not instrument.tuning:
        raise ValueError("a voice has no neck; name an instrument with strings")
    if bool(request.show) == bool(request.dots):
        raise ValueError("a neck has either show: or dots:; write one of them")
    words = parse_neck(request.show) if request.show else None
    strings = _strings(request, words, instrument)
    frets = parse_range(request.frets, "frets") if request.frets else words.frets if words else None
    if frets is not None and frets[0] > instrument.frets:
        raise ValueError(f"the neck ends at fret {instrument.frets}; write frets that it has")
    draft = _by_hand(request, instrument) if words is None else _computed(words, frets, strings, instrument)
    shown = tuple(place for place in draft.places if _is_within(place, strings, frets, instrument))
    if not shown:
        raise ValueError(f"{request.show or request.dots} has no note there; write other strings or frets")
    labels = _labels(request, draft, words)
    dots = [_dot(place, draft, instrument) for place in shown]
    visits = _path(request, draft, shown, instrument)
    if request.numbers:
        dots = _numbered(dots, shown, visits)
    first, last = _range(dots, frets, words, instrument)
    return NeckDiagram(
        dots=tuple(dots),
        first=first,
        last=last,
        thinnest=strings[0],
        thickest=strings[-1],
        starts=tuple(row_of(instrument, (string, 0)) for string in strings),
        labels=labels,
        direction=request.direction,
        arrows=_arrows(shown, visits) if request.arrows else (),
        words=words,
        title=request.title,
    )


def _strings(request: NeckRequest, words: NeckWords | None, instrument: Instrument) -> range:
    """The strings that are shown, the thinnest first."""
    asked = parse_range(request.strings, "strings") if request.strings else words.strings if words else None
    thinnest, thickest = asked or (1, instrument.strings)
    if not 1 <= thinnest <= thickest <= instrument.strings:
        wrong = thickest if thickest > instrument.strings else thinnest
        raise ValueError(
            f"there is no string {wrong} on this instrument; its strings are 1, the thinnest, to {instrument.strings}"
        )
    return range(thinnest, thickest + 1)


def _is_within(place: Place, strings: range, frets: tuple[int, int] | None, instrument: Instrument) -> bool:
    if place[0] not in strings:
        return False
    return frets is None or place[1] == 0 or frets[0] <= row_of(instrument, place) <= frets[1]


def _computed(
    words: NeckWords, frets: tuple[int, int] | None, strings: Sequence[int], instrument: Instrument
) -> _Draft:
    """The places that follow from words."""
    tones, position = words.tones, words.position
    if position > instrument.frets:
        raise ValueError(f"the neck ends at fret {instrument.frets}; write a lower position")
    fingers: dict[Place, str] = {}
    if words.inversion is not None:
        places = places_of_triad(tones, instrument, strings, words.inversion.number, max(0, position - 1))
    elif words.each:
        places = places_along_strings(tones, instrument, strings, words.each, position)
        fingers = fingers_along_strings(places)
    elif position:
        places = places_in_position(tones, instrument, strings, position)
        fingers = fingers_in_position(instrument, places, position)
    else:
        low, high = frets or (0, instrument.frets)
        places = places_between(tones, instrument, strings, low, high)
    root = tones.root.pitch_class
    return _Draft(tuple(places), (), fingers, frozenset(), tones.by_pitch_class, root)


def _by_hand(request: NeckRequest, instrument: Instrument) -> _Draft:
    """The places that are written, with their fingers and roots."""
    order: list[Place] = []
    fingers: dict[Place, str] = {}
    roots: set[Place] = set()
    words = iter(request.dots.replace(",", " ").split())
    for word in words:
        if ":" in word:
            order.append(_read_place(word, instrument))
        elif word == "root" and order:
            roots.add(order[-1])
        elif word == "finger" and order:
            finger = next(words, "")
            if finger not in _FINGERS:
                raise ValueError(
                    f'"{finger}" is not a finger; write 1 to 4, T for the thumb, 0 for an open string'
                )
            fingers[order[-1]] = finger
        else:
            raise ValueError(f'"{word}" is not a dot; write {_DOTS_EXAMPLE}')
    known: dict[int, Tone] = {}
    root = None
    if request.root:
        tone = parse_tones(f"{request.root} chromatic").root
        known, root = tones_over((tone.step, tone.alter)), tone.pitch_class
        for place in order:
            if place in roots and midi_of(instrument, place) % 12 != root:
                sounds = known[midi_of(instrument, place) % 12].letter
                raise ValueError(
                    f'"{place[0]}:{place[1]}" is {sounds} and not the root {tone.letter}; leave out root there'
                )
    return _Draft(tuple(dict.fromkeys(order)), tuple(order), fingers, frozenset(roots), known, root)


def _read_place(word: str, instrument: Instrument) -> Place:
    match = _PLACE.fullmatch(word)
    if match is None:
        raise ValueError(f'"{word}" is not a dot; write {_DOTS_EXAMPLE}')
    string, fret = int(match.group(1)), int(match.group(2))
    if not 1 <= string <= instrument.strings:
        raise ValueError(
            f'"{word}": there is no string {string} on this instrument; its strings are 1, the thinnest, '
            f"to {instrument.strings}"
        )
    most = fret_at(instrument, string, instrument.frets)
    if fret > most:
        raise ValueError(f'"{word}": there is no fret {fret} on string {string}; the last is {most}')
    return string, fret


def _dot(place: Place, draft: _Draft, instrument: Instrument) -> NeckDot:
    midi = midi_of(instrument, place)
    tone = draft.tones.get(midi % 12)
    if tone is None:
        pitch = spell_midi(midi, Key(0))
        tone = Tone(pitch.step, pitch.alter, "")
    is_root = place in draft.roots or midi % 12 == draft.root
    return NeckDot(
        place[0], row_of(instrument, place) if place[1] else 0, tone, draft.fingers.get(place, ""), is_root
    )


def _labels(request: NeckRequest, draft: _Draft, words: NeckWords | None) -> Labels:
    """What stands in the dots: what is asked for, else fingers written by hand, else degrees where there is a root."""
    labels = request.labels
    if request.numbers:
        if request.arrows:
            raise ValueError("a neck has either numbers: or arrows:; leave one of them out")
        if labels not in (None, Labels.NONE):
            raise ValueError(
                "numbers: stand in the dots, where the labels would be; write arrows: or leave out labels:"
            )
        return Labels.NONE
    if labels is None:
        if words is None and draft.fingers:
            return Labels.FINGERS
        return Labels.DEGREES if draft.root is not None else Labels.NONE
    if labels is Labels.FINGERS and not draft.fingers:
        raise ValueError("no fingers are known here; ask for a position, or write finger behind the dots")
    if labels is Labels.DEGREES and draft.root is None:
        raise ValueError("degrees need a root; write root: A")
    return labels


def _path(request: NeckRequest, draft: _Draft, shown: Sequence[Place], instrument: Instrument) -> list[Place]:
    """The places in the order of playing; none where no path is asked for."""
    path = (request.numbers or request.arrows).strip()
    if not path:
        return []
    if path in (_UP, _DOWN):
        return sorted(shown, key=lambda place: (midi_of(instrument, place), -place[0]), reverse=path == _DOWN)
    if path == _AS_WRITTEN:
        if not draft.order:
            raise ValueError(
                "as-written is the order of dots by hand; write up, down or the places in their order"
            )
        return [place for place in draft.order if place in shown]
    order = []
    for word in path.replace(",", " ").split():
        if ":" not in word:
            raise ValueError(f'"{word}" is not a path; write up, down, as-written or places: 6:5 6:8 5:5')
        place = _read_place(word, instrument)
        if place not in shown:
            raise ValueError(f'the path leads to "{word}", where no dot is; write places that have one')
        order.append(place)
    return order


def _numbered(dots: Sequence[NeckDot], shown: Sequence[Place], visits: Sequence[Place]) -> list[NeckDot]:
    found = []
    for dot, place in zip(dots, shown, strict=True):
        numbers = tuple(number for number, visited in enumerate(visits, start=1) if visited == place)
        if len(numbers) > _MOST_VISITS:
            raise ValueError(
                f"string {place[0]}, fret {place[1]} is played {len(numbers)} times, and a dot has room for "
                f"{_MOST_VISITS} numbers; write arrows: instead"
            )
        found.append(dot._replace(numbers=numbers))
    return found


def _arrows(shown: Sequence[Place], visits: Sequence[Place]) -> tuple[tuple[int, int], ...]:
    indices = [shown.index(place) for place in visits]
    pairs = pairwise(indices)
    return tuple(dict.fromkeys((start, stop) for start, stop in pairs if start != stop))


def _range(
    dots: Sequence[NeckDot],
    frets: tuple[int, int] | None,
    words: NeckWords | None,
    instrument: Instrument,
) -> tuple[int, int]:
    """The first and the last fret that are drawn: those asked for, else all that the dots need, four at least."""
    if frets is not None:
        return max(1, frets[0]), min(instrument.frets, max(1, frets[1]))
    rows = [dot.row for dot in dots if dot.row]
    low, high = min(rows, default=1), max(rows, default=1)
    everywhere = words is not None and not (words.position or words.each or words.inversion)
    first = 1 if low <= _NEAR_NUT or everywhere else low
    last = instrument.frets if everywhere else max(high, first + _LEAST_ROWS - 1)
    return min(first, max(1, instrument.frets - _LEAST_ROWS + 1)), min(last, instrument.frets)
