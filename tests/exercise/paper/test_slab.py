"""Where pages end."""

from __future__ import annotations

from dataclasses import replace

from pvsim.exercise.paper.slab import Slab, gap, paged


def slab(height, *, keep=False):
    return Slab(height=height, draw=lambda _x, _y: None, keep=keep)


def heights(pages):
    return [[one.height for one in page] for page in pages]


def test_a_page_takes_what_it_has_room_for():
    assert heights(paged([slab(40), slab(40), slab(40)], 100)) == [[40, 40], [40]]


def test_what_is_kept_with_the_next_goes_over_with_it():
    assert heights(paged([slab(60), slab(20, keep=True), slab(30)], 100)) == [[60], [20, 30]]


def test_space_at_the_top_of_a_page_is_left_out():
    assert heights(paged([slab(90), replace(gap(5), keep=True), slab(50)], 100)) == [[90], [50]]


def test_what_no_page_can_hold_together_is_torn_apart():
    assert heights(paged([slab(60, keep=True), slab(60, keep=True), slab(10)], 100)) == [[60], [60, 10]]
