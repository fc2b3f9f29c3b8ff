"""A check's arithmetic as text: the same function run on words and on the stated numbers."""

SUM, PRODUCT, ATOM = 1, 2, 3


class Written:
    """A piece of a formula as text; rank says what binds tighter. `number` is what it comes to."""

    __slots__ = ("number", "rank", "text")

    def __init__(self, text: str, number: float, rank: int = ATOM) -> None:
        self.text, self.number, self.rank = text, number, rank

    def _join(self, sign: str, other: "Written | float", rank: int, swap: bool = False) -> "Written":
        right = other if isinstance(other, Written) else Written(f"{other:g}", float(other))
        a, b = (right, self) if swap else (self, right)
        tight = rank + 1 if sign in ("−", "÷") else rank
        number = {"+": a.number + b.number, "−": a.number - b.number, "×": a.number * b.number}.get(sign)
        if number is None:
            number = a.number / b.number
        return Written(f"{a.within(rank)} {sign} {b.within(tight)}", number, rank)

    def within(self, rank: int) -> str:
        return f"({self.text})" if self.rank < rank else self.text

    def __add__(self, other: "Written | float") -> "Written":
        return self if other == 0 and not isinstance(other, Written) else self._join("+", other, SUM)

    def __radd__(self, other: float) -> "Written":
        return self if other == 0 else self._join("+", other, SUM, swap=True)

    def __sub__(self, other: "Written | float") -> "Written":
        return self._join("−", other, SUM)

    def __rsub__(self, other: float) -> "Written":
        return self._join("−", other, SUM, swap=True)

    def __mul__(self, other: "Written | float") -> "Written":
        return self._join("×", other, PRODUCT)

    def __rmul__(self, other: float) -> "Written":
        return self._join("×", other, PRODUCT, swap=True)

    def __truediv__(self, other: "Written | float") -> "Written":
        return self._join("÷", other, PRODUCT)

    def __rtruediv__(self, other: float) -> "Written":
        return self._join("÷", other, PRODUCT, swap=True)

    def __neg__(self) -> "Written":
        return Written(f"−{self.within(PRODUCT)}", -self.number, SUM)
