"""Requests: one table gives parser, help, checks and defaults."""

import dataclasses

import pytest

from engrave.commands.registry import COMMANDS
from engrave.parser import build_parser, read_request
from engrave.requests.misuse import find_misuse
from engrave.requests.option import options_of, typed_values
from engrave.requests.pages import MakeRequest
from engrave.requests.paper import PaperRequest

NEEDED = {
    "make": ["a.yaml"],
    "check": ["a.yaml"],
    "read": ["a.txt"],
    "write": ["a.yaml", "--as", "wav"],
    "place": ["a.yaml"],
    "shapes": ["C"],
    "new": ["score"],
    "necks": ["A minor"],
}
COMMAND = pytest.mark.parametrize("command", COMMANDS)


@COMMAND
def test_what_is_not_typed_is_as_the_record_has_it(command):
    record = COMMANDS[command].load().request
    options = build_parser().parse_args([command, *NEEDED.get(command, [])])
    request = read_request(record, options)
    values = typed_values(request)
    for option in options_of(record):
        if not option.is_required:
            assert values[option.name] == option.default, option.name
    assert find_misuse(request) == ""


@COMMAND
def test_one_command_is_parsed_as_it_is_among_all(command):
    record = COMMANDS[command].load().request
    typed = [command, *NEEDED.get(command, [])]
    assert read_request(record, build_parser(command).parse_args(typed)) == read_request(
        record, build_parser().parse_args(typed)
    )


@COMMAND
def test_options_have_names_of_their_own_and_words(command):
    options = list(options_of(COMMANDS[command].load().request))
    for values in ([option.name for option in options], [option.flag for option in options if option.flag]):
        assert len(set(values)) == len(values)
    assert all(option.help for option in options)
    names = {option.name for option in options}
    assert {option.needs for option in options} | {option.clashes for option in options} <= names | {""}


def test_requests_cannot_be_changed_and_their_fields_are_given_by_name():
    with pytest.raises(TypeError):
        MakeRequest(("a.yaml",))
    request = MakeRequest(files=("a.yaml",))
    with pytest.raises(dataclasses.FrozenInstanceError):
        request.jobs = 2


@pytest.mark.parametrize(
    ("typed", "complaint"),
    [
        (["make", "a.yaml", "--dpi", "5", "--as", "png"], "--dpi must be 10 to 2400"),
        (["make", "a.yaml", "--dpi", "nan", "--as", "png"], "--dpi must be 10 to 2400"),
        (["make", "a.yaml", "--dpi", "300"], "--dpi is for --as png"),
        (["make", "a.yaml", "--jobs", "-1"], "--jobs must be 1 or more"),
        (["paper", "--creep", "1"], "--creep is for --booklet"),
        (["paper", "--bleed", "4"], "--bleed is for --crop-marks"),
        (["paper", "--booklet", "--two-up"], "--booklet and --two-up cannot both be meant"),
        (["paper", "--booklet", "--as", "png"], "--booklet is for --as pdf"),
        (["write", "a.yaml", "--as", "text", "--click"], "--click is for --as midi or wav"),
        (
            ["write", "a.yaml", "--as", "text", "--measures", "2"],
            "--measures is for --as midi or wav or words or html or braille or brf",
        ),
        (["write", "a.yaml", "--as", "wav", "--width", "80"], "--width is for --as text"),
        (["shapes", "C", "--style", "handout"], "--style is for --as pdf or png or svg"),
    ],
)
def test_options_that_cannot_be_meant_are_told(typed, complaint):
    record = COMMANDS[typed[0]].load().request
    assert find_misuse(read_request(record, build_parser().parse_args(typed))) == complaint


def test_paper_says_only_what_was_typed():
    options = build_parser().parse_args(["paper", "--strings", "7", "--kinds", "staff, tab", "--no-clef"])
    request = read_request(PaperRequest, options)
    assert request.paper.keys() == {"strings": 7, "kinds": ["staff", "tab"], "clef": False}
