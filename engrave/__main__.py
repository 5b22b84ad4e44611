"""`python -m engrave`."""

from __future__ import annotations

import sys

from engrave.cli import main

sys.exit(main())
