"""`bomcheck` and `python -m bomcheck`."""

import sys


def run() -> None:
    """The command as it is installed; Ctrl-C ends it quietly, even while it is still being loaded."""
    try:
        from bomcheck.commands.cli import run as start

        start()
    except KeyboardInterrupt:
        sys.exit(130)


if __name__ == "__main__":
    run()
