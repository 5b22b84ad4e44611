"""Random examples are the same ones in every run; `pytest --hypothesis-profile=explore` looks at new ones."""

from hypothesis import Phase, settings

QUICK = (Phase.explicit, Phase.reuse, Phase.generate)  # without the slow search for the smallest failing example
settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True, phases=QUICK)
settings.register_profile("explore", derandomize=False, deadline=None, print_blob=True)
settings.load_profile("repeatable")
