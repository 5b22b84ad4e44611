"""The barlines of a block: where each stands on every string, though some are a column off, missing, or on one string only."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median_low

from engrave.exchange.text_tab.lines.blocks import TabLine
from engrave.exchange.text_tab.lines.text_lines import RemarkLog

_BAR = re.compile(r"\|+")
_SLACK = 4
"""Columns by which the barlines of one bar may miss each other (house rule)."""
DOTS = ":*o"
"""What stands beside a barline as the dots of a repeat."""
_QUIET = "-=_ "
_MUSIC = re.compile(r"[^-=_ |:](?:.*[^-=_ |:])?")

Span = tuple[int, int]
_Group = dict[int, Span]
"""One barline: its span by the index of the string, for those that have it."""


@dataclass(slots=True)
class Barline:
    """One barline as all strings have it: a span for each string, what it repeats, whether it is double."""

    spans: list[Span]
    opens: bool = False
    closes: bool = False
    double: bool = False


def find_barlines(lines: Sequence[TabLine], log: RemarkLog) -> list[Barline]:
    """The barlines of a block from left to right; those that some strings lack, or have alone, are remarked."""
    groups = _gather(lines)
    _join_ragged_ends(lines, groups)
    kept = _sort_out(lines, groups, log)
    bodies = [line.body for line in lines]
    barlines: list[Barline] = []
    is_open = False
    for spans, between in _join_dots(bodies, _complete(lines, kept)):
        barline = _describe(bodies, spans)
        if between:
            barline.closes, barline.opens = is_open, not is_open
        is_open = barline.opens or (is_open and not barline.closes)
        barlines.append(barline)
    return barlines


def _gather(lines: Sequence[TabLine]) -> list[_Group]:
    """Barlines that stand under each other within a few columns, one of each string at most.

    Strings with as many barlines as most set the measure for the others, which go to the nearest of theirs.
    """
    own = [[match.span() for match in _BAR.finditer(line.body)] for line in lines]
    usual = max(Counter(map(len, own)).items(), key=lambda pair: (pair[1], pair[0]))[0]
    alike = [index for index, spans in enumerate(own) if len(spans) == usual]
    groups: list[_Group] = [{index: own[index][number] for index in alike} for number in range(usual)]
    if any(_spread(group) > _SLACK for group in groups):
        groups, alike = [], []
    strays: list[tuple[Span, int]] = []
    places = [_place(group) for group in groups]
    for index in set(range(len(lines))).difference(alike):
        free = 0
        for span in own[index]:
            near = bisect_left(places, span[0], lo=free)
            nearest = [number for number in (near - 1, near) if free <= number < len(places)]
            number = min(nearest, key=lambda n: abs(places[n] - span[0]), default=-1)
            if number >= 0 and abs(places[number] - span[0]) <= _SLACK:
                groups[number][index] = span
                free = number + 1
            else:
                strays.append((span, index))
    return sorted([*groups, *_gather_strays(strays)], key=_place)


def _gather_strays(strays: Sequence[tuple[Span, int]]) -> list[_Group]:
    """Barlines that fit to no other, from left to right, together where they stand near each other."""
    groups: list[_Group] = []
    for (start, stop), index in sorted(strays):
        here = groups[-1] if groups else {}
        if here and index not in here and start - min(here.values())[0] <= _SLACK:
            here[index] = start, stop
        else:
            groups.append({index: (start, stop)})
    return groups


def _spread(group: _Group) -> int:
    starts = [start for start, _ in group.values()]
    return max(starts) - min(starts)


def _place(group: _Group) -> int:
    return median_low(start for start, _ in group.values())


def _is_common(group: _Group, lines: Sequence[TabLine]) -> bool:
    """Whether at least half of the strings have it."""
    return 2 * len(group) >= len(lines)


def _join_ragged_ends(lines: Sequence[TabLine], groups: list[_Group]) -> None:
    """The last barline of a string that ends early is the last of the block."""
    if not groups or not any(_is_common(group, lines) for group in groups):
        return
    last = max((group for group in groups if _is_common(group, lines)), key=_place)
    for group in groups:
        if group is last or _is_common(group, lines):
            continue
        for index, span in list(group.items()):
            if span[1] == len(lines[index].body.rstrip()) and index not in last:
                last[index] = group.pop(index)
    groups[:] = [group for group in groups if group]


def _sort_out(lines: Sequence[TabLine], groups: Sequence[_Group], log: RemarkLog) -> list[_Group]:
    """The barlines that count: those of half the strings or more, and others where no string has a note in the way."""
    common = [_place(group) for group in groups if _is_common(group, lines)]
    first, last = _notes_between(lines)
    kept: list[_Group] = []
    for group in groups:
        if _is_common(group, lines):
            kept.append(group)
            continue
        column = _place(group)
        near = any(abs(column - other) <= _SLACK for other in common)
        free = all(
            line.body[column : column + 1] in ("", *_QUIET)
            for index, line in enumerate(lines)
            if index not in group
        )
        counts = free and first < column < last and not near
        if counts:
            kept.append(group)
        what = (
            "only this string has a barline here; it is read on all of them"
            if counts
            else "this barline does not line up with the others"
        )
        for index, (start, _) in group.items():
            log.add("doubted" if counts else "slip", lines[index].number, lines[index].start + start, what)
    for group in kept:
        missing = [line for index, line in enumerate(lines) if index not in group]
        if _is_common(group, lines) and _place(group) > 0 and group is not kept[-1]:
            for line in missing:
                log.add(
                    "doubted", line.number, line.start + _place(group), "a barline is missing on this string"
                )
    return kept


def _notes_between(lines: Sequence[TabLine]) -> tuple[int, int]:
    """The columns of the first and the last sign of a note in a block."""
    spans = [(match.start(), match.end()) for line in lines if (match := _MUSIC.search(line.body))]
    return min((start for start, _ in spans), default=0), max((stop - 1 for _, stop in spans), default=0)


def _complete(lines: Sequence[TabLine], groups: Sequence[_Group]) -> list[list[Span]]:
    """A span for every string. Where the sign is missing, either a dash stands for it or the string goes on a column early."""
    shift = [0] * len(lines)
    spans: list[list[Span]] = []
    length = median_low(len(line.body) for line in lines)
    for number, group in enumerate(groups):
        place = _place(group)
        wide = median_low(stop - start for start, stop in group.values())
        row: list[Span] = []
        for index, line in enumerate(lines):
            if index in group:
                row.append(group[index])
                shift[index] = group[index][0] - place
                continue
            size = len(line.body)
            later = next((g for g in groups[number + 1 :] if index in g), None)
            then = later[index][0] - _place(later) if later is not None else size - length
            start = min(place + shift[index], size)
            drawn = then - shift[index] > -wide and bool(number)
            row.append((start, min(start + wide, size) if drawn else start))
            shift[index] -= 0 if drawn else wide
        spans.append(row)
    return spans


def _join_dots(bodies: Sequence[str], rows: Sequence[list[Span]]) -> list[tuple[list[Span], bool]]:
    """Barlines with a repeat dot alone between them are one, as |:| is; whether dots stand in it."""
    joined: list[tuple[list[Span], bool]] = []
    for row in rows:
        if joined:
            before = joined[-1][0]
            inside = [body[left[1] : right[0]] for body, left, right in zip(bodies, before, row)]
            if all(len(text) <= 1 and text in ("", "-", " ", *DOTS) for text in inside) and ":" in inside:
                joined[-1] = [(left[0], right[1]) for left, right in zip(before, row)], True
                continue
        joined.append((row, False))
    return joined


def _describe(bodies: Sequence[str], spans: list[Span]) -> Barline:
    """What a barline says: repeat dots on its sides, single or double."""
    before = "".join(body[start - 1 : start] if start else "" for body, (start, _) in zip(bodies, spans))
    after = "".join(body[stop : stop + 1] for body, (_, stop) in zip(bodies, spans))
    double = any(body[start:stop].startswith("||") for body, (start, stop) in zip(bodies, spans))
    return Barline(spans, _has_dots(after, double), _has_dots(before, double), double)


def _has_dots(signs: str, double: bool) -> bool:
    """Colons repeat; so do stars beside a double barline or on two strings, and rings beside a double barline."""
    stars, rings = signs.count("*"), signs.count("o")
    return ":" in signs or stars > 1 or (double and stars + rings > 0)
