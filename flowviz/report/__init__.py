"""The page that is handed over: one file that opens anywhere, from a study or from two."""

from flowviz.report.write import write_report

__all__ = ["write_report"]
