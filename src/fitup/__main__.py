"""Entry point: `fitup` and `python -m fitup`."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line in `sys.argv` and return the exit code."""
    from fitup.cli.main import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
