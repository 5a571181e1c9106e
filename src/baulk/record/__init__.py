"""What was seen: frozen records, their lists of terms, and the changes that are the unit of truth."""

from baulk.record.as_seen import WITHHELD_WORD, bare_record, record_for
from baulk.record.burial import Burial, Notice
from baulk.record.change import Change, Stamp, absent, creation, rewrite, undoing
from baulk.record.context import CONTEXT_KINDS, Context
from baulk.record.dating_result import DatingResult, stems_by_bore
from baulk.record.dating_settings import DatingSettings
from baulk.record.diary import DayEntry, FollowUp, NumberBlock, TermList, Visit, Waiver
from baulk.record.entity import Entity, build, facts_of, faults_in, fields_of, label_of
from baulk.record.facts import FieldFacts, Need, Quantity, Sensitivity
from baulk.record.find import Document, Drawing, Find, Photo, Sample
from baulk.record.fold import Difference, FoldedRecord, Write, fold_all, fold_record, merge
from baulk.record.identity import HybridTime, id_at, id_time
from baulk.record.kinds import KINDS, kind_named
from baulk.record.numbers import NumberFaults, next_number, number_faults
from baulk.record.photo_point import PhotoPoint
from baulk.record.question import Evidence, Expectation, Question, Reading, Test
from baulk.record.relation import ORDERING, SAME, Relation
from baulk.record.shape import Element, Level, Outline
from baulk.record.site import LevelRun, Sight, Site, Station
from baulk.record.site_record import SiteRecord, by_natural_number, natural_number
from baulk.record.survey import Anomaly, Survey, SurveyLine
from baulk.record.terms import VOCABULARIES, Vocabulary, terms_of
from baulk.record.unit import Backfill, Unit
from baulk.record.values import Position, absent_words, normal_munsell
from baulk.record.wall import Contact, Wall, WallOutline
from baulk.record.withholding import (
    BARE_FIELDS,
    REMAINS,
    RESTRICTED_NOTICE,
    View,
    Why,
    Withheld,
    fields_for,
    kinds_for,
    speaks_of_remains,
    view_of,
    withheld_contexts,
    withheld_finds,
    withheld_from,
)

__all__ = [
    "BARE_FIELDS", "CONTEXT_KINDS", "KINDS", "ORDERING", "REMAINS", "RESTRICTED_NOTICE", "SAME", "VOCABULARIES",
    "WITHHELD_WORD",
    "Anomaly", "Backfill", "Burial", "Change", "Contact", "Context", "DatingResult", "DatingSettings", "DayEntry",
    "Difference", "Document", "Drawing", "Element", "Entity", "Evidence", "Expectation", "FieldFacts", "Find",
    "FoldedRecord", "FollowUp", "HybridTime", "Level", "LevelRun", "Need", "Notice", "NumberBlock", "NumberFaults",
    "Outline", "Photo", "PhotoPoint", "Position", "Quantity", "Question", "Reading", "Relation", "Sample", "Sensitivity",
    "Sight", "Site", "SiteRecord", "Stamp", "Station", "Survey", "SurveyLine", "TermList", "Test", "Unit", "View", "Visit",
    "Vocabulary", "Waiver", "Wall", "WallOutline", "Why", "Withheld", "Write", "absent", "absent_words", "bare_record",
    "build", "by_natural_number", "creation", "facts_of", "faults_in", "fields_for", "fields_of", "fold_all", "fold_record",
    "id_at", "id_time", "kind_named", "kinds_for", "label_of", "merge", "natural_number", "next_number", "normal_munsell",
    "number_faults", "record_for", "rewrite", "speaks_of_remains", "stems_by_bore", "terms_of", "undoing",
    "view_of", "withheld_contexts", "withheld_finds", "withheld_from",
]  # fmt: skip
