"""Options that cannot be meant: out of range, contradicting each other, or for something else."""

from __future__ import annotations

import math
from typing import Any

from engrave.requests.option import Group, Option, options_of, parts_of, typed_values


def find_misuse(request: Any) -> str:
    """What is wrong with a request, in words; "" when nothing is."""
    values = typed_values(request)
    options = {option.name: option for option in options_of(type(request))}
    for option in options.values():
        complaint = _check_option(option, options, values)
        if complaint:
            return complaint
    return _ask(request)


def _check_option(option: Option, options: dict[str, Option], values: dict[str, Any]) -> str:
    value = values[option.name]
    if isinstance(value, float) and not math.isfinite(value):
        return f"{option.flag} must be {_range(option)}"
    if option.is_required or value == option.default:
        return ""
    if not _is_between(value, option.least, option.most):
        return f"{option.flag} must be {_range(option)}"
    if option.needs and not values[option.needs]:
        return f"{option.flag} is for {options[option.needs].flag}"
    if option.clashes and values[option.clashes]:
        return f"{option.flag} and {options[option.clashes].flag} cannot both be meant"
    form = values.get("form")
    if option.forms and form is not None and form.value not in option.forms:
        return f"{option.flag} is for --as {' or '.join(option.forms)}"
    return ""


def _is_between(value: Any, least: float | None, most: float | None) -> bool:
    """Nothing, and what is no number at all, has no range; NaN is in none."""
    if value is None or (least is None and most is None):
        return True
    return (least is None or value >= least) and (most is None or value <= most)


def _range(option: Option) -> str:
    if option.most is None and option.least is None:
        return "a number in digits"
    if option.most is None:
        return f"{option.least:g} or more"
    return f"{option.least or 0:g} to {option.most:g}"


def _ask(request: Any) -> str:
    """What the request and its groups find wrong themselves."""
    own = getattr(request, "find_misuse", None)
    complaint = str(own()) if own is not None else ""
    for part in parts_of(type(request)):
        if not complaint and isinstance(part, Group):
            complaint = _ask(getattr(request, part.name))
    return complaint
