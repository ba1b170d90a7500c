"""A small lesson that is in order, and ways to spoil it."""

from __future__ import annotations

from pathlib import Path

from pvsim.array.scenario import Scenario
from pvsim.course.folder.course_reader import OWN_SCENARIOS, find_scenario
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.lesson.reader import examine_lesson, read_lesson
from pvsim.course.problem import Problem

LESSON = """+++
format = 1
title = "One shaded cell"
question = "What does one shaded cell cost?"
minutes = 8
objectives = ["Say what one shaded cell costs its module."]
scenario = "single-module"
limits = ["All cells are equal."]

[given]
"20 %" = "chosen for this lesson"

[[step]]
id = "shade-one"
title = "Shade one"
focus = "1/1/14"
level = "module"
done_when = { shaded = { place = "1/1", at_most = 0.25, least = 1, most = 1 } }
solution = [{ shade = ["1/1/14"], transmission = 0.2 }]

[step.predict]
answer = "-delta[1/1].power_W"
unit = "W"
tolerance = 10

[[step.predict.mistake]]
value = "before[1/1].power_W / 60"
idea = "a sixtieth of the area"
feedback = "The module gives {{ now[1/1].power_W | W 0 }} now."

[step.observe]

[[step.observe.choice]]
text = "One diode conducts."
right = true
when = "now[1/1].conducting = 1"
feedback = "Yes."

[[step.observe.choice]]
text = "No diode conducts."
when = "now[1/1].conducting = 0"
idea = "diodes never conduct"
feedback = "Look at the junction box."

[[step]]
id = "elsewhere"
title = "Elsewhere"
transfer = true
scenario = "workshop"
done_when = { fault = { place = "2", kind = "cable-open" } }
solution = [{ break = "2", fault = "cable-open" }]

[step.predict]

[[step.predict.choice]]
text = "Half of the power goes."
right = true
when = "now[array].power_W < 0.55 * before[array].power_W"
feedback = "Yes."

[[step.predict.choice]]
text = "All of it goes."
idea = "one open place stops every current"
feedback = "The other string goes on."
+++

A module of {{ now[1/1].cells }} cells.

## shade-one

### predict

One cell gets 20 % of its light. What is lost?

### act

Shade one cell.

### observe

What do the diodes do?

### explain

It lost {{ delta[1/1].power_W | W 1 size }}.

## elsewhere

### predict

What goes?

### act

Cut the cable.

### explain

{{ now[array].power_W | kW 1 }} are left.
"""


def find(name: str) -> Scenario:
    """Scenarios that come with pvsim."""
    return find_scenario(name, OWN_SCENARIOS)


def lesson(text: str = LESSON) -> Lesson:
    """The small lesson, or one made of it."""
    return read_lesson(text, "sample.md", find)


def spoilt(old: str, new: str) -> str:
    """The small lesson with one thing changed."""
    assert LESSON.count(old) >= 1, f"the sample has no {old!r}"
    return LESSON.replace(old, new, 1)


def problems(text: str) -> tuple[Problem, ...]:
    """What the reader has against a text."""
    return examine_lesson(text, "sample.md", find)[1]


def line_of(text: str, part: str) -> int:
    """Line, from 1, on which a part of the text begins."""
    return text[: text.index(part)].count("\n") + 1


def write_course(folder: Path, **lessons: str) -> Path:
    """A course folder with these lessons, by name."""
    names = ", ".join(f'"{name}"' for name in lessons)
    (folder / "course.toml").write_text(f'title = "Trial"\nlessons = [{names}]\n', encoding="utf-8")
    for name, text in lessons.items():
        (folder / f"{name}.md").write_text(text, encoding="utf-8")
    return folder


GLOSSARY = """[bypass-diode]
term = "bypass diode"
meaning = "A diode across a substring that lets current pass it by."
source = "common usage, no single source"
see = ["substring"]

[substring]
term = "substring"
meaning = "The cells that one bypass diode spans."
source = "common usage, no single source"
"""

GLOSSARY_DE = """[bypass-diode]
term = "Bypassdiode"
meaning = "Eine Diode über einem Teilstrang, die Strom an ihm vorbeilässt."

[substring]
term = "Teilstrang"
meaning = "Die Zellen, die eine Bypassdiode überspannt."
"""

COURSE = """title = "Trial"
lessons = ["sample", "later"]

[reserved]
later = "Written later"

[[tracks]]
id = "student"
title = "Student"
lead = "You want to know why."
aside = "With paper and pencil"

[[tracks]]
id = "installer"
title = "Installer"
lead = "You stand on the roof."
aside = "On the roof"
"""

COURSE_DE = """title = "Versuch"

[reserved]
later = "Kommt noch"

[[tracks]]
id = "student"
title = "Im Studium"
lead = "Sie fragen nach dem Warum."
aside = "Mit Papier und Bleistift"

[[tracks]]
id = "installer"
title = "Im Handwerk"
lead = "Sie stehen auf dem Dach."
aside = "Auf dem Dach"
"""

MARKED = LESSON.replace(
    "What do the diodes do?", "What do the [[bypass diodes|bypass-diode]] do?\n\n### notes\n\nWait."
).replace(
    "power_W | W 1 size }}.\n",
    """power_W | W 1 size }}.

```aside student
One [[substring]] of {{ now[1/1].diodes | word }} is passed by.
```

````aside installer
Measure it.

```figure
current = "1/1"
caption = "{{ now[1/1].p_mp_W | W 0 }}."
```
````
""",
)

GERMAN = """+++
format = 1
translates = "sample"
title = "Eine verschattete Zelle"
question = "Was kostet eine verschattete Zelle?"
objectives = ["Sagen, was eine verschattete Zelle ihr Modul kostet."]
limits = ["Alle Zellen sind gleich."]

[given]
"20 %" = "für diese Lektion gewählt"

[[step]]
id = "shade-one"
title = "Eine verschatten"

[[step.predict.mistake]]
idea = "ein Sechzigstel der Fläche"
feedback = "Das Modul gibt jetzt {{ now[1/1].power_W | W 0 }}."

[[step.observe.choice]]
text = "Eine Diode leitet."
feedback = "Ja."

[[step.observe.choice]]
text = "Keine Diode leitet."
idea = "Dioden leiten nie"
feedback = "Ein Blick in die Anschlussdose hilft."

[[step]]
id = "elsewhere"
title = "Anderswo"

[[step.predict.choice]]
text = "Die Hälfte der Leistung geht."
feedback = "Ja."

[[step.predict.choice]]
text = "Alles geht."
idea = "eine offene Stelle hält jeden Strom an"
feedback = "Der andere Strang macht weiter."
+++

Ein Modul aus {{ now[1/1].cells }} Zellen.

## shade-one

### predict

Eine Zelle bekommt 20 % ihres Lichts. Was geht verloren?

### act

Eine Zelle verschatten.

### observe

Was tun die [[Bypassdioden|bypass-diode]]?

### notes

Warten.

### explain

Verloren sind {{ delta[1/1].power_W | W 1 size }}.

```aside student
Ein [[Teilstrang|substring]] von {{ now[1/1].diodes | word:einem }} wird umgangen.
```

````aside installer
Nachmessen.

```figure
current = "1/1"
caption = "{{ now[1/1].p_mp_W | W 0 }}."
```
````

## elsewhere

### predict

Was geht?

### act

Das Kabel durchtrennen.

### explain

{{ now[array].power_W | kW 1 }} bleiben.
"""


def write_whole_course(folder: Path, *, lesson: str = MARKED, german: str = GERMAN) -> Path:
    """A course folder with all that one can have: tracks, a reserved place, glossary, a translation."""
    (folder / "de").mkdir()
    for name, text in {
        "course.toml": COURSE,
        "glossary.toml": GLOSSARY,
        "sample.md": lesson,
        "de/course.toml": COURSE_DE,
        "de/glossary.toml": GLOSSARY_DE,
        "de/sample.md": german,
    }.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def change(text: str, old: str, new: str) -> str:
    """A text with one thing changed."""
    assert old in text, f"the text has no {old!r}"
    return text.replace(old, new, 1)
