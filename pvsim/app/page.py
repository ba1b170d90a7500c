"""The page of one session: a State, the views on it, and the frame that holds them."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path
from typing import Any

import panel as pn

from pvsim.app.assets import fingerprint
from pvsim.app.bundle import bundle_address, bundled
from pvsim.app.curves.ladder import LadderView
from pvsim.app.curves.view import CurvesView
from pvsim.app.day.strip import DayStrip
from pvsim.app.field.desk import FieldDesk
from pvsim.app.language import session_language
from pvsim.app.lecture.view import LectureView
from pvsim.app.lesson.view import LessonView
from pvsim.app.mends.template import MendedTemplate, settle
from pvsim.app.modules import loaded_with
from pvsim.app.open_course import OpenCourse, course_in
from pvsim.app.roof.view import RoofView
from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.app.session.address import open_address
from pvsim.app.session.errand import Errand
from pvsim.app.session.state import State
from pvsim.app.sheet.view import SheetView
from pvsim.app.shell.frame import FrameView
from pvsim.app.shell.status import StatusView
from pvsim.app.shell.top_bar import TopBarView
from pvsim.app.traced.view import TracedView
from pvsim.app.words import _, decimal_mark, language, speaking
from pvsim.array.scenario import Scenario

__all__ = ["ASSETS", "create_page"]

ASSETS = "assets/"  # where the server puts static/
VIEWS: dict[str, Any] = {
    "bar": TopBarView,
    "roof": RoofView,
    "curves": CurvesView,
    "ladder": LadderView,
    "lesson": LessonView,
    "lecture": LectureView,
    "status": StatusView,
    "frame": FrameView,
}
# Parts that come when they are first asked for: a page learns of their kinds when it is opened.
LATER = (DayStrip, FieldDesk)
# What costs an opened page nothing: drawn by the frame when somebody asks for it.
GUESTS: dict[str, Any] = {"sheet": SheetView, "traced": TracedView}


def create_page(
    scenario: Scenario,
    *,
    usual_language: str = "",
    hub: Hub | None = None,
    course: OpenCourse | None = None,
) -> pn.Template:
    """A page with objects of its own: nothing here is shared between sessions.

    Parameters
    ----------
    scenario : Scenario
        What the page opens with, unless the address carries another.
    usual_language : str
        What is spoken to a browser in which nobody has chosen; "" for what that browser likes best.
    hub : Hub or None
        What classes are held in; without one the page has no classroom.
    course : OpenCourse or None
        Whose lessons are shown; None for those that come with pvsim.
    """
    query, cookies, headers = pn.state.session_args or {}, pn.state.cookies, pn.state.headers
    with speaking(session_language(query, cookies, headers, usual_language)):
        return _create(scenario, hub, course)


def _create(scenario: Scenario, hub: Hub | None, course: OpenCourse | None) -> pn.Template:
    """The page in the language spoken now."""
    state = State(scenario)
    state.classroom = Classroom(hub, pn.state.curdoc) if hub else None
    if pn.state.curdoc is not None:
        state.errand = errand = Errand(pn.state.curdoc)
        pn.state.curdoc.on_session_destroyed(lambda _context: errand.give_up())
        pn.state.curdoc.on_session_destroyed(lambda _context: state.drop_search())
        pn.state.curdoc.on_session_destroyed(lambda _context: state.drop_debrief())
        settle(pn.state.curdoc)
    open_address(state, pn.state.session_args or {})
    page = MendedTemplate(_template())
    scripts = []
    for name, view in VIEWS.items():
        root = _view(view, state, course).root
        page.add_panel(name, root)
        scripts.append(root._esm)
    _open_when_asked(state, root, course)
    page.add_variable("named", list(VIEWS))
    page.add_variable("assets", ASSETS)
    page.add_variable("mark", fingerprint())
    page.add_variable("bundle", bundle_address())
    page.add_variable("modules", _beside(tuple(scripts)))
    page.add_variable(
        "words",
        {
            "language": language().code,
            "decimal": decimal_mark(),
            "roof": _("The roof"),
            "curves": _("Characteristics"),
            "ladder": _("Five levels at once"),
            "lesson": _("Lesson"),
            "levels": _("Levels"),
            "regions": _("Regions"),
            "covered": _("Covered: this would answer your prediction. It is shown once that is stored."),
            "covered_short": _("Five levels: shown once your prediction is stored"),
            "day": _("A day on the roof"),
            "field": _("Measuring on the roof"),
            "field_short": _("Measuring"),
            "skip_roof": _("To the roof"),
            "skip_curves": _("To the characteristics"),
            "skip_lesson": _("To the lesson"),
            "script": _(
                "pvsim needs JavaScript, which is switched off in this browser. Allow it for this address."
            ),
        },
    )
    return page


@cache
def _beside(scripts: tuple[str, ...]) -> list[str]:
    """Modules that a page needs and its bundle lacks."""
    there = bundled()
    return [one for one in loaded_with(*scripts) if one not in there]


def _view(view: Any, state: State, course: OpenCourse | None) -> Any:
    if view in (LessonView, LectureView):
        return view(state, course)
    if view is FrameView:
        guests = {name: guest(state) for name, guest in GUESTS.items()}
        frame = view(state, {name: guest.obey for name, guest in guests.items()})
        guests["traced"].say = partial(frame.tell, "traced")
        return frame
    return view(state)


def _open_when_asked(state: State, frame: Any, course: OpenCourse | None) -> None:
    """Make the day's strip and the field desk when somebody first opens them: a page without has none."""

    def day(_event: object) -> None:
        if frame.day is None and state.day_open:
            from pvsim.app.day.view import DayView

            frame.day = DayView(state).root

    def field(_event: object) -> None:
        if frame.field is None and state.field_open:
            from pvsim.app.field.view import FieldView

            searches = course_in(course, language().code).searches
            frame.field = FieldView(state, searches).root

    state.param.watch(day, ["day_open"])
    state.param.watch(field, ["field_open"])


@cache
def _template() -> Any:
    """The template of every page, compiled once."""
    path = Path(__file__).with_name("templates") / "page.html"
    return pn.Template(path.read_text(encoding="utf-8")).template
