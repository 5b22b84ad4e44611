"""Nothing from a file, a file name or an option acts on the terminal: what cannot be seen is shown by its number."""

from contextlib import suppress

import pytest

from engrave.cli import main
from engrave.problems import NOWHERE, Problem, Severity, visible

UNSEEN = [*map(chr, range(0x20)), *map(chr, range(0x7F, 0xA0)), *map(chr, range(0x202A, 0x202F)), *map(chr, range(0x2066, 0x206A)), "\u200b", "\u200d", "\u2028", "\u2029", "\ufeff", "\ud800", "\U000e0041"]  # fmt: skip


@pytest.mark.parametrize("character", UNSEEN, ids=lambda character: f"{ord(character):x}")
def test_what_cannot_be_seen_is_written_out(character):
    shown = visible(f"a{character}b")
    assert character not in shown
    assert shown.startswith("a\\")
    assert shown.endswith("b")
    problem = Problem(f"f{character}", NOWHERE, Severity.ERROR, f'"{character}"', character, character)
    assert character not in str(problem)


@pytest.mark.parametrize("text", ["Für Élise", "日本語", "B♭ – a", "C:\\songs", "🎸"])
def test_letters_of_every_script_stay(text):
    assert visible(text) == text


ESCAPE = "\x1b]0;owned\x07\u202e"


@pytest.mark.parametrize(
    "document",
    [
        'score: 1\n"a\\e[2Jb": 1\nmeasures: [{notes: [1/1: rest]}]\n',
        'score: 1\ntitle: "\\e[31m\\u202e"\nmeasures: [{notes: [1/1: rest]}]\n',
        'score: 1\nkey: "\\e[2J"\nmeasures: [{notes: [1/1: "\\a\\e"], dynamics: "\\x9b"}]\n',
        'score: 1\nparts: [{id: a, name: "\\e[5m"}]\nmeasures: [{parts: {a: {notes: [1/1: 9:1]}}}]\n',
        'songbook: 1\ntitle: T\nsongs: ["\\e[2J.yaml"]\n',
        'handout: 1\ncontent: [{picture: "a\\r\\nb.yaml:1:1: all is well", alt: a}]\n',
        'score: 1\nstyle: "\\e"\nmeasures: [{notes: [1/1: rest]}]\n',
    ],
)
@pytest.mark.parametrize("command", ["check", "make"])
def test_a_file_cannot_write_to_the_terminal(tmp_path, capsys, monkeypatch, document, command):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.yaml").write_text(document, "utf-8")
    assert main([command, "a.yaml"]) == 1
    told = capsys.readouterr()
    lines = (told.out + told.err).splitlines()
    assert lines
    assert all(line.startswith("a.yaml") and line.isprintable() for line in lines)


@pytest.mark.parametrize("command", ["check", "make", "read", "write", "place"])
def test_a_file_name_cannot_write_to_the_terminal(tmp_path, capsys, monkeypatch, command):
    monkeypatch.chdir(tmp_path)
    name = f"{ESCAPE}.yaml"
    (tmp_path / name).write_text("score: 1\nmeasures: [{notes: [1/1: 1:0]}]\n", "utf-8")
    for file in (name, f"no{name}"):
        with suppress(SystemExit):
            main([command, file, *(["--as", "midi"] if command == "write" else [])])
        told = capsys.readouterr()
        assert all(line.isprintable() for line in (told.out + told.err).split("\n"))


@pytest.mark.parametrize("typed", [[f"--{ESCAPE}"], ["--style", ESCAPE], ["--as", ESCAPE], ["--size", ESCAPE], ["-o", f"{ESCAPE}/a.pdf"], [ESCAPE]])  # fmt: skip
def test_an_option_cannot_write_to_the_terminal(tmp_path, capsys, monkeypatch, typed):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.yaml").write_text("score: 1\nmeasures: [{notes: [1/1: 1:0]}]\n", "utf-8")
    status = 2
    with suppress(SystemExit):
        status = main(["make", "a.yaml", *typed])
    assert status != 0
    told = capsys.readouterr()
    assert told.err
    assert all(line.isprintable() for line in (told.out + told.err).split("\n"))


def test_data_that_is_asked_for_is_written_as_it_is(capsys):
    from engrave.resources import schema_text

    assert main(["schema", "score"]) == 0
    assert capsys.readouterr().out == schema_text("score").rstrip("\n") + "\n"
