"""QTI 2.1 in the hands of others: pyslet, a library of e-learning standards, fetched into .test-venv.

It reads an item, marks answers by the item's own response processing, and quotes the published schema
(IMS Global, imsqti_v2p1.xsd) group by group in the docstrings of its classes.
"""

from __future__ import annotations

import fcntl
import io
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
import zipfile
from functools import cache
from pathlib import Path

import pytest

from tests.patience import PATIENCE_s

HOME = Path(__file__).parents[3] / ".test-venv" / "qti"
PYSLET = "0.7.20170805"  # with which the checks were last passed
QTI = "{http://www.imsglobal.org/xsd/imsqti_v2p1}"


def fetch():
    """Makes pyslet importable; skips by name where it cannot be had or does not run with this Python."""
    HOME.mkdir(parents=True, exist_ok=True)
    with open(HOME / "lock", "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # one of several workers fetches
        if not (HOME / "pyslet").is_dir():
            pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", str(HOME)]
            subprocess.run([*pip, f"pyslet=={PYSLET}"], check=False, capture_output=True, timeout=PATIENCE_s)
    if not (HOME / "pyslet").is_dir():
        pytest.skip("pyslet could not be fetched from PyPI: QTI is not read back by others")
    sys.path.append(str(HOME))
    try:
        from pyslet.qtiv2 import expressions, xml  # noqa: F401
    except Exception as error:  # it is older than this Python, and may fail in any way
        pytest.skip(f"pyslet does not run with this Python ({error!r}): QTI is not read back by others")
    finally:
        sys.path.remove(str(HOME))
    # The schema has a list here (see below), which the engine works with but reads as one text.
    expressions.Equal.XMLATTR_tolerance = ("tolerance", str, str, list)


class Engine:
    """One item of a question bank, as pyslet has read it."""

    def __init__(self, data):
        from pyslet.qtiv2 import xml

        self.document = xml.QTIDocument()
        self.document.read(src=data)
        self.item = self.document.root

    def mark(self, answer):
        """What an answer is worth, as a share of the most, and which feedback it brings."""
        from pyslet.qtiv2 import variables

        state = variables.ItemSessionState(self.item)
        state.begin_session()
        (declared,) = self.item.ResponseDeclaration
        state[declared.identifier].set_value(answer)
        self.item.ResponseProcessing.run(state)
        return state["SCORE"].value / state["MAXSCORE"].value, state["FEEDBACK"].value


def engines(data, folder):
    """The items of a package by their titles, as pyslet finds them by the manifest; folder is empty."""
    from pyslet.imscpv1p2 import ContentPackage
    from pyslet.qtiv2.core import IMSQTI_ITEM_RESOURCETYPE

    with zipfile.ZipFile(io.BytesIO(data)) as package:
        package.extractall(folder)
    found = []
    for resource in ContentPackage(str(folder)).manifest.root.Resources.Resource:
        assert resource.type == IMSQTI_ITEM_RESOURCETYPE
        entry = resource.get_entry_point()
        assert [entry] == resource.File
        found.append(Engine((folder / str(entry.href)).read_bytes()))
    return {one.item.title: one for one in found}


def look_at(element):
    """Holds an element and all that is in it to what pyslet quotes of the schema.

    Returns the attributes and elements of which nothing is quoted, each behind the element that has it.
    Values of attributes are read by pyslet itself, which refuses what the schema's types do not let pass.
    """
    missing = set()
    for one in element.iter():
        if not one.tag.startswith(QTI):
            raise AssertionError(f"{one.tag} is not of QTI")
        name = one.tag.removeprefix(QTI)
        attributes, required = _attributes(f"{name}.AttrGroup")
        has = {key for key in one.attrib if not key.startswith("{")}
        if attributes is None:
            missing |= {f"{name} {key}" for key in has}
        else:
            assert required <= has <= attributes, (name, has, required, attributes)
        if _quoted(f"{name}.ContentGroup") is None:
            missing |= {f"{name} {child.tag.removeprefix(QTI)}" for child in one}
        else:
            inside = "".join(f"{child.tag.removeprefix(QTI)} " for child in one)
            assert re.fullmatch(_content(f"{name}.ContentGroup"), inside), (name, inside)
    return missing


def _attributes(group):
    """(all names, those that must be there) with the groups taken in; None for names that are not quoted."""
    quoted = _quoted(group)
    if quoted is None:
        return None, set()
    names, required = set(), set()
    for one in quoted:
        if one.tag == "attribute" and one.get("name"):  # others are of XML itself, such as xml:lang
            names.add(one.get("name"))
            required |= {one.get("name")} if one.get("use") == "required" else set()
        elif one.tag == "attributeGroup":
            more, needed = _attributes(one.get("ref"))
            if more is None:
                return None, required
            names, required = names | more, required | needed
    return names, required


def _content(group):
    """A pattern of the names that may follow one another, each with a space behind it."""
    (sequence,) = _quoted(group)
    assert sequence.tag == "sequence"
    return "".join(map(_particle, sequence))


def _particle(one):
    ref = one.get("ref")
    if one.tag == "element":
        inside = f"{ref} "
    elif ref.endswith(".ContentGroup"):
        inside = _content(ref)
    else:
        inside = f"(?:{'|'.join(sorted(_members(ref)))}) "
    most = one.get("maxOccurs", "1").replace("unbounded", "")
    return f"(?:{inside}){{{one.get('minOccurs', '1')},{most}}}"


def _members(group):
    """The elements of a group that pyslet quotes by its name alone: those of a class."""
    from pyslet import html401
    from pyslet.qtiv2 import expressions, interactions, processing, variables, xml

    base, but = {
        "block.ElementGroup": (html401.BlockMixin, ()),
        "expression.ElementGroup": (expressions.Expression, ()),
        "flowStatic.ElementGroup": (html401.FlowMixin, interactions.Interaction),
        "lookupTable.ElementGroup": (variables.LookupTable, ()),
        "responseRule.ElementGroup": (processing.ResponseRule, ()),
    }[group]
    classes = xml.QTIDocument.classMap.items()
    return {name for (_, name), one in classes if name and issubclass(one, base) and not issubclass(one, but)}


@cache
def _quoted(group):
    """A group of the schema as a docstring of pyslet has it; None if none has."""
    found = re.search(
        rf'<xsd:(group|attributeGroup)\s+name="{re.escape(group)}".*?</xsd:\1>', _docstrings(), re.DOTALL
    )
    return ET.fromstring(found[0].replace("xsd:", "")) if found else None


@cache
def _docstrings():
    from pyslet.qtiv2 import content, core, expressions, interactions, items, processing, variables

    modules = (content, core, expressions, interactions, items, processing, variables)
    classes = [one for module in modules for one in vars(module).values() if isinstance(one, type)]
    return "\n".join(one.__doc__ or "" for one in classes)
