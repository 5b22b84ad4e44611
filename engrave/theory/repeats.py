"""Repeats, endings, D.C. and D.S.: the order in which measures are played, and whether it makes sense."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple


class GoBack(Enum):
    """Where the music goes back to, as printed at the end of a measure."""

    DA_CAPO = "D.C."
    DA_CAPO_AL_FINE = "D.C. al Fine"
    DA_CAPO_AL_CODA = "D.C. al Coda"
    DAL_SEGNO = "D.S."
    DAL_SEGNO_AL_FINE = "D.S. al Fine"
    DAL_SEGNO_AL_CODA = "D.S. al Coda"

    @property
    def needs_segno(self) -> bool:
        """True when it goes back to the sign."""
        return self.value.startswith("D.S.")

    @property
    def needs_coda(self) -> bool:
        """True when it leaves for the coda."""
        return self.value.endswith("Coda")

    @property
    def needs_fine(self) -> bool:
        """True when it stops at Fine."""
        return self.value.endswith("Fine")


class RepeatInfo(NamedTuple):
    """What a measure says about the order. `end_times` (usually 2) is set where a repeat ends here.

    `ending` lists the passes for which the measure is played. `coda` marks the start of the coda section.
    """

    start: bool = False
    end_times: int | None = None
    ending: tuple[int, ...] = ()
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    go_back: GoBack | None = None


class _Player:
    """Walks through the measures as a player does."""

    def __init__(self, measures: Sequence[RepeatInfo]) -> None:
        self._measures = measures
        self._order: list[int] = []
        self._start = 0
        self._passed = 1
        self._go_back: GoBack | None = None
        self._left_for_coda = False

    def play(self) -> list[int]:
        position = 0
        limit = 64 * (len(self._measures) + 1)
        while 0 <= position < len(self._measures) and len(self._order) < limit:
            position = self._step(position)
        return self._order

    def _step(self, position: int) -> int:
        info = self._measures[position]
        if info.start and position != self._start and self._go_back is None:
            self._start, self._passed = position, 1
        if info.ending and not self._takes(position, info):
            return position + 1
        self._order.append(position)
        return self._leave(position, info)

    def _takes(self, position: int, info: RepeatInfo) -> bool:
        if self._go_back is None:
            return self._passed in info.ending or self._began_in(position)
        following = self._measures[position + 1 :]
        later = (other.ending for other in _run_of_endings(following))
        return not any(ending and ending != info.ending for ending in later)

    def _began_in(self, position: int) -> bool:
        """Whether the section being repeated starts inside this ending of the section before."""
        run = self._measures[self._start : position + 1]
        return (
            bool(run)
            and run[0].start
            and run[0].ending[:1] > (1,)
            and all(i.ending == run[0].ending for i in run)
        )

    def _leave(self, position: int, info: RepeatInfo) -> int:
        returned = self._go_back
        if returned is not None:
            if returned.needs_fine and info.fine:
                return -1
            if returned.needs_coda and info.to_coda and not self._left_for_coda:
                self._left_for_coda = True
                coda = next((i for i, other in enumerate(self._measures) if other.coda), -1)
                return coda
        elif info.end_times is not None:
            if self._passed < info.end_times:
                self._passed += 1
                return self._start
            self._start, self._passed = position + 1, 1
        if info.go_back is not None and returned is None:
            self._go_back = info.go_back
            if info.go_back.needs_segno:
                return next((i for i, other in enumerate(self._measures) if other.segno), -1)
            return 0
        return position + 1


def _run_of_endings(measures: Sequence[RepeatInfo]) -> list[RepeatInfo]:
    run = []
    for info in measures:
        if not info.ending:
            break
        run.append(info)
    return run


def unfold(measures: Sequence[RepeatInfo]) -> list[int]:
    """The indices of the measures in the order of playing.

    Repeats are not taken again after a go_back, and of several endings only the last is played then (common practice,
    no source). Never endless: stops after 64 times the length.
    """
    return _Player(measures).play()


def check_structure(measures: Sequence[RepeatInfo]) -> list[tuple[int, str, str]]:
    """Endings and returns that lead nowhere: (index, what is wrong, what would be right)."""
    problems: list[tuple[int, str, str]] = []
    has_segno = any(info.segno for info in measures)
    has_coda = any(info.coda for info in measures)
    has_to_coda = any(info.to_coda for info in measures)
    has_fine = any(info.fine for info in measures)
    returns = {info.go_back for info in measures if info.go_back is not None}
    to_coda = any(go_back.needs_coda for go_back in returns)
    to_segno = any(go_back.needs_segno for go_back in returns)
    for index, info in enumerate(measures):
        go_back = info.go_back
        if go_back is not None:
            wants = f'"{go_back.value}"'
            if go_back.needs_segno and not has_segno:
                problems.append(
                    (index, f"{wants} has no sign to go back to", "put segno: true where it goes back to")
                )
            if go_back.needs_fine and not has_fine:
                problems.append(
                    (index, f"{wants} has no Fine to end at", "put fine: true on the last measure to play")
                )
            if go_back.needs_coda and not has_coda:
                problems.append(
                    (index, f"{wants} has no coda to go to", "put coda: true where the coda starts")
                )
            if go_back.needs_coda and not has_to_coda:
                problems.append(
                    (index, f"{wants} never leaves for the coda", "put to-coda: true where it is left")
                )
        if info.to_coda and not to_coda:
            problems.append(
                (index, "nothing leads from here to the coda", "a D.C. al Coda or D.S. al Coda is missing")
            )
        if info.segno and not to_segno:
            problems.append((index, "nothing goes back to this segno", "a D.S. is missing, or remove segno"))
    problems.extend(_check_endings(measures))
    return sorted(problems, key=lambda problem: problem[0])


def _check_endings(measures: Sequence[RepeatInfo]) -> list[tuple[int, str, str]]:
    problems: list[tuple[int, str, str]] = []
    expected = 1
    for index, info in enumerate(measures):
        before = measures[index - 1].ending if index else ()
        follows = measures[index + 1].ending if index + 1 < len(measures) else ()
        if not info.ending:
            expected = 1
            continue
        if info.ending != before or (index and measures[index - 1].end_times is not None):
            if info.ending[0] != expected:
                problems.append(
                    (
                        index,
                        f"ending {info.ending[0]} where ending {expected} was expected",
                        f"write ending: {expected}",
                    )
                )
            expected = info.ending[-1] + 1
        closes = info.end_times is not None
        if not closes and follows and follows != info.ending:
            problems.append(
                (index, f"ending {info.ending[-1]} does not go back", "put repeat: end on its last measure")
            )
        if info.ending[0] == 1 and not follows and not closes:
            problems.append((index, "ending 1 does not go back", "put repeat: end on its last measure"))
    return problems
