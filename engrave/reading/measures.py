"""The keys that all parts share in a measure: time, key, repeats, labels."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from engrave.problems import ProblemLog
from engrave.reading.header import read_tempo
from engrave.score.structure import Barline, Measure, NewLine, Tempo
from engrave.source.tree import SourceMap
from engrave.theory.key import Key, parse_key
from engrave.theory.metre import Metre, parse_metre
from engrave.theory.numbering import Numbering
from engrave.theory.repeats import GoBack, RepeatInfo
from engrave.theory.swing import Swing

_PLAIN = RepeatInfo()


@dataclass(slots=True, eq=False)
class _State:
    """What holds from measure to measure."""

    key: Key
    metre: Metre
    counting: bool = False
    swing: Swing = Swing.NONE


class MeasureReader:
    """Reads the shared keys of the measures in order."""

    def __init__(self, tree: SourceMap, log: ProblemLog) -> None:
        """Start from the key, time and tempo at the head of the score."""
        self._log = log
        self._numbering = Numbering()
        self._state = _State(Key(0), Metre((4,), 4), counting=tree.get("counting", False))
        self._read_key(tree, "")
        self._read_metre(tree, "")
        self._tempo = self._read_tempo(tree, "")
        self._state.swing = Swing(tree.get("swing", Swing.NONE.value))
        self._count = 0
        self._total = len(tree["measures"])

    def read(self, entry: SourceMap) -> Measure:
        """The next measure; its length is that of its metre until the music is known."""
        index, state = self._count, self._state
        self._count += 1
        rests = entry.get("multiple-rest", 1)
        number = self._numbering.number(entry.get("number"), entry.get("pickup", False), rests)
        where = f"measure {number}"
        key_before, metre_before = state.key, state.metre
        swing_before = state.swing if index else Swing.NONE
        self._read_key(entry, where)
        self._read_metre(entry, where)
        state.counting = entry.get("counting", state.counting)
        self._read_swing(entry, metre_before, where)
        tempo = self._read_tempo(entry, where)
        if index == 0 and tempo is None:
            tempo = self._tempo
        default = Barline.FINAL if index == self._total - 1 else Barline.SINGLE
        return Measure(
            index=index,
            number=number,
            metre=state.metre,
            key=state.key,
            length=state.metre.length,
            pickup=entry.get("pickup", False),
            key_changes=index == 0 or state.key.fifths != key_before.fifths,
            metre_changes=index == 0 or state.metre != metre_before,
            label=str(entry.get("label", "")),
            tempo=tempo,
            repeat=self._read_repeat(entry, where),
            barline=Barline(entry["barline"]) if "barline" in entry else default,
            new=NewLine(entry["new"]) if "new" in entry else NewLine.NONE,
            location=entry.location,
            rests=rests,
            counting=state.counting,
            swing=state.swing,
            swing_changes=state.swing is not swing_before,
        )

    def _read_key(self, entry: SourceMap, where: str) -> None:
        if "key" in entry:
            try:
                self._state.key = parse_key(str(entry["key"]))
            except ValueError as error:
                self._log.error(entry.value_location("key"), str(error), where)

    def _read_metre(self, entry: SourceMap, where: str) -> None:
        if "time" in entry:
            try:
                self._state.metre = parse_metre(str(entry["time"]))
            except ValueError as error:
                self._log.error(entry.value_location("time"), str(error), where)

    def _read_swing(self, entry: SourceMap, metre_before: Metre, where: str) -> None:
        """Warn where a swing or a time begins, and the time has no pairs of what is swung."""
        state, is_told = self._state, "swing" in entry
        if is_told:
            state.swing = Swing(entry["swing"])
        begins = is_told or state.metre != metre_before or self._count == 1
        if begins and state.swing is not Swing.NONE and not state.swing.has_pairs_in(state.metre):
            location = entry.value_location("swing") if is_told else entry.location
            what = (
                f"{state.metre.text} has no pairs of {state.swing.value} to swing; they are played as written"
            )
            self._log.warning(location, what, where, "write swing: none")

    def _read_tempo(self, entry: SourceMap, where: str) -> Tempo | None:
        if "tempo" not in entry:
            return None
        try:
            return read_tempo(str(entry["tempo"]), entry.value_location("tempo"))
        except ValueError as error:
            self._log.error(entry.value_location("tempo"), str(error), where)
            return None

    def _read_repeat(self, entry: SourceMap, where: str) -> RepeatInfo:
        repeat = entry.get("repeat", "")
        ends = repeat in ("end", "start and end")
        if "times" in entry and not ends:
            self._log.error(
                entry.key_location("times"), "times stands beside repeat: end", where, "add repeat: end"
            )
        ending = entry.get("ending", ())
        if isinstance(ending, int):
            ending = (ending,)
        info = RepeatInfo(
            start=repeat in ("start", "start and end"),
            end_times=entry.get("times", 2) if ends else None,
            ending=tuple(sorted(set(ending))),
            segno=entry.get("segno", False),
            coda=entry.get("coda", False),
            to_coda=entry.get("to-coda", False),
            fine=entry.get("fine", False),
            go_back=GoBack(entry["go-back"]) if "go-back" in entry else None,
        )
        return _PLAIN if info == _PLAIN else info


def expected_lengths(measures: list[Measure]) -> list[Fraction | None]:
    """For each measure, the shorter length that is right too: where a section ends that began with a pickup.

    The pickup's length must be known. None where only the full metre will do.
    """
    shorter: list[Fraction | None] = []
    pickup = Fraction(0)
    for index, measure in enumerate(measures):
        if measure.pickup:
            pickup = measure.length
        ends = (
            index == len(measures) - 1
            or measure.repeat.end_times is not None
            or (index + 1 < len(measures) and measures[index + 1].pickup)
        )
        shorter.append(measure.metre.length - pickup if ends and pickup and not measure.pickup else None)
    return shorter
