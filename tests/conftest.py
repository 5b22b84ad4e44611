"""Options and settings of all tests.

Random examples are the same ones in every run; `pytest --hypothesis-profile=explore` looks at new ones.
"""

import pytest
from hypothesis import Phase, settings

QUICK = (
    Phase.explicit,
    Phase.reuse,
    Phase.generate,
)  # without the slow search for the smallest failing example
settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True, phases=QUICK)
settings.register_profile("explore", derandomize=False, deadline=None, print_blob=True)
settings.load_profile("repeatable")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--accept", action="store_true", help="take the pages as they are now for right (tests/pages)"
    )
