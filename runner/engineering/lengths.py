"""Sizes brought to 20 °C from a gauge that was set on a master, and back. No uncertainty here: the evaluator adds it."""

from __future__ import annotations

from runner.engineering.signature import REFERENCE_TEMPERATURE, Signature, a_size, a_temperature, an_expansion
from runner.quantities.kinds import LENGTH


def length_at_20(
    reading: float,
    part_temperature: float,
    part_expansion: float,
    gauge_temperature: float,
    gauge_expansion: float,
) -> float:
    """
    What the part measures at 20 °C, from what a gauge set on a master reads on it.

        L20 = reading * (1 + a_g * (T_g - 20 degC)) / (1 + a_p * (T_p - 20 degC))

    A gauge set to the size stated on its master (a ring or a standard, stated at 20 °C) reads in lengths that have
    grown with the master. With master and part of one material, side by side, the two brackets are equal and the
    reading is the answer. Holds while the master is as warm as the gauge, and was so when the gauge was set.

    reading : one length, > 0 [m]
        The whole size as read, not the needle's swing from the master.
    part_temperature : one temperature, > 0 to 2000 [K]
        The part where it is measured.
    part_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The part's.
    gauge_temperature : one temperature, > 0 to 2000 [K]
        The gauge's, and its master's.
    gauge_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The master's, for it is the master that gives the gauge its scale.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 1:2016, standard reference temperature; JCGM 100:2008, H.1.2, eq. (H.2), where the reading is the
    standard's length and the difference together. Both from memory.

    >>> # an aluminium bore at 24 °C, steel ring: by hand 42.362 * 1.000046 / 1.000088 = 42.360221 mm
    >>> 1000 * length_at_20(0.042362, 297.15, 22e-6, 297.15, 11.5e-6)
    42.360221
    """
    return reading * _growth(gauge_expansion, gauge_temperature) / _growth(part_expansion, part_temperature)


def reading_at(
    length: float,
    part_temperature: float,
    part_expansion: float,
    gauge_temperature: float,
    gauge_expansion: float,
) -> float:
    """
    What a gauge set on a master will read when the part measures `length` at 20 °C: the reading to stop cutting at.

        reading = L20 * (1 + a_p * (T_p - 20 degC)) / (1 + a_g * (T_g - 20 degC))

    length : one length, > 0 [m]
        What the part is to measure at 20 °C.
    part_temperature : one temperature, > 0 to 2000 [K]
        The part where it is measured.
    part_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The part's.
    gauge_temperature : one temperature, > 0 to 2000 [K]
        The gauge's, and its master's.
    gauge_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The master's.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: the same as length_at_20, solved for the reading.

    >>> # by hand: 42.360 * 1.000088 / 1.000046 = 42.361779 mm
    >>> 1000 * reading_at(0.04236, 297.15, 22e-6, 297.15, 11.5e-6)
    42.361779
    """
    return length * _growth(part_expansion, part_temperature) / _growth(gauge_expansion, gauge_temperature)


def _growth(expansion: float, temperature: float) -> float:
    return 1 + expansion * (temperature - REFERENCE_TEMPERATURE)


_TEMPERATURES = (
    a_temperature("part_temperature"),
    an_expansion("part_expansion"),
    a_temperature("gauge_temperature"),
    an_expansion("gauge_expansion"),
)

SIGNATURES = (
    Signature("at_20C", (a_size("reading"), *_TEMPERATURES), LENGTH, length_at_20),
    Signature("reading_at", (a_size("length"), *_TEMPERATURES), LENGTH, reading_at),
)
