"""Cells driven to their short-circuit current, as they are told, held to numbers drawn and arrays solved."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place
from pvsim.field.search import Act, Foresight, Transcript, do, search_case
from pvsim.field.search.candidates import Candidate
from pvsim.field.search.driven import driven_of, voltage_apart, warmest
from pvsim.field.search.picture import contrast_from, contrast_slope, contrast_told
from pvsim.field.search.plant import AS_FOUND
from pvsim.field.search.reckoning import evenly, gained_bit, learnt_from, unexplained


def test_the_warmest_is_the_larger_of_two_as_drawn_numbers_have_it() -> None:
    """By numpy, 200,000 pairs: the weakest cell of a string at 0.91 of its voltage, beside a hot one."""
    rng = np.random.default_rng(5)
    seen_K = np.array([0.0, 1.0, 3.0, 40.0])
    mu, apart = warmest(seen_K, np.full(4, 0.91), np.zeros(4, dtype=bool))
    weakest = rng.normal(1.75, 1.55, 200_000)
    for at, one in enumerate(seen_K):
        larger = np.maximum(weakest, rng.normal(np.arcsinh(one / 0.5), 0.04, 200_000))
        assert mu[at] == pytest.approx(larger.mean(), abs=0.02)
        assert apart[at] == pytest.approx(larger.std(), abs=0.02)


def test_glass_beside_warmer_glass_is_told_colder() -> None:
    mu, _apart = warmest(np.array([-2.0, 0.0]), np.full(2, 1.03), np.zeros(2, dtype=bool))
    beside_K, even_K = contrast_from(mu)
    assert -2.0 <= beside_K < -1.7
    assert 0.0 < even_K < 0.3


def test_told_and_taken_back_is_the_same() -> None:
    values = np.array([-3.0, 0.0, 0.2, 70.0])
    np.testing.assert_allclose(contrast_from(contrast_told(values)), values, atol=1e-12)
    step = 1e-6
    by_hand = (contrast_told(values + step) - contrast_told(values)) / step
    np.testing.assert_allclose(contrast_slope(values), by_hand, rtol=1e-4)


def test_what_modules_that_are_held_together_lack_is_known_as_a_whole() -> None:
    junction_V = np.full((1, 5, 3), 0.45)
    driven = driven_of(junction_V, 0.5)
    assert not driven.alone.any()
    run_V = np.full((1, 5), 25.0)
    apart = [voltage_apart(driven, slice(0, last), run_V[:, :last], 30.0)[0] for last in range(1, 6)]
    assert apart[-1] == 0.0
    assert apart[1] == pytest.approx(apart[2])  # two and the other three
    assert apart[0] == pytest.approx(apart[3])
    assert apart[1] > apart[0] > 1.0


def test_a_module_that_is_darker_than_its_string_is_driven_alone() -> None:
    junction_V = np.full((1, 5, 3), 0.52)
    junction_V[0, 2] = 0.46
    driven = driven_of(junction_V, 0.5)
    assert driven.alone[0].tolist() == [False, False, True, False, False]


def test_a_picture_of_one_warmer_module_tells_what_it_should() -> None:
    """Dirt of 17 % on one module of six: its weakest cell turns round, which equal cells would not."""
    case = search_case(8775, 2)
    know = Foresight(case)
    likely, transcript = evenly(know), Transcript()
    current = Act(kind="read", what="current", place=Place(1))
    for act in (current, Act(kind="picture", place=Place(1))):
        transcript = do(case, transcript, act).transcript
        line = transcript.lines[-1]
        before, likely = likely, learnt_from(know, likely, AS_FOUND, line)
    warmer = [one.reading.value for one in line.found]
    assert max(warmer) == warmer[0] > 1.0 > 5.0 * max(warmer[1:])
    assert gained_bit(before, likely) > 2.0  # one of six: 2.6
    assert unexplained(know, before, likely, AS_FOUND, line) < 0.2


@pytest.mark.parametrize(("seed", "module"), [(36, 6), (19, 1)])
def test_a_picture_may_show_the_fault_in_any_substring(seed: int, module: int) -> None:
    """A resistive contact is in the second substring, though which one it is in is not asked for."""
    case = search_case(seed, 2)
    assert case.fault.kind == "cell-resistive"
    know = Foresight(case)
    line = do(case, Transcript(), Act(kind="picture", place=Place(1, module))).transcript.lines[-1]
    assert line.found[1].reading.value > 10.0 > line.found[0].reading.value
    before = evenly(know)
    now = learnt_from(know, before, AS_FOUND, line)
    assert unexplained(know, before, now, AS_FOUND, line) < 0.1


def test_what_nothing_hidden_explains_is_said_to_be_so() -> None:
    """Of one candidate alone, dirt on another module than the one that is warm."""
    case = search_case(36, 2)
    whole = Foresight(case)
    dirt = tuple(one for one in whole.candidates if one.kind == "soiling" and one.place.module != 6)
    assert all(isinstance(one, Candidate) for one in dirt)
    know = Foresight(case, dirt)
    line = do(case, Transcript(), Act(kind="picture", place=Place(1, 6))).transcript.lines[-1]
    before = evenly(know)
    now = learnt_from(know, before, AS_FOUND, line)
    assert unexplained(know, before, now, AS_FOUND, line) > 0.99
    assert gained_bit(before, now) < 0.1
