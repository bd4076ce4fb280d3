"""Ingredient lines: one line of a recipe as written → one or more `Line` records.

What cannot be made out is kept and marked, never dropped: words that fit no food, no amount and
no plain description make the line uncertain, and an uncertain line clears no one's allergy.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.asides import alternative, asides, part_taken, purpose_end, size_told
from helper.kitchen.company import paired, remade
from helper.kitchen.foods import Foods, Found
from helper.kitchen.quantities import Measured, line_words, phrase_at, read_amount
from helper.kitchen.recipes import Choice, Line
from helper.kitchen.words import Word, key, plain, words
from rules.tables import rows

_BULLET = re.compile(r"^\s*(?:[-*•·▢□☐–—]+|\[[ xX]?\]|\d+[.)](?=\s+[A-Za-z]))\s*")
LONGEST = 400  # characters; an ingredient line beyond that is prose


@cache
def claim_words() -> dict[tuple[str, ...], str]:
    """The words on a label that promise something ("gluten-free") → the claim's id."""
    table: dict[tuple[str, ...], str] = {}
    for row in rows("books/claims.csv"):
        for words_ in (row["claim"], *row["aliases"].split(";")):
            if words_:
                table.setdefault(key(words_), row["claim"])
    return table


def is_heading(text: str) -> bool:
    """ "For the filling:" starts a section of the list."""
    bare = text.strip()
    return bare.endswith(":") and len(bare) < 60 and read_amount(words(bare)) is None


def read_lines(texts: Sequence[str], foods: Foods) -> list[Line]:
    """A recipe's ingredient list as written → its lines, sections carried along."""
    section = ""
    lines: list[Line] = []
    for text in texts:
        if not text.strip():
            continue
        if is_heading(text):
            section = text.strip().rstrip(":")
            continue
        lines.extend(read_line(text, foods, section))
    return lines


def read_line(text: str, foods: Foods, section: str = "") -> list[Line]:
    """One written line. More than one record only for "salt and pepper" without an amount."""
    text = " ".join(text.split())
    bare = _BULLET.sub("", text)
    found = words(bare)
    if not found or len(bare) > LONGEST:
        return [Line(text, unread=True, certain=False, section=section)]
    part, amount, rest = part_taken(found, foods)
    if amount is None and not _number_in_name(found, foods):
        amount, rest = _amount_and_rest(found)
    flags, rest = _flags(rest, foods)
    claims, rest = _claims(rest, foods)
    if amount is None:
        # "to taste" may have stood before the amount
        amount, rest = _amount_inside(rest)
    said, rest = asides(rest, foods)
    if amount is not None:
        before = found[: amount.after] if not part else []
        amount = replace(amount, size=size_told(amount, said))
    else:
        before = []
    name, later = _split_preparation(rest, foods)
    spots = foods.spot(name)
    if not spots and later:
        name, later, spots = rest, [], foods.spot(rest)
    line = Line(
        text=bare,
        section=section,
        optional="optional" in flags,
        claims=tuple(claims),
        to_taste="taste" in flags and amount is None,
        preparation=", ".join(filter(None, (part, _joined(later)))),
        detail=_detail(before, []),
    )
    if not spots:
        return [_unnamed(line, name, amount)]
    return _named(line, name, later, spots, amount, foods)


def made_out(line: Line, foods: Foods) -> bool:
    """Whether something could be made of a line: a food of the tables, or an amount of another."""
    if line.unread or line.food is None:
        return False
    return line.food in foods or line.amount is not None or line.to_taste


def _number_in_name(found: list[Word], foods: Foods) -> bool:
    """True where the number a line begins with is part of a food's name: "five-spice powder"."""
    front, named = read_amount(found, 0), foods.at(found, 0)
    return front is not None and named is not None and named.end > front.after


def after_amount(text: str) -> str | None:
    """What stands behind the amount a line begins with, as written; all of a line without one.

    None where the amount stands elsewhere ("juice of 1 lemon").
    """
    bare = _BULLET.sub("", " ".join(text.split()))
    found = words(bare)
    amount, rest = _amount_and_rest(found)
    if amount is None:
        return bare if _amount_inside(found)[0] is None else None
    if not rest or rest[0].start == found[0].start:
        return None
    lowered = plain(bare)
    whole = bare if len(lowered) == len(bare) else lowered
    return whole[rest[0].start :]


def _amount_and_rest(found: list[Word]) -> tuple[Measured | None, list[Word]]:
    front = read_amount(found, 0)
    if front is not None and front.after < len(found):
        after = front.after
        while after < len(found) and found[after].text in ("of", ","):
            after += 1
        return front, found[after:]
    # "flour, 2 cups", "butter: 200 g", "salt - 1 tsp"
    for at in range(1, len(found)):
        if found[at].text in (",", ":", "-", "(") and at + 1 < len(found):
            back = read_amount(found, at + 1)
            if back is not None and back.amount.unit is not None and back.after >= len(found) - 1:
                return back, found[:at]
    for at in range(1, len(found)):
        if found[at].text[0].isdigit():
            back = read_amount(found, at)
            if back is not None and back.after == len(found) and back.amount.unit is not None:
                return back, found[:at]
            break
    return None, found


def _amount_inside(found: list[Word]) -> tuple[Measured | None, list[Word]]:
    for at, word in enumerate(found):
        if word.text[0].isdigit():
            inside = read_amount(found, at)
            if inside is not None:
                return inside, found[:at] + found[inside.after :]
    return None, found


def _flags(found: list[Word], foods: Foods) -> tuple[set[str], list[Word]]:
    """Takes out "(optional)", "to taste", "plus more for the pan"; returns what they said."""
    flags: set[str] = set()
    kept: list[Word] = []
    at = 0
    while at < len(found):
        if (end := purpose_end(found, at, foods)) > at:
            # nothing after "plus more" changes the amount, but foods named there still count
            at = end
            continue
        if length := phrase_at(found, at, line_words("optional")):
            flags.add("optional")
        elif length := phrase_at(found, at, line_words("taste")):
            flags.add("taste")
        else:
            kept.append(found[at])
        at += length or 1
    return flags, kept


def _claims(found: list[Word], foods: Foods) -> tuple[list[str], list[Word]]:
    """Takes out label words, unless they are part of a food's own name."""
    claims: list[str] = []
    kept: list[Word] = []
    at = 0
    while at < len(found):
        named = foods.at(found, at)
        claim = claim_at(found, at)
        if named is not None and (claim is None or named.end - at >= claim[1]):
            kept.extend(found[at : named.end])
            at = named.end
        elif claim is not None:
            claims.append(claim[0])
            at += claim[1]
        else:
            kept.append(found[at])
            at += 1
    return claims, kept


def claim_at(found: Sequence[Word], at: int) -> tuple[str, int] | None:
    """The claim that label words from word `at` make ("gluten-free"), and how many words it has."""
    keys: list[str] = []
    best: tuple[str, int] | None = None
    for i in range(at, min(at + 9, len(found))):
        if found[i].text == "-" and keys:
            continue
        if not found[i].text[0].isalnum():
            break
        keys.append(found[i].key)
        claim = claim_words().get(tuple(keys))
        if claim is not None:
            best = claim, i + 1 - at
    return best


def _split_preparation(found: list[Word], foods: Foods) -> tuple[list[Word], list[Word]]:
    """The name part and what stands after the first comma or bracket, if a food stands before."""
    depth = 0
    for at, word in enumerate(found):
        if (
            (word.text in (",", ";") and depth == 0)
            or word.text == "("
            or (word.text == "-" and at and word.start > found[at - 1].end)
        ):
            if foods.spot(found[:at]):
                return found[:at], found[at:]
        depth += {"(": 1, ")": -1}.get(word.text, 0)
    return found, []


def _joined(found: list[Word]) -> str:
    text = " ".join(word.text for word in found if word.text not in ("(", ")"))
    return re.sub(r"\s+([,.;])", r"\1", text).strip(" ,;.-")


def _unnamed(line: Line, name: list[Word], amount: Measured | None) -> Line:
    said = " ".join(w.text for w in name if w.is_name)
    return replace(
        line,
        food=said or None,
        unread=not said,
        certain=False,
        amount=amount and amount.amount,
        size=amount and amount.size,
    )


def _named(
    line: Line,
    name: list[Word],
    later: list[Word],
    spots: list[Found],
    amount: Measured | None,
    foods: Foods,
) -> list[Line]:
    main, choices, others = _sort_out(name, spots, foods)
    instead, later = alternative(later, main.food, foods)
    if instead is not None:
        choices.append(instead)
    inside = {i for spot in spots for i in range(spot.start, spot.end)}
    left = foods.left_over([word for i, word in enumerate(name) if i not in inside])
    later_spots = foods.spot(later)
    later_inside = {i for spot in later_spots for i in range(spot.start, spot.end)}
    left += foods.left_over([word for i, word in enumerate(later) if i not in later_inside])
    left += remade(name, spots)
    detail = _detail([word for i, word in enumerate(name) if i not in inside], later)
    detail = detail or line.detail
    food = _packed(main.food, amount, foods)
    base = replace(
        line,
        food=food,
        certain=not left and not paired(name, spots),
        detail=detail,
        amount=amount and amount.amount,
        size=amount and amount.size,
        mentions=tuple(dict.fromkeys(s.food for s in later_spots if s.food != main.food)),
        choices=tuple(choices),
    )
    if amount is None or (amount.amount.unit is None and amount.amount.number == 1):
        return [base, *(replace(base, food=other.food, choices=()) for other in others)]
    extra = tuple(o.food for o in others)
    return (
        [replace(base, mentions=tuple(dict.fromkeys((*base.mentions, *extra))))]
        if extra
        else [base]
    )


def _sort_out(
    name: list[Word], spots: list[Found], foods: Foods
) -> tuple[Found, list[Choice], list[Found]]:
    """The line's own food, the foods offered instead ("or"), and the rest ("and pepper")."""
    groups: list[list[Found]] = [[spots[0]]]
    joins: list[str] = [""]
    for before, spot in zip(spots, spots[1:], strict=False):
        between = [word.text for word in name[before.end : spot.start]]
        join = (
            "or"
            if "or" in between or "/" in between
            else "and"
            if ({"and", "&", "with", ",", "+", "plus"} & set(between))
            else ""
        )
        if join:
            groups.append([spot])
            joins.append(join)
        else:
            groups[-1].append(spot)
    # Inside a group the last name is the thing, the ones before describe it ("ham hock bone").
    heads = [group[-1] for group in groups]
    choices: list[Choice] = []
    others: list[Found] = [spot for group in groups for spot in group[:-1]]
    for head, join, before in zip(heads[1:], joins[1:], heads, strict=False):
        if join == "or":
            own = _amount_between(name, before.end, head.start)
            choices.append(Choice(head.food, own))
        else:
            others.append(head)
    return heads[0], choices, others


def _amount_between(name: list[Word], start: int, end: int) -> Amount | None:
    for at in range(start, end):
        got = read_amount(name, at)
        if got is not None and got.after <= end:
            return got.amount
    return None


def _packed(food: str, amount: Measured | None, foods: Foods) -> str:
    """ "2 (5 oz) cans tuna" means the canned food, where the table has one."""
    return foods.as_packed(food, amount.amount.unit if amount else None)


def _detail(name: list[Word], later: list[Word]) -> str:
    """The size or cut that household weights are listed by: "large", "chopped"."""
    for group in (name, later):
        at = 0
        while at < len(group):
            if length := phrase_at(group, at, line_words("size")):
                return line_words("size")[tuple(w.key for w in group[at : at + length])]
            if length := phrase_at(group, at, line_words("cut")):
                return line_words("cut")[tuple(w.key for w in group[at : at + length])]
            at += 1
    return ""


def amount_then_food(text: str, foods: Foods) -> tuple[Measured | None, Found | None]:
    """ "2 lb cornmeal" → its amount and its food; either may be missing."""
    found = words(text)
    amount, rest = _amount_and_rest(found)
    return amount, foods.find_in(rest)
