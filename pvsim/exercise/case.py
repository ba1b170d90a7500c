"""Which case a student gets: from a number, which is no secret, and a word, which may be one.

Whoever owns pvsim and knows lesson and number can have it make the same case, and solve it: a number alone
hides nothing. A lecturer's own word is mixed in with HMAC (RFC 2104, SHA-256), and then the number does
not give the case. What the question says stays said: who builds the array on the page by hand from the stem
can measure the answer there.
"""

from __future__ import annotations

import hmac
from dataclasses import dataclass, field
from hashlib import sha256

from pvsim.array.checks import text, whole

__all__ = ["LONGEST_SECRET", "MOST_CASE", "ExerciseCase", "chosen", "seal_of", "seals", "seed_for"]

MOST_CASE = 999_999_999  # a student's number of nine digits
LONGEST_SECRET = 200
_SEEDS = 1_000_000  # drawn for names: two in a class may meet, and then have one case
_SEAL = 12  # characters, 48 bits


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseCase:
    """A student's case.

    Parameters
    ----------
    seed : int
        0 to MOST_CASE; it stands on the hand-out.
    secret : str
        The lecturer's word; empty for none.
    """

    seed: int
    secret: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        whole(self, "seed", least=0, most=MOST_CASE)
        text(self, "secret", most=LONGEST_SECRET)


def chosen(case: ExerciseCase, what: str, count: int) -> int:
    """One of so many, the same for ever; what is chosen for one thing has nothing to do with another.

    The remainder of 64 bits favours none of a thousand by more than 1e-16.
    """
    return int.from_bytes(_mixed(case.secret, "draw", str(case.seed), what)[:8], "big") % count


def seed_for(who: str, secret: str = "") -> int:
    """The number of a name on a class list."""
    return int.from_bytes(_mixed(secret, "seed", who)[:8], "big") % _SEEDS


def seal_of(lesson: str, who: str, case: ExerciseCase) -> str:
    """Letters that go with lesson, name and number.

    Without a secret they catch slips, since anybody with pvsim can make them; with one, forgery.
    """
    return _mixed(case.secret, "seal", lesson, who, str(case.seed)).hex()[:_SEAL]


def seals(seal: str, lesson: str, who: str, case: ExerciseCase) -> bool:
    """Whether a seal goes with them; one made without a name goes with any."""
    named, unnamed = (seal_of(lesson, name, case).encode() for name in (who, ""))
    given = seal.encode()
    return hmac.compare_digest(given, named) | hmac.compare_digest(given, unnamed)


def _mixed(secret: str, *parts: str) -> bytes:
    told = b"".join(len(one).to_bytes(4, "big") + one for one in (part.encode("utf-8") for part in parts))
    return hmac.new(b"pvsim" + secret.encode("utf-8"), told, sha256).digest()
