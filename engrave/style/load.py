"""Style files: the complete base, a shipped style over it, and a score's own style file over that."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, get_args, get_origin, get_type_hints

from engrave.fonts.face_files import FACE_NAMES
from engrave.problems import NOWHERE, Location, ProblemLog, did_you_mean
from engrave.resources import style_file, style_names
from engrave.source.files import DOCUMENT_ENDINGS, STANDARD_INPUT, is_file, read_text, suggest_file
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap, Value
from engrave.style import sections, words
from engrave.style.paper_fit import NO_ROOM, leaves_room
from engrave.style.sections import Style
from engrave.style.sign_words import read_counting_words, read_sign_words
from engrave.style.signs import read_signs
from engrave.style.wordbook import ENGLISH, SLOT, Wordbook, base_language, load_wordbook
from engrave.style.words import TextStyle

SECTIONS: dict[str, type] = {
    "paper": sections.PaperStyle,
    "staff": sections.StaffStyle,
    "notes": sections.NoteStyle,
    "beams": sections.BeamStyle,
    "spacing": sections.SpacingStyle,
    "breaking": sections.BreakingStyle,
    "words": words.WordsStyle,
    "stacking": sections.StackingStyle,
    "grids": words.GridStyle,
    "explanations": words.ExplanationStyle,
    "blank": sections.BlankStyle,
    "prose": sections.ProseStyle,
}
"""The sections of a style file and the records they fill."""
SIGNS = "signs"
"""The section that says sign by sign how it is drawn."""
SIGN_WORDS = "sign-words"
"""The section that says sign by sign how it is called and explained."""
COUNTING_WORDS = "counting-words"
"""The section that says which syllables are counted."""
_SET_APART = (SIGNS, SIGN_WORDS, COUNTING_WORDS)
"""Sections that fill no record."""
_CHOSEN, _SETS = "chosen", "sets"
_CHOICES = {
    ("words", "measure_numbers"): ("lines", "all", "none"),
    ("words", "note_letters"): ("international", "german"),
    ("stacking", "rhythm_side"): ("above", "below"),
    ("notes", "harmonics"): ("touched", "sounding"),
    ("stacking", "chord_fingers"): ("beside", "above"),
}
_TEMPLATES = {("grids", "fret_number")}
"""Words with a place for a number."""
THINNEST = 0.25
"""Points: a thinner line does not print reliably (common practice, no source)."""
_LINES = {
    ("staff", "line"),
    ("staff", "ledger_line"),
    ("staff", "tab_line"),
    ("staff", "thin_barline"),
    ("notes", "stem"),
    ("beams", "tuplet_line"),
    ("stacking", "ending_line"),
    ("stacking", "extender"),
    ("stacking", "bend_line"),
    ("stacking", "slide_line"),
    ("stacking", "span_line"),
    ("stacking", "hairpin_line"),
}
_MOST_COUNT = 12
_LEAST_STAFF = 3.0
_MOST_STAFF = 40.0
_HEADER = ("style", "based-on")
_Values = dict[str, dict[str, Any]]


class Changes(NamedTuple):
    """Sections of a style that the document in `file` writes itself."""

    content: Value
    file: str


def load_style(
    name: str,
    beside: str = "",
    changes: Value | Sequence[Changes] = None,
    language: str = ENGLISH,
    asked: Location = NOWHERE,
) -> tuple[Style | None, ProblemLog]:
    """The style called `name`: a shipped one, or a file (looked for beside the file `beside`). "" is the base style.

    `changes` are sections that documents write themselves, laid over the style: one mapping of the document `beside`,
    or several documents' in turn. `language` (a BCP 47 tag, "" for none) chooses the words that pages say of their own. `asked` is where
    the document `beside` names its style. Returns None and the reasons when the style is wrong.
    """
    book = load_wordbook(base_language(language))
    if name in ("", "base") and changes is None:
        return _plain_style(book.language), ProblemLog("base")
    path = _find(name or "base", beside)
    log = ProblemLog(str(path) if path else beside or name)
    if path is None:
        log.error(asked, f'there is no style "{name}"', hint=_suggest(name, beside))
        return None, log
    values = _spoken_values(book)
    locations = _overlay(path, values, log, depth=0) if path.stem != "base" else {}
    if log.has_errors:
        return None, log
    for content, file in changes if isinstance(changes, list) else [Changes(changes, beside)]:
        if isinstance(content, SourceMap):
            log = ProblemLog(file)
            locations = {}
            _read_sections(content, values, locations, log)
            if log.has_errors:
                break
    if log.has_errors:
        return None, log
    style = _build(path.stem, values, book)
    _check_lines(style, values, locations, log)
    return (None if log.has_errors else style), log


def _folder(beside: str) -> Path:
    return Path(beside).parent if beside and beside != STANDARD_INPUT else Path()


def _suggest(name: str, beside: str) -> str:
    """The style that was probably meant: a file where a file was asked for, else a shipped one."""
    if Path(name).suffix.lower() in DOCUMENT_ENDINGS:
        return suggest_file(_folder(beside) / name, beside, DOCUMENT_ENDINGS)
    return did_you_mean(name, style_names())


def _find(name: str, beside: str) -> Path | None:
    if name in style_names():
        return style_file(name)
    folder = _folder(beside)
    for candidate in (folder / name, Path(name)):
        if is_file(candidate):
            return candidate
    return None


@lru_cache(maxsize=1)
def _base_values() -> _Values:
    log = ProblemLog("styles/base.yaml")
    tree = parse_yaml(style_file("base").read_text("utf-8"), log)
    values: _Values = {section: {} for section in (*SECTIONS, *_SET_APART)}
    _read_sections(tree, values, {}, log)
    if log.has_errors:
        raise ValueError("\n".join(str(problem) for problem in log.problems))
    return values


def _spoken_values(book: Wordbook) -> _Values:
    """The base's values with the words of a language, over which styles are laid."""
    values = {section: dict(keys) for section, keys in _base_values().items()}
    for sign, letters in book.letters.items():
        values[SIGNS][sign] = values[SIGNS][sign]._replace(letters=letters)
    values["words"]["no_chord"] = book.page.no_chord
    values["grids"]["fret_number"] = book.page.fret_number
    values[SIGN_WORDS] = dict(book.signs)
    values[COUNTING_WORDS] = {_CHOSEN: book.counting, _SETS: book.countings}
    return values


@lru_cache(maxsize=8)
def _plain_style(language: str) -> Style:
    book = load_wordbook(language)
    return _build("base", _spoken_values(book), book)


def _overlay(path: Path, values: _Values, log: ProblemLog, depth: int) -> dict[tuple[str, str], Location]:
    """Put the values of a style file over `values`; the places of what it sets."""
    locations: dict[tuple[str, str], Location] = {}
    text = read_text(str(path), log)
    tree = parse_yaml(text, log) if text is not None else None
    if tree is None:
        return locations
    if not isinstance(tree, SourceMap) or tree.get("style") != 1:
        log.error(Location(1, 1), "this is not a style", hint="a style starts with style: 1")
        return locations
    basis = tree.get("based-on", "base")
    if basis != "base":
        if basis not in style_names() or depth:
            log.error(
                tree.value_location("based-on"),
                f'"{basis}" is not a shipped style',
                hint=did_you_mean(str(basis), style_names()),
            )
        else:
            _overlay(style_file(str(basis)), values, log, depth + 1)
    _read_sections(tree, values, locations, log)
    return locations


def _read_sections(
    tree: Value, values: _Values, locations: dict[tuple[str, str], Location], log: ProblemLog
) -> None:
    for section, content, location in tree.entries():
        if section in _HEADER:
            continue
        if section == SIGNS and isinstance(content, SourceMap):
            read_signs(content, values[SIGNS], log)
            continue
        if section == SIGN_WORDS and isinstance(content, SourceMap):
            read_sign_words(content, values[SIGN_WORDS], tuple(values[SIGNS]), log)
            continue
        if section == COUNTING_WORDS:
            counted = values[COUNTING_WORDS]
            counted[_CHOSEN] = read_counting_words(content, location, counted[_CHOSEN], counted[_SETS], log)
            continue
        record = SECTIONS.get(section)
        if record is None:
            log.error(
                tree.key_location(section),
                f'"{section}" is not a section of a style',
                hint=did_you_mean(section, (*SECTIONS, *_SET_APART)),
            )
        elif not isinstance(content, SourceMap):
            log.error(location, f'"{section}" must be a mapping')
        else:
            hints = _hints(record)
            for key, value, spot in content.entries():
                if key not in hints:
                    log.error(
                        content.key_location(key),
                        f'"{key}" is not known in {section}',
                        hint=did_you_mean(key, hints),
                    )
                    continue
                before = values[section].get(key)
                result = _convert(section, key, value, hints[key], before=before, location=spot, log=log)
                if result is not None:
                    values[section][key] = result
                    locations[section, key] = spot


@cache
def _hints(record: type) -> dict[str, Any]:
    return get_type_hints(record)


def _convert(
    section: str, key: str, value: Value, kind: Any, before: Any, location: Location, log: ProblemLog
) -> Any:
    """The value as its field wants it; None (and an error) when it cannot be."""
    name = f"{section}: {key}"
    if kind is bool:
        return value if isinstance(value, bool) else _refuse(log, location, f"{name} must be true or false")
    if kind is int:
        whole = isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _MOST_COUNT
        return value if whole else _refuse(log, location, f"{name} must be a number from 1 to {_MOST_COUNT}")
    if kind is float:
        return _number(name, value, location, log)
    if kind is str:
        return _word(section, key, value, location, log)
    if kind is TextStyle:
        return _text_style(name, value, before, location, log)
    if get_origin(kind) is tuple:
        count = len(get_args(kind))
        if not isinstance(value, list) or len(value) != count:
            return _refuse(log, location, f"{name} must be a list of {count} numbers")
        numbers = [_number(name, item, location, log) for item in value]
        return None if None in numbers else tuple(numbers)
    raise TypeError(f"no rule for {name}")


def _refuse(log: ProblemLog, location: Location, what: str, hint: str = "") -> Any:
    """Write down a mistake; None, for the caller to return."""
    log.error(location, what, hint=hint)
    return None


def _number(name: str, value: Value, location: Location, log: ProblemLog) -> Any:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e6:
        return _refuse(log, location, f"{name} must be a number")
    if value < 0:
        return _refuse(log, location, f"{name} may not be negative")
    return float(value)


def _word(section: str, key: str, value: Value, location: Location, log: ProblemLog) -> Any:
    choices = _CHOICES.get((section, key))
    if key.endswith("face"):
        choices = FACE_NAMES
    if not isinstance(value, str) or (choices and value not in choices):
        return _refuse(
            log,
            location,
            f'"{value}" is not known for {section}: {key}',
            did_you_mean(str(value), choices or ()),
        )
    if (section, key) in _TEMPLATES and SLOT not in value:
        return _refuse(log, location, f"{section}: {key} must have {SLOT} where the number stands")
    return value


def _text_style(name: str, value: Value, before: Any, location: Location, log: ProblemLog) -> Any:
    if not isinstance(value, SourceMap) or not set(value) <= {"face", "size"}:
        return _refuse(
            log, location, f"{name} must be a face and a size", "for example: {face: serif, size: 2}"
        )
    face = value.get("face", before.face if before else None)
    size = value.get("size", before.size if before else None)
    if face not in FACE_NAMES:
        return _refuse(log, location, f'"{face}" is not a face', did_you_mean(str(face), FACE_NAMES))
    number = _number(name, size, location, log)
    if number is None or number == 0:
        return None if number is None else _refuse(log, location, f"{name} needs a size above 0")
    return TextStyle(face, number)


def _build(name: str, values: _Values, book: Wordbook) -> Style:
    built = {}
    for section, record in SECTIONS.items():
        missing = [name for name in _hints(record) if name not in values[section]]
        if missing:
            raise ValueError(f"styles/base.yaml lacks {section}: {', '.join(missing)}")
        built[section] = record(**values[section])
    chosen = book._replace(
        signs=MappingProxyType(dict(values[SIGN_WORDS])), counting=values[COUNTING_WORDS][_CHOSEN]
    )
    return Style(name=name, signs=MappingProxyType(dict(values[SIGNS])), wordbook=chosen, **built)


def _check_lines(
    style: Style, values: _Values, locations: dict[tuple[str, str], Location], log: ProblemLog
) -> None:
    """Refuse sizes that cannot be read and lines that cannot be printed."""
    nowhere = Location(0, 0)
    if not _LEAST_STAFF <= style.staff.height_mm <= _MOST_STAFF:
        log.error(
            locations.get(("staff", "height_mm"), nowhere),
            f"a staff must be {_LEAST_STAFF:g} to {_MOST_STAFF:g} mm high",
        )
        return
    if not leaves_room(style.paper):
        location = next((spot for (section, _), spot in locations.items() if section == "paper"), nowhere)
        log.error(location, NO_ROOM, hint="make them narrower")
    for section, key in sorted(_LINES):
        width = values[section][key] * style.staff_space
        if width < THINNEST:
            location = locations.get((section, key), locations.get(("staff", "height_mm"), nowhere))
            least = THINNEST / style.staff_space
            log.error(
                location,
                f"{section}: {key} would be {width:.2f} points thick",
                hint=f"at this staff size the least is {least:.3f}",
            )
