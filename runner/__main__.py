"""`benchhand` and `python -m runner`."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line; the exit code. Loading it takes a moment, and Ctrl-C may fall into that one too."""
    try:
        from runner.command.line import main as run
    except KeyboardInterrupt:
        return 130
    return run()


if __name__ == "__main__":
    sys.exit(main())
