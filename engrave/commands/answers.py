"""Answers given as lines to read or as a printed sheet."""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

from engrave.commands.make import Job, draw_files
from engrave.commands.outcome import Outcome, give_lines
from engrave.marks.mark import PlacedDocument
from engrave.problems import Problem
from engrave.products.lay_out import LaidOut
from engrave.products.product import PlacedPages
from engrave.requests.answers import AnswerForm
from engrave.requests.pages import Prepress


class Answer(NamedTuple):
    """Lines to read, or a sheet; both empty when something is wrong."""

    problems: tuple[Problem, ...]
    lines: tuple[str, ...] = ()
    sheet: PlacedDocument | None = None


def give_answer(name: str, answer: Answer, form: AnswerForm, output: str, dots_per_inch: float) -> Outcome:
    """An answer as it is asked for: lines to read unless a file is named, or a sheet called `name`."""
    outcome = Outcome(answer.problems)
    if answer.sheet is None or form.drawn is None:
        return give_lines(answer.lines, output, outcome)
    sheet = PlacedPages()
    job = Job(path=name, output=output, form=form.drawn, dots_per_inch=dots_per_inch, prepress=Prepress())
    return draw_files(LaidOut(answer.sheet, partial(sheet.draw, answer.sheet)), outcome, job)
