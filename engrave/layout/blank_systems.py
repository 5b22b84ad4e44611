"""Which systems fit on a blank sheet, how far apart, and what would fit where a wish is impossible. All in millimetres."""

from __future__ import annotations

from typing import NamedTuple

from engrave.documents.paper import Holes, Paper, SystemKind
from engrave.style.sheets import BlankStyle


class Distances(NamedTuple):
    """The distances of one sheet's lines."""

    staff: float
    tab: float
    staff_to_tab: float


class BlankSystem(NamedTuple):
    """One system: its kind and the height of its top line over the foot of the sheet."""

    kind: SystemKind
    top: float


class Layout(NamedTuple):
    """The systems of a page from the top, and the distances of their lines."""

    systems: tuple[BlankSystem, ...]
    distances: Distances


class Margins(NamedTuple):
    """White at the edges of a sheet; `inner` is the left edge, which may be punched."""

    top: float = 0.0
    bottom: float = 0.0
    inner: float = 0.0
    outer: float = 0.0


def sheet_margins(paper: Paper, style: BlankStyle) -> Margins:
    """The margins of a sheet, wider where it is punched."""
    inner = style.margin_inner if paper.holes is Holes.NONE else style.margin_punched
    return Margins(style.margin_top, style.margin_bottom, inner, style.margin_outer)


class Misfit(Exception):
    """The wish cannot be fulfilled; `hint` says what would fit."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(what)
        self.hint = hint


def fit_systems(paper: Paper, style: BlankStyle) -> Layout:
    """The systems of every page of `paper`. Raises Misfit when they have no room."""
    margins = sheet_margins(paper, style)
    if paper.width <= margins.inner + margins.outer:
        wide = (
            f"{paper.width:g} mm wide has no room between margins of {margins.inner:g} and {margins.outer:g}"
        )
        raise Misfit(f"a sheet {wide}", "choose a wider sheet")
    room = paper.height - margins.top - margins.bottom
    room -= style.heading_room if paper.title or paper.date else 0.0
    room -= style.footer_room if paper.footer else 0.0
    distances = _distances(paper, style, paper.line_distance)
    if paper.systems is None:
        heights = _as_many_as_fit(paper, distances, style, room)
    else:
        heights = _heights(paper, distances, style, paper.systems)
        if _least(heights, style) > room and paper.line_distance is None:
            distances = _narrow(paper, style, room)
            heights = _heights(paper, distances, style, paper.systems)
    if not heights or _least(heights, style) > room:
        raise _misfit(paper, distances, style, room, len(heights))
    return Layout(_spread(paper, heights, style, room), distances)


def system_height(kind: SystemKind, strings: int, distances: Distances, style: BlankStyle) -> float:
    """From the top line of a system to its bottom line; for grids, from the room of the names down."""
    staff, tab = 4 * distances.staff, (strings - 1) * distances.tab
    if kind is SystemKind.STAFF:
        return staff
    if kind is SystemKind.TAB:
        return tab
    if kind is SystemKind.STAFF_AND_TAB:
        return staff + distances.staff_to_tab + tab
    return style.grid_name_room + style.grid_frets * style.grid_fret_distance


def _distances(paper: Paper, style: BlankStyle, wanted: float | None) -> Distances:
    """Line distances; the staff over a tab is as much smaller than it as in the style."""
    deeper = max(0, paper.instrument.strings - _USUAL_STRINGS) * style.string_depth
    between = (style.staff_to_tab + deeper) * style.staff_line_distance
    if wanted is None:
        return Distances(style.staff_line_distance, style.tab_line_distance, between)
    if all(kind in (SystemKind.STAFF, SystemKind.CHORD_GRIDS) for kind in paper.kinds):
        return Distances(wanted, style.tab_line_distance, between)
    share = wanted / style.tab_line_distance
    return Distances(style.staff_line_distance * share, wanted, between * min(1.0, share))


def _heights(paper: Paper, distances: Distances, style: BlankStyle, count: int) -> list[float]:
    strings = paper.instrument.strings
    return [system_height(paper.kinds[i % len(paper.kinds)], strings, distances, style) for i in range(count)]


def _least(heights: list[float], style: BlankStyle) -> float:
    return sum(heights) + (len(heights) - 1) * style.system_gap_least


_USUAL_STRINGS = 6
"""The tab that the style's distances are meant for (fact: the guitar's)."""


def usual_distances(paper: Paper, style: BlankStyle) -> Distances:
    """The distances of the style, or those of the wished line distance."""
    return _distances(paper, style, paper.line_distance)


def _as_many_as_fit(paper: Paper, distances: Distances, style: BlankStyle, room: float) -> list[float]:
    heights: list[float] = []
    used = 0.0
    while True:
        (height,) = _heights(
            paper._replace(kinds=(paper.kinds[len(heights) % len(paper.kinds)],)), distances, style, 1
        )
        needed = used + height + (style.system_gap if heights else 0.0)
        if needed > room + 1e-9:
            return heights
        heights.append(height)
        used = needed


def _narrow(paper: Paper, style: BlankStyle, room: float) -> Distances:
    """The widest distances, no less than the style's least, at which the wished systems fit; the least ones if none do."""
    assert paper.systems is not None
    usual = _distances(paper, style, None)
    low = max(style.least_tab_line_distance / usual.tab, style.least_staff_line_distance / usual.staff)
    share, tried = 1.0, usual
    while share > low:
        share = max(low, share - style.narrowing / usual.tab)
        tried = Distances(usual.staff * share, usual.tab * share, usual.staff_to_tab * share)
        if _least(_heights(paper, tried, style, paper.systems), style) <= room:
            return tried
    return tried


def _misfit(paper: Paper, distances: Distances, style: BlankStyle, room: float, count: int) -> Misfit:
    """Why the systems have no room, and how many of them or which line distance would fit."""
    if not count:
        return Misfit("not one system fits on this sheet", "choose a larger sheet or closer lines")
    needed = _least(_heights(paper, distances, style, count), style)
    fitting = count
    while fitting and _least(_heights(paper, distances, style, fitting), style) > room:
        fitting -= 1
    pitch = (
        distances.tab
        if any(r not in (SystemKind.STAFF, SystemKind.CHORD_GRIDS) for r in paper.kinds)
        else distances.staff
    )
    what = (
        f"{count} systems with lines {pitch:.3g} mm apart need {needed:.0f} mm, and the sheet has {room:.0f}"
    )
    hints = [f"{fitting} systems fit at {pitch:.3g} mm"] if fitting else []
    if paper.line_distance is not None:
        narrow = _narrow(paper._replace(systems=count), style, room)
        if _least(_heights(paper, narrow, style, count), style) <= room:
            at = narrow.tab if pitch == distances.tab else narrow.staff
            hints.append(f"{count} systems fit at {at:.3g} mm")
    return Misfit(what, " and ".join(hints) or "choose a larger sheet")


def _spread(paper: Paper, heights: list[float], style: BlankStyle, room: float) -> tuple[BlankSystem, ...]:
    """Rows from the top of the page to its foot, the white shared out evenly."""
    free = room - sum(heights)
    gap = free / (len(heights) - 1) if len(heights) > 1 else 0.0
    top = paper.height - style.margin_top - (style.heading_room if paper.title or paper.date else 0.0)
    placed = []
    for index, height in enumerate(heights):
        placed.append(BlankSystem(paper.kinds[index % len(paper.kinds)], top))
        top -= height + gap
    return tuple(placed)
