"""A clearance that runs out: hot head and cold ring each go towards their rest, and the seconds until so much is left."""

from __future__ import annotations

import math

from runner.engineering.fits import joining_clearance
from runner.engineering.signature import OutOfDomain, shown
from runner.quantities.kinds import LENGTH


class Window:
    """A clearance that runs out: c(t) = end + head * exp(-t / tau_head) + ring * exp(-t / tau_ring)."""

    __slots__ = ("end", "head", "head_constant", "ring", "ring_constant")

    def __init__(
        self,
        ring_od: float,
        bore: float,
        ring_expansion: float,
        bore_expansion: float,
        ring_temperature: float,
        bore_temperature: float,
        air_temperature: float,
        rest_temperature: float,
        ring_time_constant: float,
        head_time_constant: float,
        pace: float = 1.0,
    ) -> None:
        self.end = joining_clearance(
            ring_od, bore, ring_expansion, bore_expansion, air_temperature, rest_temperature
        )
        self.head = bore * bore_expansion * (bore_temperature - rest_temperature)
        self.ring = -ring_od * ring_expansion * (ring_temperature - air_temperature)
        self.head_constant, self.ring_constant = pace * head_time_constant, pace * ring_time_constant

    def clearance(self, time: float) -> float:
        head = self.head * math.exp(-time / self.head_constant)
        return self.end + head + self.ring * math.exp(-time / self.ring_constant)

    def first_at(self, wanted: float) -> float:
        """The first time the clearance has fallen to what is wanted."""
        start = self.clearance(0.0)
        if start < wanted:
            raise OutOfDomain(
                f"on leaving oven and freezer the clearance is {shown(start, LENGTH)}, less than the {shown(wanted, LENGTH)} "
                "asked for with its doubt: heat the head more or cool the ring more"
            )
        turn = self._turn()
        for low, high in ((0.0, turn), (turn, self._late(turn, wanted))):
            if self.clearance(low) >= wanted > self.clearance(high):
                return self._between(low, high, wanted)
        raise OutOfDomain(
            f"the clearance never falls to {shown(wanted, LENGTH)}: it levels out at {shown(self.end, LENGTH)}"
        )

    def _turn(self) -> float:
        """When the clearance turns from falling to rising or the other way; 0 if it never does, and it does at most once."""
        head, ring = abs(self.head) / self.head_constant, abs(self.ring) / self.ring_constant
        one_way = (self.head >= 0) == (self.ring >= 0)
        if one_way or not (head and ring) or self.head_constant == self.ring_constant:
            return 0.0
        turn = (math.log(head) - math.log(ring)) / (1 / self.head_constant - 1 / self.ring_constant)
        return max(turn, 0.0)

    def _late(self, turn: float, wanted: float) -> float:
        """A time after the turn at which the clearance is below what is wanted, if there is one."""
        late = turn + max(self.head_constant, self.ring_constant)
        for _ in range(60):
            if self.clearance(late) < wanted:
                break
            late = turn + 2 * (late - turn)
        return late

    def _between(self, low: float, high: float, wanted: float) -> float:
        """The time in between, by halving until floats end: exact, and the same for the same inputs."""
        if self.clearance(low) == wanted:
            return low
        while True:
            middle = (low + high) / 2
            if not low < middle < high:
                return middle
            low, high = (middle, high) if self.clearance(middle) >= wanted else (low, middle)
