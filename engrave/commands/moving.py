"""A score moved to another tuning, capo, instrument or key, as the caller asks, and what moved in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from engrave.fingering.hand import Hand
from engrave.fingering.retune import move_score, spans_to_check
from engrave.problems import NOWHERE, ProblemLog
from engrave.products.on_instrument import Wish, put_on_instrument
from engrave.products.stringing import find_instrument, retune
from engrave.reading.load import read_tree
from engrave.reading.shapes import OTHERS, wants_shapes
from engrave.requests.fingering import Move
from engrave.score.structure import Note, Part, Score
from engrave.source.tree import SourceMap
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key, parse_key
from engrave.theory.metre import beat_text
from engrave.theory.transposition import NO_INTERVAL, Interval, interval_between, interval_of

_HIGHEST_CAPO = 12
_MOST_SEMITONES = 24


def move(
    text: str, score: Score, wanted: set[str], asked: Move, hand: Hand, log: ProblemLog
) -> tuple[Score, Score]:
    """The score before and after, the places of the latter still open; mistakes in what is `asked` go to `log`."""
    score = _own_shapes_only(text, score)
    instruments = {
        part.id: _instrument(part.instrument, asked, log) for part in score.parts if part.id in wanted
    }
    key = score.measures[0].key if score.measures else Key(0)
    interval = _interval(key, asked, log)
    if log.has_errors:
        return score, score
    if asked.instrument and len(set(instruments.values())) == 1:
        wish = Wish(next(iter(instruments.values())), interval, asked.fit)
        return score, put_on_instrument(score, wanted, wish, hand, log)
    try:
        moved = move_score(score, instruments, interval, hand)
    except ValueError as error:
        log.error(NOWHERE, str(error))
        return score, score
    for remark in moved.remarks:
        log.warning(NOWHERE, remark)
    return score, moved.score


def _own_shapes_only(text: str, score: Score) -> Score:
    """Without the shapes that were found for a score that asks for that; they are found again when it is read."""
    tree = read_tree(text, ProblemLog(score.file))
    content = tree.get("shapes") if tree is not None else None
    if not wants_shapes(content, ProblemLog(score.file)):
        return score
    own = {str(name) for name in content if name != OTHERS} if isinstance(content, SourceMap) else set()
    shapes = tuple(named for named in score.shapes if named.name.text in own)
    held = {named.name: named.shape for named in shapes}
    parts = tuple(
        part._replace(
            measures=tuple(
                content._replace(chords=tuple(c._replace(shape=held.get(c.name)) for c in content.chords))
                for content in part.measures
            )
        )
        for part in score.parts
    )
    return replace(score, shapes=shapes, parts=parts)


def _instrument(old: Instrument, asked: Move, log: ProblemLog) -> Instrument:
    """The instrument that is asked for; the old one, and all reasons in `log`, when it cannot be."""
    new = old
    if asked.instrument:
        preset = find_instrument(asked.instrument, log)
        new = preset._replace(capo=old.capo) if preset is not None else old
    if asked.tuning:
        new = retune(new, asked.tuning, log) or new
    if asked.capo is not None:
        if not 0 <= asked.capo <= _HIGHEST_CAPO:
            log.error(
                NOWHERE, f"a capo at fret {asked.capo} is not possible", hint=f"write 0 to {_HIGHEST_CAPO}"
            )
        new = new._replace(capo=asked.capo)
    return new


def _interval(key: Key, asked: Move, log: ProblemLog) -> Interval:
    """How far the music goes."""
    if asked.semitones is not None and abs(asked.semitones) > _MOST_SEMITONES:
        log.error(
            NOWHERE, f"{asked.semitones} semitones are too many", hint=f"write at most {_MOST_SEMITONES}"
        )
        return NO_INTERVAL
    if not asked.key:
        return interval_of(asked.semitones, key) if asked.semitones is not None else NO_INTERVAL
    try:
        interval = interval_between(key, parse_key(asked.key))
    except ValueError as error:
        log.error(NOWHERE, str(error))
        return NO_INTERVAL
    if asked.semitones is None:
        return interval
    if (asked.semitones - interval.semitones) % 12:
        what = f"{asked.semitones} semitones do not lead from {key.name} to {parse_key(asked.key).name}"
        log.error(NOWHERE, what, hint="give one of the two")
    return Interval(asked.semitones, interval.fifths)


def tell_moved(score: Score, before: Part, after: Part, log: ProblemLog) -> Iterator[str]:
    """How many notes lie elsewhere, and each of them."""
    pairs = list(_pairs(before, after))
    moved = [(index, onset, old, new) for index, onset, old, new in pairs if _spot(old) != _spot(new)]
    yield f"{after.name}: {len(moved)} of {len(pairs)} notes lie elsewhere"
    for index, onset, old, new in moved:
        measure = score.measures[index]
        beat = beat_text(onset + measure.metre_offset, measure.metre)
        yield (
            f"  measure {measure.number}, beat {beat}: string {old.string} fret {old.fret} "
            f"to string {new.string} fret {new.fret} ({new.pitch.name})"
        )
    doubtful = [str(score.measures[index].number) for index in spans_to_check(before, after)]
    if doubtful:
        what = f"{after.name}: positions and barres may no longer fit their notes: measures {', '.join(doubtful)}"
        log.warning(NOWHERE, what, hint="look at them")


def _spot(note: Note) -> tuple[int, int]:
    return note.string, note.fret


def _pairs(before: Part, after: Part) -> Iterator[tuple[int, Fraction, Note, Note]]:
    for index, (old, new) in enumerate(zip(before.measures, after.measures, strict=True)):
        for one, other in zip(old.voices, new.voices, strict=True):
            for event, changed in zip(one.events, other.events, strict=True):
                for note, moved in zip(event.notes, changed.notes, strict=True):
                    if not note.is_slash and not note.tie_from:
                        yield index, event.onset, note, moved
