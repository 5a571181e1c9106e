"""The end of a unit: what is lost when the soil goes back, what stands in the way, and what to mind while it is open.

No rule decides. Missing data is "cannot tell", never a pass; a rule set aside is printed with who and why.
"""

from baulk.closing.cautions import DEFER, Caution, cautions
from baulk.closing.check import ClosingResult, Finding, SiteCheck, check_site, check_unit
from baulk.closing.limits import HOUSE_LIMITS, LIMIT_MEANINGS, Limits
from baulk.closing.profiles import HOUSE, PROFILES, Profile, profile_from_text, profile_named
from baulk.closing.rule import Detail, Outcome, Rule, Severity
from baulk.closing.rules import PROFILE_RULES, RULES, UNANSWERED, rule_table
from baulk.closing.while_open import OpenTask, only_while_open

__all__ = [
    "DEFER", "HOUSE", "HOUSE_LIMITS", "LIMIT_MEANINGS", "PROFILES", "PROFILE_RULES", "RULES", "UNANSWERED",
    "Caution", "ClosingResult", "Detail", "Finding", "Limits", "OpenTask", "Outcome", "Profile", "Rule", "Severity", "SiteCheck",
    "cautions", "check_site", "check_unit", "only_while_open", "profile_from_text", "profile_named", "rule_table",
]  # fmt: skip
