"""A course that is being written, looked at again and again while the page is open."""

from __future__ import annotations

from collections.abc import Callable

from bokeh.document import Document
from panel.io import hold

from pvsim.app.open_course import LOOK_ms, OpenCourse
from pvsim.app.words import speaking
from pvsim.course.lesson.lesson import Course

__all__ = ["Preview"]


class Preview:
    """Tells when a course was read again.

    Parameters
    ----------
    source : OpenCourse
        One that is live.
    language : str
        Of the session.
    renew : callable
        Gets each new reading.
    document : Document or None
        The page's own, in whose turn it looks; without one somebody calls `look`.
    """

    def __init__(
        self,
        source: OpenCourse,
        language: str,
        renew: Callable[[Course], None],
        document: Document | None,
    ) -> None:
        self._source, self._language, self._renew = source, language, renew
        self._revision = source.revision
        if document is not None:
            document.add_periodic_callback(self.look, LOOK_ms)

    def look(self) -> None:
        """See whether the course was read again, for this page or for another."""
        self._source.look()
        if self._revision != self._source.revision:
            self._revision = self._source.revision
            with speaking(self._language), hold():
                self._renew(self._source.course(self._language))
