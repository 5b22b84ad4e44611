"""The schema of scores: valid by JSON Schema 2020-12, documented throughout, and explained in plain words."""

import json
import random

import jsonschema
import jsonschema_rs
import pytest
import yaml

from engrave.diagnostics.problem import ProblemLog
from engrave.pipeline import check_document
from engrave.products.wish import Wish
from engrave.reading.load import DOCUMENTS
from engrave.resources import data_folder, schema_text
from engrave.source.parse import parse_yaml
from engrave.source.schema import check_form, without_word_patterns

SCHEMA = json.loads(schema_text("score"))
SAMPLES = sorted((data_folder() / "samples").glob("*.yaml"))


def problems(text):
    log = ProblemLog("f")
    tree = parse_yaml(text, log)
    check_form(tree, "score", log)
    return [str(problem) for problem in log.in_order()]


def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_key_has_a_description_and_an_example():
    def visit(node, path):
        if isinstance(node, dict):
            for name, inner in node.get("properties", {}).items():
                if "$ref" not in inner or "description" in inner:
                    assert inner.get("description"), (*path, name)
                    assert inner.get("examples"), (*path, name)
            for key, inner in node.items():
                if key != "allOf":  # conditions: they describe no key of their own
                    visit(inner, (*path, key))
        elif isinstance(node, list):
            for inner in node:
                visit(inner, path)

    visit(SCHEMA, ())


def test_the_examples_are_valid():
    def visit(node):
        if isinstance(node, dict):
            for example in node.get("examples", []) if isinstance(node.get("examples"), list) else []:
                if "description" in node:
                    validator = jsonschema.Draft202012Validator({**node, "$defs": SCHEMA["$defs"]})
                    assert validator.is_valid(example), (node["description"], example)
            for inner in node.values():
                visit(inner)
        elif isinstance(node, list):
            for inner in node:
                visit(inner)

    visit(SCHEMA)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("score: 1\ntitel: x\nmeasures: [{}]\n", 'f:2:1: "titel" is not known here; did you mean "title"?'),
        ("score: 2\nmeasures: [{}]\n", 'f:1:8: "score" must be 1'),
        ("score: 1\n", 'f:1:1: "measures" is missing here'),
        ("score: 1\nmeasures: []\n", 'f:2:11: "measures" needs at least 1 entries'),
        ("score: 1\nmeasures:\n  - repeat: ende\n", 'f:3:13: "ende" is not known as "repeat" (measure entry 1); did you mean "end"?'),
        ("score: 1\ntime: 3\nmeasures: [{}]\n", 'f:2:7: "time" must be text; for example: 3/4'),
        ("score: 1\nmeasures:\n  - notes: [1/5: {3: 0}]\n", 'f:3:13: "1/5" is not a duration (measure entry 1)'),
        ("score: 1\nmeasures:\n  - notes: [1/4: {9: 0}]\n", 'there is no string "9"'),
        ("score: 1\ncapo: -1\nmeasures: [{}]\n", '"capo" must be at least 0'),
    ],
)
def test_faults_of_form_are_told_in_plain_words(text, message):
    assert any(message in problem for problem in problems(text)), problems(text)


def test_all_faults_are_told_at_once():
    found = problems("score: 1\ntitel: x\ntime: 3\nmeasures:\n  - repeat: ende\n    label: [1]\n")
    assert len(found) == 4
    assert found == sorted(found, key=lambda text: [int(n) for n in text.split(":")[1:3]])


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_both_validators_agree_on_samples_and_on_damaged_ones(sample):
    reference = jsonschema.Draft202012Validator(without_word_patterns(SCHEMA))
    whole, other = jsonschema.Draft202012Validator(SCHEMA), jsonschema_rs.validator_for(SCHEMA)
    text = sample.read_text("utf-8")
    rng = random.Random(sample.stem)
    for attempt in range(12):
        tree = parse_yaml(text, ProblemLog("f"))
        if attempt:
            _damage(tree, rng)
        assert check_form(tree, "score", ProblemLog("f")) == reference.is_valid(_plain(tree))
        assert other.is_valid(_plain(tree)) == whole.is_valid(_plain(tree))


def _plain(tree):
    return json.loads(json.dumps(tree))


def _damage(tree, rng):
    """Change one value somewhere to something of another kind."""
    node = tree
    while True:
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        key = rng.choice(keys)
        inner = node[key]
        if isinstance(inner, dict | list) and inner and rng.random() < 0.8:
            node = inner
            continue
        node[key] = rng.choice([None, -5, "nonsense", [], {}, 1.5, True, ["x"], {"y": 1}])
        return


def test_the_schema_is_written_as_json_that_yaml_tools_read():
    assert yaml.safe_load(schema_text("score")) == SCHEMA


SCHEMAS = {name: json.loads(schema_text(name)) for name in DOCUMENTS}
MEASURES = "score: 1\nmeasures:\n  - notes: [1/1: {1: 0}]\n"
CONDITIONS = [
    (MEASURES + "  - {notes: [1/1: {1: 0}], tab: x}\n", "a measure has either notes or a drawn tab"),
    (MEASURES + "  - {lower: [1/1: {1: 0}], tab: x}\n", "a measure has either notes or a drawn tab"),
    (MEASURES + "  - {times: 3}\n", "times stands beside repeat: end"),
    (MEASURES + "  - {times: 3, repeat: start}\n", "times stands beside repeat: end"),
    (MEASURES + "  - {measure-repeat: 1, notes: [1/1: {1: 0}]}\n", "a measure with measure-repeat has no notes of its own"),
    (MEASURES + "  - {multiple-rest: 4, lower: [1/1: {1: 0}]}\n", "a measure with multiple-rest has no lower of its own"),
    (MEASURES + "  - {parts: {guitar: {notes: rest}}}\n", "no parts are listed at the head of this score"),
    (MEASURES.replace("measures:", "parts: [{id: a}, {id: b}]\nmeasures:"), 'with several parts, "notes" belongs to one of them'),
    ("score: 1\nparts: [{id: a}]\nmeasures:\n  - parts: {a: {notes: rest, tab: x}}\n", "a measure has either notes or a drawn tab"),
    ("handout: 1\ncontent:\n  - {text: a, tip: b}\n", "an item cannot be text and tip at once"),
    ("handout: 1\ncontent:\n  - {caption: a}\n", "this item says nothing"),
    ("handout: 1\ncontent:\n  - {text: a, view: tab}\n", '"view" does not belong to text'),
    ("handout: 1\ncontent:\n  - {tip: a, caption: b}\n", '"caption" does not belong to tip'),
    ("handout: 1\ncontent:\n  - {blank: {}, left-handed: true}\n", '"left-handed" does not belong to blank'),
    ("handout: 1\ncontent:\n  - {picture: a.png}\n", "has no words to stand for it"),
    ("songbook: 1\nsongs:\n  - {title: a}\n", "this song has no file"),
    ("songbook: 1\nsongs:\n  - {section: a, file: b.yaml}\n", '"file" does not belong to a section'),
    ("paper: 1\nstrings: 0\nkinds: [staff, tab]\n", "a tab needs strings"),
    ("paper: 1\nstrings: 0\nstaff: false\n", "this paper would be empty"),
]


@pytest.mark.parametrize(("text", "sentence"), CONDITIONS)
def test_editors_are_told_what_keys_mean_for_each_other_and_readers_say_it_in_words(tmp_path, text, sentence):
    """The schema refuses the document, and the only message about it is the reader's own."""
    tree = parse_yaml(text, ProblemLog("f"))
    kind = next(iter(tree))
    assert not jsonschema.Draft202012Validator(SCHEMAS[kind]).is_valid(_plain(tree))
    assert check_form(tree, kind, ProblemLog("f"))
    path = tmp_path / "document.yaml"
    path.write_text(text, "utf-8")
    found = [str(problem) for problem in check_document(str(path), Wish()).problems]
    assert len([problem for problem in found if sentence in problem]) == 1, found
    assert not [problem for problem in found if "required" in problem or "not allowed" in problem]


def test_a_fault_of_form_is_told_beside_a_condition(tmp_path):
    path = tmp_path / "document.yaml"
    path.write_text(MEASURES + "    lyrcs: x\n  - {}\n  - {}\n  - {times: 3}\n", "utf-8")
    found = "\n".join(str(problem) for problem in check_document(str(path), Wish()).problems)
    assert '"lyrcs" is not known here' in found
    assert "times stands beside repeat: end" in found


@pytest.mark.parametrize("sample", sorted((data_folder() / "samples").rglob("*.yaml")), ids=lambda path: path.stem)
def test_the_first_line_of_every_sample_leads_from_its_folder_to_a_schema_that_accepts_it(sample):
    line = sample.read_text("utf-8").splitlines()[0]
    path = sample.parent / line.partition("$schema=")[2]
    schema = json.loads(path.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(_plain(parse_yaml(sample.read_text("utf-8"), ProblemLog("f"))))


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_conditions_stand_apart_from_what_is_explained_as_form(kind):
    """Every word that ties keys together stands under allOf, where the explanation of faults leaves it to the readers."""
    tying = {"if", "then", "else", "not", "anyOf", "oneOf", "dependentRequired", "dependentSchemas"}

    def visit(node, inside):
        if isinstance(node, dict):
            assert inside or not tying & node.keys() - set(node.get("properties", ()))
            for key, inner in node.items():
                visit(inner, inside or key == "allOf")
        elif isinstance(node, list):
            for inner in node:
                visit(inner, inside)

    visit(SCHEMAS[kind], False)
