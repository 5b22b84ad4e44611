"""Clefs, key signatures and time signatures: what stands at a line's start, at a change, and as a warning at its end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.staves import StaffPlan
from engrave.score.structure import Measure
from engrave.style.sections import SpacingStyle
from engrave.theory.clef import Clef
from engrave.theory.key import Key, signature_positions
from engrave.theory.metre import Metre


class PlacedSign(NamedTuple):
    """A symbol at (x, y) of its staff, in staff spaces; x from the start of the signs."""

    x: float
    y: float
    glyph: str


class Signs(NamedTuple):
    """The signs of every staff and their common width; `clefs`, `keys` and `metres` have one entry a staff.

    `gap` is the white that belongs between the signs and the first note; `has_ink` tells whether there is any sign.
    `outside` is the right edge of clefs that reach out of their staff, 0 without any.
    """

    clefs: tuple[tuple[PlacedSign, ...], ...]
    keys: tuple[tuple[PlacedSign, ...], ...]
    metres: tuple[tuple[PlacedSign, ...], ...]
    width: float
    gap: float
    outside: float = 0.0

    @property
    def has_ink(self) -> bool:
        """True when anything is drawn."""
        return self.width > 0


class SignPlanner:
    """Places signs for the staves of one score."""

    def __init__(self, plans: Sequence[StaffPlan], spacing: SpacingStyle, face: MusicFace) -> None:
        """Use the distances of `spacing` and the symbols of `face`."""
        self._plans = plans
        self._spacing = spacing
        self._face = face
        self._known: dict[tuple[object, ...], Signs] = {}

    def at_line_start(self, measure: Measure, indent: float = 0.0) -> Signs:
        """Clef and key on every staff, and the time where it changes."""
        clefs = self._clefs_at(measure)
        key: tuple[object, ...] = (measure.key, measure.metre if measure.metre_changes else None, clefs)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._plan(
                measure.key,
                None,
                measure.metre,
                clefs,
                clef=True,
                has_key=True,
                has_metre=measure.metre_changes,
            )
        return known

    def at_change(self, measure: Measure, before: Measure | None) -> Signs:
        """Key and time inside a line, where they change."""
        if not (measure.key_changes or measure.metre_changes) or before is None:
            return Signs((), (), (), 0.0, self._spacing.barline_to_note)
        return self._plan(
            measure.key,
            before.key,
            measure.metre,
            self._clefs_at(measure),
            clef=False,
            has_key=measure.key_changes,
            has_metre=measure.metre_changes,
        )

    def at_line_end(self, following: Measure | None, last: Measure) -> Signs:
        """A warning of the change that the next line starts with; the lines of the staff reach a little beyond it."""
        if following is None:
            return Signs((), (), (), 0.0, 0.0)
        signs = self.at_change(following, last)
        return signs._replace(width=signs.width + self._spacing.courtesy_end) if signs.has_ink else signs

    def _plan(
        self,
        key: Key,
        before: Key | None,
        metre: Metre,
        holding: tuple[Clef, ...],
        clef: bool,
        has_key: bool,
        has_metre: bool,
    ) -> Signs:
        spacing = self._spacing
        x = spacing.left_edge_to_clef if clef else spacing.courtesy_gap
        gap = spacing.barline_to_note
        clefs: tuple[tuple[PlacedSign, ...], ...] = ()
        keys: tuple[tuple[PlacedSign, ...], ...] = ()
        metres: tuple[tuple[PlacedSign, ...], ...] = ()
        if clef:
            clefs, x = self._clefs(x, holding)
            gap = spacing.clef_to_note
        if has_key:
            start = x + (spacing.clef_to_key if clef else 0.0)
            keys, end = self._keys(start, key, before, holding)
            if end > start:
                x, gap = end, spacing.key_to_note
        if has_metre:
            start = x + (spacing.to_time if clef or any(keys) else 0.0)
            metres, x = self._metres(start, metre)
            gap = spacing.time_to_note
        if not (clef or any(keys) or any(metres)):
            return Signs((), (), (), 0.0, gap)  # a tab alone shows no key: no room for one
        return Signs(clefs, keys, metres, x, gap, self._right_outside(clefs))

    def _right_outside(self, clefs: Sequence[Sequence[PlacedSign]]) -> float:
        right = 0.0
        for plan, row in zip(self._plans, clefs, strict=False):
            for sign in row:
                box = self._face.glyph(sign.glyph).box
                if sign.y + box.bottom < 0 or sign.y + box.top > plan.height:
                    right = max(right, sign.x + box.right)
        return right

    def _clefs_at(self, measure: Measure) -> tuple[Clef, ...]:
        """The clef of every staff when `measure` starts."""
        return tuple([plan.clefs.at_start(measure.index) for plan in self._plans])

    def _clefs(self, x: float, holding: tuple[Clef, ...]) -> tuple[tuple[tuple[PlacedSign, ...], ...], float]:
        rows = []
        glyphs = [_clef_glyph(plan, clef) for plan, clef in zip(self._plans, holding, strict=True)]
        widest = max(self._face.glyph(glyph).box.right for glyph in glyphs)
        for plan, clef, glyph in zip(self._plans, holding, glyphs, strict=True):
            width = self._face.glyph(glyph).box.right
            y = plan.height / 2 if plan.is_tab else clef.reference_position / 2
            dx = (widest - width) / 2 if plan.is_tab else 0.0
            rows.append((PlacedSign(x + dx, y, glyph),))
        return tuple(rows), x + widest

    def _keys(
        self, x: float, key: Key, before: Key | None, holding: tuple[Clef, ...]
    ) -> tuple[tuple[tuple[PlacedSign, ...], ...], float]:
        fifths, glyph = key.fifths, "accidentalSharp" if key.fifths > 0 else "accidentalFlat"
        if fifths == 0 and before is not None:
            fifths, glyph = before.fifths, "accidentalNatural"
        step = self._spacing.key_step_sharp if fifths > 0 else self._spacing.key_step_flat
        rows = tuple(
            ()
            if plan.is_tab
            else tuple(
                PlacedSign(x + i * step, p / 2, glyph)
                for i, p in enumerate(signature_positions(fifths, clef))
            )
            for plan, clef in zip(self._plans, holding, strict=True)
        )
        longest = max((len(row) for row in rows), default=0)
        width = (longest - 1) * step + self._face.glyph(glyph).box.right if longest else 0.0
        return rows, x + width

    def _metres(self, x: float, metre: Metre) -> tuple[tuple[tuple[PlacedSign, ...], ...], float]:
        upper, lower = _metre_glyphs(metre)
        width = max(self._run_width(upper), self._run_width(lower))
        rows: list[tuple[PlacedSign, ...]] = []
        for plan in self._plans:
            if not plan.has_metre:
                rows.append(())
                continue
            middle = plan.height / 2
            apart = 1.0 + (self._spacing.tab_time_spread if plan.is_tab else 0.0)
            row = self._run(upper, x, width, middle + (apart if lower else 0.0)) + self._run(
                lower, x, width, middle - apart
            )
            rows.append(row)
        return tuple(rows), x + width

    def _run_width(self, glyphs: Sequence[str]) -> float:
        return sum(self._face.glyph(glyph).advance for glyph in glyphs)

    def _run(self, glyphs: Sequence[str], x: float, width: float, y: float) -> tuple[PlacedSign, ...]:
        pen = x + (width - self._run_width(glyphs)) / 2
        row = []
        for glyph in glyphs:
            row.append(PlacedSign(pen, y, glyph))
            pen += self._face.glyph(glyph).advance
        return tuple(row)


def _clef_glyph(plan: StaffPlan, clef: Clef) -> str:
    return f"{plan.lines}stringTabClef" if plan.is_tab else clef.glyph


def _metre_glyphs(metre: Metre) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The symbols over and under each other; the lower row is empty for the common and cut time signs."""
    if metre.symbol:
        return (("timeSigCommon",) if metre.unit == 4 else ("timeSigCutCommon",)), ()
    upper: list[str] = []
    for group in metre.groups:
        if upper:
            upper.append("timeSigPlus")
        upper.extend(f"timeSig{digit}" for digit in str(group))
    return tuple(upper), tuple(f"timeSig{digit}" for digit in str(metre.unit))
