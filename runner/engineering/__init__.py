"""Formulas of the trade as pure functions on floats in coherent SI: metres, kelvin (20 degC is 293.15), plain numbers.

`calculations.CALCULATIONS` lists what a procedure may call. The domain of each argument stands in the signature
beside its function and is held by `Signature.work`; the bare function trusts its caller.
"""
