"""The record at one revision, with all that follows from it worked out when first asked and then kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Collection, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from threading import RLock

from baulk.closing import Caution, ClosingResult, Profile, SiteCheck, cautions
from baulk.drawing import Scene, order_drawing, plan_drawing, site_drawing, to_svg, wall_drawing
from baulk.drawing.readings import readings_drawing
from baulk.errors import InputError, UnknownRecord
from baulk.record import Change, Context, Drawing, SiteRecord, Unit, View, Wall, withheld_from
from baulk.report import (
    PublicVersion,
    Report,
    SequenceFacts,
    public_version,
    sequence_facts,
)
from baulk.report.svg_text import read_svg, redacted_svg, svg_text
from baulk.store import FileShelf, open_site
from baulk.work.asked import questions_of
from baulk.work.block import block_scene
from baulk.work.ground_sheets import GroundSheets
from baulk.work.kept_dates import KeptDates
from baulk.work.order import SiteOrder, site_order
from baulk.work.reported import report_of, scale_of
from baulk.work.seen import SeenRecords
from baulk.work.site_dating import SiteDating
from baulk.work.solids import UnitSolids, unit_solids
from baulk.work.unit_order import latest_first_among
from baulk.work.weigh import WeighedQuestion, beside_of, weighed_question
from baulk.work.words import WrittenWords

__all__ = ["FOLD_OVER", "MOST_OPENED", "Study", "View", "study_source"]

HistoriesOf = Callable[[Sequence[str]], Mapping[str, Sequence[Change]]]
"""Gives all changes of some records, by record."""

FOLD_OVER = 400
"""Boxes beyond which a drawing of the order is folded: a house setting."""

MOST_OPENED = 60
"""Contexts that may be asked for out of their folds in one drawing of the order, so that it stays readable."""

_DRAWINGS_KEPT = 400
"""Drawings kept once they are made; the one asked for longest ago is given up first."""


class Study:
    """One revision of a site; it never changes, and any thread may ask it.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    files : FileShelf, optional
        Where photos and other files are kept.
    profile : Profile, optional
        The jurisdiction profile; the one the site names when None.
    histories : callable, optional
        Gives all changes of some records, by record; without it nothing can be asked of earlier states.
    """

    def __init__(
        self,
        record: SiteRecord,
        files: FileShelf | None = None,
        profile: Profile | None = None,
        histories: HistoriesOf | None = None,
    ) -> None:
        self.record, self.files, self.profile = record, files, profile
        self._histories = histories
        self._lock = RLock()
        self._seen, self.words, self._kept_dates = SeenRecords(record), WrittenWords(), KeptDates()
        self._closings: dict[str, ClosingResult] = {}
        self._solids: dict[tuple[str, View], UnitSolids] = {}
        self._drawings: OrderedDict[tuple[object, ...], str] = OrderedDict()

    @cached_property
    def order(self) -> SiteOrder:
        """The order of the contexts."""
        return site_order(self.record)

    def seen_by(self, view: View) -> SiteRecord:
        """Return the record as a viewer may have it."""
        return self._seen.by(view)

    def hidden_from(self, view: View) -> frozenset[str]:
        """Return the ids of all records that a viewer does not see."""
        return self._seen.hidden_from(view)

    def renewed(self, record: SiteRecord, touched: Collection[str]) -> Study:
        """Return the study of a record that was renewed; `touched` are the ids of all records in which it differs."""
        study = Study(record, self.files, self.profile, self._histories)
        study._seen, study.words = self._seen.renewed(record, touched), self.words
        study._kept_dates = self._kept_dates
        return study

    def latest_first_in(self, unit_id: str, *more: str) -> tuple[str, ...]:
        """Return the contexts of a unit, and further ones, as the order of the site has them, latest first."""
        wanted = {context.id for context in self.record.pointing_at(Context, "units", unit_id)}.union(more)
        if "order" in vars(self):
            return tuple(each for each in self.order.latest_first if each in wanted)
        return latest_first_among(self.record, wanted)

    def sheets_of(self, unit_id: str) -> tuple[str, ...]:
        """Return the names of the drawings that are plans of a unit in the drawing register."""
        unit = self.record.get(Unit, unit_id)
        return () if unit is None else tuple(self.registered_plans(unit))

    def order_of(self, record: SiteRecord) -> SiteOrder:
        """Return the order of this record as some viewer has it."""
        return self.order if record is self.record else site_order(record)

    def weighed(self, number: str, view: View = View.CREW) -> WeighedQuestion:
        """Return a question weighed as a viewer may have it."""
        return weighed_question(self.record, self.seen_by(view), number)

    @cached_property
    def dating(self) -> SiteDating:
        """The dates of this revision."""
        return SiteDating(self.record, self.order, lambda: self.public.record, self.seen_by, self._kept_dates)

    def histories(self, records: Sequence[str]) -> Mapping[str, Sequence[Change]]:
        """Return all changes of some records, by record; a study made without a log of changes refuses in words."""
        if self._histories is None:
            raise InputError("This site is shown without its log of changes, so nothing is known of earlier states. Open its file.")
        return self._histories(records)

    @cached_property
    def ground(self) -> GroundSheets:
        """The modelled ground."""
        return GroundSheets(self.record, self.order)

    @cached_property
    def sequence(self) -> SequenceFacts:
        """The order as the report prints it."""
        return sequence_facts(self.order.known, self.order.order)

    @cached_property
    def _check(self) -> SiteCheck:
        return SiteCheck.of(self.record, self.order.order, profile=self.profile)

    def closing(self, unit_id: str) -> ClosingResult:
        """Return the closing check of a unit."""
        with self._lock:
            if unit_id not in self._closings:
                self._closings[unit_id] = self._check.unit(unit_id)
            return self._closings[unit_id]

    def cautions(self, unit_id: str) -> tuple[Caution, ...]:
        """Return the safety cautions of a unit."""
        return cautions(self.record, unit_id)

    @property
    def drawings(self) -> tuple[str, ...]:
        """Names of all drawings that the crew knows of."""
        return self.drawings_for(View.CREW)

    def drawings_for(self, view: View) -> tuple[str, ...]:
        """Return the names of all drawings that a viewer knows of: a question that is withheld has none."""
        questions = questions_of(self.seen_by(view))
        return (*self._drawings_of_ground, *(f"readings-{question.number or question.id}" for question in questions))

    def draws(self, name: str, view: View) -> bool:
        """Tell whether a viewer knows of a drawing; for units and walls without working out the ground of the whole site."""
        return name in self._drawings_of_units or name in self.drawings_for(view)

    @cached_property
    def _drawings_of_ground(self) -> tuple[str, ...]:
        blocks = (f"block-{unit.number or unit.id}" for unit in self.ground.solid_units)
        return (*self._drawings_of_units, *self.ground.names, *blocks)

    @cached_property
    def _drawings_of_units(self) -> tuple[str, ...]:
        units = tuple(
            name
            for unit in self.record.all(Unit)
            for name in (f"plan-{unit.number or unit.id}", *self.registered_plans(unit), *self.own_order(unit))
        )
        walls = tuple(f"wall-{wall.number or wall.id}" for wall in self.record.all(Wall))
        return ("site", "order", *units, *walls)

    def own_order(self, unit: Unit) -> tuple[str, ...]:
        """Return the name of the unit's own order: of a site with one unit, the order of the site is that."""
        return (f"order-{unit.number or unit.id}",) if self.record.count(Unit) > 1 else ()

    def registered_plans(self, unit: Unit) -> dict[str, Drawing]:
        """Return the plans in the drawing register by the name of their drawing here, as in ``plan-1-D4``."""
        plans = [sheet for sheet in self.record.pointing_at(Drawing, "unit", unit.id) if sheet.kind in ("plan", "base plan")]
        return {f"plan-{unit.number or unit.id}-{sheet.number}": sheet for sheet in plans if sheet.contexts and sheet.number}

    @cached_property
    def public(self) -> PublicVersion:
        """The record as everyone may read it."""
        return public_version(self.record)

    def svg(
        self, name: str, view: View = View.CREW, *, scale: float | None = None,
        opened: tuple[str, ...] = (), unfold: tuple[str, ...] = (),
    ) -> str:  # fmt: skip
        """Return a drawing: ``site``, ``order``, ``order-1`` and ``plan-1`` of unit 1, ``plan-1-D4`` of a sheet in it, ``wall-W1``.

        ``modelled-W1`` is the wall over the modelled ground, ``thickness-102`` the thickness of a context.

        Parameters
        ----------
        name : str
            Its name.
        view : View
            Who looks.
        scale : float, optional
            20 for 1:20; each drawing's own when None.
        opened, unfold : tuple of str
            Of the order: ids of contexts whose folded boxes are opened whole, and of such as stand in boxes of their own.

        Raises
        ------
        UnknownRecord
            When there is no such drawing.
        InputError
            When too much is to be opened, or the drawing has no folds.
        """
        with self._lock:
            key = (name, view, scale, opened, unfold)
            if key not in self._drawings:
                drawn = to_svg(self.scene(name, view, scale=scale, opened=opened, unfold=unfold))
                self._drawings[key] = self._for_everyone(drawn) if view is View.PUBLIC else drawn
                if len(self._drawings) > _DRAWINGS_KEPT:
                    self._drawings.popitem(last=False)
            self._drawings.move_to_end(key)
            return self._drawings[key]

    def _for_everyone(self, svg: str) -> str:
        """Return a drawing without the words that a public version must not print."""
        root = read_svg(svg)
        redacted_svg(root, self.public.hidden, self.public.mask.text)
        return svg_text(root)

    def scene(
        self, name: str, view: View = View.CREW, *, scale: float | None = None,
        opened: tuple[str, ...] = (), unfold: tuple[str, ...] = (),
    ) -> Scene:  # fmt: skip
        """Return a drawing as shapes; what can be asked for is what `svg` tells.

        Raises
        ------
        UnknownRecord
            When there is no such drawing.
        InputError
            When too much is to be opened, or the drawing has no folds.
        """
        kind, _, number = name.partition("-")
        _check_folds(name, kind, opened, unfold)
        restricted, public = view is View.RESTRICTED, view is View.PUBLIC
        if name == "site":
            return site_drawing(self.record, scale=scale, restricted=restricted, public=public)
        if kind == "order":
            return order_drawing(
                self.record, self.order.known, self.order.order, contexts=self._ordered(number, view), name=name,
                restricted=restricted, fold_over=FOLD_OVER, opened=opened, unfold=unfold,
            )  # fmt: skip
        if kind == "plan":
            unit, sheet = self._plan(number)
            return plan_drawing(
                self.record, unit.id, scale=scale or scale_of(sheet), contexts=sheet.contexts if sheet else None,
                order=self.latest_first_in(unit.id, *(sheet.contexts or () if sheet else ()))[::-1], sheet=sheet,
                restricted=restricted, public=public,
            )  # fmt: skip
        if kind == "wall":
            return wall_drawing(self.record, self._id_of(Wall, number), scale=scale or 10, restricted=restricted, public=public)
        if kind == "block":
            return block_scene(self.record, self.solids(self._id_of(Unit, number), view), view, scale=scale)
        if kind == "readings":
            found = self.weighed(number, view)
            return readings_drawing(
                found.asked.record, found.argument.weighed, beside_of(found), name=name, restricted=bool(found.care_says)
            )
        if kind in ("thickness", "modelled"):
            return self.ground.scene(name, view, scale=scale)
        raise UnknownRecord("drawing", name, list(self.drawings))

    def solids(self, unit_id: str, view: View = View.CREW) -> UnitSolids:
        """Return the contexts of a unit as solids, as far as a viewer may see them.

        Raises
        ------
        UnknownRecord
            When there is no such unit.
        """
        with self._lock:
            if (unit_id, view) not in self._solids:
                self._solids[unit_id, view] = unit_solids(self.record, unit_id, self.order, view)
            return self._solids[unit_id, view]

    def _ordered(self, number: str, view: View) -> list[str] | None:
        """Return the contexts in a drawing of the order: those of a unit, or None for all; the public's without withheld ones."""
        if not number and view is not View.PUBLIC:
            return None
        own = self.record.pointing_at(Context, "units", self._id_of(Unit, number)) if number else self.record.all(Context)
        gone = withheld_from(self.record, View.PUBLIC).why if view is View.PUBLIC else {}
        return [context.id for context in own if context.id not in gone]

    def _plan(self, number: str) -> tuple[Unit, Drawing | None]:
        """Return the unit of a plan, and the sheet of the drawing register that it is; None for the plan of the whole unit."""
        for unit in self.record.all(Unit):
            sheet = self.registered_plans(unit).get(f"plan-{number}")
            if sheet is not None:
                return unit, sheet
        return self.record.get(Unit, number) or self.record.numbered(Unit, number), None

    def _id_of(self, kind: type[Unit] | type[Wall], number: str) -> str:
        found = self.record.get(kind, number)
        return found.id if found else self.record.numbered(kind, number).id

    def report(self, unit_id: str, *, public: bool = False, written: str | None = None) -> Report:
        """Return the report of a unit."""
        return report_of(self, unit_id, public=public, written=written)


def _check_folds(name: str, kind: str, opened: tuple[str, ...], unfold: tuple[str, ...]) -> None:
    asked = len(opened) + len(unfold)
    if asked and kind != "order":
        raise InputError(f"The drawing “{name}” has nothing folded. Only a drawing of the order can be unfolded.")
    if asked > MOST_OPENED:
        raise InputError(
            f"{asked} contexts are asked out of their folds, and one drawing opens at most {MOST_OPENED}. Fold some again first."
        )


def study_source(path: Path, *, profile: Profile | None = None) -> Callable[[], Study]:
    """Return a source of studies of a site file: the same study until the file's revision changes.

    Raises
    ------
    StoreError
        When the file cannot be opened.
    """
    files = FileShelf.beside(path)
    lock = RLock()
    held: list[Study] = []

    def histories(records: Sequence[str]) -> Mapping[str, Sequence[Change]]:
        with open_site(path, read_only=True) as store:
            return store.histories(records)

    def source() -> Study:
        with lock, open_site(path, read_only=True) as store:
            if not held or held[0].record.revision != store.revision():
                held[:] = [Study(store.record(), files, profile, histories)]
            return held[0]

    source()
    return source
