"""Lines at the head that tell of a part what neither its name nor its strings do.

`Part: Anna; id lead; banjo; capo 2; tuning G4 D3 G3 B3 D4` is about the blocks that are headed `Anna:`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from engrave.exchange.text_tab.lines.blocks import FEWEST, MOST, Block
from engrave.exchange.text_tab.lines.text_lines import (
    RemarkLog,
    as_typed,
    is_read_so,
    plain_words,
    quoted,
    without_quotes,
)
from engrave.problems import did_you_mean
from engrave.score.structure import PART_VIEWS, Part
from engrave.theory.clef import Clef
from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, parse_tuning
from engrave.theory.pitch import parse_pitch

_LINE = re.compile(r"\s*Part:\s*(?P<label>[^;]+?)\s*;\s*(?P<rest>.*\S)\s*")
_PIECE = re.compile(
    r"id (?P<id>[A-Za-z][A-Za-z0-9_-]*)|name (?P<name>.+)|called (?P<called>.+)|tuning (?P<tuning>.+)"
    r"|capo (?P<capo>\d|1[0-2])|(?P<frets>[1-9]|[12]\d|3[0-6]) frets|clef (?P<clef>[a-z8-]+)"
    r"|octave (?P<octave>-?[012])|scale (?P<scale>\d{3,4}(?:\.\d+)?) mm|view (?P<view>[a-z+-]+)|(?P<preset>[a-z0-9-]+)"
)
_CLEFS = [clef.value for clef in Clef]
_STRUNG = {"tuning", "capo", "frets", "scale"}
"""Pieces that tell of strings."""
_SHORTEST, _LONGEST = 100, 2000
"""Millimetres of a scale length in the score language."""


@dataclass(frozen=True, slots=True)
class PartLine:
    """What a line tells: what the blocks are headed by, the part's name and id ("": none told), its instrument, its view.

    `is_named`: the name is told apart from what the blocks are headed by.

    `keys` are those of a mapping that describes the instrument in the score language.
    """

    label: str
    name: str
    identity: str
    instrument: Instrument
    view: str = ""
    keys: dict[str, Any] = field(default_factory=dict)
    is_named: bool = False


def take_part_lines(blocks: Sequence[Block], log: RemarkLog) -> list[PartLine]:
    """The lines about parts over the first block; the blocks that they are about are given their part.

    The lines, and those that head blocks, are taken away; those that are not understood are remarked.
    """
    found: dict[str, PartLine] = {}
    lines = [line for line in (blocks[0].above if blocks else ()) if _LINE.fullmatch(line.text)]
    for line in lines:
        try:
            part = _read_line(line.text)
        except ValueError as error:
            log.add("dropped", line.number, 0, f"this line about a part: {error}")
        else:
            found.setdefault(part.label, part)
    labels = {f"{label}:": label for label in found}
    for block in blocks:
        block.above = [line for line in block.above if line not in lines]
        heads = [line for line in block.above if plain_words(line.text) in labels]
        block.above = [line for line in block.above if line not in heads]
        block.part = labels[plain_words(heads[-1].text)] if heads else ""
        if not heads and len(found) == 1:
            block.part = next(iter(found))
    return list(found.values())


def _read_line(text: str) -> PartLine:
    """What a line tells of a part. Raises ValueError that says which piece of it is none."""
    match = _LINE.fullmatch(text)
    if match is None:
        raise ValueError("write Part: NAME; and what is to be said")
    told: dict[str, str] = {}
    for piece in match["rest"].split(";"):
        found = _PIECE.fullmatch(piece.strip())
        if found is None or found.lastgroup is None:
            raise ValueError(f'"{piece.strip()[:40]}" is not understood')
        if found.lastgroup in told:
            raise ValueError(f'"{piece.strip()[:40]}" says what is said already')
        told[found.lastgroup] = found[found.lastgroup]
    label = plain_words(match["label"])
    instrument, keys = _instrument(told)
    view = told.get("view", "")
    if view and view not in PART_VIEWS:
        raise ValueError(f'"{view}" is not a view; {did_you_mean(view, PART_VIEWS)}')
    name = without_quotes(told.get("name", label))
    return PartLine(
        label=label,
        name=name,
        identity=told.get("id", ""),
        instrument=instrument,
        view=view,
        keys=keys,
        is_named="name" in told,
    )


def _instrument(told: dict[str, str]) -> tuple[Instrument, dict[str, Any]]:
    """The instrument that the pieces of a line tell, and its keys. Raises ValueError."""
    preset = told.get("preset", "guitar")
    if preset not in PRESETS:
        raise ValueError(f'"{preset[:40]}" is not an instrument; {did_you_mean(preset, PRESETS)}')
    if not PRESETS[preset].tuning and told.keys() & _STRUNG:
        raise ValueError(f"a {preset} has no strings")
    keys: dict[str, Any] = {"preset": preset}
    instrument = PRESETS[preset]
    if "called" in told:
        keys["name"] = without_quotes(told["called"])
    if "frets" in told:
        keys["frets"] = int(told["frets"])
    if "clef" in told:
        if told["clef"] not in _CLEFS:
            raise ValueError(f'"{told["clef"]}" is not a clef here; {did_you_mean(told["clef"], _CLEFS)}')
        keys["clef"] = told["clef"]
    if "octave" in told:
        keys["octave"] = int(told["octave"])
    if "scale" in told:
        keys["scale-length"] = float(told["scale"])
        if not _SHORTEST <= keys["scale-length"] <= _LONGEST:
            raise ValueError(
                f'"scale {told["scale"]} mm" is not a length of strings; write {_SHORTEST} to {_LONGEST} mm'
            )
    tuning = instrument.tuning
    if "tuning" in told:
        names = TUNINGS.get(told["tuning"], tuple(told["tuning"].split()))
        tuning = tuple(reversed([parse_pitch(name) for name in names]))
        if not FEWEST <= len(tuning) <= MOST:
            raise ValueError(f"a tuning of {len(tuning)} strings; {FEWEST} to {MOST} can be written")
    frets = keys.get("frets", instrument.frets)
    return instrument._replace(tuning=tuning, frets=frets, capo=int(told.get("capo", 0))), keys


def write_part_line(part: Part, label: str, alone: bool) -> str:
    """The line that tells all of a part whose blocks are headed by `label`; `alone`: it is the only one."""
    return "; ".join([f"Part: {label}", *_pieces(part, label, alone)])


def _pieces(part: Part, label: str, alone: bool) -> Iterator[str]:
    own = part.instrument
    preset = _preset(own)
    if not alone or not is_unnamed(part.id, part.name, own.name, part.view is not None):
        yield f"id {part.id}"
    if part.name != label or (part.is_named and is_called_by_instrument(part.id, part.name)):
        yield f"name {_words(part.name)}"
    yield preset.name
    if own.name != preset.name:
        yield f"called {_words(own.name)}"
    if own.tuning != preset.tuning:
        known = [name for name, pitches in TUNINGS.items() if parse_tuning(pitches) == own.tuning]
        yield f"tuning {known[0] if known else ' '.join(pitch.name for pitch in reversed(own.tuning))}"
    if own.capo:
        yield f"capo {own.capo}"
    if own.frets != preset.frets:
        yield f"{own.frets} frets"
    if own.clef is not preset.clef or own.clef_by_range is not preset.clef_by_range:
        yield f"clef {own.clef.value}"
    if own.octave != preset.octave:
        yield f"octave {own.octave}"
    if own.scale_length != preset.scale_length:
        yield f"scale {own.scale_length:g} mm"
    if part.view is not None:
        yield f"view {part.view.value}"


def _preset(own: Instrument) -> Instrument:
    """The preset that an instrument was made from: by its name, else by what no piece of a line can tell."""
    fitting = [
        preset
        for preset in PRESETS.values()
        if preset.first_frets == own.first_frets
        and (preset.tuning == own.usual_tuning or len(preset.tuning) != own.strings)
        and bool(preset.tuning) == bool(own.tuning)
    ]
    usual = PRESETS["guitar" if own.tuning else "voice"]
    return next((preset for preset in fitting if preset.name == own.name), (fitting or [usual])[0])


def part_labels(parts: Sequence[Part]) -> list[str]:
    """What the blocks of each part are headed by where lines tell of the parts: their names, as far as they can be."""
    labels: list[str] = []
    for number, part in enumerate(parts, 1):
        able = _is_plain(part.name) and part.name not in labels and "|" not in part.name
        labels.append(part.name if able and "--" not in part.name else f"Part {number}")
    return labels


def is_called_by_instrument(identity: str, name: str) -> bool:
    """Whether a part's name is that of an instrument, which its id says too."""
    return identity in PRESETS and name == identity[:1].upper() + identity[1:]


def is_unnamed(identity: str, name: str, instrument: str, own_view: bool) -> bool:
    """Whether a part is called by its instrument alone, as one is that a score does not list."""
    return not own_view and identity in ("", instrument) and name == instrument[:1].upper() + instrument[1:]


def _words(name: str) -> str:
    return name if _is_plain(name) else quoted(name)


def _is_plain(name: str) -> bool:
    """Whether a name comes back from a line about a part."""
    return as_typed(name) == name and is_read_so(name) and ";" not in name
