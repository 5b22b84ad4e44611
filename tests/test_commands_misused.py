"""Every command with what it cannot use: files of other kinds, names that lead nowhere, options out of reach. One message, never a traceback."""

import os
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.cli import main
from engrave.commands.writing import write_document
from engrave.parser import build_parser
from engrave.requests.exchange import Foreign, WriteRequest

GOOD = "score: 1\ntitle: Quay\nmeasures:\n  - chord: C\n    notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n"
TAB = "e|-0-1-3-0-|\nB|---------|\nG|---------|\nD|---------|\nA|---------|\nE|---------|\n"
FILES = {
    "tune.yaml": GOOD.encode(),
    "lesson.yaml": b"handout: 1\ncontent:\n  - music: tune.yaml\n",
    "book.yaml": b"songbook: 1\nsongs:\n  - tune.yaml\n",
    "paper.yaml": b"paper: 1\n",
    "empty.yaml": b"",
    "binary.yaml": bytes(range(256)),
    "utf16.yaml": GOOD.encode("utf-16"),
    "latin.yaml": "title: café".encode("latin-1"),
    "list.yaml": b"- 1\n",
    "number.yaml": b"5\n",
    "style.yaml": b"style: 1\nstaff: {height_mm: 7}\n",
    "wrong.yaml": b"a: [1\nb: 2\n",
    "deep.yaml": b"[" * 3000,
    "infinite.yaml": b"score: 1\nmeasures: [{number: .inf, notes: [1/1: {1: .nan}]}]\n",
    "huge.yaml": b"score: 1\nmeasures: [{notes: [1/1: {1: 99999999999999999999999}]}]\n",
    "circle.yaml": b"hand: 1\nbased-on: circle.yaml\n",
    "a.png": b"\x89PNG\r\n\x1a\n",
    "a.pdf": b"%PDF-1.4",
    "a.mid": b"MThd\0\0\0\6\0\1\0\1\0",
    "a.musicxml": b"<score-partwise><part",
    "a.mxl": b"PK\3\4junk",
    "a.txt": TAB.encode(),
}
COMMANDS = ("make", "check", "read", "write", "place")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    path = tmp_path_factory.mktemp("files")
    for name, data in FILES.items():
        (path / name).write_bytes(data)
    (path / "folder.yaml").mkdir()
    (path / "loop").symlink_to("loop")
    before = os.getcwd()
    os.chdir(path)
    yield path
    os.chdir(before)


def run(arguments, capfd):
    """The exit status and what went to the two streams."""
    try:
        status = main(arguments)
    except SystemExit as stop:
        status = stop.code
    streams = capfd.readouterr()
    return status, streams.out, streams.err


def said(arguments, capfd):
    """The messages of a run that must fail with them."""
    status, out, err = run(arguments, capfd)
    assert status == 1, (arguments, out, err)
    return err.splitlines()


ODD = [
    *FILES,
    "folder.yaml",
    "loop",
    "gone.yaml",
    "no/such/place.yaml",
    "n" * 300,
    "",
    "/dev/null",
    "tune.yaml/x",
]


@pytest.mark.parametrize("name", ODD, ids=lambda name: name[:20] or "no-name")
@pytest.mark.parametrize("command", COMMANDS)
def test_any_file_gives_a_result_or_messages(folder, tmp_path, capfd, command, name):
    arguments = [command, name]
    if command != "check":
        arguments += ["-o", str(tmp_path / "result")]
    if command == "write":
        arguments += ["--as", "text"]
    status, _, err = run(arguments, capfd)
    assert status in (0, 1, 2)
    assert status == 0 or err.strip()


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="needs a user without all rights")
@pytest.mark.parametrize("command", COMMANDS)
def test_a_file_that_may_not_be_read(tmp_path, capfd, command):
    path = tmp_path / "locked.yaml"
    path.write_text(GOOD, "utf-8")
    path.chmod(0)
    assert (
        "may not be read"
        in said([command, str(path), *(["--as", "text"] if command == "write" else [])], capfd)[0]
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["make", "a.png"],
            "a.png: this is a PNG picture, not a document of Engrave; documents are YAML files that start with score: 1",
        ),
        (
            ["make", "a.txt"],
            "a.txt: this is typed tab, not a document of Engrave; engrave read a.txt turns it into a score",
        ),
        (
            ["check", "a.txt"],
            "a.txt: this is typed tab, not a document of Engrave; engrave read a.txt turns it into a score",
        ),
        (
            ["make", "a.mid"],
            "a.mid: this is a MIDI file, not a document of Engrave; engrave read a.mid turns it into a score",
        ),
        (
            ["make", "a.musicxml"],
            "a.musicxml: this is a MusicXML file, not a document of Engrave; engrave read a.musicxml turns it into a score",
        ),
        (
            ["place", "a.mxl"],
            "a.mxl: this is a compressed MusicXML file, not a document of Engrave; engrave read a.mxl turns it into a score",
        ),
        (["check", "a.pdf"], "a.pdf: this is a PDF file, not a document of Engrave; documents are YAML"),
        (["read", "a.pdf"], "a.pdf: this is a PDF file, not plain text, MusicXML or MIDI"),
        (
            ["read", "tune.yaml"],
            "tune.yaml: this is a document of Engrave already; engrave make tune.yaml draws it",
        ),
        (
            ["place", "lesson.yaml"],
            "lesson.yaml:1:1: this is a handout, not a score; a score starts with score: 1",
        ),
        (["make", "tuen.yaml"], 'tuen.yaml: there is no such file; did you mean "tune.yaml"?'),
        (["check", "lessons.yml"], 'lessons.yml: there is no such file; did you mean "lesson.yaml"?'),
        (["read", "b.txt"], "b.txt: there is no such file"),
        (
            ["make", "nowhere/tune.yaml"],
            'nowhere/tune.yaml: there is no such file; there is no folder "nowhere" either',
        ),
        (
            ["make", "tune.yaml", "--style", "handuot"],
            'tune.yaml: there is no style "handuot"; did you mean "handout"?',
        ),
        (
            ["make", "tune.yaml", "--style", "styel.yaml"],
            'tune.yaml: there is no style "styel.yaml"; did you mean "style.yaml"?',
        ),
        (
            ["check", "tune.yaml", "--hand", "begginer"],
            'tune.yaml: there is no hand "begginer"; did you mean "beginner"?',
        ),
    ],
)
def test_wrong_files_are_named_by_what_they_are_and_misspelt_ones_get_a_suggestion(
    folder, capfd, arguments, message
):
    found = said(arguments, capfd)
    assert len(found) == 1
    assert found[0].startswith(message), found


def test_a_document_never_suggests_itself(folder, capfd):
    for name, text, key in (
        ("lessen.yaml", "handout: 1\ncontent:\n  - music: lessem.yaml\n", "3:12"),
        ("brok.yaml", "songbook: 1\nsongs:\n  - brook.yaml\n", "3:5"),
    ):
        (folder / name).write_text(text, "utf-8")
        (found,) = said(["check", name], capfd)
        assert found.startswith(f'{name}:{key}: there is no file "')
        assert name not in found.removeprefix(name)
        (folder / name).unlink()


NUMBERS = ["-1", "0", "1", "7", "nan", "inf", "-inf", "1e308", "99999999999999999999", "x", "", "-0.0"]
WORDS = [
    "",
    "x",
    "é",
    "gone.yaml",
    "folder.yaml",
    "a.png",
    "style.yaml",
    "circle.yaml",
    "G major",
    "drop D",
    "1-4",
    "9-2",
    "D2",
    "n" * 300,
    "guitar",
    "voice",
]
_FILE_OPTIONS = {"output", "trace", "cache"}


def options_of(command):
    """Every option of a command, with values that it may be given."""
    parser = (
        build_parser()._subparsers._group_actions[0].choices[command]
    )  # argparse has no public way to its actions
    for action in parser._actions:
        flags = [flag for flag in action.option_strings if flag not in ("-h", "--help", "--pages", "--jobs")]
        if flags and action.dest not in _FILE_OPTIONS:
            values = (
                [None]
                if action.nargs == 0
                else list(action.choices or (NUMBERS if action.type in (int, float) else WORDS))
            )
            yield flags[0], values


@settings(max_examples=250)
@given(st.data())
def test_no_option_makes_a_command_stumble(folder, tmp_path_factory, data):
    command = data.draw(st.sampled_from([*COMMANDS, "paper", "shapes"]))
    arguments = [command]
    if command == "shapes":
        arguments.append(data.draw(st.sampled_from(["C", "H7", "", "x 3 2 0 1 0", "N.C.", "9"])))
    elif command != "paper":
        arguments.append(
            data.draw(
                st.sampled_from(
                    ["a.txt", "a.mid"] if command == "read" else ["tune.yaml", "lesson.yaml", "paper.yaml"]
                )
            )
        )
    for flag, values in data.draw(st.lists(st.sampled_from(list(options_of(command))), max_size=3)):
        value = data.draw(st.sampled_from(values))
        arguments.append(flag if value is None else f"{flag}={value}")
    if command == "write" and not any(word.startswith("--as") for word in arguments):
        arguments.append("--as=text")
    if command != "check":
        arguments += ["-o", str(tmp_path_factory.mktemp("out") / "result")]
    try:
        assert main(arguments) in (0, 1)
    except SystemExit as stop:
        assert stop.code == 2  # noqa: PT017 - only some examples stop


@pytest.mark.parametrize(
    "target", ["no/such/x.pdf", "folder.yaml", "n" * 300 + ".pdf", "loop", "tune.yaml/x.pdf"]
)
def test_a_result_that_cannot_be_written_is_one_message(folder, capfd, target):
    status, _, err = run(["make", "tune.yaml", "-o", target], capfd)
    assert status in (0, 1)  # a folder takes the result under its own name
    assert len(err.splitlines()) == (1 if status else 0)


@pytest.mark.parametrize("command", ["make", "check", "place", "write", "read"])
def test_standard_input_is_read_by_every_command(folder, command):
    arguments = [
        command,
        "-",
        *(["--as", "text"] if command == "write" else []),
        *(["-o", "-"] if command != "check" else []),
    ]
    text = TAB if command == "read" else GOOD
    done = subprocess.run(
        [sys.executable, "-m", "engrave", *arguments], input=text.encode(), capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    empty = subprocess.run(
        [sys.executable, "-m", "engrave", *arguments], input=b"", capture_output=True, check=False
    )
    assert empty.returncode == 1
    assert empty.stderr.startswith(b"standard input:")
    assert empty.stderr.count(b"\n") == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ["make", "tune.yaml"],
        ["make", "lesson.yaml", "--as", "svg"],
        ["check", "tune.yaml", "--difficulty"],
        ["paper"],
        ["write", "tune.yaml", "--as", "midi"],
        ["place", "tune.yaml", "--capo", "2", "--why"],
        ["read", "a.txt"],
        ["shapes", "C", "--as", "pdf"],
    ],
)
def test_quiet_prints_problems_only(folder, tmp_path, capfd, arguments):
    target = [] if arguments[0] == "check" else ["-o", str(tmp_path / "result")]
    status, loud, _ = run([*arguments, *target], capfd)
    assert status == 0
    assert loud
    status, out, err = run([*arguments, *target, "--quiet"], capfd)
    assert status == 0
    assert out == ""
    assert all("warning: " in line for line in err.splitlines())


def test_a_check_says_whether_there_are_problems_or_only_no_errors(folder, tmp_path, capfd):
    doubtful = tmp_path / "doubtful.yaml"
    doubtful.write_text(GOOD.replace("{3: 2}", "{3: 2 pull-off}"), "utf-8")
    assert run(["check", "tune.yaml"], capfd)[1] == "tune.yaml: no problems\n"
    assert run(["check", str(doubtful)], capfd)[1] == f"{doubtful}: no errors\n"


def test_sound_without_numpy_says_what_to_install(folder, monkeypatch):
    monkeypatch.setitem(sys.modules, "engrave.playing.sound_file", None)  # as if it could not be imported
    for is_checkout, command in ((True, 'pip install ".[listen]"'), (False, 'pip install "engrave[listen]"')):
        monkeypatch.setattr(
            "engrave.commands.writing.data_folder",
            lambda here=is_checkout: folder if here else folder / "gone",
        )
        (folder / "pyproject.toml").touch()
        (problem,) = write_document(WriteRequest(file="tune.yaml", form=Foreign.WAV)).problems
        assert str(problem) == f"tune.yaml: sound needs numpy; install it with {command}"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["paper", "--fotter", "x"], 'paper has no option --fotter; did you mean "--footer"?'),
        (["make", "tune.yaml", "--stlye=handout"], 'make has no option --stlye; did you mean "--style"?'),
        (["check", "tune.yaml", "--zzzzz"], "check has no option --zzzzz\n"),
        (["schema", "score", "handout"], 'schema has no use for "handout"'),
        (["paper", "--footer", "a\udcff"], '--footer: "a\\udcff" is not text in the encoding of this system'),
        (["shapes", "C\udcff"], '"C\\udcff" is not text in the encoding of this system'),
    ],
)
def test_what_was_typed_wrongly_is_said_with_what_may_be_meant(folder, capfd, arguments, message):
    status, _, err = run(arguments, capfd)
    assert status == 2
    assert message in err


def test_the_name_of_a_file_may_be_any_bytes(folder, tmp_path, capfd):
    name = os.fsencode(tmp_path) + b"/a\xff.yaml"
    with open(name, "w", encoding="utf-8") as stream:
        stream.write(GOOD)
    assert run(["make", os.fsdecode(name), "-o", os.fsdecode(name.replace(b"yaml", b"pdf"))], capfd)[0] == 0


HELP = {
    "make": ["output format (default: pdf)", "print problems only", "(default: 150)"],
    "check": ["print problems only", "(default: intermediate)"],
    "paper": ["without a file", "systems per page (default: as many as fit)", "(default: A4)"],
    "place": [
        "notes that can stay where they are do",
        "transpose to this key, by the smaller interval",
        "(negative: down)",
        "ignore written strings and fingers",
    ],
    "shapes": ['chord names (or frets such as "x 3 2 0 1 0" with --name)', "output format (default: text)"],
}


@pytest.mark.parametrize("command", [*COMMANDS, "paper", "shapes"])
def test_help_says_what_an_option_does_and_what_holds_without_it(command, capfd):
    _, out, _ = run([command, "--help"], capfd)
    text = " ".join(out.split())
    for words in HELP.get(command, ()):
        assert words in text
    assert "usual" not in text
    assert "say nothing" not in text
