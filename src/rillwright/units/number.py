"""Characters and numbers as people type them, to exact fractions."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import NoReturn

from rillwright.units.quantity import refuse

LONGEST = 80  # characters; no quantity is longer, and it keeps exact arithmetic small

NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?)"

_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_CHARACTERS = {
    "'": "′’‘‛´ʹ", '"': "″”“‟ʺ", "-": "−–‐‑", "/": "⁄∕", "2": "²", "3": "³", "°": "º",
}  # fmt: skip


@cache
def _translation() -> dict[int, str]:
    table = {ord(other): plain for plain, others in _CHARACTERS.items() for other in others}
    return table | {ord(sign): f" {plain}" for sign, plain in _FRACTIONS.items()}


def plain_text(text: object) -> str:
    """The text with one kind of prime, quote, dash and space; refuses what cannot be a quantity at all."""
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        refuse("not a quantity: write a number and a unit", text)
    if isinstance(text, int) and abs(text) >= 10**30:
        refuse("the number is too large", "a number of more than 30 digits")
    plain = text if isinstance(text, str) else repr(text)
    if len(plain) > LONGEST:
        refuse(f"longer than {LONGEST} characters", plain)
    plain = plain.translate(_translation()).replace("''", '"')
    plain = " ".join(plain.split()).replace("- ", "-")
    if not plain:
        refuse("empty: write a number and a unit", repr(text))
    if "," in plain or "_" in plain:
        _refuse_comma(plain, text)
    if plain.lower().lstrip("+- ").startswith(("nan", "inf")):
        refuse("not a finite number", str(text))
    return plain


def _refuse_comma(plain: str, typed: object) -> NoReturn:
    point, closed = plain.replace(",", "."), re.sub("[,_]", "", plain)
    if "_" in plain or "." in plain or plain.count(",") > 1:
        refuse("commas and thousand separators are not read: write the digits alone, as 1234.5", str(typed))
    if re.search(r"[0-9],[0-9]{3}(?![0-9])", plain):
        refuse(f"a comma is not read: write {closed}, or {point} if the decimal sign is meant", str(typed))
    refuse(f"a comma is not read as the decimal sign: write {point}", str(typed))


@cache
def _signed() -> re.Pattern[str]:
    return re.compile(rf"([+-]?) ?({NUMBER})(?![0-9./]) ?(.*)", re.DOTALL)


def split_number(plain: str, typed: object) -> tuple[Fraction, str]:
    """The signed number at the head of the text, and what stands after it."""
    match = _signed().fullmatch(plain)
    if match is None:
        refuse("does not begin with a number that can be read", str(typed))
    sign, number, rest = match.groups()
    value = read_number(number, typed)
    return (-value if sign == "-" else value), rest


def read_number(number: str, typed: object) -> Fraction:
    """A whole number, decimal, fraction below one, or whole number with such a fraction, exactly."""
    if "/" not in number:
        return Fraction(number)
    *whole, fraction = number.replace("-", " ").split(" ")
    top, bottom = (int(part) for part in fraction.split("/"))
    if bottom == 0:
        refuse(f"{fraction} divides by nothing", str(typed))
    if top >= bottom:
        refuse(f"the fraction {fraction} is not below 1: write the whole number apart, as 6 7/8", str(typed))
    return Fraction(top, bottom) + (int(whole[0]) if whole else 0)
