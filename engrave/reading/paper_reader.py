"""Blank paper from its tree: sizes, systems and holes."""

from __future__ import annotations

from engrave.diagnostics.problem import ProblemLog
from engrave.documents.paper import Holes, Margins, Paper, SystemKind
from engrave.reading.blank_instrument import check_strung, read_blank_instrument
from engrave.reading.paper_size_reader import read_paper_size
from engrave.score.paper_size import AS_USUAL, SIZES, PaperSize
from engrave.source.tree import SourceMap
from engrave.theory.instrument import Instrument

_PLAIN = Margins(top=15.0, bottom=15.0, inner=15.0, outer=15.0)
"""Common practice, no source: 12 to 20 mm."""
_PUNCHED = 23.0
"""Inner margin of punched paper: holes reach 15 mm into the sheet (ISO 838: centre at 12 mm, diameter 6 mm)."""
_GREY = 0.5
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
            tree.value_place("holes"),
            f"a sheet {height:g} mm high has no room for {holes.value} holes",
            hint=f"the punched edge must be at least {_LEAST_EDGE[holes]:g} mm",
        )
        return None
    margins = _PLAIN if holes is Holes.NONE else _PLAIN._replace(inner=_PUNCHED)
    return Paper(
        width=width,
        height=height,
        margins=margins,
        kinds=kinds,
        instrument=instrument,
        systems=tree.get("systems"),
        line_distance=float(tree["line-distance"]) if "line-distance" in tree else None,
        measures=tree.get("measures", 0),
        clef=tree.get("clef", True),
        string_names=tree.get("string-names", False),
        title=tree.get("title", False),
        date=tree.get("date", False),
        grey=_GREY if tree.get("ink") == "grey" else 0.0,
        pages=tree.get("pages", 1),
        holes=holes,
        footer=str(tree.get("footer", "")),
        place=tree.value_place("systems") if "systems" in tree else tree.place,
    )


def _read_kinds(tree: SourceMap, instrument: Instrument, log: ProblemLog) -> tuple[SystemKind, ...]:
    strings = tree.get("strings", instrument.strings)
    if "kinds" in tree:
        kinds = tuple(SystemKind(kind) for kind in tree["kinds"])
        if tree.get("strings") == 0 and any(
            kind in (SystemKind.TAB, SystemKind.STAFF_AND_TAB) for kind in kinds
        ):
            log.error(
                tree.value_place("strings"), "a tab needs strings", hint="write strings: 6, or kinds: [staff]"
            )
        return kinds
    if strings == 0:
        if tree.get("staff") is False:
            log.error(
                tree.place,
                "this paper would be empty",
                hint="write strings: 6, staff: true or kinds: [chord-grids]",
            )
        return (SystemKind.STAFF,)
    return (SystemKind.STAFF_AND_TAB if tree.get("staff", False) else SystemKind.TAB,)
