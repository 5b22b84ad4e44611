"""Parts put on an instrument that they were not written for: as they are where that is possible, else the best way is proposed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.fingering.fit import Fitter, Lie, Way, sounding_pitches, sounds_of
from engrave.fingering.hand import Hand, load_hand
from engrave.fingering.retune import move_score
from engrave.fingering.thin import thin
from engrave.problems import NOWHERE, ProblemLog, did_you_mean
from engrave.products.stringing import find_instrument
from engrave.reading.settle import USUAL_HAND, settle
from engrave.score.structure import Part, Score
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.numbering import name_measures
from engrave.theory.transposition import NO_INTERVAL, Interval, interval_of, transpose_key

_OCTAVE = 12
_STEPS = (
    "",
    "a semitone",
    "a whole tone",
    "a minor third",
    "a major third",
    "a fourth",
    "a tritone",
    "a fifth",
    "a minor sixth",
    "a major sixth",
    "a minor seventh",
    "a major seventh",
)
_OCTAVES = ("", "an octave", "two octaves", "three octaves")


def find_parts(score: Score, names: Sequence[str], log: ProblemLog) -> set[str]:
    """The ids of the parts that are named, by id, name or number; of all with strings, else of all, when none are named.

    A part that was read without its strings counts as one with strings.
    """
    if not names:
        strung = {part.id for part in score.parts if part.instrument.tuning or part.instrument.usual_tuning}
        return strung or {part.id for part in score.parts}
    known = {key.lower(): part.id for part in score.parts for key in (part.name, part.id)}
    known.update({str(number): part.id for number, part in enumerate(score.parts, start=1)})
    for name in names:
        if name.lower() not in known:
            choices = [part.id for part in score.parts]
            log.error(NOWHERE, f'there is no part "{name}"', hint=did_you_mean(name, choices))
    return {known[name.lower()] for name in names if name.lower() in known}


class Wish(NamedTuple):
    """What music is to be put on: `instrument`, its sound moved by `interval`; `fits`: octave, key and capo may change."""

    instrument: Instrument
    interval: Interval = NO_INTERVAL
    fits: bool = False


def put_on_instrument(score: Score, wanted: set[str], wish: Wish, hand: Hand, log: ProblemLog) -> Score:
    """`score` with the parts in `wanted` on the instrument, the places of notes that lie elsewhere now still open.

    Where the music does not fit, the ways that fit best are proposed; where it is wished, the best one is taken. What was
    done, and why something cannot be, goes to `log`.
    """
    instrument, key = wish.instrument, score.measures[0].key
    parts = [part for part in score.parts if part.id in wanted]
    fitter = Fitter([sounds_of(part) for part in parts], instrument, wish.interval, key, hand.fit)
    ways = fitter.ways(only_octaves=len(parts) < len(score.parts))
    way = ways[0] if wish.fits else fitter.usual
    if not wish.fits:
        others = [_say(other, key, parts, instrument) for other in ways if other.cost < way.cost]
        _judge(score, parts, way, instrument, others, log)
        if others and not way.lie.lost and way.cost - ways[0].cost >= hand.fit.worth_telling:
            what = f"the music goes up to fret {way.lie.highest} of the {instrument.name}"
            log.warning(NOWHERE, what, hint=f"possible: {'; or '.join(others)}; --fit takes the first")
        if log.has_errors:
            return score
    if any(way.octaves) or way.interval != wish.interval or way.capo != instrument.capo:
        log.warning(NOWHERE, f"put on the {instrument.name} {_say(way, key, parts, instrument)}")
    octaves = {part.id: moved for part, moved in zip(parts, way.octaves, strict=True)}
    instruments = {part.id: instrument._replace(capo=way.capo) for part in parts}
    try:
        moved = move_score(score, instruments, way.interval, hand, octaves)
    except ValueError as error:
        log.error(NOWHERE, str(error))
        return score
    for remark in moved.remarks:
        log.warning(NOWHERE, remark)
    after = _in_one_clef(moved.score, wanted, log)
    return _thin(after, wanted, hand, log) if wish.fits else after


def _in_one_clef(score: Score, wanted: set[str], log: ProblemLog) -> Score:
    """The parts in `wanted` without changes of clef: they were made for another range."""
    if not any(content.clefs for part in score.parts if part.id in wanted for content in part.measures):
        return score
    log.warning(NOWHERE, "changes of clef are left out: they were made for another instrument")
    return replace(
        score,
        parts=tuple(
            part._replace(measures=tuple(content._replace(clefs=()) for content in part.measures))
            if part.id in wanted
            else part
            for part in score.parts
        ),
    )


def settle_on(score: Score, name: str, fits: bool, log: ProblemLog) -> Score | None:
    """`score` on the instrument called `name`, its places chosen; None, and why in `log`, when it cannot be."""
    instrument = find_instrument(name, log)
    if instrument is None:
        return None
    wanted = find_parts(score, (), log)
    moved = put_on_instrument(score, wanted, Wish(instrument, fits=fits), load_hand(USUAL_HAND), log)
    return None if log.has_errors else settle(moved, log)


def _judge(
    score: Score, parts: Sequence[Part], way: Way, instrument: Instrument, others: list[str], log: ProblemLog
) -> None:
    """Tell what no string has, a line for each part and side."""
    hint = f"possible: {'; or '.join(others)}; --fit takes the first" if others else ""
    bottom = min(pitch.midi for pitch in instrument.tuning)
    for part, octaves in zip(parts, way.octaves, strict=True):
        below: list[int] = []
        above: list[int] = []
        for index, content in enumerate(part.measures):
            for voice in content.voices:
                for event in voice.events:
                    for midi in sounding_pitches(part, event.notes):
                        if not instrument.places(midi + _OCTAVE * octaves):
                            (below if midi + _OCTAVE * octaves < bottom else above).append(index)
        sides = (
            (below, "below the lowest open string"),
            (above, "above the last fret"),
        )
        for found, side in sides:
            if found:
                count = f"{len(found)} notes lie" if len(found) > 1 else "1 note lies"
                where = f"{part.name}, {_measures(score, found)}"
                log.error(NOWHERE, f"{count} {side} of the {instrument.name}", where, hint)
    if way.lie.crowded and not log.has_errors:
        what = f"some chords have more notes than the {instrument.name} has strings for"
        log.error(
            NOWHERE, what, hint=f"--fit leaves out notes; so it would {way.lie.crowded} of {way.lie.notes}"
        )


def _thin(score: Score, wanted: set[str], hand: Hand, log: ProblemLog) -> Score:
    """The parts in `wanted` with no note that their strings or `hand` cannot play."""
    parts = []
    for part in score.parts:
        if part.id not in wanted:
            parts.append(part)
            continue
        thinned = thin(score, part, hand)
        for found, what in (
            (thinned.moved, "moved by an octave, to where there is a string"),
            (thinned.left_out, "left out of chords that cannot be held"),
        ):
            if found:
                count = f"{len(found)} note{'s' if len(found) > 1 else ''}"
                log.warning(NOWHERE, f"{count} {what}", f"{part.name}, {_measures(score, found)}")
        parts.append(thinned.part)
    return replace(score, parts=tuple(parts))


def _measures(score: Score, indices: Sequence[int]) -> str:
    return name_measures([str(score.measures[index].number) for index in dict.fromkeys(indices)])


def _say(way: Way, key: Key, parts: Sequence[Part], instrument: Instrument) -> str:
    """A way in words, and how the music lies then."""
    octaves = way.octaves[0]
    words = [_moved(way.interval.semitones + _OCTAVE * octaves)]
    if len(set(way.octaves)) > 1:
        words = ["each part in the octave that suits it"]
    elif not way.interval.semitones and all(
        p.instrument.octave - instrument.octave == octaves for p in parts
    ):
        words = [f"{words[0]}, as it is written"] if octaves else words
    fingered = transpose_key(key, way.interval)
    if way.interval.semitones:
        words = [f"in {fingered.name}", *words]
    if way.capo != instrument.capo:
        shaped = transpose_key(fingered, interval_of(instrument.capo - way.capo, fingered))
        words.append(f"with a capo at fret {way.capo}, fingered in {shaped.name}")
    return f"{', '.join(words)} ({_say_lie(way.lie)})"


def _moved(semitones: int) -> str:
    """So many semitones as musicians say it."""
    if not semitones:
        return "as it sounds"
    octaves, steps = divmod(abs(semitones), _OCTAVE)
    words = " and ".join(filter(None, (_OCTAVES[octaves], _STEPS[steps])))
    return f"{words} {'higher' if semitones > 0 else 'lower'}"


def _say_lie(lie: Lie) -> str:
    lost = f"{lie.lost} of {lie.notes} notes cannot be had as they are, " if lie.lost else ""
    return f"{lost}highest fret {lie.highest}"
