"""What is asked of an answer: lines to read, YAML for a document, or a printed sheet."""

from __future__ import annotations

from enum import Enum

from engrave.requests.option import option
from engrave.requests.pages import Format
from engrave.requests.targets import STREAM, check_ending


class AnswerForm(Enum):
    """How shapes and necks are given: lines to read, YAML for a document, or a printed sheet."""

    TEXT = "text"
    YAML = "yaml"
    PDF = "pdf"
    PNG = "png"
    SVG = "svg"

    @property
    def drawn(self) -> Format | None:
        """The form of a printed sheet; None for lines to read."""
        return None if self in (AnswerForm.TEXT, AnswerForm.YAML) else Format(self.value)


DRAWN = tuple(form.value for form in AnswerForm if form.drawn)
"""The forms of a printed sheet."""


def form_option() -> AnswerForm:
    """In what form the answer is given."""
    found: AnswerForm = option("output format", flag="--as", choices=AnswerForm, default=AnswerForm.TEXT)
    return found


def output_option(sheet: str) -> str:
    """Where the answer goes; `sheet` is what a printed one is usually called."""
    found: str = option(
        "write to this file",
        flag="-o",
        value="PATH",
        default="",
        usual=f"standard output, or {sheet} for a sheet",
    )
    return found


def sheet_style_option() -> str:
    """How a sheet looks."""
    found: str = option("style of the sheet", value="NAME|FILE", default="", forms=DRAWN)
    return found


def sheet_language_option() -> str:
    """The language of what a sheet says of its own."""
    found: str = option(
        "language of the words on the sheet: de, en, es, fr",
        value="TAG",
        default="",
        usual="en",
        forms=DRAWN,
    )
    return found


def find_misnamed(output: str, form: AnswerForm) -> str:
    """What is wrong with the name of the result; "" when nothing is."""
    if output == STREAM and form in (AnswerForm.PNG, AnswerForm.SVG):
        return "png and svg cannot be written to standard output"
    return check_ending(output, form.value)
