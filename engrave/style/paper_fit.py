"""A style put on another sheet: its margins stay, and the music flows into what they leave."""

from __future__ import annotations

from engrave.style.sections import PaperStyle, Style

_LEAST_ROOM = 50.0
"""Millimetres of a sheet that margins must leave each way (house rule)."""


def leaves_room(paper: PaperStyle) -> bool:
    """True when the margins leave enough of the sheet to print on."""
    return (
        paper.width - paper.margin_inner - paper.margin_outer >= _LEAST_ROOM
        and paper.height - paper.margin_top - paper.margin_bottom >= _LEAST_ROOM
    )


NO_ROOM = f"the margins leave less than {_LEAST_ROOM:g} mm of the sheet"
"""What is wrong where they do not."""


def on_sheet(style: Style, width: float, height: float) -> Style:
    """The style with a sheet of this size in millimetres. Raises ValueError where its margins leave no room."""
    paper = style.paper._replace(width=width, height=height)
    if not leaves_room(paper):
        raise ValueError(NO_ROOM)
    return style._replace(paper=paper)
