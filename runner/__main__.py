"""`benchhand` and `python -m runner`."""

from __future__ import annotations

import sys

from runner.command.line import main

if __name__ == "__main__":
    sys.exit(main())
