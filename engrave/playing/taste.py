"""The numbers of taste behind what is heard, read from styles/playing/standard.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, NamedTuple

from engrave.settings.kinds import Number, Share
from engrave.settings.shipped import read_record, read_tree, shipped_file

Change = Annotated[float, Number(-1, 1)]
"""Added to the loudness."""
Semitones = Annotated[float, Number(-24, 24, "semitones")]
Seconds = Annotated[float, Number(0, 60, "seconds")]
Ringing = Annotated[float, Number(0, 60, "seconds", is_open=True)]
"""A time that is divided by."""
Hertz = Annotated[float, Number(0, 20_000, "Hz", is_open=True)]


@dataclass(frozen=True, slots=True)
class Taste:
    """How a score is played. styles/playing/standard.yaml says what each number is, its unit and its source."""

    tempo: float
    fermata: float
    caesura: Seconds
    swing: Fraction
    caesura_from: Fraction
    breath: Share
    dynamics: Mapping[str, Share]
    attacks: Mapping[str, Share]
    after_attacks: Mapping[str, Share]
    hairpin_step: Share
    hairpin_reach: Fraction
    emphasis: Mapping[str, Change]
    softest: Share
    unstruck: Share
    shares: Mapping[str, Share]
    portato: Share
    ring: Fraction
    grace: Fraction
    graces_most: Fraction
    appoggiatura_most: Fraction
    roll: Seconds
    strum: Seconds
    rake: Seconds
    tremolo_strokes: float
    ornament_notes: float
    bend_share: Share
    bend_seconds: Seconds
    glide_share: Share
    glide_seconds: Seconds
    slide_from: Mapping[str, Semitones]
    slide_away: Mapping[str, Semitones]
    vibrato_hertz: float
    vibrato_wait: Seconds
    vibrato: Mapping[str, Semitones]
    bar_vibrato: Semitones
    bar_amounts: Mapping[str, Semitones]
    dip_seconds: Seconds
    dip_after: Share
    dive_after: Share
    dive_share: Share
    scoop_seconds: Seconds


@lru_cache(maxsize=1)
def read_taste() -> Taste:
    """The shipped numbers. Raises ValueError when the file that travels with the program is not whole."""
    path = shipped_file("playing", "standard.yaml")
    return read_record(Taste, read_tree(path), str(path), joint="_")


class Tone(NamedTuple):
    """A resonance: where, how strong beside the direct sound, and how sharp (its hertz over its width)."""

    hertz: Hertz
    level: Share
    quality: Annotated[float, Number(1, 1000)]


@dataclass(frozen=True, slots=True)
class Sound:
    """How a plucked string sounds. styles/playing/sound.yaml says what each number is, its unit and its source."""

    level: Annotated[float, Number(-120, 0, "dB")]
    loudest_rms: Annotated[float, Number(-120, -16, "dB")]
    loudest_peak: Annotated[float, Number(-120, -1, "dB")]
    level_power: float
    low_hertz: Hertz
    low_decay: Ringing
    decay_power: float
    darkening: float
    harmonic_darkening: float
    muted_decay: Ringing
    muted_darkening: float
    dead_decay: Ringing
    dead_darkening: float
    pick: Share
    pick_on_harmonic: Share
    picks: Mapping[str, Share]
    touch: Seconds
    softest_cut: Hertz
    cut_growth: float
    release: Ringing
    long_release: Ringing
    long_from: Seconds
    damp: Ringing
    damp_periods: Annotated[float, Number(0, 10)]
    tail: Seconds
    final_fade: Seconds
    click_beat: Hertz
    click_first: Hertz
    click_seconds: Ringing
    click_level: float
    spread: Share
    string_spread: Share
    body: Mapping[str, Tone]
    echoes: tuple[Ringing, ...]
    echo_level: Share
    echo_fall: Share
    echo_skew: Share
    room_seconds: Ringing
    room_level: Share
    room_cut: Hertz
    tour_pause: Seconds


@lru_cache(maxsize=1)
def read_sound() -> Sound:
    """The shipped numbers. Raises ValueError when the file that travels with the program is not whole."""
    path = shipped_file("playing", "sound.yaml")
    return read_record(Sound, read_tree(path), str(path), joint="_")
