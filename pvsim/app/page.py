"""The page of one session: a State, the views on it, and the frame that holds them."""

from __future__ import annotations

import traceback
from importlib import import_module
from pathlib import Path

import panel as pn

from pvsim.app.address import open_address
from pvsim.app.look import fingerprint
from pvsim.app.state import State
from pvsim.app.words import _
from pvsim.array.scenario import Scenario

__all__ = ["ASSETS", "create_page"]

ASSETS = "assets/"  # where the server puts static/
VIEWS = {
    "bar": ("pvsim.app.views.top_bar", "TopBarView"),
    "roof": ("pvsim.app.views.roof", "RoofView"),
    "curves": ("pvsim.app.views.curves", "CurvesView"),
    "ladder": ("pvsim.app.views.ladder", "LadderView"),
    "lesson": ("pvsim.app.views.lesson", "LessonView"),
    "status": ("pvsim.app.views.status", "StatusView"),
    "frame": ("pvsim.app.views.frame", "FrameView"),
}


def create_page(scenario: Scenario) -> pn.Template:
    """A page with objects of its own: nothing here is shared between sessions.

    Parameters
    ----------
    scenario : Scenario
        What the page opens with, unless the address carries another.
    """
    state = State(scenario)
    if pn.state.curdoc is not None:  # the frame tells of lost connections in its own words
        pn.state.curdoc.config.update(reconnect_session=True, notify_connection_status=False)
    open_address(state, pn.state.session_args or {})
    template = Path(__file__).with_name("templates") / "page.html"
    page = pn.Template(template.read_text(encoding="utf-8"))
    shown = []
    for name, (module, view) in VIEWS.items():
        try:
            made = getattr(import_module(module), view)(state)
        except Exception:  # while views are being built
            traceback.print_exc()
            continue
        page.add_panel(name, made.root)
        shown.append(name)
    page.add_variable("shown", shown)
    page.add_variable("assets", ASSETS)
    page.add_variable("mark", fingerprint())
    page.add_variable(
        "words",
        {
            "language": "en",
            "roof": _("The roof"),
            "curves": _("Characteristics"),
            "ladder": _("Five levels at once"),
            "lesson": _("Lesson"),
            "skip_roof": _("To the roof"),
            "skip_curves": _("To the characteristics"),
            "skip_lesson": _("To the lesson"),
        },
    )
    return page
