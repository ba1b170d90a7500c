"""Reverse current: by hand, by the currents' law, and by the trade's rule of three strings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array.change import add_fault, set_array, set_strings
from pvsim.array.fault import Fault
from pvsim.array.place import parse_place
from pvsim.array.scenario import Scenario
from pvsim.files import read_demo
from pvsim.safety import Ratings, reverse_currents


def strings(count: int) -> Scenario:
    roof = read_demo("workshop")
    return replace(
        roof,
        array=replace(roof.array, strings=(roof.array.strings[0],) * count),
        first_view=replace(roof.first_view, focus=parse_place("1")),
    )


def test_the_others_drive_their_short_circuit_currents_in_light_a_quarter_above_the_standard() -> None:
    for count in (1, 2, 5):
        for one in reverse_currents(strings(count), Ratings()):
            assert one.driven_A == pytest.approx(1.25 * (count - 1) * one.isc_A, rel=1e-6)
            assert one.isc_A == pytest.approx(10.9, abs=0.05)


def test_from_three_strings_on_each_needs_a_fuse() -> None:
    """Common practice, no source; for modules rated for about twice their short-circuit current."""
    needed = [reverse_currents(strings(count), Ratings())[0].needs_fuse for count in (1, 2, 3, 4)]
    assert needed == [False, False, True, True]
    unguarded, guarded = strings(3), set_strings(strings(3), fuse=True)
    assert all(one.wrong for one in reverse_currents(unguarded, Ratings()))
    assert not any(one.wrong for one in reverse_currents(guarded, Ratings()))


@pytest.mark.parametrize(
    ("fuse_A", "rating_A", "fits"),
    # 1.5 x 10.9 A = 16.3 A, 2.4 x 10.9 A = 26.2 A (IEC 62548, from memory), and not above the modules' rating
    [(16.0, 20.0, False), (17.0, 20.0, True), (20.0, 20.0, True), (25.0, 20.0, False), (25.0, 30.0, True),
     (27.0, 30.0, False)],
)  # fmt: skip
def test_a_fuse_fits_between_its_bounds(fuse_A: float, rating_A: float, fits: bool) -> None:
    ratings = Ratings(module_fuse_A=rating_A, string_fuse_A=fuse_A)
    (one, *_others) = reverse_currents(set_strings(strings(5), fuse=True), ratings)
    assert (one.fuse_fits, one.wrong) == (fits, not fits)
    assert one.fuse_exists
    low = reverse_currents(strings(5), Ratings(module_fuse_A=15.0))[0]
    assert not low.fuse_exists, "no fuse can be above 16.3 A and at most 15 A"


def test_what_flows_into_a_weak_string_now_comes_from_all_others_together() -> None:
    weak = strings(5)
    for module in (1, 2, 3):
        for diode in (1, 2, 3):
            weak = add_fault(weak, Fault("diode-short", parse_place(f"1/{module}/d{diode}")))
    into, *others = reverse_currents(weak, Ratings())
    assert into.now_A > 20.0
    assert into.wrong
    assert into.now_A < into.driven_A / 1.25, "no string gives more than its short-circuit current"
    assert [one.now_A for one in others] == [0.0] * 4
    alone = reverse_currents(set_array(weak, tracking="per-string"), Ratings())
    assert [(one.parallel, one.driven_A, one.now_A) for one in alone] == [(1, 0.0, 0.0)] * 5
