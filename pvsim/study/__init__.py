"""Studies: one scenario, a few things varied, the same numbers read from every case.

    file --reader--> Study --cases--> Case --work--> Row --> StudyTable
                                          |
                            this process, all cores, dask

What can be varied is the fixed table VARIATIONS, each row a pure change of a scenario. What can
be read is written as lessons write it (`delta[array].p_mp_W`), where `before` is the scenario
without the study's changes.
"""

from __future__ import annotations

from pvsim.study.axis import Axis
from pvsim.study.case import MAX_CASES, Case, cases_of
from pvsim.study.column import Column
from pvsim.study.engine import dask_client
from pvsim.study.own import own_studies, read_own_study
from pvsim.study.places import Every, places_of
from pvsim.study.run import StudyInterrupted, StudyLost, run_study
from pvsim.study.study import Study
from pvsim.study.study_file import open_study, read_study, write_study
from pvsim.study.table import StudyTable
from pvsim.study.table_file import table_values, write_table
from pvsim.study.variation import VARIATIONS, Variation

__all__ = [
    "MAX_CASES",
    "VARIATIONS",
    "Axis",
    "Case",
    "Column",
    "Every",
    "Study",
    "StudyInterrupted",
    "StudyLost",
    "StudyTable",
    "Variation",
    "cases_of",
    "dask_client",
    "open_study",
    "own_studies",
    "places_of",
    "read_own_study",
    "read_study",
    "run_study",
    "table_values",
    "write_study",
    "write_table",
]
