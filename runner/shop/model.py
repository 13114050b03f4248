"""What a shop file says, once read and found right. Plain frozen data; none of it asks for the clock or the disk."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date, timedelta

from runner.quantities.quantity import Quantity
from runner.shop.people import same_person


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works here. `pin` is what is kept of the PIN (`pins.hash_pin`), or nothing; never the PIN."""

    name: str
    roles: tuple[str, ...]
    pin: str = ""


@dataclass(frozen=True, slots=True)
class Gauge:
    """
    One instrument of the shop, by the id engraved on it. `kind` is the title that procedures use; `uncertainty` is U,
    k = 2, as last calibrated; `expansion` is of its own metal.
    """

    id: str
    kind: str
    reads_to: Quantity
    uncertainty: Quantity
    calibrated_until: date
    expansion: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Master:
    """A setting ring, block or standard that gauges are set on. `uncertainty` is U, k = 2."""

    id: str
    size: Quantity
    uncertainty: Quantity
    calibrated_until: date


@dataclass(frozen=True, slots=True)
class Shop:
    """
    The shop file. `zone` is empty where the machine's own holds; `decimal_mark` is '.' or ','. `text` is the file as it
    was read, for the record; two shops that say the same are equal, however they are written.
    """

    title: str = ""
    zone: str = ""
    decimal_mark: str = "."
    idle: Quantity | None = None
    people: tuple[Person, ...] = ()
    gauges: tuple[Gauge, ...] = ()
    masters: tuple[Master, ...] = ()
    text: str = field(default="", compare=False)

    @property
    def sha256(self) -> str:
        """Of the text in UTF-8; nothing where there is no file."""
        return hashlib.sha256(self.text.encode()).hexdigest() if self.text else ""

    @property
    def lapses_after(self) -> timedelta | None:
        """How long without an entry before the person shown is nobody any more, where the shop says it."""
        return timedelta(seconds=float(self.idle.si)) if self.idle else None

    def person(self, name: str) -> Person | None:
        """The person meant by a typed name."""
        return next((one for one in self.people if same_person(one.name, name)), None)

    def of_kind(self, kind: str) -> tuple[Gauge, ...]:
        """The gauges that a procedure means by an instrument's title."""
        return tuple(one for one in self.gauges if plain(one.kind) == plain(kind))

    def gauge(self, id_: str) -> Gauge | None:
        return next((one for one in self.gauges if plain(one.id) == plain(id_)), None)

    def master(self, id_: str) -> Master | None:
        return next((one for one in self.masters if plain(one.id) == plain(id_)), None)


NO_SHOP = Shop()
"""Where there is no shop file."""


def plain(text: str) -> str:
    """A title or id without what doesn't tell two apart: case, and blanks more than one."""
    return " ".join(text.casefold().split())
