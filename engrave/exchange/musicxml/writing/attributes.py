"""The attributes of a measure (key, time, clef, strings, transposition, repeat signs of measures) and its barlines."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.xml import add, make
from engrave.score.structure import Barline, Measure, Part
from engrave.theory.clef import Clef
from engrave.theory.harmonics import touched_pitch
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.metre import Metre
from engrave.theory.pitch import STEPS, Pitch

_USUAL_TIMES = 2
_BAR_STYLES = {
    Barline.DOUBLE: "light-light",
    Barline.FINAL: "light-heavy",
    Barline.DASHED: "dashed",
    Barline.NONE: "none",
}


def clef_octaves(instrument: Instrument) -> int:
    """How many octaves lower than the written pitch the clef itself says: pitches in the file are lower by them.

    MusicXML 4.0, clef-octave-change: a clef with an 8 changes what its lines stand for.
    """
    return 1 if instrument.clef.says_octave else 0


def add_attributes(
    parent: Element, part: Part, measures: Sequence[Measure], index: int, divisions: int
) -> None:
    """Add what changes at measure `index`; everything at the first one. Nothing where nothing changes."""
    now, before = measures[index], measures[index - 1] if index else None
    attributes = Element("attributes")
    if before is None:
        add(attributes, "divisions", divisions)
    if before is None or now.key != before.key:
        _add_key(attributes, now.key)
    if before is None or now.metre != before.metre:
        _add_time(attributes, now.metre)
    if before is None:
        _add_clef(attributes, part.instrument.clef)
        if part.is_fretted:
            _add_strings(attributes, part.instrument)
        _add_transposition(attributes, part.instrument)
    _add_measure_style(attributes, part, now, index)
    if len(attributes):
        parent.append(attributes)


def _add_key(attributes: Element, key: Key) -> None:
    element = add(attributes, "key")
    add(element, "fifths", key.fifths)
    add(element, "mode", key.mode.name.lower())


def _add_time(attributes: Element, metre: Metre) -> None:
    element = add(attributes, "time")
    if metre.symbol:
        element.set("symbol", "common" if metre.unit == 4 else "cut")
    add(element, "beats", "+".join(map(str, metre.groups)))
    add(element, "beat-type", metre.unit)


def clef_change(clef: Clef) -> Element:
    """Attributes that say nothing but that a clef holds from here on."""
    attributes = make("attributes")
    _add_clef(attributes, clef)
    return attributes


def _add_clef(attributes: Element, clef: Clef) -> None:
    element = add(attributes, "clef")
    add(element, "sign", clef.glyph[0].upper())
    add(element, "line", clef.reference_position // 2 + 1)
    if clef.says_octave:
        add(element, "clef-octave-change", -1)


def _add_strings(attributes: Element, instrument: Instrument) -> None:
    """The open strings as they sound without the capo; line 1 is the lowest (MusicXML 4.0, staff-tuning)."""
    details = add(attributes, "staff-details")
    for line, pitch in enumerate(reversed(instrument.tuning), start=1):
        tuning = add(details, "staff-tuning", line=line)
        add(tuning, "tuning-step", STEPS[pitch.step])
        if pitch.alter:
            add(tuning, "tuning-alter", pitch.alter)
        add(tuning, "tuning-octave", pitch.octave)
    if instrument.capo:
        add(details, "capo", instrument.capo)


def _add_transposition(attributes: Element, instrument: Instrument) -> None:
    """From the pitches of the file to those that sound: up by the capo, down by octaves that the clef does not say."""
    octaves = instrument.octave - clef_octaves(instrument)
    if not octaves and not instrument.capo:
        return
    element = add(attributes, "transpose")
    raised = touched_pitch(Pitch(0, 0, 4), instrument.capo % 12)
    add(element, "diatonic", raised.step)
    add(element, "chromatic", instrument.capo % 12)
    change = instrument.capo // 12 - octaves
    if change:
        add(element, "octave-change", change)


def _add_measure_style(attributes: Element, part: Part, measure: Measure, index: int) -> None:
    """Rests of many measures, and where a sign that repeats measures starts and stops."""
    now = part.measures[index]
    before = part.measures[index - 1].repeats if index else 0
    if before and before != now.repeats:
        add(add(attributes, "measure-style"), "measure-repeat", "", type="stop")
    if now.repeats and now.repeats != before:
        style = add(attributes, "measure-style")
        add(style, "measure-repeat", now.repeats, type="start", slashes=now.repeats)
    if measure.rests > 1:
        add(add(attributes, "measure-style"), "multiple-rest", measure.rests)


def add_left_barline(parent: Element, measures: Sequence[Measure], index: int) -> None:
    """Where a repeat or an ending starts."""
    info = measures[index].repeat
    starts = bool(info.ending) and not _goes_on(measures, index - 1)
    if not info.start and not starts:
        return
    barline = add(parent, "barline", location="left")
    if info.start:
        add(barline, "bar-style", "heavy-light")
    if starts:
        _add_ending(barline, info.ending, "start")
    if info.start:
        add(barline, "repeat", direction="forward")


def add_right_barline(parent: Element, measures: Sequence[Measure], index: int) -> None:
    """The line that ends the measure, where it is not a plain one, with the end of a repeat or an ending."""
    measure = measures[index]
    info = measure.repeat
    stops = bool(info.ending) and not _goes_on(measures, index)
    style = "light-heavy" if info.end_times is not None else _BAR_STYLES.get(measure.barline, "")
    if not style and not stops:
        return
    barline = add(parent, "barline", location="right")
    if style:
        add(barline, "bar-style", style)
    if stops:
        _add_ending(barline, info.ending, "stop" if info.end_times is not None else "discontinue")
    if info.end_times is not None:
        repeat = add(barline, "repeat", direction="backward")
        if info.end_times != _USUAL_TIMES:
            repeat.set("times", str(info.end_times))


def _goes_on(measures: Sequence[Measure], index: int) -> bool:
    """True when the ending of measure `index` holds for the next one too."""
    if not 0 <= index < len(measures) - 1:
        return False
    now, following = measures[index].repeat, measures[index + 1].repeat
    return now.ending == following.ending and now.end_times is None


def _add_ending(barline: Element, passes: Sequence[int], kind: str) -> None:
    add(barline, "ending", number=",".join(map(str, passes)), type=kind)
