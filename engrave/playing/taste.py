"""The numbers of taste behind what is heard, read from styles/playing/standard.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Annotated

from engrave.settings.kinds import Number, Share
from engrave.settings.shipped import read_record, read_tree, shipped_file

Change = Annotated[float, Number(-1, 1)]
"""Added to the loudness."""
Semitones = Annotated[float, Number(-24, 24, "semitones")]
Seconds = Annotated[float, Number(0, 60, "seconds")]


@dataclass(frozen=True, slots=True)
class Taste:
    """How a score is played. styles/playing/standard.yaml says what each number is, its unit and its source."""

    tempo: float
    fermata: float
    caesura: Seconds
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
