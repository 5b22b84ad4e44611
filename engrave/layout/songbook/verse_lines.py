"""Where the lines of a chord sheet end: every verse of a song at the same places of its tune."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from enum import IntEnum
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import NamedTuple

from engrave.marks.mark import NO_SOURCE, Source
from engrave.score.structure import ChordAt, Syllable
from engrave.style.sheets import BookStyle

_ENDS_PHRASE = ",.;:!?…"
_OPENS, _CLOSES = "’‘“„«»'\"(¿¡", "’”“»«'\")"
"""What may stand before a line's first letter, and after a stop."""


class Token(NamedTuple):
    """A syllable (or none) with the chord that starts on it (or none).

    `moment` in whole notes from the start of the song; `starts_line`: the score asks for it. `width` is the room up to
    the next token and `reach` that of the chord name alone, in points. `section` counts the labels before it.
    """

    syllable: Syllable | None
    chord: ChordAt | None
    starts_line: bool
    label: str
    moment: Fraction
    width: float = 0.0
    source: Source = NO_SOURCE
    reach: float = 0.0
    section: int = 0


class Seam(IntEnum):
    """How clearly the poet starts a line at a word."""

    WORD = 0
    STOP = 1
    CAPITAL = 2
    SENTENCE = 3
    FORCED = 4


class _LineStart(NamedTuple):
    """A moment of the tune where lines may start: the token of each verse; `own` where it has a word just there."""

    tokens: tuple[int, ...]
    own: tuple[bool, ...]
    seam: Seam
    agreement: int


def break_verses(
    verses: Sequence[Sequence[Token]], width: float, reach: Fraction, book: BookStyle
) -> list[list[Sequence[Token]]]:
    """The lines of each verse, none wider than `width` points where its words allow that.

    Words of different verses belong to one place of the tune when they are sung within `reach` (whole notes):
    one verse has a pickup where another has none. A line that the score asks for starts with its pickup, too.
    """
    verses = [_take_pickups(verse, reach) for verse in verses]
    sums = [list(accumulate((token.width for token in verse), initial=0.0)) for verse in verses]
    ends = [_ends(verse, own) for verse, own in zip(verses, sums, strict=True)]
    starts = _choose_starts(_list_places(verses, reach), sums, ends, width, book)
    result = []
    for number, verse in enumerate(verses):
        lines: list[Sequence[Token]] = []
        for first, stop in pairwise(spot[number] for spot in starts):
            lines.extend(_split_full(verse[first:stop], width))
        result.append(lines)
    return result


def _ends(verse: Sequence[Token], sums: Sequence[float]) -> list[float]:
    """Where the ink of the first so many tokens ends: that of the words, or of a chord name that reaches over them."""
    reached = accumulate(
        (start + token.reach for token, start in zip(verse, sums, strict=False)), max, initial=0.0
    )
    return [max(own, reach) for own, reach in zip(sums, reached, strict=True)]


def _take_pickups(verse: Sequence[Token], reach: Fraction) -> list[Token]:
    """The verse with the start of each line that the score asks for moved back to the sentence that leads into it."""
    result = list(verse)
    for index, token in enumerate(verse):
        if not token.starts_line:
            continue
        for earlier in range(index - 1, 0, -1):
            if verse[earlier].starts_line or token.moment - verse[earlier].moment > reach:
                break
            if _decide_seam(verse, earlier) is Seam.SENTENCE:
                result[earlier] = verse[earlier]._replace(starts_line=True, label=token.label)
                result[index] = token._replace(starts_line=False, label="")
                break
    return result


def _decide_seam(verse: Sequence[Token], index: int) -> Seam | None:
    """What the words say about a line that starts at token `index`; None inside a word and where nothing is sung."""
    token = verse[index]
    if token.starts_line and index:
        return Seam.FORCED
    before = next((t.syllable for t in reversed(verse[:index]) if t.syllable is not None), None)
    if before is None or before.hyphen or token.syllable is None or not token.syllable.text:
        return None
    text = token.syllable.text.lstrip(_OPENS)
    stops = before.text.rstrip(_CLOSES).endswith(tuple(_ENDS_PHRASE))
    is_capital = text[:1].isupper() and text.rstrip(_CLOSES + _ENDS_PHRASE).split("’")[0] != "I"
    return _join_seams(stops, is_capital)


def _join_seams(stops: bool, is_capital: bool) -> Seam:
    if is_capital:
        return Seam.SENTENCE if stops else Seam.CAPITAL
    return Seam.STOP if stops else Seam.WORD


def _list_places(verses: Sequence[Sequence[Token]], reach: Fraction) -> list[_LineStart]:
    """The places that do not cross each other, in order; the clearer ones are kept first."""
    seams = [{i: s for i in range(len(v)) if (s := _decide_seam(v, i)) is not None} for v in verses]
    moments = [[token.moment for token in verse] for verse in verses]
    spots = {
        spot
        for number, own in enumerate(seams)
        for index, seam in own.items()
        if (spot := _find_line_start(moments[number][index], seam, seams, moments, reach)) is not None
    }
    chosen: list[_LineStart] = []
    for spot in sorted(spots, key=lambda p: (-p.seam, -p.agreement, p.tokens)):
        index = bisect_left([other.tokens for other in chosen], spot.tokens)
        if all(_is_before(other, spot) for other in chosen[max(0, index - 1) : index]) and all(
            _is_before(spot, other) for other in chosen[index : index + 1]
        ):
            chosen.insert(index, spot)
    return chosen


def _is_before(one: _LineStart, other: _LineStart) -> bool:
    """True when no verse crosses from `one` to `other`, and no word serves both."""
    return all(
        a < b or (a == b and not (own and others))
        for a, b, own, others in zip(one.tokens, other.tokens, one.own, other.own, strict=True)
    )


def _find_line_start(
    moment: Fraction,
    seam: Seam,
    seams: Sequence[dict[int, Seam]],
    moments: Sequence[Sequence[Fraction]],
    reach: Fraction,
) -> _LineStart | None:
    """The place at `moment`, where one verse has `seam`; None where another verse is inside a word."""
    tokens, own, found = [], [], []
    for known, times in zip(seams, moments, strict=True):
        following = bisect_left(times, moment)
        goes_on = following < len(times) and times[following] <= moment + reach
        near = range(bisect_left(times, moment - reach), bisect_right(times, moment + reach))
        # Where a verse falls silent, its last word is no start of a line.
        candidates = [i for i in near if i in known and (goes_on or known[i])]
        if candidates:
            # A line of the poem looks for its like in the other verses, a mere word for its neighbour.
            best = min(candidates, key=lambda i: (-known[i] if seam else 0, abs(times[i] - moment), i))
            found.append(known[best])
        else:
            best = following
            if best < len(times) and best not in known and best:
                return None
        tokens.append(best)
        own.append(bool(candidates))
    if Seam.FORCED in found:
        joined = Seam.FORCED
    else:
        joined = _join_seams(
            any(s in (Seam.STOP, Seam.SENTENCE) for s in found),
            any(s in (Seam.CAPITAL, Seam.SENTENCE) for s in found),
        )
    return _LineStart(tuple(tokens), tuple(own), joined, sum(found))


def _choose_starts(
    spots: Sequence[_LineStart],
    sums: Sequence[Sequence[float]],
    reached: Sequence[Sequence[float]],
    width: float,
    book: BookStyle,
) -> list[tuple[int, ...]]:
    """The tokens at which the lines start, line by line, and the ends: no verse's line is too wide if that can be."""

    def fill(start: tuple[int, ...], stop: tuple[int, ...]) -> float:
        return (
            max(reached[v][b] - sums[v][a] for v, (a, b) in enumerate(zip(start, stop, strict=True))) / width
        )

    ends = [len(own) - 1 for own in sums]

    wanted = {
        Seam.STOP: book.line_to_stop,
        Seam.CAPITAL: book.line_to_capital,
        Seam.SENTENCE: book.line_to_sentence,
        Seam.FORCED: 0.0,
    }
    starts = [tuple(0 for _ in ends)]
    following = [*(spot.tokens for spot in spots[1:]), tuple(ends)]
    first = index = 0
    while index < len(spots):
        spot = spots[index]
        is_end = spot.seam is not Seam.WORD and fill(starts[-1], spot.tokens) > wanted[spot.seam]
        if is_end and spot.seam is Seam.CAPITAL:
            # A capital with little after it, up to the next stop, is a name.
            after = next((p.tokens for p in spots[index + 1 :] if p.seam), tuple(ends))
            is_end = fill(spot.tokens, after) > wanted[Seam.SENTENCE]
        if not is_end and fill(starts[-1], following[index]) > 1:
            good = [i for i in range(first, index + 1) if fill(starts[-1], spots[i].tokens) > book.line_full]
            index = max(good, key=lambda i: (spots[i].seam, i), default=index)
            is_end = True
        if is_end:
            starts.append(spots[index].tokens)
            first = index + 1
        index += 1
    return [*starts, tuple(ends)]


def _split_full(line: Sequence[Token], width: float) -> list[Sequence[Token]]:
    """A line in as many as it needs, broken between words; nothing where it has no tokens."""
    lines: list[Sequence[Token]] = []
    first, x = 0, 0.0
    word = 0
    for index, token in enumerate(line):
        before = line[index - 1].syllable if index else None
        if before is None or not before.hyphen:
            word = index
        end = x + max(token.width, token.reach)
        x += token.width
        if end > width and word > first:
            lines.append(line[first:word])
            first, x = word, sum(t.width for t in line[word : index + 1])
    return [*lines, line[first:]] if line else []
