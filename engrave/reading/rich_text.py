"""Rich text read from Markdown: the CommonMark 0.31 specification without HTML and images."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.rules_inline.state_inline import StateInline
from markdown_it.token import Token

from engrave.problems import Location, ProblemLog
from engrave.score.rich_text import Block, Heading, ListBlock, Paragraph, Quote, Rule, Run, Typed

_ALLOWED_LINK = re.compile(r"(?:https?://|mailto:|#)\S+", re.IGNORECASE)
_LINK_HINT = 'links begin with "http://", "https://" or "mailto:", or are "#" and a name in the document'
MOST_LETTERS = 500_000
"""Of the words of a document, at most: a long novel, and as many as are read in a few seconds (safety limit)."""
_TAB = 4
"""Blanks to which a tab leads (fact: CommonMark 0.31, 2.2)."""
_START = "start"
"""The key under which a token keeps where it starts in its block's content."""

_UNSUPPORTED = {
    "html_block": ("HTML is not supported", "write Markdown instead, or put a backslash before the <"),
    "html_inline": ("HTML is not supported", "write Markdown instead, or put a backslash before the <"),
    "image": ("images are not supported in text", "remove the image, or link to it without the !"),
    "table_open": ("tables are not supported in text", "write a list instead"),
}
"""What is wrong and what would be right, by the kind of token."""

_Rule = Callable[[StateInline, bool], bool]


class _Markdown(MarkdownIt):
    """CommonMark that also finds tables and links of every kind, so that they can be reported."""

    def validateLink(self, url: str) -> bool:
        """Every link is one: the reader says itself which are allowed."""
        return True


@cache
def _parser() -> MarkdownIt:
    """The parser, made once in a run. HTML is parsed, since text that only looks like it must not be lost."""
    parser = _Markdown("commonmark").enable("table")
    rules: dict[str, _Rule] = dict(
        zip(parser.inline.ruler.get_active_rules(), parser.inline.ruler.getRules(""), strict=True)
    )
    for name in ("link", "autolink", "image", "html_inline"):
        parser.inline.ruler.at(name, _noting_its_start(rules[name]))
    return parser


def _noting_its_start(rule: _Rule) -> _Rule:
    """The same rule; the first token it makes tells where it starts. Links and code may hold newlines that no token keeps."""

    def noting(state: StateInline, silent: bool) -> bool:
        start, count = state.pos, len(state.tokens)
        found = rule(state, silent)
        if found and not silent:
            for token in state.tokens[count:]:
                if token.type != "text":
                    token.meta[_START] = start
                    break
        return found

    return noting


def read_markdown(text: str, location: Location, log: ProblemLog) -> tuple[Block, ...]:
    """The blocks of `text`, which is CommonMark; `location` is the place of its first line.

    Soft line breaks become spaces. Whatever is not supported is left out and reported, all of it; a link that
    is not allowed leaves its words. Lines are counted from `location.line`; in a text from nowhere all is nowhere.
    """
    if len(text) > MOST_LETTERS:
        refuse_length(location, log)
        return ()
    return _Reader(location, log).read(_parser().parse(text))


def refuse_length(location: Location, log: ProblemLog) -> None:
    """Say that a document has more words than are read."""
    what = f"a document may have {MOST_LETTERS:,} letters of words, and here are more"
    log.error(location, what, hint="part it into several files")


class _Reader:
    """Turns the parser's flat row of tokens into blocks."""

    def __init__(self, location: Location, log: ProblemLog) -> None:
        self._place = location
        self._log = log
        self._deepest = _parser().options["maxNesting"]

    def read(self, tokens: Iterable[Token]) -> tuple[Block, ...]:
        return tuple(self._blocks(iter(tokens), ""))

    def _blocks(self, tokens: Iterator[Token], stop: str) -> Iterator[Block]:
        """The blocks up to the token `stop`, which is taken as well."""
        for token in tokens:
            if token.type == stop:
                return
            block = self._block(token, tokens)
            if block is not None:
                yield block

    def _block(self, token: Token, tokens: Iterator[Token]) -> Block | None:
        """The block that begins with `token`; its other tokens are taken. None when it is not supported."""
        location = self._at(token.map[0] if token.map else 0)
        match token.type:
            case "heading_open":
                return Heading(int(token.tag[1:]), self._content(tokens), location)
            case "paragraph_open":
                return Paragraph(self._content(tokens), location)
            case "blockquote_open":
                self._check_depth(token, location)
                return Quote(tuple(self._blocks(tokens, "blockquote_close")), location)
            case "bullet_list_open":
                return ListBlock(self._items(tokens, "bullet_list_close"), False, 1, location)
            case "ordered_list_open":
                start = int(token.attrGet("start") or 0) if "start" in token.attrs else 1
                return ListBlock(self._items(tokens, "ordered_list_close"), True, start, location)
            case "fence" | "code_block":
                return Typed(split_typed(token.content), location)
            case "hr":
                return Rule(location)
        self._refuse(token, location)
        if token.type == "table_open":
            _skip_to(tokens, "table_close")
        return None

    def _items(self, tokens: Iterator[Token], stop: str) -> tuple[tuple[Block, ...], ...]:
        items = []
        for token in tokens:
            if token.type == stop:
                break
            self._check_depth(token, self._at(token.map[0] if token.map else 0))
            items.append(tuple(self._blocks(tokens, "list_item_close")))
        return tuple(items)

    def _content(self, tokens: Iterator[Token]) -> tuple[Run, ...]:
        """The runs of the heading or paragraph just opened; its end is taken too."""
        inline = next(tokens)
        next(tokens)
        first = inline.map[0] if inline.map else 0
        return _joined(self._runs(inline.children or (), inline.content, first))

    def _runs(self, tokens: Iterable[Token], content: str, first: int) -> Iterator[Run]:
        """The runs of one block's content, whose first line is `first`."""
        bold = italic = counted = 0
        link, empty = "", True
        for token in tokens:
            start = token.meta.get(_START, counted)
            first += content.count("\n", counted, start)
            counted = start
            location = self._at(first)
            empty = empty and not token.content
            match token.type:
                case "text" | "text_special":
                    # A character reference may stand for a newline; a forced end of line is written otherwise.
                    yield Run(token.content.replace("\n", " "), bold > 0, italic > 0, False, link)
                case "code_inline":
                    yield Run(token.content, bold > 0, italic > 0, True, link)
                case "softbreak":
                    yield Run(" ", bold > 0, italic > 0, False, link)
                case "hardbreak":
                    yield Run("\n")
                case "strong_open" | "strong_close":
                    bold += token.nesting
                case "em_open" | "em_close":
                    italic += token.nesting
                case "link_open":
                    link = self._link(str(token.attrGet("href") or ""), location)
                    empty = True
                case "link_close":
                    if link and empty:
                        yield Run(
                            link, bold > 0, italic > 0, False, link
                        )  # whoever sets it finds better words
                    link = ""
                case _:
                    self._refuse(token, location)

    def _link(self, address: str, location: Location) -> str:
        """The address if it is allowed; names in the document as they are written, not percent-encoded."""
        if not _ALLOWED_LINK.fullmatch(address):
            what = f'the link to "{address}" is not allowed' if address else "a link leads nowhere"
            self._log.error(location, what, hint=_LINK_HINT)
            return ""
        return unquote(address) if address.startswith("#") else address

    def _refuse(self, token: Token, location: Location) -> None:
        what, hint = _UNSUPPORTED.get(token.type, (f"{token.type} is not supported in text", "take it out"))
        if token.type == "html_inline":
            what += f": {' '.join(token.content.split())}"
        self._log.error(location, what, hint=hint)

    def _check_depth(self, token: Token, location: Location) -> None:
        """The parser silently drops what stands inside the deepest list or quotation that it allows."""
        if token.level + 1 >= self._deepest:
            self._log.error(location, "lists and quotations are nested too deeply", hint="nest less")

    def _at(self, line: int) -> Location:
        """The place of a line of the text, counted from 0."""
        return Location(self._place.line + line, self._place.column) if self._place.line else self._place


def split_typed(text: str) -> tuple[str, ...]:
    """The lines of a text that is printed as it is typed: without the blank ones at its end, tabs as blanks."""
    return tuple(text.rstrip().expandtabs(_TAB).split("\n"))


def _skip_to(tokens: Iterator[Token], stop: str) -> None:
    for token in tokens:
        if token.type == stop:
            return


def _joined(runs: Iterable[Run]) -> tuple[Run, ...]:
    """The runs without empty ones, neighbours of one look made one. Forced ends of lines stay alone."""
    joined: list[Run] = []
    for run in runs:
        last = joined[-1] if joined else None
        if last is not None and last[1:] == run[1:] and "\n" not in (last.text, run.text):
            joined[-1] = run._replace(text=last.text + run.text)
        elif run.text:
            joined.append(run)
    return tuple(joined)
