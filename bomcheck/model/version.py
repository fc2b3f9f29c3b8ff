"""The program's own version, printed on every sheet and in the JSON."""

__version__ = "0.1.0"
