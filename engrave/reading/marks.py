"""The value of `marks`: names of marks in a list, or as words of one text."""

from __future__ import annotations

from engrave.diagnostics.problem import Place, nearest_word
from engrave.reading.context import Context
from engrave.score.sign_list import MARKS, SignName
from engrave.score.techniques import Plain, Technique
from engrave.source.tree import Value


def read_marks(context: Context, value: Value, place: Place) -> tuple[Technique, ...]:
    """The marks that `value` names; what is none of them goes to the log."""
    names = value.split() if isinstance(value, str) else [str(name) for name in value]
    marks: list[Technique] = []
    for name in names:
        if name in MARKS:
            marks.append(Plain(SignName(name), place))
            continue
        near = nearest_word(name, MARKS)
        hint = f'did you mean "{near}"?' if near else "marks are words such as accent, fermata or strum-down"
        context.error(place, f'"{name}" is not a mark', hint)
    return tuple(marks)
