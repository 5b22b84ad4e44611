"""How a field of a request is typed on the command line: the one table behind parser, help, checks and defaults."""

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import MISSING, dataclass, field, fields
from enum import Enum
from typing import Any, NamedTuple, TypeVar, dataclass_transform

Record = TypeVar("Record")

_PATHS = frozenset(("FILE", "PATH", "FOLDER"))
_OPTION, _GROUP = "option", "group"


class Option(NamedTuple):
    """How one field is typed, and what may be typed.

    `help` says what it does; what it is when it is not typed follows there by itself unless `usual` says it better.
    `flag` is how it is typed, "" for a file or word without one; `choices` are the words for the values it may have.
    """

    name: str
    """The field's own."""
    help: str
    flag: str
    value: str = ""
    """What stands for the typed value in the help; "" for options that are only there or not."""
    convert: Callable[[str], Any] = str
    choices: tuple[str, ...] = ()
    usual: str = ""
    default: Any = None
    present: Any = True
    """What an option is that takes no value."""
    many: bool = False
    """May be typed several times, or (without a flag) names several things."""
    optional: bool = False
    """Need not be typed though it has no flag."""
    least: float | None = None
    most: float | None = None
    needs: str = ""
    """The option without which this one does nothing."""
    clashes: str = ""
    """The option that cannot be meant at the same time."""
    forms: tuple[str, ...] = ()
    """The forms (the option --as) for which alone this one does something; () for all."""

    @property
    def is_required(self) -> bool:
        """True when nothing is taken for granted."""
        return self.default is MISSING

    @property
    def is_switch(self) -> bool:
        """True for an option that takes no value."""
        return bool(self.flag) and not self.value and not self.choices

    @property
    def is_path(self) -> bool:
        """True for the name of a file or folder, whose bytes need not be any text; all else is words."""
        return not _PATHS.isdisjoint(self.value.split("|"))


def option(
    words: str,
    *,
    default: Any = MISSING,
    flag: str | None = None,
    value: str = "",
    convert: Callable[[str], Any] = str,
    choices: type[Enum] | tuple[str, ...] = (),
    usual: str = "",
    present: Any = True,
    many: bool = False,
    optional: bool = False,
    least: float | None = None,
    most: float | None = None,
    needs: str = "",
    clashes: str = "",
    forms: tuple[str, ...] = (),
) -> Any:
    """A field of a request; `flag` is `--` and the field's name unless given. See `Option` for the rest."""
    listed = choices
    if isinstance(listed, type):
        convert = listed
        listed = tuple(member.value for member in listed)
    made = Option(
        name="",
        help=words,
        flag="?" if flag is None else flag,
        value=value,
        convert=convert,
        choices=listed,
        usual=usual,
        default=default,
        present=present,
        many=many,
        optional=optional,
        least=least,
        most=most,
        needs=needs,
        clashes=clashes,
        forms=forms,
    )
    return field(default=default, metadata={_OPTION: made})


class Group(NamedTuple):
    """A record inside a request, whose options are typed like the request's own; titled ones stand apart in the help."""

    name: str
    record: Any
    """Its class."""
    title: str = ""
    words: str = ""


def group(*, default_factory: Callable[[], Record], title: str = "", words: str = "") -> Record:
    """A field that is a record of options itself."""
    made = Group("", default_factory, title, words)
    return field(default_factory=default_factory, metadata={_GROUP: made})


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(option, group))
def request(record: type[Record]) -> type[Record]:
    """A frozen record whose fields are given by name, each made by `option` or `group`."""
    return dataclass(frozen=True, kw_only=True, match_args=False, repr=False)(record)


def parts_of(record: type[Any]) -> Iterator[Option | Group]:
    """The options and groups of a request, in their order."""
    for item in fields(record):
        if _GROUP in item.metadata:
            yield item.metadata[_GROUP]._replace(name=item.name)
        else:
            made: Option = item.metadata[_OPTION]
            flag = f"--{item.name.replace('_', '-')}" if made.flag == "?" else made.flag
            yield made._replace(name=item.name, flag=flag)


def options_of(record: type[Any]) -> Iterator[Option]:
    """All options of a request, those of its groups too."""
    for part in parts_of(record):
        if isinstance(part, Option):
            yield part
        else:
            yield from options_of(part.record)


def typed_values(request: Any) -> dict[str, Any]:
    """Every value of a request by the name of its option, those of its groups too."""
    values: dict[str, Any] = {}
    for part in parts_of(type(request)):
        value = getattr(request, part.name)
        if isinstance(part, Option):
            values[part.name] = value
        else:
            values.update(typed_values(value))
    return values


def change(request: Record, **values: Any) -> Record:
    """The request with other values."""
    return dataclasses.replace(request, **values)  # type: ignore[type-var]
