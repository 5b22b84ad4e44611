"""An instrument as the keys `instrument`, `tuning` and `capo` of the score language."""

from __future__ import annotations

from typing import Any

from engrave.theory.clef import Clef
from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, parse_tuning, tuning_of, with_tuning

INSTRUMENT_KEYS = ("instrument", "tuning", "capo")
_FIELDS = {
    "name": "name",
    "frets": "frets",
    "scale_length": "scale-length",
    "clef": "clef",
    "octave": "octave",
}
"""What an instrument may say beside its preset, by field: the key."""


def keys_for(wanted: Instrument, keys: dict[str, Any], default: Instrument) -> dict[str, Any]:
    """The keys that say `wanted` where `keys` are written now and `default` holds without any: as few changes as can be.

    Raises ValueError for an instrument that the language cannot say.
    """
    base = {key: value for key, value in keys.items() if key != "capo"}
    bare = {key: value for key, value in base.items() if key != "tuning"}
    anew = {"instrument": _instrument_value(wanted)}
    told = {"tuning": _tuning_value(wanted)} if wanted.tuning else {}
    for music in (base, bare, {**bare, **told}, anew, {**anew, **told}):
        for capo in (keys.get("capo"), None, wanted.capo):
            found = {**music, **({} if capo is None else {"capo": capo})}
            if instrument_of(found, default) == wanted:
                return {key: found[key] for key in INSTRUMENT_KEYS if key in found}
    raise ValueError(f"there is no way to write this instrument: {wanted.name}")


def instrument_of(keys: dict[str, Any], default: Instrument) -> Instrument:
    """The instrument that right keys describe, as the reader understands them."""
    instrument = default
    value = keys.get("instrument")
    if isinstance(value, str):
        instrument = PRESETS[value]
    elif isinstance(value, dict):
        own: dict[str, Any] = {field: value[key] for field, key in _FIELDS.items() if key in value}
        if "clef" in own:
            own |= {"clef": Clef(own["clef"]), "clef_by_range": False}
        if "scale_length" in own:
            own["scale_length"] = float(own["scale_length"])
        if "name" in own:
            own["name"] = str(own["name"])
        instrument = PRESETS[str(value.get("preset", "guitar"))]._replace(**own)
    if "tuning" in keys:
        names = keys["tuning"]
        tuning = tuning_of(names) if isinstance(names, str) else parse_tuning([str(name) for name in names])
        instrument = with_tuning(instrument, tuning)
    if "capo" in keys:
        instrument = instrument._replace(capo=keys["capo"])
    return instrument


def _instrument_value(wanted: Instrument) -> Any:
    """A preset, with what differs from it beside it."""

    def differing(preset: Instrument) -> dict[str, Any]:
        return {
            key: getattr(wanted, field)
            for field, key in _FIELDS.items()
            if getattr(wanted, field) != getattr(preset, field)
            or (key == "clef" and wanted.clef_by_range is not preset.clef_by_range)
        }

    def distance(preset: Instrument) -> tuple[bool, bool, int]:
        tunes = (wanted.usual_tuning, wanted.first_frets) == (preset.usual_tuning, preset.first_frets)
        return not tunes, preset.first_frets != wanted.first_frets, len(differing(preset))

    preset = min(PRESETS.values(), key=distance)
    own = differing(preset)
    if "clef" in own:
        own["clef"] = own["clef"].value
    if "scale-length" in own and own["scale-length"] == int(own["scale-length"]):
        own["scale-length"] = int(own["scale-length"])
    return {"preset": preset.name, **own} if own else preset.name


def _tuning_value(wanted: Instrument) -> Any:
    """A tuning by name where it has one, else its pitches, the thickest string first."""
    names = [pitch.name for pitch in reversed(wanted.tuning)]
    known = (name for name, tuning in TUNINGS.items() if list(tuning) == names)
    return next(known, names)
