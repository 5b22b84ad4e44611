"""For which instrument blank systems are ruled: a preset, a tuning, or just a number of strings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engrave.diagnostics.problem import ProblemLog
from engrave.documents.paper import SystemKind
from engrave.reading.instruments import read_instrument
from engrave.source.tree import SourceMap, Value
from engrave.theory.instrument import PRESETS, Instrument, tuning_of

_BY_STRINGS = {4: "bass", 5: "bass-5", 6: "guitar", 7: "guitar-7", 8: "guitar-8"}
_STRUNG = {SystemKind.TAB: "a tab", SystemKind.STAFF_AND_TAB: "a tab", SystemKind.CHORD_GRIDS: "a chord grid"}
"""Kinds of system that are ruled by strings, in words."""


def read_blank_instrument(tree: SourceMap, log: ProblemLog) -> Instrument:
    """The instrument that `instrument`, `tuning` and `strings` of `tree` agree on; what contradicts goes to `log`."""
    strings = tree.get("strings", 0)
    wanted = strings
    if not wanted and "tuning" in tree:
        wanted = _count_strings(tree["tuning"])
    before = len(log.problems)
    instrument = read_instrument(tree, log, PRESETS[_BY_STRINGS.get(wanted, "guitar")])
    if strings and instrument.strings != strings and len(log.problems) == before:
        by_name = "tuning" not in tree
        who = f"the {instrument.name}" if by_name else "the tuning"
        log.error(
            tree.value_place("strings" if by_name else "tuning"),
            f"{who} has {instrument.strings or 'no'} strings, and {strings} are asked for",
            hint="remove strings:, or make them agree" if by_name else "make them agree",
        )
    return replace(instrument, capo=0)


def check_strung(
    tree: SourceMap, kinds: Sequence[SystemKind], instrument: Instrument, log: ProblemLog
) -> None:
    """Report systems of strings for an instrument that has none."""
    kind = next((kind for kind in kinds if kind in _STRUNG), None)
    if kind is not None and not instrument.strings and not tree.get("strings"):
        log.error(
            tree.value_place("instrument"),
            f"{_STRUNG[kind]} needs strings, and the {instrument.name} has none",
            hint="choose another instrument, or systems of staff",
        )


def _count_strings(tuning: Value) -> int:
    """How many strings a tuning has; 0 when it is none."""
    try:
        return len(tuning_of(tuning)) if isinstance(tuning, str) else len(tuning)
    except ValueError:
        return 0
