"""Which instrument of the score language a staff of the file is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Staff, Tone, VoiceEvent
from engrave.fingering.first_guess import most_on_strings
from engrave.theory.clef import Clef
from engrave.theory.instrument import PRESETS, Instrument
from engrave.theory.pitch import Pitch

_FEWEST_STRINGS, _MOST_STRINGS = 4, 8
_MOST_FRETS = 36
"""The highest fret of the language."""
_LOW_FOUR = 50
"""Four strings whose thinnest lies below D3 are a bass (house rule)."""
_LOW_SIX = 52
"""Six strings whose thinnest lies below E3 are a bass (house rule)."""


_CALLED = (
    (("bass guitar", "electric bass", "bassgitarre", "e-bass", "basse électrique", "bajo eléctrico"), "bass"),
    (("ukulele", "ukelele"), "ukulele"),
    (("mandolin",), "mandolin"),
    (("banjo",), "banjo"),
    (("guitar", "gitarre", "guitare", "chitarra"), "guitar"),
)
"""What parts are called in some languages, and the instruments that they are (common practice, no source)."""
_PROGRAMS = {
    **dict.fromkeys(range(25, 33), "guitar"),
    **dict.fromkeys(range(33, 41), "bass"),
    106: "banjo",
}
"""Programs of General MIDI 1, counted from 1 as MusicXML does."""


@dataclass(frozen=True, slots=True)
class Header:
    """What stands at the head of the score for one part, and the instrument it means."""

    keys: dict[str, Any]
    instrument: Instrument

    @property
    def preset(self) -> str:
        """The instrument's usual name."""
        value = self.keys["instrument"]
        return str(value["preset"] if isinstance(value, dict) else value)

    @property
    def is_fretted(self) -> bool:
        """True when the part has strings."""
        return bool(self.instrument.tuning)


def choose_header(staff: Staff, losses: LossLog) -> Header:
    """The instrument of a staff: by its tuning, by its strings and frets, or a voice by its clef."""
    losses.at(staff.name, "")
    tuning = tuple(reversed(staff.setup.tuning))
    if tuning and not _FEWEST_STRINGS <= len(tuning) <= _MOST_STRINGS:
        losses.add(f"tuning of {len(tuning)} strings")
    elif tuning:
        return _fretted(staff, _by_tuning(tuning), tuning)
    elif staff.has_frets or staff.setup.is_tab:
        preset = _by_frets(staff)
        return _fretted(staff, preset, preset.tuning)
    return _by_name(staff, losses) or _voice(staff)


def _by_name(staff: Staff, losses: LossLog) -> Header | None:
    """The instrument that the name or the sound of a staff says; None where its strings do not have all notes.

    Its music is written as pitches, for which the reader of the score finds strings, unless notes have signs of their own.
    """
    called = staff.name.casefold()
    named = next((preset for words, preset in _CALLED if any(word in called for word in words)), "")
    preset = PRESETS.get(named or _PROGRAMS.get(staff.program, ""))
    if preset is None:
        return None
    lost = sum(
        len(chord) - len(most_on_strings(preset, chord)) for chord in map(_chord, _events_of(staff)) if chord
    )
    if lost:
        what = f"the {preset.name} has no strings for {lost} of its notes: it is written as pitches"
        losses.remark(f"{what}; --instrument {preset.name} --fit puts it there")
        return None
    header = _fretted(staff, preset, preset.tuning, preset.clef)
    if any(tone.marks or tone.keys or tone.dead for tone in tones_of(staff)):
        return header
    return Header(header.keys, header.instrument._replace(tuning=()))


def _chord(event: VoiceEvent) -> tuple[int, ...]:
    return tuple(sorted({tone.pitch.midi for tone in event.tones if tone.pitch is not None}))


def tones_of(staff: Staff) -> Iterator[Tone]:
    """All tones of a staff with those of grace notes."""
    for event in _events_of(staff):
        yield from event.tones


def _events_of(staff: Staff) -> Iterator[VoiceEvent]:
    for measure in staff.measures:
        for voice in measure.voices.values():
            for event in voice:
                yield from (*event.before, event, *event.after)


def _voice(staff: Staff) -> Header:
    names = {"octave-treble": "voice-tenor", "bass": "voice-bass", "octave-bass": "voice-bass"}
    preset = names.get(staff.setup.clef, "voice")
    own = {"name": staff.name} if staff.name else {}
    instrument = PRESETS[preset]
    if staff.setup.clef in ("alto", "tenor"):
        own["clef"] = staff.setup.clef
        instrument = instrument._replace(clef=Clef(staff.setup.clef))
    return Header({"instrument": {"preset": preset, **own} if own else preset}, instrument)


def _by_tuning(tuning: tuple[Pitch, ...]) -> Instrument:
    """The preset with this tuning, else the nearest one with as many strings."""
    numbers = [pitch.midi for pitch in tuning]
    for preset in PRESETS.values():
        if preset.tuning and [pitch.midi for pitch in preset.tuning] == numbers:
            return preset
    low_four, low_six = numbers[0] < _LOW_FOUR, numbers[0] < _LOW_SIX
    names = {
        4: "bass" if low_four else "tenor-guitar",
        5: "bass-5" if low_four else "banjo",
        6: "bass-6" if low_six else "guitar",
        7: "guitar-7",
        8: "guitar-8",
    }
    preset = PRESETS[names[len(tuning)]]
    return preset._replace(first_frets=())


def _by_frets(staff: Staff) -> Instrument:
    """The preset that sounds what the strings and frets say, the guitar when none does."""
    known = [t for t in tones_of(staff) if t.string and t.fret is not None and t.pitch is not None]
    highest = max((tone.string for tone in tones_of(staff)), default=0)
    for preset in PRESETS.values():
        if preset.tuning and highest <= preset.strings and all(_agrees(preset, tone) for tone in known):
            return preset
    return PRESETS["guitar-8" if highest > 7 else "guitar-7" if highest > 6 else "guitar"]


def _agrees(preset: Instrument, tone: Tone) -> bool:
    assert tone.pitch is not None
    return preset.tuning[tone.string - 1].midi + (tone.fret or 0) == tone.pitch.midi


def _fretted(staff: Staff, preset: Instrument, tuning: tuple[Pitch, ...], clef: Clef | None = None) -> Header:
    """`clef` is the file's own unless one is given."""
    capo = staff.setup.capo
    highest = max((tone.fret or 0 for tone in tones_of(staff)), default=0)
    frets = min(_MOST_FRETS, max(preset.frets, highest + capo))
    value: dict[str, Any] = {"preset": preset.name}
    clef = clef or (Clef(staff.setup.clef) if staff.setup.clef else preset.clef)
    if staff.name and staff.name.lower() != preset.name:
        value["name"] = staff.name
    if clef is not preset.clef:
        value["clef"] = clef.value
    if frets != preset.frets:
        value["frets"] = frets
    keys: dict[str, Any] = {"instrument": value if len(value) > 1 else preset.name}
    if tuning != preset.tuning:
        keys["tuning"] = [pitch.name for pitch in reversed(tuning)]
    if capo:
        keys["capo"] = capo
    name = str(value.get("name", preset.name))
    return Header(keys, preset._replace(name=name, tuning=tuning, capo=capo, clef=clef, frets=frets))
