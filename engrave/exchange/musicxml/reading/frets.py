"""Notes of fretted parts: a string and a fret for each, and how they are written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from engrave.exchange.musicxml.reading.instruments import Header
from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Tone
from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.context import Context
from engrave.reading.marks import WIDEST_TRILL, natural_harmonic_pitch
from engrave.reading.pitches import read_pitches
from engrave.score.short_form import FINGER, PITCH, format_words
from engrave.score.sign_list import TOUCHED_HARMONICS
from engrave.theory.bends import parse_bend
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch
from engrave.theory.spelling import spell_midi

_STRUCK_ONLY = frozenset(
    (
        "hammer-on",
        "pull-off",
        "slide",
        "slurred-slide",
        "slide-from-below",
        "slide-from-above",
        "natural-harmonic",
    )
)
"""Marks that a held note cannot have."""


class FrettedTone(NamedTuple):
    """A tone on its string; `is_free`: the file gives neither string nor sign of its own."""

    string: int
    fret: int
    tone: Tone
    is_free: bool


def place_tones(
    header: Header, tones: list[Tone], taken: Mapping[int, int], losses: LossLog
) -> tuple[list[FrettedTone], int]:
    """Each tone on a string of its own, strings in `taken` only with the same fret; how many found none."""
    placed: dict[int, FrettedTone] = {}
    free: list[Tone] = []
    lost = 0
    for tone in tones:
        fret = _own_fret(header, tone)
        if fret is None:
            if tone.pitch is not None:
                free.append(tone)
            else:
                lost += 1
        elif tone.string in placed or taken.get(tone.string, fret) != fret:
            lost += 1
        else:
            placed[tone.string] = FrettedTone(tone.string, fret, tone, False)
            _check_pitch(header, placed[tone.string], losses)
    for note in _find_strings(header, free, {*placed, *taken}):
        placed[note.string] = note
    lost += len(tones) - lost - len(placed)
    return sorted(placed.values(), key=lambda note: note.string), lost


def _own_fret(header: Header, tone: Tone) -> int | None:
    """The fret that the file gives, or that its string needs for its pitch; None when there is none."""
    instrument = header.instrument
    if not 1 <= tone.string <= instrument.strings:
        return None
    fret = tone.fret
    if fret is None and tone.pitch is not None:
        fret = tone.pitch.midi - instrument.open_midi(tone.string)
    return fret if fret is not None and 0 <= fret <= instrument.usable_frets else None


def _check_pitch(header: Header, note: FrettedTone, losses: LossLog) -> None:
    """A fret is trusted more than a pitch that it does not sound; octaves and the capo are often left out."""
    if note.tone.pitch is None or note.tone.dead:
        return
    difference = note.tone.pitch.midi - header.instrument.open_midi(note.string) - note.fret
    if difference % 12 and difference != header.instrument.capo:
        losses.add("pitch that its fret does not sound")


def _find_strings(header: Header, tones: list[Tone], taken: set[int]) -> list[FrettedTone]:
    """Strings for pitches as the reader of the score finds them; what lies out of reach is left away."""
    octave = header.instrument.octave
    rest = [tone for tone in tones if tone.pitch is not None]
    while rest:
        log = ProblemLog("")
        context = Context(log, [], "", header.instrument)
        names = [tone.pitch.transposed_octaves(octave).name for tone in rest if tone.pitch is not None]
        found = read_pitches(context, names, NOWHERE, sorted(taken))
        if found:
            return _match(rest, found, octave)
        rest = _without_worst(header, rest)
    return []


def _without_worst(header: Header, tones: list[Tone]) -> list[Tone]:
    """One tone less: one out of reach, else one in the middle of the chord."""
    octave = header.instrument.octave
    for index, tone in enumerate(tones):
        log = ProblemLog("")
        name = tone.pitch.transposed_octaves(octave).name if tone.pitch is not None else "?"
        if not read_pitches(Context(log, [], "", header.instrument), [name], NOWHERE, ()):
            return tones[:index] + tones[index + 1 :]
    middle = len(tones) // 2
    return tones[:middle] + tones[middle + 1 :]


def _match(tones: list[Tone], found: list[Any], octave: int) -> list[FrettedTone]:
    rest = list(tones)
    placed = []
    for note in found:
        tone = next(t for t in rest if t.pitch is not None and t.pitch.midi + 12 * octave == note.midi)
        rest.remove(tone)
        plain = not (tone.string or tone.marks or tone.keys or tone.dead)
        placed.append(FrettedTone(note.string, note.fret, tone, plain))
    return placed


def fret_value(header: Header, note: FrettedTone, tied: bool, key: Key, losses: LossLog) -> Any:
    """What stands behind the string: a fret, with words after it where there is more to say."""
    tone = note.tone
    marks = [mark for mark in tone.marks if _suits(header, note, mark, tied, losses)]
    keys = {name: value for name, value in tone.keys.items() if _key_suits(note, name, value, tied, losses)}
    fret: Any = "tie" if tied else "x" if tone.dead and not note.fret else note.fret
    if tone.dead and note.fret and not tied:
        marks.insert(0, "dead")
    if tone.node and fret == note.fret and abs(float(tone.node) - fret) < 1 and "natural-harmonic" in marks:
        fret = float(tone.node)
    spelled = None if tied or tone.dead else _spelling(header, note, key)
    if spelled is not None:
        keys["pitch"] = spelled.name
    finger, pitch = keys.pop(FINGER, ""), keys.pop(PITCH, "")
    named = [*((mark, "") for mark in marks), *((name, str(value)) for name, value in keys.items())]
    words = format_words(named, str(finger), pitch)
    return " ".join((str(fret), *words)) if words else fret


def _suits(header: Header, note: FrettedTone, mark: str, tied: bool, losses: LossLog) -> bool:
    if tied and mark in _STRUCK_ONLY:
        losses.add(f"{mark} on a held note")
        return False
    if mark == "natural-harmonic":
        try:
            natural_harmonic_pitch(header.instrument, note.string, note.fret)
        except ValueError:
            losses.add("harmonic")
            return False
    return True


def _key_suits(note: FrettedTone, name: str, value: Any, tied: bool, losses: LossLog) -> bool:
    if name == "bend":
        try:
            parse_bend(str(value), tied)
        except ValueError:
            losses.add("bend")
            return False
    if name == "trill" and (tied or not 0 < value - note.fret <= WIDEST_TRILL):
        losses.add("the upper note of a trill")
        return False
    if name in TOUCHED_HARMONICS and (tied or int(value) <= note.fret):
        losses.add("harmonic")
        return False
    return True


def _spelling(header: Header, note: FrettedTone, key: Key) -> Pitch | None:
    """The file's spelling, where the key would not lead to it."""
    if note.tone.pitch is None or "natural-harmonic" in note.tone.marks:
        return None
    pitch = note.tone.pitch.transposed_octaves(header.instrument.octave)
    midi = header.instrument.written_midi(note.string, note.fret)
    usual = spell_midi(midi, key)
    return pitch if pitch.midi == midi and pitch != usual and 0 <= pitch.octave <= 9 else None
