"""`python -m bomcheck`: the same as the command `bomcheck`."""

from bomcheck.commands.cli import run

if __name__ == "__main__":
    run()
