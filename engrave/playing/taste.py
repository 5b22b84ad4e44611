"""The numbers of taste behind what is heard, read from styles/playing/standard.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import Any, get_type_hints

from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap


@dataclass(frozen=True, slots=True)
class Taste:
    """How a score is played. styles/playing/standard.yaml says what each number is, its unit and its source."""

    tempo: float
    fermata: float
    caesura: float
    caesura_from: Fraction
    breath: float
    dynamics: Mapping[str, float]
    attacks: Mapping[str, float]
    after_attacks: Mapping[str, float]
    hairpin_step: float
    hairpin_reach: Fraction
    emphasis: Mapping[str, float]
    softest: float
    unstruck: float
    shares: Mapping[str, float]
    portato: float
    ring: Fraction
    grace: Fraction
    graces_most: Fraction
    appoggiatura_most: Fraction
    roll: float
    strum: float
    rake: float
    tremolo_strokes: float
    ornament_notes: float
    bend_share: float
    bend_seconds: float
    glide_share: float
    glide_seconds: float
    slide_from: Mapping[str, float]
    slide_away: Mapping[str, float]
    vibrato_hertz: float
    vibrato_wait: float
    vibrato: Mapping[str, float]
    bar_vibrato: float
    bar_amounts: Mapping[str, float]
    dip_seconds: float
    dip_after: float
    dive_after: float
    dive_share: float
    scoop_seconds: float


@lru_cache(maxsize=1)
def read_taste() -> Taste:
    """The shipped numbers. Raises ValueError when the file that travels with the program is not whole."""
    log = ProblemLog("styles/playing/standard.yaml")
    tree = parse_yaml((data_folder() / "styles" / "playing" / "standard.yaml").read_text("utf-8"), log)
    if not isinstance(tree, SourceMap):
        raise ValueError("; ".join(map(str, log.in_order())) or f"{log.file} is not a mapping")
    kinds = get_type_hints(Taste)
    if set(tree) != set(kinds):
        raise ValueError(f"{log.file} lacks or does not know: {', '.join(sorted(set(tree) ^ set(kinds)))}")
    return Taste(**{name: _convert(tree[name], kind) for name, kind in kinds.items()})


def _convert(value: Any, kind: Any) -> Any:
    if kind is float:
        return float(value)
    if kind is Fraction:
        return Fraction(str(value))
    return MappingProxyType({name: float(number) for name, number in value.items()})
