"""Addresses far longer than any of pvsim's: answered in words, before anything looks into them."""

from __future__ import annotations

from typing import Any

from tornado.httputil import HTTPServerRequest
from tornado.routing import Matcher, Rule

from pvsim.app.door.names import Names
from pvsim.app.room.hub import Hub
from pvsim.app.room.plain_page import PlainPage, handed_on
from pvsim.app.words import _, speaking
from pvsim.files.link import MAX_LINK_LENGTH

__all__ = ["LONGEST_HEAD", "long_addresses"]

LONGEST_ADDRESS = 2 * MAX_LINK_LENGTH  # characters; a page's own has one link, and what is shown
LONGEST_HEAD = 1_000_000  # bytes of a request that are read at all, so that there is somebody to tell


class LongAddressPage(PlainPage):
    """Says how long the address is, how long it may be, and what to do."""

    def prepare(self) -> None:
        """Whatever is asked for."""
        self.set_status(414)
        with speaking(self.speaks):
            self.show(
                "told.html",
                title=_("This address is too long"),
                told=_(
                    "It has {count:,} characters; expected at most {most:,}. A scenario of this size "
                    "goes into a file: save it there and send that instead."
                ).format(count=len(self.request.uri or ""), most=LONGEST_ADDRESS),
                way=_("Open pvsim"),
            )
        self.finish()


class _Long(Matcher):
    def match(self, request: HTTPServerRequest) -> dict[str, Any] | None:
        """Nothing to hand on, for a long address; None for any other."""
        return {} if len(request.uri or "") > LONGEST_ADDRESS else None


def long_addresses(hub: Hub, language: str = "", names: Names | None = None) -> Rule:
    """What looks at every address before the server does; of the parameters see `handed_on`."""
    return Rule(_Long(), LongAddressPage, handed_on(hub, language, names))
