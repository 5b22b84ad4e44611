"""Blank paper from its tree: for which instrument, systems and holes; and the sheet that any document is printed on."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.documents.paper import Holes, Paper, SystemKind
from engrave.problems import ProblemLog
from engrave.reading.header import read_paper_size
from engrave.reading.instruments import read_instrument
from engrave.score.paper_size import AS_USUAL, SIZES, PaperSize
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
            tree.value_location("strings" if by_name else "tuning"),
            f"{who} has {instrument.strings or 'no'} strings, and {strings} are asked for",
            hint="remove strings:, or make them agree" if by_name else "make them agree",
        )
    return instrument._replace(capo=0)


def check_strung(
    tree: SourceMap, kinds: Sequence[SystemKind], instrument: Instrument, log: ProblemLog
) -> None:
    """Report systems of strings for an instrument that has none."""
    kind = next((kind for kind in kinds if kind in _STRUNG), None)
    if kind is not None and not instrument.strings and not tree.get("strings"):
        log.error(
            tree.value_location("instrument"),
            f"{_STRUNG[kind]} needs strings, and the {instrument.name} has none",
            hint="choose another instrument, or systems of staff",
        )


def _count_strings(tuning: Value) -> int:
    """How many strings a tuning has; 0 when it is none."""
    try:
        return len(tuning_of(tuning)) if isinstance(tuning, str) else len(tuning)
    except ValueError:
        return 0


_LEAST_EDGE = {Holes.TWO: 100.0, Holes.THREE: 230.0, Holes.FOUR: 260.0}
"""Least length of the punched edge in millimetres (two holes: ISO 838; the others by their spread)."""


def read_paper(tree: SourceMap, log: ProblemLog, wished: PaperSize = AS_USUAL) -> Paper | None:
    """The paper of a tree whose form is right; None and the reasons in `log` when it cannot be.

    The sheet is as it is `wished`, else as the tree says, else A4.
    """
    size = read_paper_size(tree, log)
    instrument = read_blank_instrument(tree, log)
    kinds = _read_kinds(tree, instrument, log)
    check_strung(tree, kinds, instrument, log)
    holes = Holes(tree.get("holes", "none"))
    if log.has_errors:
        return None
    width, height = wished.over(size).applied_to(SIZES["A4"])
    if holes is not Holes.NONE and height < _LEAST_EDGE[holes]:
        log.error(
            tree.value_location("holes"),
            f"a sheet {height:g} mm high has no room for {holes.value} holes",
            hint=f"the punched edge must be at least {_LEAST_EDGE[holes]:g} mm",
        )
        return None
    return Paper(
        width=width,
        height=height,
        kinds=kinds,
        instrument=instrument,
        systems=tree.get("systems"),
        line_distance=float(tree["line-distance"]) if "line-distance" in tree else None,
        measures=tree.get("measures", 0),
        clef=tree.get("clef", True),
        string_names=tree.get("string-names", False),
        title=tree.get("title", False),
        date=tree.get("date", False),
        is_grey=tree.get("ink") == "grey",
        pages=tree.get("pages", 1),
        holes=holes,
        footer=str(tree.get("footer", "")),
        location=tree.value_location("systems") if "systems" in tree else tree.location,
    )


def _read_kinds(tree: SourceMap, instrument: Instrument, log: ProblemLog) -> tuple[SystemKind, ...]:
    strings = tree.get("strings", instrument.strings)
    if "kinds" in tree:
        kinds = tuple(SystemKind(kind) for kind in tree["kinds"])
        if tree.get("strings") == 0 and any(
            kind in (SystemKind.TAB, SystemKind.STAFF_AND_TAB) for kind in kinds
        ):
            log.error(
                tree.value_location("strings"),
                "a tab needs strings",
                hint="write strings: 6, or kinds: [staff]",
            )
        return kinds
    if strings == 0:
        if tree.get("staff") is False:
            log.error(
                tree.location,
                "this paper would be empty",
                hint="write strings: 6, staff: true or kinds: [chord-grids]",
            )
        return (SystemKind.STAFF,)
    return (SystemKind.STAFF_AND_TAB if tree.get("staff", False) else SystemKind.TAB,)
