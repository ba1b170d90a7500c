"""What is done with a data sheet in the dialog: opened, read, worked out, saved, used."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from pvsim.app.assets import css
from pvsim.app.component import Reply
from pvsim.app.session.state import State
from pvsim.app.sheet.form import form_layout, typed_values
from pvsim.app.sheet.outcome import outcome_of
from pvsim.app.sheet.typed import SheetRefused, read_typed, told_at_fields
from pvsim.app.sheet.use import named_anew, read_counts, taken_by, use_words, used_on
from pvsim.app.sheet.words import dialog_words
from pvsim.app.words import _, speaking
from pvsim.errors import PvsimError, SheetError
from pvsim.files.provenance import one_line
from pvsim.sheet.own import own_sheets, read_own_sheet
from pvsim.sheet.sheet_file import SheetFile, read_sheet, write_sheet
from pvsim.sheet.sheet_module import module_from_sheet

__all__ = ["MAX_FILE_BYTES", "Desk"]

MAX_FILE_BYTES = 65_536  # of a sheet's file; one has about a thousand
LONGEST_NAME = 80  # characters of a file's name


class Desk:
    """The acts of the dialog.

    Parameters
    ----------
    state : State

    Attributes
    ----------
    acts : dict
        By name, what carries a wish out; each is given the wish's value, which is not trusted, and gives
        back what is answered.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        self.acts: dict[str, Callable[[Any], Reply]] = {
            "open": self._open,
            "work": self._work,
            "example": self._example,
            "read": self._read,
            "save": self._save,
            "use": self._use,
        }

    def _open(self, known: Any) -> Reply:
        """All that the dialog is built from; where it stands already, what may have changed."""
        use = use_words(self._state.scenario)
        if known:
            return {"use": use}
        return {
            "use": use,
            "dialog": {
                "style": css("controls") + css("sheet/sheet"),
                "words": dialog_words(),
                "form": form_layout(),
                "values": typed_values(None),
                "most": MAX_FILE_BYTES,
            },
        }

    def _work(self, fields: Any) -> Reply:
        """Reason a sheet through, fit its cells."""
        file = self._typed(fields)
        if isinstance(file, dict):
            return file
        steps, made, refusal = outcome_of(file)
        found = {"steps": steps, "module": made.module_type.title if made else ""}
        return {"outcome": found, "problems": told_at_fields(refusal) if refusal else []}

    def _example(self, name: Any) -> Reply:
        if name not in own_sheets():
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        return {"values": typed_values(read_own_sheet(name))}

    def _read(self, value: Any) -> Reply:
        """A sheet from a file."""
        given = value if isinstance(value, dict) else {}
        name = one_line(str(given.get("name", "")))[:LONGEST_NAME] or _("the file")
        if "size" in given:  # the browser did not even read it
            return {
                "told": _(
                    "“{name}” is larger than 64 kB; sheets are smaller. Choose a file that pvsim saved."
                ).format(name=name)
            }
        try:
            with speaking("en"):  # what is wrong in a file is told in the language of its keys
                file = read_sheet(str(given.get("text", "")), name)
        except PvsimError as error:
            return {"told": str(error)}
        return {"values": typed_values(file)}

    def _save(self, fields: Any) -> Reply:
        file = self._typed(fields)
        if isinstance(file, dict):
            return file
        name = re.sub(r"[^\w.-]+", "-", file.sheet.title.strip().lower()).strip("-.")[:60] or "sheet"
        return {
            "file": f"{name}.toml",
            "text": write_sheet(file),
            "mime": "application/toml",
            "problems": [],
        }

    def _use(self, value: Any) -> Reply:
        """Put the module on the roof."""
        given = value if isinstance(value, dict) else {}
        file = self._typed(given.get("fields"))
        if isinstance(file, dict):
            return file
        counts: dict[str, int] = {}
        if given.get("array") == "new":
            counts, problems = read_counts(given)
            if problems:
                return {"problems": problems}
        try:
            kind = module_from_sheet(file.sheet, file.assumed).module_type
        except SheetError as error:
            return {"problems": told_at_fields(error)}
        now = self._state.scenario
        taken = taken_by(now, kind)
        if taken is not None and given.get("name") not in ("replace", "both"):
            question = _("The array has another module of that name, “{title}”.").format(title=taken.title)
            return {"taken": question}
        if taken is not None and given.get("name") == "both":
            kind = named_anew(now, kind)
        refused = used_on(self._state, kind, counts)
        return {"told": refused} if refused else {"used": True}

    def _typed(self, fields: Any) -> SheetFile | dict[str, Any]:
        """The sheet that was typed, or what is wrong with it as an answer."""
        try:
            return read_typed(fields if isinstance(fields, dict) else {})
        except SheetRefused as error:
            return {"problems": error.problems}
