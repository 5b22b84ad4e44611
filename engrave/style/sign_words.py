"""The sections of a style file that say a page's words otherwise: names of signs, and the syllables of the count."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from engrave.problems import Location, ProblemLog, did_you_mean
from engrave.source.tree import SourceMap, Value
from engrave.style.wordbook import COUNTED, SignName
from engrave.theory.counting import CountingWords

_KEYS = ("name", "play")


def read_sign_words(
    content: SourceMap, values: dict[str, Any], signs: tuple[str, ...], log: ProblemLog
) -> None:
    """Lay what a style says about signs over `values`: {sign: {name: ..., play: ...}}. Unknown signs go to `log`."""
    known = tuple(dict.fromkeys((*values, *signs)))
    for sign, wanted, location in content.entries():
        if sign not in known:
            log.error(content.key_location(sign), f'"{sign}" is not a sign', hint=did_you_mean(sign, known))
            continue
        if not isinstance(wanted, SourceMap):
            log.error(
                location, f"sign-words: {sign} must be a mapping", hint="for example: {name: Tap, play: ...}"
            )
            continue
        words = values.get(sign, SignName(sign, ""))
        for key, text, spot in wanted.entries():
            if key not in _KEYS:
                log.error(
                    wanted.key_location(key), f'"{key}" is not known here', hint=did_you_mean(key, _KEYS)
                )
            elif not isinstance(text, str) or not text.strip():
                log.error(spot, f"sign-words: {sign}: {key} must be words")
            else:
                words = words._replace(**{key: text})
        values[sign] = words


def read_counting_words(
    content: Value,
    location: Location,
    before: CountingWords,
    sets: Mapping[str, CountingWords],
    log: ProblemLog,
) -> CountingWords:
    """The syllables that a style asks for: one of `sets` by its name, or single ones laid over those `before`."""
    if not isinstance(content, SourceMap):
        if isinstance(content, str) and content in sets:
            return sets[content]
        hint = did_you_mean(str(content), sets)
        log.error(location, f'"{content}" is not a set of syllables for counting', hint=hint)
        return before
    for key, word, spot in content.entries():
        if key not in COUNTED:
            log.error(
                content.key_location(key),
                f'"{key}" is not known in counting-words',
                hint=did_you_mean(key, COUNTED),
            )
        elif not isinstance(word, str):
            hint = f'put it in quotation marks: "{word}"' if word is not None else ""
            log.error(spot, f"counting-words: {key} must be a syllable", hint=hint)
        else:
            before = before._replace(**{COUNTED[key]: word})
    return before
