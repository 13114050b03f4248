"""Every calculation a procedure's formulas may call, by the name they call it by."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from runner.engineering import (
    closure,
    deviations,
    fit_range,
    fits,
    holding,
    interference,
    lengths,
    tolerances,
)
from runner.engineering.signature import Signature

_ALL = (
    *lengths.SIGNATURES,  # at_20C, reading_at
    *fits.SIGNATURES,  # interference, expanded, joining_clearance, lowest_head_temperature, interference_at
    *tolerances.SIGNATURES,  # it_grade
    *deviations.SIGNATURES,  # deviation_H, deviation_p to deviation_za
    *interference.SIGNATURES,  # contact_pressure, stresses of hub and ring, yield margins
    *holding.SIGNATURES,  # holding_force, holding_torque, press_force, pressure_to_hold, roughness losses
    *closure.SIGNATURES,  # bore_closure, expected_bore_closure, pressure_from_closure, hub_growth
    *fit_range.SIGNATURES,  # least_fit, most_fit, and what rules the most
)

CALCULATIONS: Mapping[str, Signature] = MappingProxyType({signature.name: signature for signature in _ALL})
