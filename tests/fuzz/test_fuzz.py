"""The fuzzer notices what it is there to notice, makes it small, and makes the same case again from the same number."""

import os
import subprocess
import sys

import pytest

from tests.fuzz import worker
from tests.fuzz.case import Case, Step, from_json, to_json
from tests.fuzz.corpus import case_names, read_case
from tests.fuzz.judge import is_unsafe, judge_result
from tests.fuzz.readers import READERS, make_case
from tests.fuzz.reduce import reduce_case
from tests.fuzz.seeds import ROOT

ONE = Case("command", {"a.yaml": b"kept"}, (Step(("check", "a.yaml")),))


@pytest.fixture
def failures(tmp_path, monkeypatch):
    """What is found wrong with a command line that does what `program` does; kinds only."""

    def found(program, case=ONE):
        monkeypatch.setattr(worker, "main", program)
        return [failure.kind for failure in worker.run_case(case, tmp_path).failures]

    return found


def say(*words):
    """A command that says `words`, and that the input is wrong."""

    def program(arguments):
        print(*words)
        return 1

    return program


def crash(arguments):
    raise KeyError(arguments)


def hang(arguments):
    while True:
        pass


def test_a_command_that_says_what_is_wrong_is_right(failures):
    assert failures(say_on_stderr) == []


def say_on_stderr(arguments):
    print("a.yaml:1:1: wrong", file=sys.stderr)
    return 1


def test_an_exception_is_a_failure(failures):
    assert failures(crash) == ["KeyError"]


def test_an_exit_with_the_status_of_wrong_use_is_none(failures):
    def program(arguments):
        say_on_stderr(arguments)
        raise SystemExit(2)

    assert failures(program) == []


def test_another_status_is_a_failure(failures):
    assert failures(lambda arguments: say_on_stderr(arguments) + 6) == ["status"]


def test_a_command_that_never_ends_is_stopped(failures, monkeypatch):
    monkeypatch.setattr(worker, "SECONDS", 0.2)
    assert failures(hang) == ["hang"]


def test_failing_without_a_word_is_a_failure(failures):
    assert failures(lambda arguments: 1) == ["silent"]


def test_a_control_sign_in_a_message_is_a_failure(failures):
    def program(arguments):
        print("so\x1b[2Jng")
        return 0

    assert failures(program) == ["terminal"]


@pytest.mark.parametrize("sign", ["\x1b", "\x00", "\x85", "\x9b", "\x7f", "\r", "\u202e", "\u2066", "\ud800"])
def test_signs_that_do_something_to_a_terminal(sign):
    assert is_unsafe(sign)


@pytest.mark.parametrize("sign", ["\n", "\t", "a", "é", "漢", "♭", "\u00a0", "\U0001d11e"])
def test_signs_that_do_nothing_to_a_terminal(sign):
    assert not is_unsafe(sign)


def test_a_file_left_by_a_command_that_failed_is_a_failure(failures):
    def program(arguments):
        with open("out/half.pdf", "w", encoding="utf-8") as stream:
            stream.write("%PDF-1.4\n%%EOF")
        return say_on_stderr(arguments)

    assert failures(program) == ["left-over"]


def test_a_source_that_is_changed_is_a_failure(failures):
    def program(arguments):
        with open("a.yaml", "w", encoding="utf-8") as stream:
            stream.write("gone")
        return 0

    assert failures(program) == ["overwritten"]


def test_place_may_write_over_its_score_where_it_is_asked_to(failures):
    def program(arguments):
        with open("a.yaml", "w", encoding="utf-8") as stream:
            stream.write("placed")
        return 0

    own = ("place", "./a.yaml", "-o", "a.yaml")
    assert failures(program, ONE._replace(steps=(Step(own),))) == []
    assert failures(program, ONE._replace(steps=(Step(("place", "b.yaml", "-o", "a.yaml")),))) == [
        "overwritten"
    ]


def test_a_temporary_file_is_a_failure(failures):
    def program(arguments):
        with open("out/.engrave-x1", "w", encoding="utf-8"):
            return 0

    assert failures(program) == ["left-over"]


def test_check_and_make_that_disagree_are_a_failure(failures):
    case = ONE._replace(steps=(Step(("check", "a.yaml")), Step(("make", "a.yaml"), agrees=0)))

    def program(arguments):
        return 0 if arguments[0] == "check" else say_on_stderr(arguments)

    assert failures(program, case) == ["disagree"]


def test_a_result_that_is_refused_is_a_failure_and_one_that_never_came_is_none(failures):
    case = ONE._replace(steps=(Step(("read", "a.yaml")), Step(("check", "b.yaml"), after=0, must=True)))

    def refuses(arguments):
        return 0 if arguments[0] == "read" else say_on_stderr(arguments)

    assert failures(refuses, case) == ["refused"]
    assert failures(say_on_stderr, case) == []


@pytest.mark.parametrize(
    ("ending", "data"),
    [
        (".svg", b'<svg><path d="M 0 nan L 1 1"/></svg>'),
        (".svg", b'<svg><g transform="translate(inf 0)"/></svg>'),
        (".svg", b"<svg>"),
        (".pdf", b"%PDF-1.4\n1 0 obj"),
        (".pdf", b"%PDF-1.4 /MediaBox [0 0 inf 842]\n%%EOF\n"),
        (".png", b"\x89PNG\r\n\x1a\n"),
    ],
)
def test_files_that_are_not_whole_or_hold_no_numbers(ending, data):
    assert judge_result(ending, data)


@pytest.mark.parametrize(
    ("ending", "data"),
    [
        (".svg", b'<svg><text x="1">nan inf</text></svg>'),
        (".pdf", b"%PDF-1.4 /MediaBox [0 0 595 842] /Title (inf)\n%%EOF\n"),
        (".yaml", b"inf"),
    ],
)
def test_words_are_no_numbers(ending, data):
    assert judge_result(ending, data) == ""


def test_a_number_that_is_none_is_found_in_the_packed_contents_of_a_page():
    from reportlab.pdfgen.canvas import Canvas

    def page(x):
        canvas = Canvas("x.pdf", pageCompression=1)
        canvas.drawString(10, 10, "inf nan")
        canvas._code.append(f"1 0 0 1 {x} 0 cm")
        return canvas.getpdfdata()

    assert judge_result(".pdf", page("3")) == ""
    assert "nan" in judge_result(".pdf", page("nan"))


MADE = """
import hashlib
from tests.fuzz.readers import READERS, make_case
for reader in READERS:
    cases = [make_case(reader, 5, number) for number in range(40)]
    assert len(set(map(str, cases))) > 30, reader
    print(reader, hashlib.md5(str(cases).encode("utf-8", "surrogatepass")).hexdigest())
"""


def test_a_number_gives_the_same_case_again_in_any_process():
    runs = [
        subprocess.run(
            [sys.executable, "-c", MADE],
            capture_output=True,
            text=True,
            check=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        for seed in ("1", "2")
    ]
    assert len(runs[0].stdout.splitlines()) == len(READERS)
    assert runs[0].stdout == runs[1].stdout


@pytest.mark.parametrize("reader", READERS)
def test_a_case_is_kept_as_it_was(reader):
    for number in range(8):
        case = make_case(reader, 9, number)
        assert from_json(to_json(case, "why", "key")) == case


def test_a_failure_is_made_as_small_as_can_be():
    text = "score: 1\ntitle: x\nmeasures:\n" + "".join(
        f"  - {{notes: [a], label: m{n}}}\n" for n in range(20)
    )
    steps = (Step(("check", "a.yaml")), Step(("make", "a.yaml", "--quiet", "-o", "x"), agrees=0))
    case = Case("score", {"a.yaml": text.encode(), "b.yaml": b"x" * 50}, steps)

    def fails(candidate):
        return b"m7" in candidate.files.get("a.yaml", b"") and candidate.steps[-1].arguments[0] == "make"

    smaller = reduce_case(case, fails, 20)
    assert smaller.files == {"a.yaml": b"m7"}
    assert [step.arguments for step in smaller.steps] == [("make",)]


def test_kept_cases_are_small():
    assert all(read_case(name).size < 40_000 for name in case_names())
