"""Random and damaged input against everything that reads: `python -m tests.fuzz --help` says how it is run."""
