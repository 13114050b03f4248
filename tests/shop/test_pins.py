"""What is kept of a PIN, and whether a typed one fits."""

from __future__ import annotations

import hashlib

import pytest

from runner.shop.pins import fits, hash_pin, is_kept, is_pin
from tests.shop.a_shop import KEPT, PIN, SALT


def test_only_the_pin_itself_fits() -> None:
    assert fits(PIN, KEPT)
    for other in ("240918", "24091", "2409170", "", "٢٤٠٩١٧", f" {PIN}", f"{PIN}\n"):
        assert not fits(other, KEPT), other


def test_two_salts_keep_one_pin_in_two_ways_and_neither_shows_it() -> None:
    other = hash_pin(PIN, bytes(16))
    assert other != KEPT and fits(PIN, other) and PIN not in KEPT.rpartition("$")[2]
    assert is_kept(KEPT) and is_kept(other)


def test_scrypt_is_the_one_of_its_standard() -> None:
    # RFC 7914 section 12, third test vector (N 16384, r 8, p 1), from memory; our cost, by the library underneath.
    assert (
        hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1, dklen=64)
        .hex()
        .startswith("7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2")
    )
    assert (
        KEPT
        == f"scrypt$16384$8$1${SALT.hex()}$"
        + hashlib.scrypt(PIN.encode(), salt=SALT, n=16384, r=8, p=1, dklen=32).hex()
    )


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("1234", True),
        ("123456789012", True),
        ("123", False),
        ("1234567890123", False),
        ("12a4", False),
        ("１２３４", False),
        ("", False),
    ],
)
def test_a_pin_is_4_to_12_digits(text: str, is_one: bool) -> None:
    assert is_pin(text) is is_one


def test_what_is_no_pin_is_not_kept_and_not_repeated() -> None:
    with pytest.raises(ValueError) as told:
        hash_pin("12a4", SALT)
    assert "12a4" not in str(told.value)
    with pytest.raises(ValueError):
        hash_pin(PIN, b"short")


@pytest.mark.parametrize(
    "kept",
    ["", PIN, KEPT.replace("16384", "1048576"), KEPT[:-2], KEPT + "00", KEPT.replace("scrypt", "plain")],
)
def test_nothing_fits_what_was_not_kept_by_this_program(kept: str) -> None:
    assert not is_kept(kept) and not fits(PIN, kept)
