"""Inputs that once were too much for the program, and others like them: each ends in a result or in words."""

import pytest

from tests.fuzz import corpus
from tests.fuzz.pool import Worker


@pytest.fixture(scope="module")
def worker():
    """One process for all cases."""
    started = Worker()
    yield started
    started.close()


KNOWN = corpus.read_known()


@pytest.mark.parametrize("name", corpus.case_names())
def test_kept_cases_end_without_failure(worker, name):
    failures = [f"{failure.key}: {failure.detail}" for failure in worker.run(corpus.read_case(name)).failures]
    if name in KNOWN:
        assert failures, f"{name} does not fail any more: take its line out of known.txt"
        pytest.xfail(KNOWN[name])
    assert failures == []


def test_every_case_that_is_known_to_fail_is_there_and_says_why():
    assert set(KNOWN) <= set(corpus.case_names())
    assert all(KNOWN.values())
