"""An invented shop, for tests that read one."""

from __future__ import annotations

from runner.shop.model import Shop
from runner.shop.pins import hash_pin
from runner.shop.reader import read_shop
from runner.text.problem import render_all

PIN, SALT = "240917", bytes(range(16))
KEPT = hash_pin(PIN, SALT)
TEXT = f"""\
shop: Heads that do not exist
zone: Europe/Vienna
decimal mark: comma
idle: 20 min

people:
  - person: Ada Fitch
    roles: [fitter]
    pin: {KEPT}
  - person: Ben Stone
    roles: [fitter, inspector]

instruments:
  - instrument: BG-1
    kind: bore gauge
    reads to: 0.001 mm
    uncertainty: 0.003 mm
    calibrated until: 2031-06-30
    expansion: 11.5 um/m/K
  - instrument: P.2
    kind: contact probe
    reads to: 0.1 K
    uncertainty: 1 K
    calibrated until: 2031-01-31

masters:
  - master: R45
    size: 45.000 mm
    uncertainty: 0.001 mm
    calibrated until: 2031-06-30
"""


def a_shop(text: str = TEXT) -> Shop:
    shop, problems = read_shop(text, "shop.yaml")
    assert shop is not None, render_all(problems, {"shop.yaml": text.split("\n")})
    return shop
