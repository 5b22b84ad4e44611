"""The time of every measure: what rows tell exactly, and what must be guessed from the spacing."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import zip_longest

from engrave.exchange.text_tab.lines.rows import MEASURES, PICKUP
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import Cell
from engrave.exchange.text_tab.reading.drafts import Draft, cut_draft
from engrave.exchange.text_tab.reading.fill import Item, beat_of, collide, fill, hold_voice
from engrave.exchange.text_tab.reading.guess import guess_metre, guess_rhythm, spacing_of, usual_rate
from engrave.exchange.text_tab.reading.parts import PartDraft
from engrave.exchange.text_tab.reading.rhythm import (
    RhythmRow,
    exact_rhythm,
    first_misfit,
    reaches,
    sign_over,
)
from engrave.theory.metre import Metre, parse_metre
from engrave.theory.numbering import Numbering

_SHORTEST, _LONGEST = Fraction(1, 8), Fraction(4)
"""Whole notes that a stated time may hold (house rule: others are misread numbers)."""
_CHUNK = 16
"""A measure whose notes do not fit on sixteenths is cut (house rule)."""
_SIX, _EIGHTHS = 6, 8
_NUMBER = re.compile(r"(?:^|, )number (\d{1,5})(?:,|$)")
_FINEST = 64


@dataclass(slots=True)
class Timed:
    """One part in one measure with its events; `onsets` are (column of the measure, whole notes).

    `lower` are the events of a second voice, None where there is none. `repeats`: it plays so many measures before it
    once more; `rests`: it stands for so many measures of rest.
    """

    draft: Draft
    items: list[Item]
    onsets: list[tuple[int, Fraction]]
    lower: list[Item] | None = None
    repeats: int = 0
    rests: int = 1

    @property
    def sounds(self) -> bool:
        """Whether anything but rests is written."""
        return any(item.sounds or item.marks for item in [*self.items, *(self.lower or ())])


@dataclass(slots=True)
class TimedMeasure:
    """One measure: its metre, its length in whole notes (shorter in a pickup), and what each part has (None: nothing).

    The measure that ends what a pickup began is shorter than its metre too.
    """

    metre: Metre
    length: Fraction
    pickup: bool = False
    parts: list[Timed | None] = field(default_factory=list)


def read_time(text: str) -> Metre | None:
    """The metre that "3/4" names; None when it is none that tab is written in."""
    try:
        metre = parse_metre(text)
    except ValueError:
        return None
    return metre if _SHORTEST <= metre.length <= _LONGEST else None


def set_times(parts: Sequence[PartDraft], stated: str, log: RemarkLog) -> list[TimedMeasure]:
    """Every measure with its time, from the time `stated` at the head ("" when none is)."""
    metre = read_time(stated) or next(
        (found for part in parts for draft in part.drafts[:1] if (found := read_time(draft.time))), None
    )
    for part in parts:
        _read_rows(part, metre, log)
    base = metre or _usual(parts, log)
    for part in parts:
        part.drafts = _cut_crowded(part.drafts, base, log)
        _set_rates(part.drafts, base)
    measures: list[TimedMeasure] = []
    current, pickup = base, Fraction(0)
    rows = list(zip_longest(*(part.drafts for part in parts)))
    numbering = Numbering()
    for index, row in enumerate(rows):
        current = next((m for d in row if d is not None and (m := read_time(d.time))), current)
        following = rows[index + 1] if index + 1 < len(rows) else ()
        measure = _time_measure(
            row, current, index == 0, following, pickup=pickup, numbering=numbering, log=log
        )
        pickup = measure.length if measure.pickup else pickup
        measures.append(measure)
    for number in range(len(parts)):
        column = [measure.parts[number] for measure in measures]
        _hold([timed for timed in column if timed is not None], log)
        _check_repeats(column, log)
    return measures


def _hold(column: Sequence[Timed], log: RemarkLog) -> None:
    """Give every held event of a part the notes that it holds, and see that two voices do not need one string."""
    before: tuple[Cell, ...] = ()
    under: tuple[Cell, ...] = ()
    for timed in column:
        before = hold_voice(timed.items, before)
        under = hold_voice(timed.lower or [], under)
        if timed.lower and collide(timed.items, timed.lower):
            log.add(
                "dropped",
                *timed.draft.position,
                "the row under the strings: both voices need one string at once",
            )
            timed.lower, under = None, ()


def _read_rows(part: PartDraft, metre: Metre | None, log: RemarkLog) -> None:
    """What the rows of a part tell exactly."""
    current = metre
    for draft in part.drafts:
        current = read_time(draft.time) or current
        if draft.row is not None:
            unit = current.unit if current else _count_unit(draft.row)
            beats = sum(current.groups) if current else 0
            draft.exact = exact_rhythm((draft.row, draft.under), draft.measure, draft.clusters, unit, beats)
            if draft.exact is None and draft.under is not None and reaches(draft.under, draft.measure):
                what = "the row under the strings does not fit the row over them; it is not read"
                draft.exact = exact_rhythm((draft.row, None), draft.measure, draft.clusters, unit, beats)
                if draft.clusters:
                    log.add("doubted", *draft.position, what)


def _count_unit(row: RhythmRow) -> int:
    """Counting to six without syllables goes by eighths, else by quarters (common practice, no source)."""
    plain = all(count.beat.denominator == 1 for count in row.counts)
    return _EIGHTHS if plain and row.counts and max(count.beat for count in row.counts) == _SIX - 1 else 4


def _usual(parts: Sequence[PartDraft], log: RemarkLog) -> Metre:
    """The time that most measures have by their rows; where none tells, the one that makes the measures simplest."""
    drafts = [draft for part in parts for draft in part.drafts]
    metres = Counter(_metre_by_row(draft) for draft in drafts if draft.exact is not None)
    if metres:
        return metres.most_common(1)[0][0]
    struck = [draft for draft in drafts if draft.clusters]
    metre = guess_metre([spacing_of(draft.measure, draft.clusters, draft.lead) for draft in struck])
    if struck:
        what = f"no time is told; {metre.text} makes the measures simplest"
        log.add("guessed", *struck[0].position, what)
    return metre


def _set_rates(drafts: Sequence[Draft], metre: Metre) -> None:
    """Let the measures whose rhythm must be guessed know how wide most of them are drawn."""
    unknown = [draft for draft in drafts if draft.exact is None and draft.clusters]
    spacings = [spacing_of(draft.measure, draft.clusters, draft.lead) for draft in unknown]
    rate = usual_rate([guess_rhythm(spacing, metre) for spacing in spacings])
    for draft in unknown:
        draft.rate = rate


def _metre_by_row(draft: Draft) -> Metre:
    """The time that the row over a measure tells: six counts without syllables are six eighths."""
    length = draft.exact.length if draft.exact is not None else Fraction(1)
    if draft.row is not None and draft.row.counts and _count_unit(draft.row) == _EIGHTHS:
        return Metre((int(length * _EIGHTHS),), _EIGHTHS)
    return metre_of(length)


def metre_of(length: Fraction) -> Metre:
    """A metre that lasts `length` whole notes, by quarters where it can."""
    unit = max(4, length.denominator)
    return Metre((int(length * unit),), unit)


def _cut_crowded(drafts: Sequence[Draft], base: Metre, log: RemarkLog) -> list[Draft]:
    """Measures whose notes cannot be guessed on sixteenths cut into several."""
    result: list[Draft] = []
    current = base
    for draft in drafts:
        current = read_time(draft.time) or current
        room = max(1, int(current.length * _CHUNK))
        if draft.exact is not None or len(draft.clusters) <= 2 * room:
            result.append(draft)
            continue
        columns = [cluster.column for cluster in draft.clusters[room::room]]
        log.add(
            "guessed",
            *draft.position,
            "this measure holds too many notes for its time and is cut into several",
        )
        result.extend(cut_draft(draft, [0, *columns, draft.measure.width]))
    return result


def _time_measure(
    row: Sequence[Draft | None],
    metre: Metre,
    is_first: bool,
    following: Sequence[Draft | None],
    pickup: Fraction,
    numbering: Numbering,
    log: RemarkLog,
) -> TimedMeasure:
    """One measure: the first part with a row decides how long it is.

    `following` is the measure after it, empty for the last; `pickup` how long the last pickup was, 0 without one.
    """
    exact = next((d for d in row if d is not None and d.exact is not None), None)
    length = exact.exact.length if exact is not None and exact.exact is not None else metre.length
    short = length < metre.length
    starts_early = short and (_is_pickup(row) or (is_first and bool(following)))
    number = numbering.number(_given_number(row), starts_early, _count_rests(row))
    ends = not following or _is_pickup(following) or any(d is not None and d.measure.closes for d in row)
    ends_early = pickup > 0 and ends and length == metre.length - pickup
    if length != metre.length and not starts_early and not ends_early:
        if exact is not None:
            what = (
                f"measure {number}: its rhythm lasts {metre_of(length).text} where {metre.text} is expected"
            )
            log.add("doubted", *exact.position, what)
        metre = metre_of(length)
    measure = TimedMeasure(metre, length, starts_early)
    for draft in row:
        measure.parts.append(None if draft is None else _time_part(draft, length, metre, number, log))
    return measure


def _is_pickup(row: Sequence[Draft | None]) -> bool:
    """Whether the row of measures calls a measure a pickup."""
    entries = [entry for draft in row if draft is not None for entry in draft.entries]
    return any(entry.row == MEASURES and PICKUP in entry.text.split(", ") for entry in entries)


def _given_number(row: Sequence[Draft | None]) -> int | None:
    """The number that the row of measures gives a measure."""
    entries = [
        entry.text for draft in row if draft is not None for entry in draft.entries if entry.row == MEASURES
    ]
    found = next((match for text in entries if (match := _NUMBER.search(text)) is not None), None)
    return int(found[1]) if found is not None else None


def _count_rests(row: Sequence[Draft | None]) -> int:
    """For how many measures of rest a measure stands."""
    signs = [
        sign_over(d.row, d.measure) for d in row if d is not None and d.row is not None and not d.clusters
    ]
    return max((sign.rests for sign in signs if sign is not None), default=1)


def _time_silence(draft: Draft) -> Timed:
    """A measure without notes: silent, or with a word for the whole of it."""
    sign = sign_over(draft.row, draft.measure) if draft.row is not None else None
    if sign is None:
        return Timed(draft, [], [])
    lower: list[Item] | None = (
        [] if draft.under is not None and sign_over(draft.under, draft.measure) is not None else None
    )
    onsets = [(sign.column - draft.measure.column, Fraction(0))]
    return Timed(draft, [], onsets, lower, sign.repeats, max(1, sign.rests))


def _check_repeats(column: Sequence[Timed | None], log: RemarkLog) -> None:
    """Take away the signs that repeat measures where there are not enough of them, or too few measures before."""
    index = 0
    while index < len(column):
        timed = column[index]
        count = timed.repeats if timed is not None else 0
        group = column[index : index + count]
        whole = len(group) == count and all(other is not None and other.repeats == count for other in group)
        if count and timed is not None and not (whole and index >= count):
            timed.repeats = 0
            log.add(
                "doubted", *timed.draft.position, f"there are no {count} measures here that repeat others"
            )
        index += max(1, timed.repeats if timed is not None else 0)


def _time_part(draft: Draft, length: Fraction, metre: Metre, number: int, log: RemarkLog) -> Timed:
    """One part in measure `number`: exact when its row says so and lasts as long as the measure, else guessed."""
    if draft.exact is not None and draft.exact.length == length:
        return Timed(draft, draft.exact.items, draft.exact.onsets, draft.exact.lower)
    if not draft.clusters:
        return _time_silence(draft)
    if draft.row is not None and reaches(draft.row, draft.measure):
        _doubt_row(draft, draft.row, number, log)
    room = int(length * _FINEST)
    clusters = draft.clusters[:room]
    for cluster in draft.clusters[room:]:
        cell = cluster.cells[0]
        log.add("dropped", cell.line, cell.text_column, f"measure {number} has no room for this note")
    metre = metre if metre.length == length else metre_of(length)
    guess = guess_rhythm(spacing_of(draft.measure, clusters, draft.lead), metre, draft.rate)
    onsets = guess.onsets if guess is not None else ()
    log.add("guessed", *draft.position, f"measure {number}: rhythm guessed from the spacing of the columns")
    if guess is not None and abs(guess.lack) >= 1:
        size = "short" if guess.lack > 0 else "wide"
        what = (
            f"measure {number}: it is drawn too {size} for {metre.text}; its last note lasts to the barline"
        )
        log.add("doubted", *draft.position, what)
    moments = [(onset, cluster.cells) for onset, cluster in zip(onsets, clusters)]
    onsets_by_column = [(cluster.column, onset) for cluster, onset in zip(clusters, onsets)]
    return Timed(draft, fill(moments, length, beat_of(metre)), onsets_by_column)


def _doubt_row(draft: Draft, row: RhythmRow, number: int, log: RemarkLog) -> None:
    """Tell that a row does not fit the notes, at the first note that it misses."""
    misfit = first_misfit(row, draft.measure, draft.clusters)
    if misfit is None:
        log.add("doubted", *draft.position, f"measure {number}: the row of its rhythm does not fit the notes")
        return
    cell = misfit.cells[0]
    what = f"measure {number}: the row of its rhythm does not fit the note in this column"
    log.add("doubted", cell.line, cell.text_column, what)
