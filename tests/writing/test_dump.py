"""A dumped tree is YAML that reads back as the same tree, in the lines that a person would write."""

import yaml
from hypothesis import given
from hypothesis import strategies as st

from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.source.parse import parse_yaml
from engrave.writing.dump import WIDTH, dump_score

WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=20)
KEYS = st.sampled_from(["title", "chord", "text", "1/4.", "3 in 2 of 1/8", "D7/F#", "no", "x y"])
VALUES = st.recursive(
    st.one_of(
        WORDS,
        st.integers(0, 999),
        st.booleans(),
        st.sampled_from(["no", "3 hammer-on", "1/4 = 96", "x", "true", "- a", "5", "1.5", "a: b"]),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(KEYS, inner, max_size=4)),
    max_leaves=12,
)


@given(
    st.dictionaries(KEYS, VALUES, min_size=1, max_size=5),
    st.lists(st.dictionaries(KEYS, VALUES, max_size=3), max_size=3),
)
def test_any_tree_reads_back_as_itself(head, measures):
    tree = {**head, "measures": measures}
    log = ProblemLog("f")
    again = parse_yaml(dump_score(tree), log)
    assert not log.problems
    assert plain(again) == plain(tree)


EVENTS = st.sampled_from(
    ["3:0", "5:3+4:2", "3:7 bend full then 1 1/2 finger 3", "rest", "F#4", {"5": "3 finger 3", "4": 2}]
)


@given(st.lists(EVENTS, min_size=1, max_size=40), st.sampled_from(["1/16", "grace 1/16", "3 in 2 of 1/8"]))
def test_long_runs_of_events_fill_their_lines(events, duration):
    text = dump_score({"measures": [{"notes": [{duration: events}, {"1/4": "rest"}]}]})
    log = ProblemLog("f")
    assert plain(parse_yaml(text, log)) == {
        "measures": [{"notes": [{duration: plain(events)}, {"1/4": "rest"}]}]
    }
    assert max(map(len, text.split("\n"))) <= WIDTH


def plain(value):
    if isinstance(value, dict):
        return {str(key): plain(entry) for key, entry in value.items()}
    return [plain(entry) for entry in value] if isinstance(value, list) else value


def test_a_score_is_written_a_thought_a_line():
    tree = {
        "score": 1,
        "title": "Ferry",
        "key": "G major",
        "tempo": "Lively, 1/4 = 96",
        "measures": [
            {"chord": "G", "notes": [{"1/4": "3:0"}, {"1/8": ["2:1 hammer-on", "rest"]}]},
            {"tab": "rhythm 4 4\n1      0 3\n"},
        ],
    }
    text = dump_score(tree)
    assert text == (
        'score: 1\ntitle: Ferry\nkey: G major\ntempo: "Lively, 1/4 = 96"\nmeasures:\n'
        "  - chord: G\n    notes: [1/4: 3:0, 1/8: [2:1 hammer-on, rest]]\n"
        "  - tab: |\n      rhythm 4 4\n      1      0 3\n"
    )
    assert yaml.safe_load(text)["measures"][1]["tab"].startswith("rhythm")
    assert (
        read_text_score(text.replace("Lively, 1/4", "Lively, 1/4"), ProblemLog("f")) is None
    )  # the measures do not add up
