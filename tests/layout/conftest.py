import pytest

from engrave.style.load import load_style


@pytest.fixture(scope="session")
def style():
    return load_style("")[0]
