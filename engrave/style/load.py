"""Style files: the complete base, a shipped style over it, and a score's own style file over that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache, partial
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, NamedTuple

from engrave.fonts.symbols import music_face
from engrave.problems import NOWHERE, Location, ProblemLog, did_you_mean
from engrave.resources import style_file, style_names
from engrave.settings.kinds import Keys, kinds_of, take_apart
from engrave.settings.layers import Form, Layering, Locations, Values, copy_values
from engrave.settings.shipped import build_whole, read_tree, read_values
from engrave.source.files import DOCUMENT_ENDINGS, STANDARD_INPUT, is_file, read_text, suggest_file
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.style.paper_fit import NO_ROOM, leaves_room
from engrave.style.sections import Style
from engrave.style.wordbook import ENGLISH, SignName, Wordbook, base_language, load_wordbook
from engrave.style.words import SignStyle
from engrave.theory.counting import CountingWords

_COUNTING = "counting-words"
"""The section that names a set of syllables, or says single ones."""
_SIGN_WORDS = "sign-words"
"""The section that says sign by sign how it is called and explained."""
_NOT_WRITTEN = ("name", "wordbook")
"""Fields of a style that no section fills."""
_RECORDS = {field: kind for field, kind in kinds_of(Style).items() if field not in _NOT_WRITTEN}
_SIGN_NAMES = take_apart(Annotated[Mapping[str, SignName], Keys(noun="a sign")])
_FORM = Form("a style", _RECORDS, header=("style", "based-on"), apart=(_SIGN_WORDS, _COUNTING), joint="_")
_COUNTING_FORM = Form(_COUNTING, kinds_of(CountingWords))
_COUNTINGS = "countings"
"""Among the values: the sets of syllables that the language has."""
THINNEST = 0.25
"""Points: a thinner line does not print reliably (common practice, no source)."""
_LINES = {
    ("staff", "line"),
    ("staff", "ledger_line"),
    ("staff", "tab_line"),
    ("staff", "thin_barline"),
    ("notes", "stem"),
    ("notes", "bend_stroke"),
    ("beams", "tuplet_line"),
    ("stacking", "ending_line"),
    ("stacking", "extender"),
    ("stacking", "bend_line"),
    ("stacking", "slide_line"),
    ("stacking", "span_line"),
    ("stacking", "hairpin_line"),
}
_AT_NOTES = frozenset(["note", "graces", "start", "late"])
"""What a sign over or under a note may belong to, as a style likes."""
_GIVING_WAY = frozenset(["outwards", "into-space"])
"""How it may give way."""
_LEAST_STAFF, _MOST_STAFF = 3.0, 40.0
"""Millimetres: no staff is lower or higher (house rule)."""


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
    path = find_style_file(name or "base", beside)
    log = ProblemLog(str(path) if path else beside or name)
    if path is None:
        log.error(asked, f'there is no style "{name}"', hint=_suggest(name, beside))
        return None, log
    values = _spoken_values(book)
    locations = _overlay(path, values, log, depth=0) if path.stem != "base" else {}
    for content, file in (
        changes
        if isinstance(changes, list) and not isinstance(changes, SourceList)
        else [Changes(changes, beside)]
    ):
        if isinstance(content, SourceMap) and not log.has_errors:
            log, locations = ProblemLog(file), {}
            _read_sections(content, values, locations, log)
    if log.has_errors:
        return None, log
    style = _build(path.stem, values, book)
    _check_lines(style, locations, log)
    return (None if log.has_errors else style), log


def _folder(beside: str) -> Path:
    return Path(beside).parent if beside and beside != STANDARD_INPUT else Path()


def _suggest(name: str, beside: str) -> str:
    """The style that was probably meant: a file where a file was asked for, else a shipped one."""
    if Path(name).suffix.lower() in DOCUMENT_ENDINGS:
        return suggest_file(_folder(beside) / name, beside, DOCUMENT_ENDINGS)
    return did_you_mean(name, style_names())


def find_style_file(name: str, beside: str) -> Path | None:
    """Where the style called `name` is read from: a shipped one, or a file beside `beside` or in the working folder."""
    if name in style_names():
        return style_file(name)
    folder = _folder(beside)
    for candidate in (folder / name, Path(name)):
        if is_file(candidate):
            return candidate
    return None


@lru_cache(maxsize=1)
def _base_values() -> Values:
    path = style_file("base")
    return read_values(read_tree(path), _FORM, str(path))


def _spoken_values(book: Wordbook) -> Values:
    """The base's values with the words of a language, over which styles are laid."""
    values = copy_values(_base_values())
    for sign, letters in book.letters.items():
        values["signs"][sign]["letters"] = letters
    values["words"]["no_chord"] = book.page.no_chord
    values["grids"]["fret_number"] = book.page.fret_number
    values[_SIGN_WORDS] = {sign: words._asdict() for sign, words in book.signs.items()}
    values[_COUNTING] = book.counting._asdict()
    values[_COUNTINGS] = book.countings
    return values


@lru_cache(maxsize=8)
def _plain_style(language: str) -> Style:
    book = load_wordbook(language)
    return _build("base", _spoken_values(book), book)


def _overlay(path: Path, values: Values, log: ProblemLog, depth: int) -> Locations:
    """Put the values of a style file over `values`; the locations of what it sets."""
    locations: Locations = {}
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


def _read_sections(tree: SourceMap, values: Values, locations: Locations, log: ProblemLog) -> None:
    """Lay the sections of one file over `values`. Faults go to `log`."""
    layering = Layering(_FORM, log, locations)
    layering.lay(tree, values)
    if _SIGN_WORDS in tree:
        layering.put(
            _SIGN_NAMES, (_SIGN_WORDS,), _SIGN_WORDS, values,
            value=tree[_SIGN_WORDS], location=tree.value_location(_SIGN_WORDS),
        )  # fmt: skip
    if _COUNTING in tree:
        _read_counting(
            tree[_COUNTING], tree.value_location(_COUNTING), values, Layering(_COUNTING_FORM, log, locations)
        )
    if isinstance(tree.get("signs"), SourceMap):
        _settle_symbols(tree["signs"], values["signs"], layering)
        _check_attachment(tree["signs"], log)


def _read_counting(content: Value, location: Location, values: Values, layering: Layering) -> None:
    """The syllables that a style asks for: one of the language's sets by its name, or single ones."""
    if isinstance(content, SourceMap):
        layering.put_fields(CountingWords, (_COUNTING,), values[_COUNTING], content)
    elif isinstance(content, str) and content in values[_COUNTINGS]:
        values[_COUNTING] = values[_COUNTINGS][content]._asdict()
    else:
        hint = did_you_mean(str(content), values[_COUNTINGS])
        layering.log.error(location, f'"{content}" is not a set of syllables for counting', hint=hint)


def _settle_symbols(signs: SourceMap, values: Values, layering: Layering) -> None:
    """A symbol takes the location of letters, and letters that of a symbol."""
    log = layering.log
    for sign, wanted in signs.items():
        if sign not in values or not isinstance(wanted, SourceMap):
            continue
        if "glyph" in wanted and "letters" in wanted:
            log.error(wanted.key_location("letters"), f"signs: {sign} has either a glyph or letters")
        elif "letters" in wanted:
            values[sign]["glyph"] = ""
        elif "glyph" in wanted:
            values[sign]["letters"] = ""
            glyph = values[sign]["glyph"]
            if not (music_face().has(glyph) or music_face().has(f"{glyph}Above")):
                log.error(wanted.value_location("glyph"), f'the music face has no symbol "{glyph}"')


def _check_attachment(signs: SourceMap, log: ProblemLog) -> None:
    """Refuse a mark of notes that is moved to where no mark of its kind is drawn: what it belongs to is its nature."""
    for sign, wanted in signs.items():
        known = _base_values()["signs"].get(sign)
        if known is None or not isinstance(wanted, SourceMap):
            continue
        for key, free in (("of", _AT_NOTES), ("yields", _GIVING_WAY)):
            own = known.get(key, SignStyle._field_defaults[key])
            if wanted.get(key, own) != own and not {wanted[key], own} <= free:
                log.error(
                    wanted.value_location(key),
                    f'signs: the {key} of {sign} is always "{own}"',
                    hint="leave it out",
                )


def _build(name: str, values: Values, book: Wordbook) -> Style:
    chosen = book._replace(
        signs=MappingProxyType({sign: SignName(**words) for sign, words in values[_SIGN_WORDS].items()}),
        counting=CountingWords(**values[_COUNTING]),
    )
    return build_whole(partial(Style, name=name, wordbook=chosen), _FORM, values, "styles/base.yaml")


def _check_lines(style: Style, locations: Locations, log: ProblemLog) -> None:
    """Refuse sizes that cannot be read and lines that cannot be printed."""
    if not _LEAST_STAFF <= style.staff.height_mm <= _MOST_STAFF:
        log.error(
            locations.get(("staff", "height_mm"), NOWHERE),
            f"a staff must be {_LEAST_STAFF:g} to {_MOST_STAFF:g} mm high",
        )
        return
    if not leaves_room(style.paper):
        location = next((spot for (section, *_), spot in locations.items() if section == "paper"), NOWHERE)
        log.error(location, NO_ROOM, hint="make them narrower")
    for section, key in sorted(_LINES):
        width = getattr(getattr(style, section), key) * style.staff_space
        if width < THINNEST:
            location = locations.get((section, key), locations.get(("staff", "height_mm"), NOWHERE))
            least = THINNEST / style.staff_space
            log.error(
                location,
                f"{section}: {key} would be {width:.2f} points thick",
                hint=f"at this staff size the least is {least:.3f}",
            )
