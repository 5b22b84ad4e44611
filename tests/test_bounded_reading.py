"""Files of strangers: time grows with their size and no faster, what is told has an end, and limits say themselves."""

import random
import string
import time

import pytest

from engrave.problems import MOST_TOLD, NOWHERE, Location, ProblemLog, Severity
from engrave.products.lay_out import collector_paused
from engrave.reading.load import read_text_score
from engrave.source.parse import MOST_KEYS, MOST_NODES, parse_yaml
from engrave.source.tree import SourceMap

_HEAD = "score: 1\nmeasures:\n"


def _words(count):
    chosen = random.Random(1)
    return ["".join(chosen.choices(string.ascii_lowercase, k=9)) for _ in range(count)]


GROWING = {
    "measures": lambda n: _HEAD + "- notes: [1/8: 6:0 5:2 4:2 3:1 2:0 1:0 2:0 3:1]\n" * n,
    "pitches": lambda n: _HEAD + "- notes: [1/4: E4 G4 A4 C5]\n" * n,
    "unknown keys of measures": lambda n: _HEAD + "".join(f"- {{{word}: 1}}\n" for word in _words(n)),
    "unknown marks": lambda n: _HEAD + "".join(f"- notes: [1/1: 1:0 {word}]\n" for word in _words(n)),
    "a long row": lambda n: _HEAD + "- notes: [1/64: " + "1:0 " * n * 8 + "]\n",
    "unknown marks of one row": lambda n: _HEAD + "- notes: [1/64: " + " ".join(f"1:0 {word}" for word in _words(n)) + "]\n",
    "graces": lambda n: _HEAD + "- notes: [" + ", ".join(["grace 1/16: 1:0 1:0"] * n) + ", 1/1: 1:0]\n",
    "tuplets": lambda n: _HEAD + "- notes: [" + ", ".join(["3 in 2 of 1/8: 1:0 1:0 1:0"] * n) + "]\n",
    "endings": lambda n: _HEAD + "- {repeat: start, notes: [1/1: 1:0]}\n" + "".join(f"- {{ending: [{k + 1}], repeat: end}}\n" for k in range(n)),
    "spans": lambda n: _HEAD + "- notes: [1/1: 1:0]\n  spans: {1: [" + ", ".join(["palm-mute for 1/4"] * n) + "]}\n",
    "syllables": lambda n: _HEAD + "- notes: [1/1: 1:0]\n  lyrics: " + "a " * n * 8 + "\n",
    "repeated keys": lambda n: "score: 1\n" + "title: a\n" * n * 4,
    "chord names": lambda n: _HEAD + "- {notes: [1/1: 1:0], chord: Am7}\n" * n,
    "brackets": lambda n: "score: 1\nmeasures: " + "[" * n * 20 + "]" * n * 20,
}  # fmt: skip


def _seconds(make, size):
    text = make(size)
    log = ProblemLog("f")
    with collector_paused():
        start = time.process_time()
        read_text_score(text, log)
        taken = time.process_time() - start
    assert len(log.in_order()) <= MOST_TOLD + 1
    return taken


@pytest.mark.parametrize("name", GROWING)
def test_four_times_as_much_takes_four_times_as_long_and_not_sixteen_times(name):
    few = min(_seconds(GROWING[name], 400) for _ in range(2))
    assert min(_seconds(GROWING[name], 1600) for _ in range(2)) < 9 * few + 0.05


def test_the_places_of_many_keys_are_found_at_once():
    tree = SourceMap(NOWHERE)
    for number in range(20_000):
        tree.put(str(number), Location(number, 1), number, Location(number, 5))
    start = time.process_time()
    assert all(tree.value_location(str(number)) == (number, 5) for number in range(20_000))
    assert tree.key_location("nothing") == NOWHERE
    assert time.process_time() - start < 2


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("score: 1\n" + "".join(f"k{n}: 1\n" for n in range(MOST_KEYS + 1)), f"a mapping with more than {MOST_KEYS} keys"),
        (_HEAD + "- &a {notes: [" + ", ".join(["1/4: 1:0"] * 900) + "]}\n" + "- *a\n" * 40, "the aliases make this file too large"),
        (_HEAD + "- {}\n" * 20_001, '"measures" may have at most 20000 entries'),
        (_HEAD + "- notes: [1/1: [" + "[" * 100 + "]" * 100 + "]]\n", "nested more than 64 deep"),
        (_HEAD + "- notes: [1/1: " + "+".join(["E4"] * 5000) + "]\n", "and 4988 others cannot be played together"),
    ],
)  # fmt: skip
def test_each_limit_says_itself(text, what):
    log = ProblemLog("f")
    assert read_text_score(text, log) is None
    assert any(what in problem.what for problem in log.problems)


def test_aliases_do_not_pass_the_limit_of_nodes():
    text = "".join(f"a{n}: &a{n} {'x' * 60_000}\nb{n}: *a{n}\n" for n in range(14))
    assert len(text) // 2 < MOST_NODES
    log = ProblemLog("f")
    parse_yaml(text, log)
    assert [problem.what for problem in log.problems] == ["the aliases make this file too large"]


def test_more_problems_than_are_read_are_counted():
    log = ProblemLog("f")
    for line in range(350, 0, -1):
        log.error(Location(line, 1), "wrong")
    told = log.in_order()
    assert [problem.location.line for problem in told[:-1]] == list(range(1, 101))
    assert str(told[-1]) == "f: 250 more problems; mend these first"


def test_problems_without_end_are_not_kept():
    log = ProblemLog("f")
    for line in range(1, 5000):
        log.error(Location(line, 1), "wrong")
    assert log.is_full
    assert len(log.problems) == 1001
    assert log.suggest("acent", ["accent"]) == ""
    assert str(log.in_order()[-1]) == "f: more than 900 more problems; mend these first"


def test_an_error_after_many_warnings_is_told():
    log = ProblemLog("f")
    for line in range(1, 3000):
        log.warning(Location(line, 1), "doubtful")
    log.error(Location(5000, 1), "wrong")
    assert log.has_errors
    told = log.in_order()
    assert "f:5000:1: wrong" in map(str, told)
    assert told[-1].severity is Severity.WARNING


def test_a_long_word_is_shown_in_part():
    log = ProblemLog("f")
    log.error(Location(1, 1), "x" * 5000)
    assert len(str(log.problems[0])) < 600
