"""The words of the lesson region that never change."""

from __future__ import annotations

from pvsim.app.words import _

__all__ = ["phase_names", "region_words"]


def region_words() -> dict[str, str]:
    """Texts of the region that never change."""
    return {
        "contents": _("Contents"),
        "unkept_tab": _(
            "This browser has no room to keep your work. This tab keeps it until you close it: save it as a "
            "file under “Contents”."
        ),
        "unkept": _(
            "This browser keeps nothing of your work. Save it as a file under “Contents” before you close "
            "this page."
        ),
        "steps": _("Steps of this lesson"),
        "store": _("Store prediction"),
        "answer": _("Answer"),
        "do": _("Do it for me"),
        "put_back": _("Put it back"),
        "restart": _("Start this step again"),
        "show": _("Show me"),
        "your_answer": _("Your answer"),
        "caution": _("Caution"),
        "idea": _("The idea behind it"),
        "objectives": _("Afterwards you can"),
        "sources": _("Where this comes from"),
        "limits": _("What the model leaves out"),
        "licence": _("Lesson text: CC BY 4.0. Sites and data are invented."),
        "figure": _("Figure"),
        "go_on": _("Go on where you left"),
        "glossary": _("Glossary"),
        "search": _("Search for a hidden fault"),
        "closing": _("Closing test"),
        "revisit": _("To revisit"),
        "open_lesson": _("Open the lesson"),
        "mend": _("To be mended"),
        "see": _("See also"),
        "source": _("Source"),
        "workbook": _("Your workbook"),
        "workbook_note": _("What you do is kept in this browser alone; nobody else sees it."),
        "save": _("Save it as a file"),
        "take": _("Take one from a file…"),
        "aside": _("What this browser had kept could not be read. It is set aside; nothing of it is lost."),
        "save_aside": _("Save what was set aside"),
        "forget": _("Forget it"),
        "forget_sure": _("Press again to forget all your predictions"),
        "too_large": _("This file is too large to be a workbook. Choose the one that pvsim saved."),
        "lecture": _("For lecturers"),
        "lecture_note": _("Hold a lesson in front of a class: large type, keys, the answers of the class."),
        "lecture_of": _("Lecture on"),
        "lecture_prepare": _("Prepare"),
        "lecture_file": _("Open a lecture file…"),
        "lecture_too_large": _("This file is too large to be a lecture. Choose one that pvsim saved."),
        "lecture_this": _("Hold this lesson as a lecture"),
    }


def phase_names() -> dict[str, str]:
    """What the four phases of a step are called."""
    return {
        "predict": _("Predict"),
        "act": _("Act"),
        "observe": _("Observe"),
        "explain": _("Explain"),
    }
