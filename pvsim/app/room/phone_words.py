"""The words of the phone page."""

from __future__ import annotations

from pvsim.app.words import _, mark

__all__ = ["entry_words", "outcome_words", "phone_words"]

OUTCOMES = {
    "closed": mark("This round was closed before the answer arrived."),
    "full": mark("The class is full; this answer cannot be taken any more."),
    "unknown": mark("This question is not asked any more."),
    "wrong": mark("This is no answer to this question."),
    "store": mark("The answer could not be kept yet. It is sent again by itself; leave this page open."),
}


def outcome_words(outcome: str) -> str:
    """What a phone is told of its answer when it was not kept."""
    return _(OUTCOMES[outcome])


def entry_words() -> dict[str, str]:
    """The words of the form that asks for the code."""
    return {
        "title": _("Join a class"),
        "ask": _("Code of the class"),
        "hint": _("Five letters and digits; they are shown at the front."),
        "go": _("Join"),
        "private": _(
            "No name is asked for. Until it is closed, this tab alone keeps a random word and an answer that "
            "is on its way."
        ),
    }


def phone_words() -> dict[str, str]:
    """The words of the page on which a class answers."""
    return {
        "title": _("Answer"),
        "class": _("Class"),
        "connecting": _("Connecting …"),
        "connected": _("Connected"),
        "lost": _("No connection. This page tries again by itself."),
        "wait": _("You are in."),
        "wait_more": _("The question appears here as soon as it is asked. You can leave this page open."),
        "first": _("Your prediction"),
        "vote": _("Your vote"),
        "second": _("After the discussion"),
        "second_more": _("The same question once more: what do you think now?"),
        "number": _("Your number"),
        "sign": _("Change the sign"),
        "send": _("Send"),
        "sending": _("Sending …"),
        "kept": _("Your answer is kept. You can change it until the round is closed."),
        "kept_closed": _("Your answer is kept. The round is closed; look to the front."),
        "none_closed": _("The round is closed; look to the front."),
        "too_late": _("This round was closed before your answer arrived."),
        "over": _("This class is over. Thank you for taking part!"),
        "private": _("No name is asked for, and nobody sees who answered what."),
        "script": _("This page needs JavaScript to send your answer."),
    }
