"""Markdown as runs."""

from __future__ import annotations

from pvsim.exercise.paper.prose import Paragraph, Run, paragraphs


def test_looks_of_words_are_kept():
    assert paragraphs("A **bold *leaf*** on V~oc~ & <b>x</b>.") == (
        Paragraph(
            runs=(
                Run(text="A "),
                Run(text="bold ", bold=True),
                Run(text="leaf", bold=True, italic=True),
                Run(text=" on V"),
                Run(text="oc", sub=True),
                Run(text=" & <b>x</b>."),
            )
        ),
    )


def test_rows_of_tables_are_paragraphs():
    found = paragraphs("| a | b |\n|---|---|\n| 1 m | **2 m** |")
    assert [" ".join("".join(run.text for run in one.runs).split()) for one in found] == [
        "a · b",
        "1 m · 2 m",
    ]


def test_entries_of_lists_have_their_signs():
    found = paragraphs("Two:\n\n- one\n- two\n\n3. three\n4. four")
    assert [(one.sign, one.runs[0].text, one.indent > 0) for one in found] == [
        ("", "Two:", False),
        ("•", "one", True),
        ("•", "two", True),
        ("3.", "three", True),
        ("4.", "four", True),
    ]
