"""Every calculation a procedure's formulas may call, by the name they call it by."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from runner.engineering import fits, lengths, tolerances
from runner.engineering.signature import Signature

_ALL = (
    *lengths.SIGNATURES,  # at_20C, reading_at
    *fits.SIGNATURES,  # interference, expanded, joining_clearance, lowest_head_temperature, highest_ring_temperature
    *tolerances.SIGNATURES,  # it_grade
)

CALCULATIONS: Mapping[str, Signature] = MappingProxyType({signature.name: signature for signature in _ALL})
