"""The unit report: one tree from the record, set as a web page and as PDF, for the agency or for everyone."""

from baulk.report.dates_given import ChronologyFacts, DateRow, DatingFacts, PhaseRow
from baulk.report.figures import wall_key
from baulk.report.given import DrawnFigure, ImpliedRelation, SequenceFacts
from baulk.report.html import to_html
from baulk.report.order_given import sequence_facts
from baulk.report.outline import unit_report
from baulk.report.pdf import to_pdf
from baulk.report.redaction import PublicVersion, Withheld, public_version
from baulk.report.tree import Report
from baulk.report.volumes_given import BackfillFacts, VolumeFacts, VolumeLine

__all__ = [
    "BackfillFacts",
    "ChronologyFacts",
    "DateRow",
    "DatingFacts",
    "DrawnFigure",
    "ImpliedRelation",
    "PhaseRow",
    "PublicVersion",
    "Report",
    "SequenceFacts",
    "VolumeFacts",
    "VolumeLine",
    "Withheld",
    "public_version",
    "sequence_facts",
    "to_html",
    "to_pdf",
    "unit_report",
    "wall_key",
]
