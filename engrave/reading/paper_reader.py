"""Blank paper from its tree: sizes, systems and holes."""

from __future__ import annotations

import re
from dataclasses import replace

from engrave.diagnostics.problem import ProblemLog, did_you_mean
from engrave.documents.paper import SIZES, Holes, Margins, Paper, SystemKind
from engrave.reading.instruments import read_instrument
from engrave.source.tree import SourceMap, Value
from engrave.theory.instrument import PRESETS, Instrument, tuning_of

_SIZE = re.compile(r"(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)(?:\s*mm)?")
_LEAST, _MOST = 60.0, 1200.0
"""Millimetres between which a side of a sheet may lie (house rule)."""
_PLAIN = Margins(top=15.0, bottom=15.0, inner=15.0, outer=15.0)
"""Common practice, no source: 12 to 20 mm."""
_PUNCHED = 23.0
"""Inner margin of punched paper: holes reach 15 mm into the sheet (ISO 838: centre at 12 mm, diameter 6 mm)."""
_GREY = 0.5
_BY_STRINGS = {4: "bass", 5: "bass-5", 6: "guitar", 7: "guitar-7", 8: "guitar-8"}
_LEAST_EDGE = {Holes.TWO: 100.0, Holes.THREE: 230.0, Holes.FOUR: 260.0}
"""Least length of the punched edge in millimetres (two holes: ISO 838; the others by their spread)."""


def read_paper(tree: SourceMap, log: ProblemLog) -> Paper | None:
    """The paper of a tree whose form is right; None and the reasons in `log` when it cannot be."""
    size = _read_size(tree, log)
    kinds = _read_kinds(tree, log)
    instrument = _read_instrument(tree, log)
    holes = Holes(tree.get("holes", "none"))
    if size is None or log.has_errors:
        return None
    width, height = size
    if holes is not Holes.NONE and height < _LEAST_EDGE[holes]:
        log.error(
            tree.value_place("holes"),
            f"a sheet {height:g} mm high has no room for {holes.value} holes",
            hint=f"the punched edge must be at least {_LEAST_EDGE[holes]:g} mm",
        )
        return None
    margins = _PLAIN if holes is Holes.NONE else _PLAIN._replace(inner=_PUNCHED)
    return Paper(
        width,
        height,
        margins,
        kinds,
        instrument,
        tree.get("systems"),
        float(tree["line-distance"]) if "line-distance" in tree else None,
        tree.get("measures", 0),
        tree.get("clef", True),
        tree.get("string-names", False),
        tree.get("title", False),
        tree.get("date", False),
        _GREY if tree.get("ink") == "grey" else 0.0,
        tree.get("pages", 1),
        holes,
        str(tree.get("footer", "")),
        tree.value_place("systems") if "systems" in tree else tree.place,
    )


def _read_size(tree: SourceMap, log: ProblemLog) -> tuple[float, float] | None:
    text = str(tree.get("size", "A4"))
    known = {name.lower(): size for name, size in SIZES.items()}
    size = known.get(text.strip().lower())
    if size is None:
        match = _SIZE.fullmatch(text.strip())
        if match is None:
            hint = did_you_mean(text, SIZES) if text.isalnum() else "write A4, Letter or 210x297"
            log.error(tree.value_place("size"), f'"{text}" is not a paper size', hint=hint)
            return None
        size = float(match[1]), float(match[2])
        if not all(_LEAST <= side <= _MOST for side in size):
            log.error(
                tree.value_place("size"),
                f"a sheet of {size[0]:g} x {size[1]:g} mm cannot be printed",
                hint=f"sides must be {_LEAST:g} to {_MOST:g} mm",
            )
            return None
    lying = tree.get("orientation")
    if lying is not None and (size[0] > size[1]) != (lying == "landscape"):
        size = size[1], size[0]
    return size


def _read_kinds(tree: SourceMap, log: ProblemLog) -> tuple[SystemKind, ...]:
    strings = tree.get("strings")
    if "kinds" in tree:
        kinds = tuple(SystemKind(kind) for kind in tree["kinds"])
        if strings == 0 and any(kind in (SystemKind.TAB, SystemKind.STAFF_AND_TAB) for kind in kinds):
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


def _count_strings(tuning: Value) -> int:
    """How many strings a tuning has; 0 when it is none."""
    try:
        return len(tuning_of(tuning)) if isinstance(tuning, str) else len(tuning)
    except ValueError:
        return 0


def _read_instrument(tree: SourceMap, log: ProblemLog) -> Instrument:
    strings = tree.get("strings", 0)
    if not strings and "tuning" in tree:
        strings = _count_strings(tree["tuning"])
    preset = PRESETS[_BY_STRINGS.get(strings, "guitar")]
    instrument = read_instrument(tree, log, preset)
    if tree.get("strings") and instrument.strings != tree["strings"] and not log.has_errors:
        log.error(
            tree.value_place("tuning"),
            f"the tuning has {instrument.strings} strings and the paper {tree['strings']}",
            hint="make them agree",
        )
    return replace(instrument, capo=0)
