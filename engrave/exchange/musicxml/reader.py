"""MusicXML files read into the tree of the score language (MusicXML 4.0, the elements of score-partwise).

The look of a page - margins, fonts, positions, line breaks, stems and beams - is left behind without a word: it is made
anew. Breaks stay only in files of this project's writer, where the author asked for them; those of others belong to their
paper. Everything else that the language has no place for is told as a loss.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engrave.exchange.musicxml.reading.instruments import Header, choose_header
from engrave.exchange.musicxml.reading.losses import Loss, LossLog
from engrave.exchange.musicxml.reading.measures import PartReader
from engrave.exchange.musicxml.reading.merging import merge_staves
from engrave.exchange.musicxml.reading.music import (
    ZERO,
    Habits,
    Shared,
    Staff,
    StaffMeasure,
    Unpitched,
)
from engrave.exchange.musicxml.reading.parts import (
    PartEntry,
    choose_parts,
    doubt_head,
    is_own,
    list_parts,
    part_ids,
    read_head,
    to_partwise,
)
from engrave.exchange.musicxml.reading.plan import Plan, plan_measures
from engrave.exchange.musicxml.reading.rhythm import snap
from engrave.exchange.musicxml.reading.score import StaffWriter
from engrave.exchange.musicxml.reading.setup import PartSetup
from engrave.exchange.musicxml.reading.shapes import ShapeBook
from engrave.exchange.musicxml.reading.slurs import take_slurs
from engrave.exchange.musicxml.reading.source import open_source
from engrave.exchange.musicxml.reading.structure import (
    Endings,
    is_plain,
    read_barline,
    repair_structure,
    settle_codas,
    settle_endings,
    write_structure,
)
from engrave.theory.instrument import PRESETS

__all__ = ["Loss", "read_musicxml"]

_MOST_PARTS = 12
"""Parts that a score of the language has at most."""
_MOST_MEASURES = 20_000
"""Measures that are read at most (house rule)."""
_MOST_IN_ALL = 120_000
"""Measures of all parts together: six parts of twenty thousand (house rule)."""


def read_musicxml(
    data: bytes, wanted: Sequence[str] = (), merge: bool = False, unpitched: Unpitched = Unpitched.LEFT_OUT
) -> tuple[dict[str, Any], list[Loss]]:
    """The tree of a MusicXML file (plain or compressed) and what it could not take over.

    `wanted` chooses parts by name, id or number (1, 2 ...), all when empty. `merge` puts two staves into one part, `unpitched`
    says what notes without a pitch become. Raises ValueError, with a sentence that can be
    shown, for everything that cannot be read.
    """
    root = to_partwise(open_source(data))
    entries = choose_parts(list_parts(root), wanted)
    losses = LossLog()
    habits = Habits(is_own(root), is_own(root) or _tells_rests(entries), unpitched)
    shapes = ShapeBook()
    if habits.own:
        shapes.read_head(root)
    row, staves = _read_parts(entries, habits, shapes, losses)
    if not row:
        raise ValueError("the file has no measures")
    tree: dict[str, Any] = {"score": 1, **read_head(root)}
    losses.at("", "")
    for doubt in doubt_head(tree, root):
        losses.remark(doubt)
    staves = _limit(staves, losses)
    _complete(row, staves)
    staves = merge_staves(staves) if merge else staves
    row, staves = _merge_rests(row, staves, losses)
    _check_repeats(row, staves, losses)
    settle_codas(row)
    settle_endings(row)
    repair_structure(row, losses)
    plans = _plan(row, staves, losses)
    headers = [choose_header(staff, losses) for staff in staves]
    written = [
        StaffWriter(staff, header, plans, row, losses).write()
        for staff, header in zip(staves, headers, strict=True)
    ]
    _write_head(tree, row, plans, staves, headers)
    fretted = next((header.instrument for header in headers if header.is_fretted), None)
    tree.update(shapes.write(fretted.strings if fretted is not None else 0, losses))
    tree["measures"] = _write_measures(row, plans, _ids(staves, headers), written)
    return tree, losses.result()


def _tells_rests(entries: Sequence[PartEntry]) -> bool:
    """Whether any rest says that it fills its measure."""
    rests = (
        note.find("rest")
        for entry in entries
        for measure in entry.node.all("measure")
        for note in measure.all("note")
    )
    return any(rest is not None and rest.get("measure") == "yes" for rest in rests)


def _read_parts(
    entries: Sequence[PartEntry], habits: Habits, shapes: ShapeBook, losses: LossLog
) -> tuple[list[Shared], list[Staff]]:
    """The measures of all parts; the first part decides for all where several say something."""
    row: list[Shared] = []
    staves: list[Staff] = []
    total = 0
    for number, entry in enumerate(entries, start=1):
        called = entry.called(number) if len(entries) > 1 else entry.name
        reader = PartReader(PartSetup(), losses, habits, shapes)
        endings = Endings()
        found: list[dict[int, StaffMeasure]] = []
        owns: list[Shared] = []
        measures = entry.node.all("measure")
        total += len(measures)
        if len(measures) > _MOST_MEASURES or total > _MOST_IN_ALL:
            raise ValueError(
                f"the file has more than {_MOST_MEASURES} measures, or more than {_MOST_IN_ALL} in all parts"
            )
        for measure in measures:
            losses.at(called, measure.get("number"))
            own = Shared(measure.get("number"), measure.get("implicit") == "yes")
            found.append(reader.read(measure, own))
            before = owns[-1] if owns else None
            for barline in measure.all("barline"):
                read_barline(barline, own, before, losses)
            own.starts = own.starts or bool(owns and owns[-1].starts_after)
            endings.read(measure, own)
            owns.append(own)
        reader.finish()
        endings.close()
        for first, own in zip(row, owns, strict=False):
            _fill_in(first, own)
        row.extend(owns[len(row) :])
        staves.extend(_staves(entry, reader.setup, found, losses))
    return row, staves


def _fill_in(first: Shared, other: Shared) -> None:
    """What a later part says and the first ones do not."""
    for name in ("time", "key", "tempo", "swing", "label", "go_back", "barline", "ending", "ends", "new"):
        if not getattr(first, name):
            setattr(first, name, getattr(other, name))
    for name in ("starts", "segno", "coda", "to_coda", "fine"):
        setattr(first, name, getattr(first, name) or getattr(other, name))
    first.counting = other.counting if first.counting is None else first.counting
    first.rests = max(first.rests, other.rests)


def _staves(
    entry: PartEntry, setup: PartSetup, found: Sequence[dict[int, StaffMeasure]], losses: LossLog
) -> list[Staff]:
    """The staves of a part; where one of them is a tab it alone is kept, as the others show the same."""
    numbers = sorted(set(setup.staves) | {number for measures in found for number in measures})
    staves = []
    for number in numbers:
        name = entry.name if len(numbers) == 1 else f"{entry.name} {number}" if entry.name else ""
        measures = [measures.get(number, StaffMeasure()) for measures in found]
        own = setup.staves.get(number) or type(setup.staves[1])()
        brace = entry.brace or (entry.called(1) if len(numbers) > 1 else "")
        staves.append(Staff(entry.id, name, own, measures, brace, entry.program))
    tabs = [staff for staff in staves if staff.setup.is_tab and staff.count_notes()]
    if not tabs or len(tabs) == len(staves):
        sounding = [staff for staff in staves if staff.count_notes() or len(staves) == 1]
        return sounding or staves[:1]
    tab = tabs[0]
    tab.name, tab.brace = entry.name, entry.brace
    for staff in staves:
        if staff is tab:
            continue
        tab.setup.clef = tab.setup.clef or staff.setup.clef
        tab.setup.tuning = tab.setup.tuning or staff.setup.tuning
        tab.setup.capo = tab.setup.capo or staff.setup.capo
        losses.at(entry.name, "")
        losses.notes(staff.count_notes(), "shown on the tab too")
        take_slurs(tab.measures, staff.measures)
        for measure, other in zip(tab.measures, staff.measures, strict=True):
            measure.chords.extend(other.chords)
            measure.texts.extend(other.texts)
            measure.dynamics.extend(other.dynamics)
            measure.clefs.extend(other.clefs)
            measure.edges.extend(edge for edge in other.edges if edge.kind != "lasting")
    return [tab]


def _limit(staves: list[Staff], losses: LossLog) -> list[Staff]:
    for staff in staves[_MOST_PARTS:]:
        losses.at(staff.name, "")
        losses.add(f"part beyond the {_MOST_PARTS} that a score has")
        losses.notes(staff.count_notes(), "of a part too many")
    return staves[:_MOST_PARTS]


def _complete(row: Sequence[Shared], staves: Sequence[Staff]) -> None:
    """Parts that stop early are silent to the end."""
    for staff in staves:
        staff.measures.extend(StaffMeasure() for _ in range(len(row) - len(staff.measures)))


def _merge_rests(row: list[Shared], staves: list[Staff], losses: LossLog) -> tuple[list[Shared], list[Staff]]:
    """Multiple rests: one measure stands for all, where every part rests and words and signs stand in the first alone."""
    kept: list[int] = []
    index = 0
    while index < len(row):
        count = row[index].rests
        silent = range(index, min(index + count, len(row)))
        plain = all(is_plain(row[i]) for i in silent[1:])
        if count > 1 and not (
            plain
            and len(silent) == count
            and all(
                s.measures[index].rests and all(s.measures[i].is_silent for i in silent[1:]) for s in staves
            )
        ):
            losses.at("", row[index].number)
            losses.add("multiple rest")
            row[index].rests = count = 1
        kept.append(index)
        index += count
    for staff in staves:
        staff.measures = [staff.measures[i] for i in kept]
    return [row[i] for i in kept], staves


def _check_repeats(row: Sequence[Shared], staves: Sequence[Staff], losses: LossLog) -> None:
    """Signs that repeat measures stand in whole groups after measures that they can repeat."""
    for staff in staves:
        index = 0
        while index < len(row):
            number = staff.measures[index].repeats
            stop = index + 1
            while number and stop < len(row) and staff.measures[stop].repeats == number:
                stop += 1
            good = (stop - index) // number * number if number and index >= number else 0
            for wrong in range(index + good, stop) if number else ():
                losses.at(staff.name, row[wrong].number)
                losses.add("measure repeat")
                staff.measures[wrong].repeats = 0
            index = stop


def _plan(row: Sequence[Shared], staves: Sequence[Staff], losses: LossLog) -> list[Plan]:
    lengths, rests = [], []
    for index, shared in enumerate(row):
        measures = [s.measures[index] for s in staves if not s.measures[index].repeats]
        lengths.append(max((snap(measure.length) for measure in measures if measure.sounds), default=ZERO))
        silent = measures if shared.rests == 1 else []
        rests.append(max((snap(measure.length) for measure in silent if not measure.sounds), default=ZERO))
    return plan_measures(row, lengths, rests, losses)


def _write_head(
    tree: dict[str, Any],
    row: Sequence[Shared],
    plans: Sequence[Plan],
    staves: Sequence[Staff],
    headers: Sequence[Header],
) -> None:
    if len(staves) == 1:
        tree.update(headers[0].keys)
    tree["key"] = row[0].key or "C major"
    tree["time"] = plans[0].time
    if row[0].tempo:
        tree["tempo"] = row[0].tempo
    if row[0].swing:
        tree["swing"] = row[0].swing
    if len(staves) > 1:
        tree["parts"] = [
            {
                "id": name,
                **_name(name, staff),
                **_anonymous(header.keys),
                **({"brace": staff.brace} if is_braced else {}),
            }
            for name, staff, header, is_braced in zip(
                _ids(staves, headers), staves, headers, _braced(staves), strict=True
            )
        ]


def _ids(staves: Sequence[Staff], headers: Sequence[Header]) -> list[str]:
    """How the measures call the parts: by their names, those without one by their instruments."""
    return part_ids([staff.name or header.preset for staff, header in zip(staves, headers, strict=True)])


def _name(identity: str, staff: Staff) -> dict[str, str]:
    """The name that pages print; an instrument's own goes without saying."""
    name = staff.name or ("" if identity in PRESETS else identity.replace("-", " ").capitalize())
    return {"name": name} if name else {}


def _braced(staves: Sequence[Staff]) -> list[bool]:
    """For each staff whether a neighbour stands in its brace."""
    names = ["", *(staff.brace for staff in staves), ""]
    return [bool(own) and own in (names[at], names[at + 2]) for at, own in enumerate(names[1:-1])]


def _anonymous(keys: dict[str, Any]) -> dict[str, Any]:
    """An instrument without the name that its part has already."""
    value = keys["instrument"]
    if isinstance(value, dict):
        value = {name: entry for name, entry in value.items() if name != "name"}
        value = value["preset"] if len(value) == 1 else value
    return {**keys, "instrument": value}


def _write_measures(
    row: Sequence[Shared],
    plans: Sequence[Plan],
    ids: Sequence[str],
    written: Sequence[Sequence[dict[str, Any]]],
) -> list[dict[str, Any]]:
    measures = []
    for index, (shared, plan) in enumerate(zip(row, plans, strict=True)):
        entry: dict[str, Any] = {}
        if index and plan.time != plans[index - 1].time:
            entry["time"] = plan.time
        if index and shared.key:
            entry["key"] = shared.key
        if index and shared.tempo:
            entry["tempo"] = shared.tempo
        if index and shared.swing:
            entry["swing"] = shared.swing
        if shared.label:
            entry["label"] = shared.label
        if shared.counting is not None:
            entry["counting"] = shared.counting
        if shared.new:
            entry["new"] = shared.new
        if plan.pickup:
            entry["pickup"] = True
        if plan.number is not None:
            entry["number"] = plan.number
        entry.update(write_structure(shared))
        contents = [column[index] for column in written]
        if len(ids) == 1:
            entry.update(contents[0] or ({} if "multiple-rest" in entry else {"notes": "rest"}))
        else:
            parts = {name: content for name, content in zip(ids, contents, strict=True) if content}
            entry.update({"parts": parts} if parts else {})
        measures.append(entry)
    return measures
