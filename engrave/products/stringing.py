"""Instruments and tunings as they are typed on the command line."""

from __future__ import annotations

from engrave.problems import NOWHERE, ProblemLog, did_you_mean
from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, tuning_of, with_tuning

_PITCHES = 'write its pitches, the thickest string first: "D2 A2 D3 G3 B3 E4"'


def find_instrument(name: str, log: ProblemLog) -> Instrument | None:
    """The instrument called `name`; None, and why in `log`, when there is none with strings."""
    found = PRESETS.get(name)
    if found is not None and found.tuning:
        return found
    what = "is not an instrument known here" if found is None else "has no strings"
    fretted = [name for name, preset in PRESETS.items() if preset.tuning]
    log.error(NOWHERE, f'"{name}" {what}', hint=did_you_mean(name, fretted))
    return None


def retune(instrument: Instrument, text: str, log: ProblemLog) -> Instrument | None:
    """The instrument in the tuning `text`, a name or pitches with the thickest string first; None, and why in `log`."""
    try:
        return with_tuning(instrument, tuning_of(text))
    except ValueError as error:
        if any(character.isdigit() for character in text):
            log.error(NOWHERE, f"tuning: {error}")
        else:
            hint = f"{_PITCHES}; {did_you_mean(text, TUNINGS)}"
            log.error(NOWHERE, f'"{text}" is not a tuning known here', hint=hint)
        return None
