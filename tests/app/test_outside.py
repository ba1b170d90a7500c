"""What all browser tests rely on: a page that asks for something outside this machine gets nothing."""

from __future__ import annotations

import pytest

from tests.app.conftest import Bench

pytestmark = pytest.mark.ui

ASK = """address => new Promise(done => {
    const image = new Image()
    image.onload = () => done("came")
    image.onerror = () => done("did not come")
    image.src = address
})"""


@pytest.mark.parametrize("address", ["https://name.invalid/x.png", "http://192.0.2.1/x.png"])
def test_what_lies_outside_does_not_come_and_is_noted(browser, served, address):
    bench = Bench(browser, served)
    try:
        page = bench.open(bypass_csp=True)
        assert page.evaluate(ASK, address) == "did not come"
        assert bench.outside == [address]
    finally:
        bench.close()


def test_the_page_s_own_policy_is_the_first_to_refuse(browser, served):
    bench = Bench(browser, served)
    try:
        page = bench.open()
        assert page.evaluate(ASK, "https://name.invalid/x.png") == "did not come"
        assert any("Content Security Policy" in said for said in bench.complaints)
    finally:
        bench.close()
