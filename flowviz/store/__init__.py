"""A study in a folder, and back."""

from flowviz.folder import fresh_folder
from flowviz.store.choice import bill_numbers, choice_numbers
from flowviz.store.files import read_study, write_study
from flowviz.store.summary import cycle_loop_numbers, loop_summary, study_cautions, summary

__all__ = [
    "bill_numbers",
    "choice_numbers",
    "cycle_loop_numbers",
    "fresh_folder",
    "loop_summary",
    "read_study",
    "study_cautions",
    "summary",
    "write_study",
]
