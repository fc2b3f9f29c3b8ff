"""How the packs of a purchase are shared out among the needs that they serve."""

from collections.abc import Sequence

from bomcheck.parts.buy_types import Need, Order

TINY = 1e-6


def shares(orders: Sequence[Order], needs: Sequence[Need]) -> list[dict[str, float]] | None:
    """What each order gives to each need [the needs' unit]; None if that does not cover all that the orders serve.

    Orders that serve one need only come first, so that as few packs as possible are shared.

    >>> from bomcheck.parts.buy_types import Offer
    >>> both = Order(Offer("W", "A", frozenset({"wide", "narrow"}), 10, 4.0), 1)
    >>> shares([both], [Need("wide", 4), Need("narrow", 4)])
    [{'wide': 4, 'narrow': 4}]
    """
    open_needs = {need.key: need.quantity for need in needs}
    served = {key for order in orders for key in order.offer.serves}
    given: list[dict[str, float]] = [{} for _ in orders]
    for number in sorted(range(len(orders)), key=lambda one: len(orders[one].offer.serves & open_needs.keys())):
        order = orders[number]
        left = order.packs * order.offer.pack_size
        for key in open_needs:
            if key in order.offer.serves and open_needs[key] > TINY and left > TINY:
                amount = min(left, open_needs[key])
                given[number][key] = amount
                open_needs[key] -= amount
                left -= amount
    missing = any(open_needs[key] > TINY for key in open_needs if key in served)
    return None if missing else given
