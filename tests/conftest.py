"""Random examples are the same ones in every run; `pytest --hypothesis-profile=explore` looks at new ones."""

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("explore", derandomize=False, deadline=None, print_blob=True)
settings.load_profile("repeatable")
