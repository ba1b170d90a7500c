"""GIFT, read back by the grammar of others: gift-pegjs under node, fetched into .test-venv."""

from __future__ import annotations

import fcntl
import json
import shutil
import subprocess
from pathlib import Path

import pytest

from pvsim.exercise import ChoiceItem, ItemChoice, NumberItem
from pvsim.exercise.bank import write_gift
from pvsim.words import speaking
from tests.exercise.bank.numbers import awkward_items, hold
from tests.exercise.samples import choice_item, number_item, shipped
from tests.patience import PATIENCE_s

ROOT = Path(__file__).parents[3]
GRAMMAR = "1.0.2"  # with which the checks were last passed
READ = (
    "process.stdout.write(JSON.stringify(require('gift-pegjs').parse(require('fs').readFileSync(0, 'utf8'))))"
)


@pytest.fixture(scope="module")
def reader():
    """A function from GIFT to the questions that gift-pegjs finds; skipped by name where it cannot be had."""
    node = shutil.which("node") or next(iter(map(str, ROOT.glob(".test-venv/bin/node"))), None)
    npm = shutil.which("npm") or next(iter(map(str, ROOT.glob(".test-venv/bin/npm"))), None)
    if node is None or npm is None:
        pytest.skip("node and npm are not here: GIFT is not read back by gift-pegjs")
    home = ROOT / ".test-venv" / "gift"
    home.mkdir(parents=True, exist_ok=True)
    with open(home / "lock", "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # one of several workers fetches
        if not (home / "node_modules" / "gift-pegjs").is_dir():
            fetch = [npm, "install", "--prefix", str(home), "--no-audit", "--no-fund", "--silent"]
            subprocess.run(
                [*fetch, f"gift-pegjs@{GRAMMAR}"], check=False, capture_output=True, timeout=PATIENCE_s
            )
    if not (home / "node_modules" / "gift-pegjs").is_dir():
        pytest.skip("gift-pegjs could not be fetched from npm: GIFT is not read back")

    def read(text):
        how = {"capture_output": True, "encoding": "utf-8", "cwd": home, "timeout": PATIENCE_s}
        done = subprocess.run([node, "-e", READ], input=text, check=False, **how)
        assert done.returncode == 0, done.stderr[-2000:]
        return [one for one in json.loads(done.stdout) if one["type"] != "Category"]

    return read


def answers_of(question):
    """(value, tolerance, share) of each answer, as the grammar found them."""
    return [
        (one["text"]["number"], one["text"]["range"], 1.0 if one["weight"] is None else one["weight"] / 100)
        for one in question["choices"]
    ]


@pytest.mark.parametrize("language", ["en", "de"])
def test_numbers_are_worth_there_what_they_are_worth_here(reader, language):
    with speaking(language):
        items = [*awkward_items(), *shipped(2, language).values()]
        found = {one["title"]: one for one in reader(write_gift(items, "a/b"))}
    assert [*found] == [one.id for one in items]
    numbers = [one for one in items if isinstance(one, NumberItem)]
    assert all(found[one.id]["type"] == "Numerical" for one in numbers)
    assert all(isinstance(found[one.id]["choices"], list) for one in numbers)
    hold(numbers, {one.id: answers_of(found[one.id]) for one in numbers})


def test_texts_come_through_whatever_signs_they_hold(reader):
    found = {one["title"]: one for one in reader(write_gift(awkward_items()))}
    for name in ("small", "choice"):
        text = found[name]["stem"]["text"]
        assert found[name]["stem"]["format"] == "html"
        for part in (
            "~tilde = {brace} #hash : colon \\ back",
            "$5 -&gt; <strong>100 %</strong>? //",
            "V<sub>oc</sub>",
        ):
            assert part in text
    assert found["small"]["globalFeedback"]["text"] == "<p>Because: {#}</p>"
    told = [one["feedback"]["text"] for one in found["small"]["choices"] if one["feedback"]]
    assert "<p>No: ~ = # { } \\ }</p>" in told


def test_choices_have_their_weights_and_feedback(reader):
    choices = (
        ItemChoice(text="a = b", share=1.0, feedback="Yes: {1}"),
        ItemChoice(text="~c", share=0.5, idea="half"),
        ItemChoice(text="%50%d", share=-1 / 3, idea="less", feedback="#"),
    )
    (found,) = reader(write_gift([choice_item(choices=choices)]))
    assert found["type"] == "MC"
    assert [one["isCorrect"] for one in found["choices"]] == [True, False, False]
    assert [one["weight"] for one in found["choices"]] == [None, 50, -33.33333]
    assert [one["text"]["text"] for one in found["choices"]] == ["<p>a = b</p>", "<p>~c</p>", "<p>%50%d</p>"]


def test_what_the_grammar_does_not_see_is_looked_at_in_the_text():
    with speaking("de"):
        text = write_gift([*awkward_items(), *shipped(1, "de").values()])
    questions = [one for one in text.split("\n\n") if one.startswith("::")]
    assert len(questions) == len(awkward_items()) + len(shipped(1, "de"))  # no blank line within one
    for line in text.splitlines():
        if line.startswith("\t=") and "<p>" not in line.partition("#")[0]:
            assert "," not in line.partition("#")[0]  # a decimal comma would make every answer right


def test_no_choice_of_a_case_is_lost():
    item = next(one for one in shipped(1).values() if isinstance(one, ChoiceItem))
    text = write_gift([item, number_item()])
    assert text.count("\n\t~") + text.count("\n\t=<") == len(item.choices)
