"""The command line as the requests describe it: parser and help from their options, and requests from what was typed."""

from __future__ import annotations

import argparse
from enum import Enum
from typing import Any, NoReturn, TypeVar

from engrave.commands.registry import COMMANDS
from engrave.problems import nearest_word, visible
from engrave.requests.option import Group, Option, options_of, parts_of
from engrave.resources import style_names
from engrave.version import __version__

Request = TypeVar("Request")


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints do nothing to the terminal, whatever was typed."""

    def error(self, message: str) -> NoReturn:
        """Print what is wrong with what was typed; leave with the status for wrong use."""
        super().error(visible(message))

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """What was typed; an option or word that the command does not know is refused, with the one that may be meant."""
        options, unknown = self.parse_known_args(args, namespace)
        if unknown:
            self.error(_tell_unknown(unknown[0], options.command))
        return options


def _tell_unknown(word: str, command: str) -> str:
    """What is wrong with a word for which the command has no use."""
    if not word.startswith("-"):
        return f'{command} has no use for "{word}"'
    flag = word.partition("=")[0]
    flags = [option.flag for option in options_of(COMMANDS[command].load().request) if option.flag]
    nearest = nearest_word(flag, [*flags, "--help"])
    return f"{command} has no option {flag}" + (f'; did you mean "{nearest}"?' if nearest else "")


def build_parser(only: str | None = None) -> argparse.ArgumentParser:
    """The commands and their options; with `only` the options of that command alone (of none with ""), for a single line to parse."""
    parser = _Parser(
        prog="engrave",
        description="Turns scores for fretted instruments, written in YAML, into printed pages.",
    )
    parser.add_argument("--version", action="version", version=f"engrave {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, listed in COMMANDS.items():
        if only is not None and name != only:
            commands.add_parser(name, help=listed.words)
            continue
        record = listed.load().request
        command = commands.add_parser(name, help=listed.words, description=record.__doc__)
        _add_options(command, record)
    return parser


def read_request(record: type[Request], options: argparse.Namespace) -> Request:
    """The request that was typed."""
    values: dict[str, Any] = {}
    for part in parts_of(record):
        if isinstance(part, Group):
            values[part.name] = read_request(part.record, options)
        else:
            values[part.name] = _value(part, getattr(options, part.name))
    return record(**values)


def _value(option: Option, typed: Any) -> Any:
    """The value of an option. The parser leaves words for choices as they are, so that it can list them."""
    if typed is option.default:
        return typed
    if isinstance(typed, list):
        return tuple(typed)
    return option.convert(typed) if option.choices and isinstance(typed, str) else typed


def _add_options(command: Any, record: type[Any]) -> None:
    for part in parts_of(record):
        if isinstance(part, Group):
            target = command.add_argument_group(part.title, part.words) if part.title else command
            _add_options(target, part.record)
        else:
            _add_option(command, part)


def _add_option(command: Any, option: Option) -> None:
    settings: dict[str, Any] = {"help": _help(option)}
    if not option.is_switch:
        settings["metavar"] = option.value or None
        if option.choices:
            settings["choices"] = option.choices
        else:
            settings["type"] = _text if option.convert is str and not option.is_path else option.convert
    if not option.flag:
        settings["nargs"] = "+" if option.many else "?" if option.optional else None
        command.add_argument(option.name, **settings)
        return
    if option.is_switch:
        settings.update(action="store_const", const=option.present)
    elif option.many:
        settings["action"] = "append"
    if option.is_required:
        settings["required"] = True
    command.add_argument(option.flag, dest=option.name, default=_default(option), **settings)


def _text(typed: str) -> str:
    """Words as they were typed. Raises ArgumentTypeError for bytes that are no text, which Python hides in surrogates (PEP 383)."""
    if any("\ud800" <= character <= "\udfff" for character in typed):
        raise argparse.ArgumentTypeError(f'"{typed}" is not text in the encoding of this system')
    return typed


def _default(option: Option) -> Any:
    """What the parser takes where an option is not typed; it gathers several in a list."""
    if option.is_required:
        return None
    return list(option.default) if option.many else option.default


def _help(option: Option) -> str:
    """What an option does, and what is taken where it is not typed."""
    words = option.help.replace("{styles}", ", ".join(style_names())) if "{" in option.help else option.help
    usual = option.usual
    if not (
        usual or option.is_required or option.default in (None, "", ()) or isinstance(option.default, bool)
    ):
        usual = option.default.value if isinstance(option.default, Enum) else _short(option.default)
    return (f"{words} (default: {usual})" if usual else words).replace("%", "%%")


def _short(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
