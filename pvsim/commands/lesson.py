"""`pvsim lesson`: the page with a lesson that is being written, read again each time it is saved."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from urllib.parse import urlencode

from pvsim.commands.serve import serve_page


def run(options: Namespace) -> int:
    """Serve what is named until interrupted; what is not in order is told here and on the page."""
    from pvsim.app.open_course import OpenCourse

    course = OpenCourse(Path(options.path), live=True)
    for problem in course.course(course.translation or "en").problems:
        print(problem)
    query = {}
    if course.translation:
        query["lang"] = course.translation
    if course.slug:
        query["lesson"] = f"{course.slug}/0"
    return serve_page(options, course, f"?{urlencode(query)}" if query else "")
