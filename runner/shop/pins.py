"""PINs: what a shop file keeps instead of one, and whether a typed one fits. A PIN identifies; it does not protect.

Four digits are tried out in minutes by anybody who holds the file, whatever is kept of them.
"""

from __future__ import annotations

import hashlib
import hmac
import re

_N, _R, _P = 2**14, 8, 1
"""Cost of scrypt (RFC 7914): 16 MiB and about a twentieth of a second. A file that asks for another is not read."""
SALT_BYTES = 16
_KEPT = re.compile(rf"scrypt\${_N}\${_R}\${_P}\$([0-9a-f]{{{2 * SALT_BYTES}}})\$([0-9a-f]{{64}})")


def is_pin(text: str) -> bool:
    """Whether a text can be a PIN: 4 to 12 digits."""
    return bool(re.fullmatch(r"[0-9]{4,12}", text))


def is_kept(text: str) -> bool:
    """Whether a text is what is kept of a PIN."""
    return bool(_KEPT.fullmatch(text))


def hash_pin(pin: str, salt: bytes) -> str:
    """What is kept of a PIN: how it was worked, salt and hash. Raises ValueError on what is no PIN or no salt."""
    if not is_pin(pin) or len(salt) != SALT_BYTES:
        raise ValueError(f"a PIN has 4 to 12 digits and its salt {SALT_BYTES} bytes")
    return f"scrypt${_N}${_R}${_P}${salt.hex()}${_scrypt(pin, salt).hex()}"


def fits(pin: str, kept: str) -> bool:
    """Whether a typed PIN is the one of which this is kept, compared in constant time."""
    found = _KEPT.fullmatch(kept)
    if not found or not is_pin(pin):
        return False
    return hmac.compare_digest(_scrypt(pin, bytes.fromhex(found[1])), bytes.fromhex(found[2]))


def _scrypt(pin: str, salt: bytes) -> bytes:
    return hashlib.scrypt(pin.encode("ascii"), salt=salt, n=_N, r=_R, p=_P, dklen=32)
