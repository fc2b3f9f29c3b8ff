"""Names of suppliers as people type them."""


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same supplier; capitals and spaces do not count.

    >>> same_name("Supplier  b ", "supplier B"), same_name("A", "B")
    (True, False)
    """
    return one.casefold().split() == other.casefold().split()
