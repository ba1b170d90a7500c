"""The hub: answers written together, news told once, nothing done while nobody listens."""

from __future__ import annotations

import asyncio

from pvsim.app.room import hub as module
from pvsim.errors import StoreError
from pvsim.store import Given, open_store
from tests.loop import run_async
from tests.store.conftest import CHOICE

from .test_classroom import until  # isort: skip


def asked(hub):
    """A room with a question: code, poll."""
    code = hub.store().open_room("").code
    poll = hub.store().open_poll(code, CHOICE)
    hub.store().begin_round(poll, 1)
    return code, poll


def test_a_class_that_answers_in_one_moment_is_written_in_a_few_transactions(hub):
    code, poll = asked(hub)
    usual, batches = hub.store().answer_all, []
    hub.store().answer_all = lambda given: batches.append(len(given)) or usual(given)

    async def lesson():
        given = [Given(poll=poll, round=1, voter=f"v{one}", value=one % 3) for one in range(60)]
        return await asyncio.gather(*(hub.answer(code, one) for one in given))

    assert run_async(lesson()) == ["kept"] * 60
    assert sum(batches) == 60
    assert len(batches) <= 3
    assert hub.store().tally(poll).rounds[0].counts == (20, 20, 20)


def test_a_burst_of_answers_is_told_in_a_few_pieces_the_last_of_them_whole(hub):
    code, poll = asked(hub)
    news = []

    async def lesson():
        hub.listen(code, news.append)
        for number in range(100):
            await hub.answer(code, Given(poll=poll, round=1, voter=f"v{number}", value=0))
        await until(lambda: news and news[-1].tally.rounds[0].phones == 100)

    run_async(lesson())
    assert len(news) < 60


def test_a_change_by_another_process_is_told_and_one_of_another_room_is_not(hub, store_file):
    code, poll = asked(hub)
    _, other_poll = asked(hub)
    elsewhere = open_store(store_file)
    news = []

    async def lesson():
        hub.listen(code, news.append)
        await until(lambda: len(news) == 1)  # as it was
        elsewhere.answer(other_poll, 1, "a", 0)
        await asyncio.sleep(3 * module.LOOK_s)
        assert len(news) == 1
        elsewhere.answer(poll, 1, "a", 0)
        await until(lambda: len(news) == 2)
        assert news[-1].tally.rounds[0].phones == 1

    run_async(lesson())
    elsewhere.close()


def test_who_has_left_hears_nothing_and_leaving_twice_does_no_harm(hub):
    code, poll = asked(hub)
    stays, leaves = [], []

    async def lesson():
        hub.listen(code, stays.append)
        leave = hub.listen(code, leaves.append)
        await until(lambda: stays and leaves)
        leave()
        leave()
        heard = len(leaves)
        await hub.answer(code, Given(poll=poll, round=1, voter="a", value=0))
        await until(lambda: stays[-1].tally.rounds[0].phones == 1)
        assert len(leaves) == heard

    run_async(lesson())


def test_more_answers_than_can_wait_are_sent_back(hub, monkeypatch):
    monkeypatch.setattr(module, "MAX_WAITING", 3)
    code, poll = asked(hub)

    async def lesson():
        given = [Given(poll=poll, round=1, voter=f"v{one}", value=0) for one in range(10)]
        return await asyncio.gather(*(hub.answer(code, one) for one in given), return_exceptions=True)

    outcomes = run_async(lesson())
    assert outcomes.count("kept") == 3
    assert sum(isinstance(one, StoreError) for one in outcomes) == 7
    assert hub.store().tally(poll).rounds[0].phones == 3


def test_a_phone_that_leaves_while_its_answer_is_written_does_not_stop_the_others(hub):
    code, poll = asked(hub)

    async def lesson():
        given = [Given(poll=poll, round=1, voter=f"v{one}", value=0) for one in range(5)]
        tasks = [asyncio.create_task(hub.answer(code, one)) for one in given]
        await asyncio.sleep(0)
        tasks[2].cancel()
        found = await asyncio.gather(*tasks, return_exceptions=True)
        return [one for number, one in enumerate(found) if number != 2]

    assert run_async(lesson()) == ["kept"] * 4
