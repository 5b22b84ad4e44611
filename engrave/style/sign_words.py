"""What the signs are called and how they are explained: a language's book of words, and what a style says otherwise."""

from __future__ import annotations

from functools import lru_cache
from types import MappingProxyType
from typing import Any

from engrave.diagnostics.problem import ProblemLog, did_you_mean
from engrave.resources import data_folder
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.style.words import SignName, Wordbook
from engrave.theory.counting import CountingWords

_USUAL_LANGUAGE = "en"
_COUNTING = {
    "half": "and_",
    "quarter": "first_quarter",
    "last-quarter": "last_quarter",
    "second-third": "second_third",
    "last-third": "last_third",
}
_KEYS = ("name", "play")
NO_WORDS = Wordbook("", "", CountingWords(), MappingProxyType({}), MappingProxyType({}))
"""For pages that explain nothing."""


@lru_cache(maxsize=8)
def load_wordbook(language: str) -> Wordbook:
    """The words in `language` (a BCP 47 tag, of which the first part counts); in English where there are none."""
    folder = data_folder() / "styles" / "signs"
    path = folder / f"{language.split('-')[0].lower()}.yaml"
    if not path.is_file() or path.stem == "examples":
        path = folder / f"{_USUAL_LANGUAGE}.yaml"
    log = ProblemLog(str(path))
    tree = parse_yaml(path.read_text("utf-8"), log)
    if log.has_errors or not isinstance(tree, SourceMap):
        raise ValueError("\n".join(str(problem) for problem in log.problems))
    counting = CountingWords(**{_COUNTING[key]: str(word) for key, word in tree["counting"].items()})
    signs = {name: SignName(entry["name"], entry["play"]) for name, entry in tree["signs"].items()}
    words = MappingProxyType({key: str(word) for key, word in tree["words"].items()})
    return Wordbook(tree["heading"], tree["caution"], counting, words, MappingProxyType(signs))


def read_sign_words(
    content: SourceMap, values: dict[str, Any], signs: tuple[str, ...], log: ProblemLog
) -> None:
    """Lay what a style says about signs over `values`: {sign: {name: ..., play: ...}}. Unknown signs go to `log`."""
    known = tuple(dict.fromkeys((*values, *signs)))
    for sign, wanted, place in content.entries():
        if sign not in known:
            log.error(content.key_place(sign), f'"{sign}" is not a sign', hint=did_you_mean(sign, known))
            continue
        if not isinstance(wanted, SourceMap):
            log.error(
                place, f"sign-words: {sign} must be a mapping", hint="for example: {name: Tap, play: ...}"
            )
            continue
        words = values.get(sign, SignName(sign, ""))
        for key, text, spot in wanted.entries():
            if key not in _KEYS:
                log.error(wanted.key_place(key), f'"{key}" is not known here', hint=did_you_mean(key, _KEYS))
            elif not isinstance(text, str) or not text.strip():
                log.error(spot, f"sign-words: {sign}: {key} must be words")
            else:
                words = words._replace(**{key: text})
        values[sign] = words
