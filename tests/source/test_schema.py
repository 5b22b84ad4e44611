"""The schema of scores: valid by JSON Schema 2020-12, documented throughout, and explained in plain words."""

import json
import random

import jsonschema
import pytest
import yaml

from engrave.diagnostics.problem import ProblemLog
from engrave.resources import data_folder, schema_text
from engrave.source.parse import parse_yaml
from engrave.source.schema import check_form

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
        ("score: 1\nmeasures: []\n", 'f:2:11: "measures" needs at least 1 entry'),
        ("score: 1\nmeasures:\n  - repeat: ende\n", 'f:3:13: "repeat" cannot be "ende" (measure 1); did you mean "end"?'),
        ("score: 1\ntime: 3\nmeasures: [{}]\n", 'f:2:7: "time" must be text; for example: 3/4'),
        ("score: 1\nmeasures:\n  - notes: [1/5: {3: 0}]\n", 'f:3:13: "1/5" is not a duration (measure 1)'),
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
    reference = jsonschema.Draft202012Validator(SCHEMA)
    text = sample.read_text("utf-8")
    rng = random.Random(sample.stem)
    for attempt in range(12):
        tree = parse_yaml(text, ProblemLog("f"))
        if attempt:
            _damage(tree, rng)
        assert check_form(tree, "score", ProblemLog("f")) == reference.is_valid(_plain(tree))


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
