"""`python -m bomcheck`: the same as the command `bomcheck`."""

from bomcheck.cli import run

if __name__ == "__main__":
    run()
