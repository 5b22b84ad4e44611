"""The instrument, tuning and capo of a part."""

from __future__ import annotations

from engrave.problems import Location, ProblemLog, did_you_mean
from engrave.source.tree import SourceMap
from engrave.theory.clef import Clef
from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, parse_tuning, tuning_of, with_tuning
from engrave.theory.pitch import Pitch, parse_pitch


def read_instrument(content: SourceMap, log: ProblemLog, default: Instrument) -> Instrument:
    """The instrument that the keys `instrument`, `tuning` and `capo` of `content` describe."""
    instrument = default
    value = content.get("instrument")
    location = content.value_location("instrument") if "instrument" in content else content.location
    declared = None
    if isinstance(value, str):
        instrument = _preset(value, location, log)
    elif isinstance(value, SourceMap):
        instrument = _describe(value, log)
        declared = value.get("strings")
    tuning = _read_tuning(content, log) if "tuning" in content else None
    if tuning is not None:
        instrument = with_tuning(instrument, tuning)
    if declared is not None and declared != instrument.strings:
        hint = (
            "give its tuning: list, thickest string first"
            if tuning is None
            else "count the strings of tuning: again"
        )
        log.error(
            location,
            f"the instrument has {declared} strings but its tuning has {instrument.strings}",
            hint=hint,
        )
    capo = content.get("capo")
    if isinstance(capo, int):
        instrument = _set_capo(instrument, capo, content.value_location("capo"), log)
    return instrument


def _set_capo(instrument: Instrument, capo: int, location: Location, log: ProblemLog) -> Instrument:
    if capo and not instrument.tuning:
        log.error(location, f"{instrument.name} has no strings for a capo")
        return instrument
    return instrument._replace(capo=capo)


def _preset(name: str, location: Location, log: ProblemLog) -> Instrument:
    known = PRESETS.get(name)
    if known is None:
        log.error(location, f'"{name}" is not an instrument known here', hint=did_you_mean(name, PRESETS))
        return PRESETS["guitar"]
    return known


def _describe(value: SourceMap, log: ProblemLog) -> Instrument:
    """An instrument from a mapping, each key over what the preset says."""
    preset = value.get("preset", "guitar")
    instrument = _preset(str(preset), value.value_location("preset"), log)
    return instrument._replace(
        name=str(value.get("name", instrument.name)),
        frets=value.get("frets", instrument.frets),
        scale_length=float(value.get("scale-length", instrument.scale_length)),
        clef=Clef(value["clef"]) if "clef" in value else instrument.clef,
        clef_by_range=instrument.clef_by_range and "clef" not in value,
        octave=value.get("octave", instrument.octave),
    )


def _read_tuning(content: SourceMap, log: ProblemLog) -> tuple[Pitch, ...] | None:
    value = content["tuning"]
    location = content.value_location("tuning")
    if isinstance(value, str):
        try:
            return tuning_of(value)
        except ValueError:
            hint = f"{did_you_mean(value, TUNINGS)} or write its pitches, thickest string first: D2 A2 D3 G3 B3 E4"
            log.error(location, f'"{value}" is not a tuning known here', hint=hint)
            return None
    wrong = False
    for index, name in enumerate(value):
        try:
            parse_pitch(str(name))
        except ValueError as error:
            log.error(value.item_location(index), str(error))
            wrong = True
    return None if wrong else parse_tuning([str(name) for name in value])
