"""The section `signs` of a style file: house style, sign by sign."""

from __future__ import annotations

from typing import Any

from engrave.fonts.symbols import music_face
from engrave.problems import Location, ProblemLog, did_you_mean
from engrave.source.tree import SourceMap, Value
from engrave.style.words import SignStyle

_CHOICES = {"on": ("staff", "tab", "both", "none"), "side": ("head", "above", "below")}
_KEYS = ("glyph", "letters", "on", "side", "order", "size")
_NUMBERS = {"order": (0.0, 100.0), "size": (0.3, 3.0)}
"""Least and most of the keys that are numbers."""
_UNSEEN = SignStyle("", "", "none", "above", 0.0)


def read_signs(content: SourceMap, values: dict[str, Any], log: ProblemLog) -> None:
    """Overlay the signs of one file on `values`. Only the base style (the first one read) may add signs."""
    is_base = not values
    known = tuple(values)
    for name, wanted, location in content.entries():
        if not is_base and name not in known:
            log.error(content.key_location(name), f'"{name}" is not a sign', hint=did_you_mean(name, known))
        elif not isinstance(wanted, SourceMap):
            log.error(location, f"signs: {name} must be a mapping", hint="for example: {letters: T, on: tab}")
        else:
            values[name] = _read_sign(name, wanted, values.get(name, _UNSEEN), is_base, log)


def _read_sign(name: str, wanted: SourceMap, sign: SignStyle, is_base: bool, log: ProblemLog) -> SignStyle:
    if "glyph" in wanted and "letters" in wanted:
        log.error(wanted.key_location("letters"), f"signs: {name} has either a glyph or letters")
    for key, value, location in wanted.entries():
        if key not in _KEYS:
            log.error(
                wanted.key_location(key), f'"{key}" is not known for a sign', hint=did_you_mean(key, _KEYS)
            )
        elif key in _NUMBERS:
            least, most = _NUMBERS[key]
            if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
                log.error(location, f"signs: {name}: {key} must be a number from {least:g} to {most:g}")
            else:
                number = float(value)
                sign = sign._replace(order=number) if key == "order" else sign._replace(size=number)
        else:
            sign = _read_word(name, key, value, location, sign=sign, is_base=is_base, log=log)
    return sign


def _read_word(
    name: str, key: str, value: Value, location: Location, sign: SignStyle, is_base: bool, log: ProblemLog
) -> SignStyle:
    choices = _CHOICES.get(key, ())
    if not isinstance(value, str) or (choices and value not in choices):
        log.error(
            location,
            f'"{value}" is not known for signs: {name}: {key}',
            hint=did_you_mean(str(value), choices),
        )
        return sign
    if key == "glyph":
        if not is_base and not (music_face().has(value) or music_face().has(f"{value}Above")):
            log.error(location, f'the music face has no symbol "{value}"')
            return sign
        return sign._replace(glyph=value, letters="")
    if key == "letters":
        return sign._replace(letters=value, glyph="")
    return sign._replace(on=value) if key == "on" else sign._replace(side=value)
