"""Addresses of cells: letters for columns, numbers for rows, both from 1."""

LAST_COLUMN, LAST_ROW = 16_384, 1_048_576
"""Size of a sheet, ISO/IEC 29500-1 and every spreadsheet program since 2007."""


def column_number(letters: str) -> int:
    """1 for "A", 28 for "AB"."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """ "A" for 1, "AB" for 28."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
