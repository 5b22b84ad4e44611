"""How a document looks: what the command line asks for, else what the document says, else what is usual."""

from __future__ import annotations

from engrave.problems import NOWHERE, Location, ProblemLog
from engrave.products.product import Source
from engrave.requests.pages import Looks
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.source.tree import SourceMap, Value
from engrave.style.load import load_style
from engrave.style.paper_fit import on_sheet
from engrave.style.sections import Style
from engrave.style.wordbook import has_table, table_languages


def style_name(source: Source, style: str, usual: str = "") -> tuple[str, Location]:
    """The name of the style of a document (`style`: the one that is asked for), and where the document names it."""
    if style:
        return style, NOWHERE
    name = source.tree.get("style")
    if isinstance(name, str):
        return name, source.tree.value_location("style")
    return usual, NOWHERE


def find_style(source: Source, looks: Looks, changes: Value, language: str, usual: str = "") -> Style | None:
    """The style of a document with its own changes; None, and why in `source`, when it is wrong."""
    name, asked = style_name(source, looks.style, usual)
    style, log = load_style(name, source.path, changes, language, asked)
    source.elsewhere.extend(log.in_order())
    return style


def fit_style(
    style: Style, asked: PaperSize, wished: PaperSize, tree: SourceMap, log: ProblemLog
) -> Style | None:
    """The style on the sheet that the document `tree` has `asked` for and the caller `wished`; None, and why in `log`."""
    size = wished.over(asked)
    try:
        return on_sheet(style, *size.applied_to((style.paper.width, style.paper.height)))
    except ValueError as error:
        key = "size" if "size" in tree else "orientation"
        log.error(NOWHERE if wished != AS_USUAL else tree.value_location(key), str(error))
        return None


def bound_style(style: Style, bound: bool) -> Style:
    """The style, with left-hand pages that mirror right-hand ones where pages are `bound`: numbers stand outside."""
    return style._replace(paper=style.paper._replace(mirrored=True)) if bound else style


def warn_of_english(language: str, place: Location, log: ProblemLog) -> None:
    """Say in `log` when pages in `language` speak English for want of a table of words."""
    if not has_table(language):
        what = f'there is no table of words in "{language}", so what the page says of its own is English'
        log.warning(place, what, hint=f"languages with a table: {', '.join(table_languages())}")
