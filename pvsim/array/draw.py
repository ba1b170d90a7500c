"""Numbers drawn from a seed: the same for ever, for each place by itself and in any order.

Words of 64 bits are mixed, not taken from a stream, so a number depends on seed, stream and place alone.
"""

from __future__ import annotations

from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats

__all__ = ["MOST_STREAM", "Words", "evenly", "mixed", "normal", "word_of"]

Words = NDArray[np.uint64]

MOST_STREAM = 127


def normal(seed: int | Words, stream: int, places: Words) -> Floats:
    """A standard normal number for each place.

    Parameters
    ----------
    seed : int or (n,)
        Below 2^56; with several, each meets the place that stands with it.
    stream : int
        0 to MOST_STREAM: what is drawn for one thing has nothing to do with what is drawn for another.
    places : (n,)
        Any words.

    Returns
    -------
    (n,)

    Notes
    -----
    By the method of G. E. P. Box and M. E. Muller (Ann. Math. Stat. 29 (1958) 610) from two uniform
    ones a place.
    """
    one, two = _two_words(seed, stream, places)
    u = ((one >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53
    angle = (two >> np.uint64(11)).astype(np.float64) * 2.0**-53
    drawn: Floats = np.sqrt(-2.0 * np.log(u)) * np.cos(2.0 * np.pi * angle)
    return drawn


def evenly(seed: int | Words, stream: int, places: Words) -> Floats:
    """A number from -1 to 1 for each place, each as likely as any other; parameters as of `normal`."""
    one, _other = _two_words(seed, stream, places)
    drawn: Floats = ((one >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-52 - 1.0
    return drawn


def mixed(words: Words) -> Words:
    """Each word of 64 bits mixed, as in G. L. Steele, D. Lea, C. H. Flood: OOPSLA 2014, p. 453."""
    with np.errstate(over="ignore"):
        z = words + np.uint64(0x9E3779B97F4A7C15)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    mixed_up: Words = z ^ (z >> np.uint64(31))
    return mixed_up


def word_of(text: str) -> np.uint64:
    """A word that stands for a text, by SHA-256 of its UTF-8 bytes."""
    return np.uint64(int.from_bytes(sha256(text.encode("utf-8")).digest()[:8], "big"))


def _two_words(seed: int | Words, stream: int, places: Words) -> tuple[Words, Words]:
    first = (np.atleast_1d(np.asarray(seed, dtype=np.uint64)) << np.uint64(8)) + np.uint64(2 * stream)
    begun = mixed(places)
    return mixed(begun ^ mixed(first)), mixed(begun ^ mixed(first + np.uint64(1)))
