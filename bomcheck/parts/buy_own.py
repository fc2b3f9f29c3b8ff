"""A price of the shop's own for a line: what it pays for the packs that are listed there."""

from dataclasses import replace

from bomcheck.job import Job
from bomcheck.parts.buy_job import Question
from bomcheck.parts.buy_singly import singly
from bomcheck.parts.buy_types import Offer
from bomcheck.parts.typed import amount


def with_own_prices(asked: Question, job: Job, days: float | None) -> Question:
    """The same question with one offer for each line that has such a price: the cheapest that is listed, at that price."""
    own = {
        need.key: price for need in asked.needs if (price := amount(job.own.get(need.key, {}), "own_price")) is not None
    }
    if not own:
        return asked
    sold = {}
    for offer, part in asked.sold.items():
        left = offer.serves.difference(own)
        if left:
            sold[replace(offer, serves=left)] = part
    mine = [need for need in asked.needs if need.key in own]
    for key, order in {**singly(mine, asked.offers, None), **singly(mine, asked.offers, days)}.items():
        sold[_at(order.offer, key, own[key])] = asked.sold[order.offer]
    return replace(asked, offers=tuple(sold), sold=sold)


def _at(offer: Offer, key: str, price: float) -> Offer:
    return replace(offer, serves=frozenset({key}), price=price)
