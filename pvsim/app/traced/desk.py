"""What is done with a measured curve in the dialog: read, mapped, laid over the model, ranked, planted."""

from __future__ import annotations

from base64 import b64decode
from binascii import Error as Base64Error
from collections.abc import Callable
from functools import partial
from math import isfinite
from typing import Any

from pvsim.app.assets import css
from pvsim.app.component import Reply
from pvsim.app.session.errand import Errand, NotYet
from pvsim.app.session.state import State
from pvsim.app.traced.outcome import laid_over, ranked
from pvsim.app.traced.recognised import (
    mapped_by_hand,
    plain_conditions,
    quantity_choices,
    recognised,
    unit_choices,
)
from pvsim.app.traced.setting import (
    Setting,
    bench_values,
    condition_text,
    field_labels,
    part_choices,
    read_setting,
)
from pvsim.app.traced.words import dialog_words
from pvsim.app.words import _
from pvsim.array.place import level_of
from pvsim.array.scenario import Scenario
from pvsim.circuit import budget
from pvsim.errors import PvsimError
from pvsim.files.provenance import one_line
from pvsim.numbers import format_number
from pvsim.traced.columns import Proposal, propose, propose_again
from pvsim.traced.decoding import decode
from pvsim.traced.key_points import key_points
from pvsim.traced.mapping import Mapping
from pvsim.traced.overlay import Overlay, lay_over, module_types_of, rank_measured, with_conditions
from pvsim.traced.own import INVENTED, invented_bytes
from pvsim.traced.planting import plant
from pvsim.traced.ranking import Ranking
from pvsim.traced.traced_curve import TracedCurve, read_traced

__all__ = ["MAX_FILE_BYTES", "Desk"]

MAX_FILE_BYTES = 1_048_576  # of a tracer's file; a thousand points need about twenty thousand
LONGEST_NAME = 80  # characters of a file's name
LONGEST_S = 30.0  # of ranking, waiting included
USUAL_WIDTH_px = 640.0


class Desk:
    """The acts of the dialog, and what one session keeps of its measured curve.

    Parameters
    ----------
    state : State
    say : callable
        Tells the dialog what has come meanwhile.

    Attributes
    ----------
    acts : dict
        By name, what carries a wish out; each is given the wish's value, which is not trusted, and gives
        back what is answered.
    """

    def __init__(self, state: State, say: Callable[[Reply], None]) -> None:
        self._state, self._say = state, say
        self._text = self._name = ""
        self._proposed: Mapping | None = None  # as it was recognised, before anybody changed it
        self._curve: TracedCurve | None = None
        self._against: Scenario | None = None  # what it was laid over last
        self._setting: Setting | None = None
        self._ranking: Ranking | None = None
        self._errand: Errand | None = None
        if state.document is not None:
            self._errand = errand = Errand(state.document, longest_s=LONGEST_S, crew="rank")
            state.document.on_session_destroyed(lambda _context: errand.give_up())
        self.acts: dict[str, Callable[[Any], Reply]] = {
            "open": self._open,
            "read": self._read,
            "example": self._example,
            "map": self._map,
            "confirm": self._confirm,
            "lay": self._lay,
            "stop": self._stop,
            "plant": self._plant,
        }

    def _open(self, known: Any) -> Reply:
        """All that the dialog is built from; where it stands already, what may have changed."""
        stale = self._against is not None and self._against is not self._state.scenario
        answer: dict[str, Any] = {"bench": self._bench(), "stale": stale}
        if not known:
            answer["dialog"] = {
                "style": css("controls") + css("traced/traced"),
                "words": dialog_words(),
                "labels": field_labels(),
                "quantities": quantity_choices(),
                "units": unit_choices(),
                "most": MAX_FILE_BYTES,
            }
        return answer

    def _bench(self) -> dict[str, Any]:
        return part_choices(self._state) | bench_values(self._state)

    # From a file to a curve

    def _read(self, value: Any) -> Reply:
        """A file from the browser, its bytes in base 64."""
        given = value if isinstance(value, dict) else {}
        name = one_line(str(given.get("name", "")))[:LONGEST_NAME] or _("the file")
        if "size" in given:  # the browser did not even read it
            return {
                "told": _(
                    "“{name}” is larger than 1 MB; curves are smaller. Leave points out, or save one curve "
                    "alone."
                ).format(name=name)
            }
        try:
            data = b64decode(str(given.get("base64", "")), validate=True)
        except (Base64Error, ValueError):
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        return self._recognise(data, name)

    def _example(self, _value: Any) -> Reply:
        return self._recognise(invented_bytes(), INVENTED)

    def _recognise(self, data: bytes, name: str) -> Reply:
        """What a file seems to hold; one that is refused leaves the curve before it where it is."""
        try:
            text = decode(data, name)
            found = propose(text, name)
        except PvsimError as error:
            return {"told": str(error)}
        light, warmth = plain_conditions(found.mapping)
        self._text, self._name = text, name
        self._proposed = found.mapping
        self._forget_curve()
        self._mapping = found.mapping
        self._proposed = self._mapping
        return {
            "told": "",
            "found": self._shown(found),
            "fresh": True,
            **self._found_conditions(light, warmth),
        }

    def _map(self, value: Any) -> Reply:
        """The mapping as somebody has changed it."""
        if self._proposed is None:
            return {}
        try:
            mapping = mapped_by_hand(self._proposed, value)
            found = (
                propose_again(self._text, mapping, self._name)
                if mapping.voltage is not None and mapping.current is not None
                else Proposal(
                    mapping=mapping,
                    columns=propose(self._text, self._name).columns,
                    rows=0,
                    direction=None,
                    left_out=(),
                )
            )
        except PvsimError as error:
            return {"wrong": str(error), "ready": None}
        self._forget_curve()
        return {"wrong": "", "found": self._shown(found)}

    def _confirm(self, value: Any) -> Reply:
        """Read the curve by what was agreed to."""
        if self._proposed is None:
            return {}
        try:
            curve = read_traced(self._text, mapped_by_hand(self._proposed, value), self._name)
            points = key_points(curve)
        except PvsimError as error:
            return {"wrong": str(error)}
        self._forget_curve()
        self._curve = curve
        said = _("{count} points, Isc {isc}, Voc {voc}, greatest power {pmp}.").format(
            count=curve.voltage_V.size,
            isc=format_number(points.isc_A, "A"),
            voc=format_number(points.voc_V, "V"),
            pmp=format_number(points.pmp_W, "W"),
        )
        return {
            "wrong": "",
            "ready": said,
            **self._found_conditions(curve.irradiance_W_m2, curve.temperature_C),
        }

    def _found_conditions(self, irradiance_W_m2: float | None, temperature_C: float | None) -> dict[str, Any]:
        found = {"irradiance": condition_text(irradiance_W_m2), "temperature": condition_text(temperature_C)}
        return {"conditions": found}

    def _shown(self, found: Proposal) -> dict[str, Any]:
        return recognised(self._text, self._name, found)

    def _forget_curve(self) -> None:
        if self._errand is not None:
            self._errand.give_up()
        self._curve = self._against = self._setting = self._ranking = None

    # From a curve to what ails the part

    def _lay(self, value: Any) -> Reply:
        """Lay the curve over the model, then rank faults; both beside the event loop where there is one."""
        if self._curve is None:
            return {"problems": [], "wrong": _("Confirm first what the columns of the file are.")}
        setting, problems = read_setting(self._state, value)
        if setting is None:
            return {"problems": problems}
        try:
            curve = with_conditions(self._curve, setting.irradiance_W_m2, setting.temperature_C)
        except PvsimError as error:
            return {"problems": [], "unlaid": str(error)}
        scenario = self._state.scenario
        width = value.get("width") if isinstance(value, dict) else None
        width_px = USUAL_WIDTH_px
        if isinstance(width, int | float) and isfinite(width):
            width_px = float(width)
        self._against, self._setting, self._ranking = scenario, setting, None
        lay = partial(
            lay_over,
            curve,
            scenario,
            setting.place,
            procedure=setting.procedure,
            irradiance_W_m2=setting.to_irradiance_W_m2,
            temperature_C=setting.to_temperature_C,
        )
        rank = partial(rank_measured, curve, scenario, setting.place)
        show = partial(self._show_laid, setting, scenario, width_px)
        if self._errand is None:
            with budget.within(LONGEST_S):
                answer = self._told(lay, show) or {}
                if "laid" in answer:
                    answer |= self._told(rank, self._show_ranked) or {}
            return {"problems": [], "working": "", **answer}

        def laid(work: Callable[[], Any]) -> None:
            answer = self._told(work, show) or {}
            self._say({"working": "rank" if "laid" in answer else "", **answer})
            if "laid" in answer:
                self._send("rank", rank, then_ranked)

        def then_ranked(work: Callable[[], Any]) -> None:
            self._say({"working": "", **(self._told(work, self._show_ranked) or {})})

        self._send("lay", lay, laid)
        return {"problems": [], "working": "lay"}

    def _send(self, key: str, work: Callable[[], Any], arrived: Callable[[Callable[[], Any]], None]) -> None:
        """Have it worked out in a thread; `arrived` is called with what then gives it, or raises."""
        errand = self._errand
        assert errand is not None
        errand.send(NotYet(key, work), lambda: arrived(lambda: errand.here(key, work)))

    def _told(self, work: Callable[[], Any], show: Callable[[Any], Reply]) -> Reply:
        try:
            return show(work())
        except PvsimError as error:
            return {"unlaid": str(error)}

    def _show_laid(self, setting: Setting, scenario: Scenario, width_px: float, laid: Overlay) -> Reply:
        kinds = module_types_of(scenario, setting.place)
        shown = laid_over(laid, setting, kinds, width_px=width_px, large=self._state.large)
        return {"laid": shown, "unlaid": "", "stale": False}

    def _show_ranked(self, found: Ranking) -> Reply:
        self._ranking = found
        return {"ranking": ranked(found)}

    def _stop(self, _value: Any) -> Reply:
        """Let go of what is being worked out; what is shown stays."""
        if self._errand is not None:
            self._errand.give_up()
        return {"working": "", "stopped": True}

    def _plant(self, number: Any) -> Reply:
        """Put one of the ranked faults on the bench, and look at its part."""
        found, setting, state = self._ranking, self._setting, self._state
        if found is None or setting is None or not isinstance(number, int) or isinstance(number, bool):
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        if not 0 <= number < len(found.ranked):
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        one, place = found.ranked[number], setting.place
        state.tell("")
        state.plant_fault(
            lambda now: plant(now, place, one.family, one.size, one.where), place, _(one.family.title)
        )
        if not state.computing and state.notice:
            return {"unplanted": state.notice}
        state.when_there(lambda: state.set_focus(place, level_of(place)))
        return {"used": True}
