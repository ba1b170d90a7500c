"""Which language a page speaks: as its address asks, else as this browser has kept or likes best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pvsim.words import ENGLISH, accepted_language, known_language

__all__ = ["LANGUAGE", "asked_language", "session_language"]

LANGUAGE = "lang"  # in the address
KEPT = "pvsim-language"  # the cookie in which a browser keeps the choice made on the page


def asked_language(query: Mapping[str, Sequence[bytes]]) -> str:
    """The language an address asks for; "" when it asks for none, or for one that is not spoken."""
    return known_language(query[LANGUAGE][-1].decode("utf-8", "replace")) if query.get(LANGUAGE) else ""


def session_language(
    query: Mapping[str, Sequence[bytes]],
    cookies: Mapping[str, str],
    headers: Mapping[str, Any],
    usual: str = "",
) -> str:
    """The code of the language a new page speaks.

    Parameters
    ----------
    query, cookies, headers : mapping
        Of the request, as the server gives them; untrusted.
    usual : str
        What the server was told to speak to a browser in which nobody has chosen.
    """
    accepted = next((str(value) for name, value in headers.items() if name.lower() == "accept-language"), "")
    return (
        asked_language(query)
        or known_language(cookies.get(KEPT, ""))
        or usual
        or accepted_language(accepted)
        or ENGLISH.code
    )
