"""The tree of the score: its head, its parts, and its measures."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from engrave.exchange.text_tab.lines.instruments import Strung, find_instrument, read_tuning
from engrave.exchange.text_tab.lines.part_lines import is_called_by_instrument, is_unnamed
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.measure_tree import write_measure
from engrave.exchange.text_tab.reading.parts import PartDraft
from engrave.exchange.text_tab.reading.row_marks import mark_notes
from engrave.exchange.text_tab.reading.row_reading import put_shared, put_words
from engrave.exchange.text_tab.reading.timing import Timed, TimedMeasure
from engrave.theory.instrument import PRESETS, Instrument, parse_tuning
from engrave.theory.key import Key, parse_key
from engrave.theory.metre import beat_text
from engrave.writing.key_values import credits_tree

_MOST_FRETS = 36
_HIGHEST_CAPO = 12
_NEAR = 2
"""Columns by which a chord name may miss its note (house rule)."""
_TEMPO = re.compile(r"(?:[^=0-9,]{1,60}(?:, ?| ))?1/(?:1|2|4|8|16|32|64)\.{0,2} ?= ?(\d{1,3})")
"""A tempo as the score language writes it."""
_SLOWEST, _FASTEST = 20, 400
"""Beats a minute that a bare number may mean (house rule)."""

Tree = dict[str, Any]
Heads = dict[str, tuple[int, str]]
"""What stands at the head, by the key of the score: the line it stands in (from 1), and the words."""


def build_head(heads: Heads, parts: Sequence[PartDraft], log: RemarkLog) -> tuple[Tree, list[Instrument]]:
    """The keys before the measures, and the instrument of each part."""
    tree: Tree = {"score": 1}
    for key in ("title", "subtitle"):
        if key in heads:
            tree[key] = heads[key][1]
    credits = {key: heads[key][1] for key in ("music", "words", "arrangement") if key in heads}
    if credits:
        tree["credits"] = credits_tree(credits)
    stated = read_key(heads)
    if stated is not None:
        tree["key"] = stated.name
    elif "key" in heads:
        log.add("dropped", heads["key"][0], 0, f'"{heads["key"][1]}" is not a key')
    _put_tempo(tree, heads, log)
    strung = [_strung(part, heads) for part in parts]
    _check_tuning(heads, parts, log)
    capo = _capo(heads, parts, log)
    if len(parts) == 1 and parts[0].told is None:
        tree.update(_instrument_keys(parts[0], strung[0], capo))
    elif len(parts) == 1 and _is_unnamed(parts[0]):
        tree.update(_keys(parts[0], strung[0], capo))
    else:
        tree["parts"] = [
            {"id": name, **_name(part, name), **_keys(part, own, capo)}
            for name, part, own in zip(part_ids(parts), parts, strung)
        ]
    return tree, [
        part.told.instrument if part.told is not None else _instrument(own, capo)
        for part, own in zip(parts, strung)
    ]


def _name(part: PartDraft, identity: str) -> Tree:
    """The part's name, unless it is called by its instrument: that has a name in every language."""
    told = part.told
    if is_called_by_instrument(identity, part.name) and not (told is not None and told.is_named):
        return {}
    return {"name": part.name} if part.name or told is not None else {}


def _is_unnamed(part: PartDraft) -> bool:
    told = part.told
    if told is None:
        return False
    name = told.keys.get("name", told.keys["preset"])
    return not told.identity and is_unnamed("", told.name, name, bool(told.view))


def _keys(part: PartDraft, strung: Strung, capo: int) -> Tree:
    """The instrument of one of several parts: as a line tells it, else by its strings."""
    if part.told is None:
        return _instrument_keys(part, strung, capo)
    own, described = part.told.instrument, dict(part.told.keys)
    fits = _highest(part) + own.capo <= _MOST_FRETS
    highest = _highest(part) + (own.capo if fits else 0)
    if highest > own.frets:
        described["frets"] = highest
    tree: Tree = {"instrument": described if len(described) > 1 else described["preset"]}
    if own.tuning != PRESETS[described["preset"]].tuning:
        tree["tuning"] = [pitch.name for pitch in reversed(own.tuning)]
    if own.capo and fits:
        tree["capo"] = own.capo
    if part.told.view:
        tree["view"] = part.told.view
    return tree


def read_key(heads: Heads) -> Key | None:
    """The key that the head states; None when it states none."""
    if "key" not in heads:
        return None
    try:
        return parse_key(heads["key"][1])
    except ValueError:
        return None


def _put_tempo(tree: Tree, heads: Heads, log: RemarkLog) -> None:
    if "tempo" not in heads:
        return
    line, words = heads["tempo"]
    tempo = read_head_tempo(words)
    if tempo:
        tree["tempo"] = tempo
    else:
        log.add("dropped", line, 0, f'"{words}" is not a tempo')


def read_head_tempo(words: str) -> str:
    """A tempo as the score language writes it; a bare number counts quarters. "" when it is none."""
    match = re.fullmatch(r"(?:1/4\s*=\s*)?(\d{2,3})(?:\s*bpm)?", words, re.IGNORECASE)
    if match and _SLOWEST <= int(match.group(1)) <= _FASTEST:
        return f"1/4 = {int(match.group(1))}"
    if (mark := _TEMPO.fullmatch(words)) and _SLOWEST <= int(mark.group(1)) <= _FASTEST:
        return words
    return "" if any(sign in words for sign in "=0123456789") else words


def _check_tuning(heads: Heads, parts: Sequence[PartDraft], log: RemarkLog) -> None:
    if "tuning" in heads:
        line, words = heads["tuning"]
        if (
            not any(read_tuning(words, part.strings) for part in parts)
            and words.lower().split()[0] != "standard"
        ):
            log.add("dropped", line, 0, f'"{words}" is not a tuning known here')


def _strung(part: PartDraft, heads: Heads) -> Strung:
    """The instrument of a part: a tuning at the head comes before the names of the strings."""
    told = read_tuning(heads["tuning"][1], part.strings) if "tuning" in heads else ()
    names = list(told) or part.names or [""] * part.strings
    return find_instrument(names, part.family)


def _highest(part: PartDraft) -> int:
    frets = (c.fret or 0 for draft in part.drafts for cluster in draft.clusters for c in cluster.cells)
    return max(frets, default=0)


def _capo(heads: Heads, parts: Sequence[PartDraft], log: RemarkLog) -> int:
    match = re.search(r"\d{1,2}", heads["capo"][1]) if "capo" in heads else None
    if match is None:
        return 0
    capo = int(match.group(0))
    if capo > _HIGHEST_CAPO or any(_highest(part) + capo > _MOST_FRETS for part in parts):
        log.add(
            "dropped", heads["capo"][0], 0, f"no capo at fret {capo}: the frets would lie beyond the neck"
        )
        return 0
    return capo


def _instrument_keys(part: PartDraft, strung: Strung, capo: int) -> Tree:
    """`instrument`, `tuning` and `capo` of a part; more frets where the tab goes higher than the preset."""
    if not part.strings:
        return {"instrument": strung.preset}
    highest = _highest(part) + capo
    more = highest > PRESETS[strung.preset].frets
    keys: Tree = {"instrument": {"preset": strung.preset, "frets": highest} if more else strung.preset}
    if strung.tuning:
        keys["tuning"] = list(strung.tuning)
    if capo:
        keys["capo"] = capo
    return keys


def _instrument(strung: Strung, capo: int) -> Instrument:
    preset = PRESETS[strung.preset]
    capo = capo if preset.strings else 0
    return preset._replace(tuning=parse_tuning(strung.tuning) if strung.tuning else preset.tuning, capo=capo)


def part_ids(parts: Sequence[PartDraft]) -> list[str]:
    """A name for each part that the measures call it by, from the words over its blocks."""
    ids: list[str] = []
    for part in parts:
        stem = re.sub(r"[^a-z0-9]+", "-", part.name.lower()).strip("-")
        stem = stem if stem[:1].isalpha() else f"strings-{part.strings}" if part.strings else "voice"
        stem = part.told.identity or stem if part.told is not None else stem
        name, number = stem, 2
        while name in ids:
            name, number = f"{stem}-{number}", number + 1
        ids.append(name)
    return ids


def build_measures(
    measures: Sequence[TimedMeasure], parts: Sequence[PartDraft], log: RemarkLog
) -> list[Tree]:
    """The measures of the score."""
    ids = part_ids(parts)
    result: list[Tree] = []
    before = "4/4"
    columns = [[measure.parts[number] for measure in measures] for number in range(len(parts))]
    for index, measure in enumerate(measures):
        there = [timed for timed in measure.parts if timed is not None]
        tree: Tree = {}
        if measure.metre.text != before:
            tree["time"] = before = measure.metre.text
        label = next((timed.draft.label for timed in there if timed.draft.label), "")
        if label:
            tree["label"] = label
        if measure.pickup:
            tree["pickup"] = True
        _put_barline(tree, there, index == len(measures) - 1)
        put_shared(tree, [timed.draft for timed in there], log)
        silent = not any(timed.sounds for timed in there)
        short = silent and measure.length != measure.metre.length
        rests = {timed.rests for timed in there}
        if len(rests) == 1 and rests != {1} and silent:
            tree["multiple-rest"] = rests.pop()
        contents = [_content(timed, measure, short, log) for timed in measure.parts]
        for content, part in zip(contents, columns):
            put_words(content, part, index, measures, log)
        if len(parts) == 1:
            tree.update(contents[0])
        else:
            tree["parts"] = dict(zip(ids, contents))
        result.append(tree)
    return result


def _put_barline(tree: Tree, there: Sequence[Timed], is_last: bool) -> None:
    """Repeats and double barlines."""
    measures = [timed.draft.measure for timed in there]
    opens = any(measure.opens or measure.from_here for measure in measures)
    closes = any(measure.closes or measure.to_here for measure in measures)
    words = [word for word, holds in (("start", opens), ("end", closes)) if holds]
    if words:
        tree["repeat"] = " and ".join(words)
    times = max((measure.times for measure in measures), default=0)
    if closes and times > 1:
        tree["times"] = times
    if any(measure.double for measure in measures) and not closes and not is_last:
        tree["barline"] = "double"


def _content(timed: Timed | None, measure: TimedMeasure, short: bool, log: RemarkLog) -> Tree:
    """What one part has in a measure."""
    if timed is None:
        return {"notes": "rest"}
    tree: Tree = {}
    chords = _chords(timed, measure, log)
    if chords:
        tree["chord"] = chords["1"] if list(chords) == ["1"] else chords
    if timed.draft.texts:
        tree["text"] = "; ".join(timed.draft.texts)
    mark_notes(timed, measure, log)
    if timed.repeats:
        tree["measure-repeat"] = timed.repeats
    else:
        tree.update(write_measure(timed.items, short, timed.lower))
    return tree


def _chords(timed: Timed, measure: TimedMeasure, log: RemarkLog) -> dict[str, str]:
    """Chord names by beat: over a note at its moment, else at the beat that the column comes to."""
    found: dict[Fraction, str] = {}
    for column, name, line in timed.draft.chords:
        onset = _onset_at(column, timed, measure)
        if onset in found:
            log.add(
                "dropped",
                line,
                timed.draft.measure.column + column,
                f"{name} falls on the same beat as {found[onset]}",
            )
        else:
            found[onset] = name
    missing = measure.metre.length - measure.length if measure.pickup else Fraction(0)
    return {beat_text(onset + missing, measure.metre): found[onset] for onset in sorted(found)}


def _onset_at(column: int, timed: Timed, measure: TimedMeasure) -> Fraction:
    drawn, lead = timed.draft.measure, timed.draft.lead
    return onset_by_column(column, timed.onsets, (lead, drawn.width), measure.length, measure.metre.unit)


def onset_by_column(
    column: int, onsets: Sequence[tuple[int, Fraction]], edges: tuple[int, int], length: Fraction, unit: int
) -> Fraction:
    """The moment, in whole notes, of what stands over `column` of a measure: that of an event near, else a beat.

    `onsets` are the columns of the events with their moments; `edges` the column where time begins and the width of
    the measure; `length` its whole notes; `unit` the lower number of its time.
    """
    near = min(onsets, key=lambda pair: (abs(pair[0] - column), pair[1] * unit % 1, -pair[0]), default=None)
    if near is not None and abs(near[0] - column) <= _NEAR:
        return near[1]
    lead, width = edges
    beats = int(length * unit)
    beat = min(max(0, (column - lead) * beats // max(1, width - lead)), max(0, beats - 1))
    return Fraction(beat, unit)
