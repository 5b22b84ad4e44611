"""One note as it stands on its string line: the fret with the signs before and after it."""

from __future__ import annotations

from typing import NamedTuple

from engrave.exchange.text_tab.lines.table import PAIRS, ReadingTable
from engrave.score.structure import Mark, Note
from engrave.theory.bends import BendKind, parse_bend

_QUARTERS = {"1/2": "1/4", "3/2": "3/4"}
"""Bends of odd semitones, in semitones, with the share of a whole step that the reader knows."""
_JOINS = ("hammer-on", "pull-off", "tap", "left-hand-tap")
_INTO = {"slide-from-below": "slide-up", "slide-from-above": "slide-down"}
_OUT = {"slide-away-up": "slide-up", "slide-away-down": "slide-down"}
_BRACKETS = ("ghost", "natural-harmonic")


class Spelled(NamedTuple):
    """A note in text: what stands before its column, what stands from it on, and the sign of a slide towards it.

    `joins`: what stands before may touch the note before, as in 5h7. `leaves`: it ends
    with a slide out of the note, so that no other slide may touch it. `told`: the marks that all this tells.
    """

    before: str
    body: str
    slide: str = ""
    joins: bool = False
    leaves: bool = False
    told: frozenset[str] = frozenset()


def spell_note(note: Note, origin: int | None, table: ReadingTable) -> Spelled:
    """`note` as text; `origin` is the fret last played on its string: a slide starts there, and without it cannot be."""
    signs = _by_meaning(table)
    marks = {mark.name: mark for mark in note.marks}
    opens = closes = ""
    told = {"dead"} if "dead" in marks else set()
    for name in _BRACKETS:
        harmonic = name != "ghost"
        if name in marks and name in signs and (not harmonic or marks[name].amount == str(note.fret)):
            told.add(name)
            opens += signs[name]
            closes = PAIRS[signs[name]] + closes
    fret, bend = _fret(note, marks, signs)
    told |= {"bend"} if bend else set()
    before, slide = "", ""
    join = next((name for name in _JOINS if name in marks and name in signs), "")
    into = next((name for name in _INTO if name in marks), "")
    if join:
        before = signs[join]
        told.add(join)
    elif origin is not None and "slide" in marks:
        slide = signs["slide-down" if note.fret < origin else "slide-up"]
        told.add("slide")
    elif into:
        before = signs[_INTO[into]]
        told.add(into)
    afters = [name for name in ("vibrato", "staccato") if name in marks and name in signs]
    out = next((name for name in _OUT if name in marks), "")
    told.update(afters, {out} - {""})
    body = fret + closes + bend + "".join(signs[name] for name in afters)
    body += signs[_OUT[out]] if out else ""
    return Spelled(before + opens, body, slide, bool(join), bool(out), frozenset(told))


def _by_meaning(table: ReadingTable) -> dict[str, str]:
    """The first sign for each meaning; brackets only for the marks that open a pair."""
    signs: dict[str, str] = {}
    for sign, meaning in table.signs.items():
        if (sign in PAIRS) == (meaning in _BRACKETS):
            signs.setdefault(meaning, sign)
    return signs


def _fret(note: Note, marks: dict[str, Mark], signs: dict[str, str]) -> tuple[str, str]:
    """The fret, and the bend after it; a string that is bent before it is struck has the fret that sounds."""
    if "dead" in marks:
        return signs["dead"], ""
    plain = str(note.fret)
    if "bend" not in marks or note.tie_from:
        return plain, ""
    steps = parse_bend(marks["bend"].amount)
    kinds = [step.kind for step in steps]
    top = steps[0].semitones
    whole = top.denominator == 1
    if kinds == [BendKind.PRE_BEND, BendKind.RELEASE]:
        if whole and not steps[1].semitones:
            return str(note.fret + int(top)), f"{signs['release']}{note.fret}"
        return plain, ""
    if kinds not in ([BendKind.BEND], [BendKind.BEND, BendKind.RELEASE]):
        return plain, ""
    share = str(note.fret + int(top)) if whole else _QUARTERS.get(str(top), "")
    if not share:
        return plain, ""
    bend = signs["bend"] + share
    if len(steps) > 1:
        goal = note.fret + steps[1].semitones
        if goal.denominator != 1:
            return plain, ""
        bend += f"{signs['release']}{goal}"
    return plain, bend
