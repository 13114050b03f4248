"""Every calculation a procedure's formulas may call, by the name they call it by."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from runner.engineering import (
    closure,
    conformity,
    convection,
    deviations,
    driving,
    fit_range,
    fits,
    forms,
    grabbing,
    heat_history,
    heating,
    holding,
    interference,
    leaks,
    lengths,
    machining,
    repeatability,
    seats,
    springs,
    thinning,
    threads,
    tolerances,
    volumes,
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
    *conformity.SIGNATURES,  # chance of conforming and of wrong acceptance, guard bands, coverage factor, degrees
    *repeatability.SIGNATURES,  # gauge_repeatability, gauge_reproducibility, gauge_spread, distinct_categories
    *forms.SIGNATURES,  # squareness_angle, tilt_of_three, twist_of_four, bow_of_three
    *seats.SIGNATURES,  # width_of_seat, outer_growth, inner_growth, width_growth, sink_of_cuts, flow areas
    *springs.SIGNATURES,  # rate_from_wire, load_from_free_height, load_at_height, shims, bind_clearance, nested springs
    *volumes.SIGNATURES,  # swept_volume, clearance_volume, compression_ratio, skims
    *leaks.SIGNATURES,  # leak rates from a change of pressure, orifice_flow, leak_down_area
    *machining.SIGNATURES,  # speeds, feeds, times, thinning an old ring, clean-up, oversizes, metal left
    *thinning.SIGNATURES,  # thinned_ring_pressure, thinned_ring_stress, wall_at_yield
    *threads.SIGNATURES,  # torque_for_tension, tension_for_torque, hot_tension_change, land_to_edge
    *convection.SIGNATURES,  # air's properties, still air, blown air, radiation
    *heating.SIGNATURES,  # biot_number, time_constant, times and temperatures in ovens, air and freezers
    *driving.SIGNATURES,  # cooling_constant, clearance_after, useful_limit and last_limit, low and high
    *grabbing.SIGNATURES,  # contact_time_constant, touch_temperature, time_to_grab, low and high
    *heat_history.SIGNATURES,  # equivalent_time, larson_miller_time, uniformity_tolerance, uniformity_class
)

CALCULATIONS: Mapping[str, Signature] = MappingProxyType({signature.name: signature for signature in _ALL})
