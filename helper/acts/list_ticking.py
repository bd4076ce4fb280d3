"""What was bought goes from the list into the stock, at the prices said or last known."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from msgspec.structs import replace

from helper.acts.errand_words import is_line, named_in
from helper.acts.gaps import Ask
from helper.acts.house import House
from helper.acts.list_making import list_now
from helper.acts.list_telling import told
from helper.acts.menu_wishes import says
from helper.acts.putting import Put, paid, put_away
from helper.acts.wording import listed
from helper.answers import Answer, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount
from helper.kitchen.money import NOTHING
from helper.kitchen.money import written as money
from helper.kitchen.shopping import Item
from helper.reading.reading import Reading, Said

_EXACT = Decimal("0.000001")


def ticked(reading: Reading, house: House) -> Answer:
    """Got everything, got everything but some, or got some: those lines become lots."""
    before = list_now(house)
    if not before.items:
        return told(reading, house, before, "Nothing was on the list.")
    said = named_in(reading, house)
    lines = before.items
    everything = says(reading.said, "list_bought_all")
    if everything:
        bought = [item for item in lines if not said.leaves(item, house)]
    else:
        bought = [item for item in lines if said.means(item, house)]
    if not bought:
        raise Ask("Which of these did you get?", tuple(item.buy.food for item in lines))
    puts: list[Put] = []
    unclear: list[str] = []
    for item in bought:
        amounts = _amounts(item, said.price_of(item, house))
        if amounts:
            stub = replace(reading, said="", amounts=amounts, foods=(), money=None, per=None,
                           date=None, until=None)  # fmt: skip
            puts += put_away(stub, house)
        else:
            unclear.append(item.buy.food)
    spent = _write(reading, house, bought, puts)
    lead = _lead(puts, spent, house)
    answer = told(reading, house, list_now(house), lead, changed=True)
    notes = []
    if unclear:
        notes.append(Say(f"How much {listed(unclear)} was it? Say so, and it goes into the "
                         "stock.", "warn"))  # fmt: skip
    guessed = [item.buy.food for item in bought
               if item.buy.cost is not None and said.price_of(item, house) is None]  # fmt: skip
    if guessed:
        notes.append(Say(f"Booked at the last known price: {listed(guessed)}.", "quiet"))
    lots = [one.lot for one in puts]
    absent = [
        food
        for food, _ in said.prices
        if not any(is_line(food, item, house) for item in before.items)
    ]
    if absent:
        notes.append(
            Say(f"{listed(absent)} was not on the list: say how much you got for that.", "warn")
        )
    reply = {**answer.reply, "bought": [lot.food for lot in lots], "spent": str(spent)}
    return replace(answer, reply=reply, blocks=(answer.blocks[0], *notes, *answer.blocks[1:]))


def _lead(puts: Sequence[Put], spent: Decimal, house: House) -> str:
    """ "Put away 3 things for $9.40." """
    what = puts[0].lot.food if len(puts) == 1 else f"{len(puts)} things"
    if not any(one.lot.price is not None for one in puts):
        return f"Put away {what}, the price not known."
    least = "at least " if any(one.lot.price is None for one in puts) else ""
    return f"Put away {what} for {least}{money(spent, house.currency)}."


def bought_off_the_list(reading: Reading, house: House) -> Answer | None:
    """ "Got the milk for 3.49", where milk is on the list: as much as stands there. None where
    something named is not on it."""
    lines = list_now(house).items
    foods = reading.foods
    if not foods or not all(any(is_line(food, one, house) for one in lines) for food in foods):
        return None
    return ticked(replace(reading, act="shopping"), house)


def _amounts(item: Item, price: Decimal | None) -> tuple[Said, ...]:
    """What was bought of a line; a price said is for all of it. () where no amount is known."""
    buy = item.buy
    each = None
    if buy.packages is not None and buy.size is not None:
        if price is not None:
            each = (price / buy.packages).quantize(_EXACT)
        elif buy.cost is not None:
            each = buy.cost / buy.packages
        if buy.package:
            amount = Amount(float(buy.packages), buy.package)
            return (Said(amount, buy.food, buy.size, buy.package, each, True),)
        whole = buy.size.times(buy.packages)
        cost = each * buy.packages if each is not None else None
        return (Said(whole, buy.food, None, None, cost),)
    amounts = [need.amount for need in buy.wanted if need.amount is not None]
    return tuple(Said(one, buy.food, None, None, price if n == 0 else None)
                 for n, one in enumerate(amounts))  # fmt: skip


def _write(reading: Reading, house: House, bought: Sequence[Item], puts: Sequence[Put]) -> Decimal:
    """One change: the lots in, their prices noted, the lines off the list."""
    foods = {need.food for item in bought for need in item.buy.wanted}
    foods |= {item.buy.food for item in bought}
    spent = sum(
        (one.lot.price * Decimal(repr(one.lot.packages)) for one in puts if one.lot.price),
        NOTHING,
    ).quantize(Decimal("0.01"))

    def prepare(draft: Draft) -> None:
        lots = []
        for one in puts:
            lots.append(draft.add("stock", one.lot))
            price = paid(one.lot)
            if price is not None:
                draft.add("prices", price)
        for line in draft.shopping():
            if line.food in foods:
                draft.remove("shopping", line.id)
        draft.meta = {"lots": [lot.id for lot in lots]}
        if any(lot.price is not None for lot in lots):
            draft.meta["spent"] = str(spent)

    names = listed(dict.fromkeys(item.buy.food for item in bought))
    house.books.change(prepare, act="shopping", said=reading.said, summary=f"Bought {names}")
    return spent
