"""An address that is far too long is answered in words, and no page is opened for it."""

from __future__ import annotations

import urllib.error
import urllib.request

import pytest

from pvsim.app.long_address import LONGEST_ADDRESS
from tests.patience import PATIENCE_s


def ask(url: str, language: str = "en") -> tuple[int, str]:
    request = urllib.request.Request(url, headers={"Accept-Language": language})
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_s) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode()


@pytest.mark.parametrize("count", [LONGEST_ADDRESS, 66_000, 300_000])
@pytest.mark.parametrize("path", ["?s=1.", "join/", "assets/", "nowhere/"])
def test_a_link_that_is_far_too_long_is_told_in_a_sentence(served, path, count):
    status, page = ask(f"{served.url}{path}{'A' * count}")
    assert status == 414
    assert "This address is too long" in page
    assert f"expected at most {LONGEST_ADDRESS:,}" in page
    assert "AAAA" not in page


def test_it_is_told_in_the_language_of_the_browser(served):
    assert "zu lang" in ask(f"{served.url}?s={'A' * 300_000}", "de")[1]


def test_one_that_the_page_itself_can_refuse_is_left_to_the_page(served):
    status, page = ask(f"{served.url}?s=1.{'A' * 7_000}")
    assert status == 200
    assert "too long" not in page
