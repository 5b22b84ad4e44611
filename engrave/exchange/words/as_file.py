"""A text as a file: plain, or as HTML that a screen reader walks by its headings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from engrave.exchange.words.outline import Items, Outline, Section

_DEEPEST = 6
"""HTML has six levels of headings (HTML Living Standard, 4.3.6)."""


def as_text(outline: Outline) -> str:
    """Plain text: a heading is a line of its own after an empty one, every item of a list a line."""
    lines = [outline.title, *filter(None, [outline.subtitle]), *outline.blocks]
    for section in outline.sections:
        lines.extend(_text_lines(section))
    return "\n".join(lines) + "\n"


def _text_lines(section: Section) -> Iterator[str]:
    yield ""
    yield section.title
    for block in section.blocks:
        if isinstance(block, Items):
            if block.title:
                yield f"{block.title}:"
            yield from block.items
        else:
            yield block
    for inner in section.sections:
        yield from _text_lines(inner)


def as_html(outline: Outline) -> str:
    """A page without script or style of its own: one main heading, sections with theirs, languages named.

    Sources: HTML Living Standard, 3.2.6.1 (lang) and 4.3.6 (headings); WCAG 2.2, 1.3.1, 2.4.2 and 3.1.1.
    """
    own = f' lang="{escape(outline.own)}"' if outline.own and outline.own != outline.language else ""
    head = [
        "<!DOCTYPE html>",
        f'<html lang="{escape(outline.language)}">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title{own}>{escape(outline.title)}</title>",
        "</head>",
        "<body>",
        "<main>",
        f"<h1{own}>{escape(outline.title)}</h1>",
    ]
    if outline.subtitle:
        head.append(f"<p{own}>{escape(outline.subtitle)}</p>")
    head.extend(f"<p>{escape(block)}</p>" for block in outline.blocks)
    body = _html_sections(outline.sections, 2)
    return "\n".join([*head, *body, "</main>", "</body>", "</html>"]) + "\n"


def _html_sections(sections: Iterable[Section], level: int) -> Iterator[str]:
    for section in sections:
        heading = f"h{min(level, _DEEPEST)}"
        yield "<section>"
        yield f"<{heading}>{escape(section.title)}</{heading}>"
        for block in section.blocks:
            yield from _html_block(block)
        yield from _html_sections(section.sections, level + 1)
        yield "</section>"


def _html_block(block: str | Items) -> Iterator[str]:
    if not isinstance(block, Items):
        yield f"<p>{escape(block)}</p>"
        return
    if block.title:
        yield f"<p>{escape(block.title)}:</p>"
    yield "<ol>"
    yield from (f"<li>{escape(item)}</li>" for item in block.items)
    yield "</ol>"
