"""A player's left hand: limits in millimetres, and costs in millimetres of hand travel.

The values, each with its source, live in `styles/hands/*.yaml`; there are no defaults here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from engrave.problems import NOWHERE, Location, Problem, ProblemLog, did_you_mean
from engrave.resources import data_folder
from engrave.source.files import DOCUMENT_ENDINGS, is_file, read_text, suggest_file
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap

_FOLDER = "hands"
_MOST_BASES = 8
_LONGEST_REACH = 400.0
"""Millimetres, far more than a hand has."""
_GREATEST = 100_000.0
"""No cost is greater, or less than this below nothing."""
_LEAST_FULL = 0.1
"""What counts in full as a difficulty cannot be nothing: it is divided by."""


class Reach(NamedTuple):
    """Distances along the neck in millimetres, and what a millimetre beyond them costs."""

    relaxed: float
    comfortable: float
    hard: float
    first_second: float
    second_third: float
    third_fourth: float
    per_mm: float
    per_mm_far: float

    def between(self, low: int, high: int) -> float:
        """How far two fingers (1 to 4, low < high) can be apart."""
        pairs = (self.first_second, self.second_third, self.third_fourth)
        return min(self.hard, sum(pairs[low - 1 : high - 1]))

    def stretch(self, span: float) -> float:
        """What it costs to spread the hand over `span` millimetres."""
        return (
            max(0.0, span - self.relaxed) * self.per_mm + max(0.0, span - self.comfortable) * self.per_mm_far
        )


class Shift(NamedTuple):
    """Moving the hand along the neck. `hurry` is in seconds, `while_open` a share."""

    per_mm: float
    hurry: float
    each: float
    while_open: float
    extension: float
    crowded: float


class Position(NamedTuple):
    """How dear it is to be away from the nut."""

    per_mm: float


class Fingers(NamedTuple):
    """What each finger costs when it stops a string, jumps, stays or bends."""

    first: float
    second: float
    third: float
    fourth: float
    jump: float
    jump_time: float
    keep: float
    bend_first: float
    bend_second: float
    bend_third: float
    bend_fourth: float

    def jumping(self, seconds: float) -> float:
        """What a finger costs that jumps with so much time."""
        return self.jump * min(1.0, self.jump_time / seconds)

    @property
    def stopping(self) -> tuple[float, ...]:
        """By finger; 0 stands for the open string."""
        return (0.0, self.first, self.second, self.third, self.fourth)

    @property
    def bending(self) -> tuple[float, ...]:
        """By finger; 0 stands for the open string."""
        return (0.0, self.bend_first, self.bend_second, self.bend_third, self.bend_fourth)


class Strings(NamedTuple):
    """Crossing strings and leaving them open."""

    crossing: float
    open: float
    open_far: float
    open_avoided: float
    changed: float


class BarreCost(NamedTuple):
    """A finger across several strings; `arch`: it must not touch a thinner string that sounds behind it."""

    each: float
    per_string: float
    other_finger: float
    arch: float


class Broken(NamedTuple):
    """What it costs to break what the music asks."""

    legato: float
    held: float


class ShapeCost(NamedTuple):
    """What makes one shape of a chord better than another, beside the grip."""

    position_per_mm: float
    inner_mute: float
    silent_low: float
    silent_high: float
    thin: float
    left_out_fifth: float
    left_out_root: float
    left_out_other: float
    inversion: float
    unison: float
    fuller: float


class DifficultyScale(NamedTuple):
    """What makes a measure hard: how much each thing weighs (0 to 1), and how much of it counts in full.

    `notes` per second, `travel` of the hand in millimetres per second; stretches count in full at the hard reach, barres
    and rhythm when all of the measure is made of them.
    """

    speed: float
    notes: float
    shifts: float
    travel: float
    stretches: float
    barres: float
    rhythm: float


class Hand(NamedTuple):
    """One player's left hand."""

    name: str
    reach: Reach
    shift: Shift
    position: Position
    fingers: Fingers
    strings: Strings
    barre: BarreCost
    broken: Broken
    difficulty: DifficultyScale
    shapes: ShapeCost


SECTIONS: dict[str, type] = {
    "reach": Reach,
    "shift": Shift,
    "position": Position,
    "fingers": Fingers,
    "strings": Strings,
    "barre": BarreCost,
    "broken": Broken,
    "difficulty": DifficultyScale,
    "shapes": ShapeCost,
}
"""The sections of a hand file and the records they fill."""


def hand_names() -> tuple[str, ...]:
    """The hands that travel with the program, in alphabetical order."""
    return tuple(sorted(path.stem for path in (data_folder() / "styles" / _FOLDER).glob("*.yaml")))


class WrongHand(ValueError):
    """A hand that cannot be used: `problems` has all the reasons."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = tuple(problems)


@lru_cache(maxsize=8)
def load_hand(name: str) -> Hand:
    """The hand called `name`, or in the file `name`. Raises WrongHand with all reasons when it is wrong, ValueError when there is none."""
    log = ProblemLog(f"hand {name}" if name in hand_names() else name)
    values: dict[str, dict[str, float]] = {}
    _overlay(name, values, 0)
    missing = [
        f"{section}.{key}"
        for section, record in SECTIONS.items()
        for key in _keys(record)
        if key not in values.get(section, {})
    ]
    if missing:
        log.error(NOWHERE, f"{missing[0]} is missing", hint="write it, or based-on: intermediate")
        raise WrongHand(log.problems)
    built: dict[str, Any] = {
        section: record(**{key.replace("-", "_"): values[section][key] for key in _keys(record)})
        for section, record in SECTIONS.items()
    }
    hand = Hand(Path(name).stem, **built)
    reach = hand.reach
    if not reach.relaxed <= reach.comfortable <= reach.hard or reach.relaxed == reach.hard:
        log.error(NOWHERE, "reach must grow from relaxed to comfortable to hard")
        raise WrongHand(log.problems)
    return hand


def _keys(record: type) -> list[str]:
    fields: tuple[str, ...] = getattr(record, "_fields")  # noqa: B009
    return [field.replace("_", "-") for field in fields]


def _overlay(name: str, values: dict[str, dict[str, float]], depth: int) -> None:
    shipped = data_folder() / "styles" / _FOLDER / f"{name}.yaml"
    path = shipped if name in hand_names() else Path(name)
    log = ProblemLog(str(path))
    if not is_file(path):
        is_path = path.suffix.lower() in DOCUMENT_ENDINGS
        hint = suggest_file(path, endings=DOCUMENT_ENDINGS) if is_path else did_you_mean(name, hand_names())
        raise ValueError(f'there is no hand "{name}"' + (f"; {hint}" if hint else ""))
    text = read_text(str(path), log)
    tree = parse_yaml(text, log) if text is not None else None
    if isinstance(tree, SourceMap) and tree.get("hand") == 1:
        base = tree.get("based-on")
        if base is not None:
            if depth >= _MOST_BASES:
                log.error(tree.value_location("based-on"), "these hands are based on each other in a circle")
                raise WrongHand(log.problems)
            _overlay(str(base), values, depth + 1)
        _read_sections(tree, values, log)
    elif not log.has_errors:
        log.error(Location(1, 1), "this is not a hand file", hint="start with hand: 1")
    if log.has_errors:
        raise WrongHand(log.in_order())


def _read_sections(tree: SourceMap, values: dict[str, dict[str, float]], log: ProblemLog) -> None:
    for section, content, _ in tree.entries():
        if section in ("hand", "based-on"):
            continue
        if section not in SECTIONS or not isinstance(content, SourceMap):
            hint = (
                did_you_mean(section, SECTIONS) if section not in SECTIONS else "write key: number under it"
            )
            log.error(tree.key_location(section), f'"{section}" is not a section of a hand file', hint=hint)
            continue
        known = _keys(SECTIONS[section])
        for key, value, spot in content.entries():
            if key not in known:
                log.error(
                    content.key_location(key), f'"{section}" has no "{key}"', hint=did_you_mean(key, known)
                )
            elif isinstance(value, bool) or not isinstance(value, int | float):
                log.error(spot, f"{section}.{key} must be a number")
            elif not _bounds(section, key)[0] <= value <= _bounds(section, key)[1]:
                least, most = _bounds(section, key)
                log.error(spot, f"{section}.{key} must be {least:g} to {most:g}")
            else:
                values.setdefault(section, {})[key] = float(value)


def _bounds(section: str, key: str) -> tuple[float, float]:
    """The least and the greatest number that a key may have: beyond, no hand is meant."""
    if section == "reach":
        return 0.0, _LONGEST_REACH
    if section == "difficulty":
        return (_LEAST_FULL if key in ("notes", "travel") else 0.0), _GREATEST
    return -_GREATEST, _GREATEST
