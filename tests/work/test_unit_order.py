"""One unit is put in order without the whole site, and stands as the whole site has it."""

from __future__ import annotations

import random

import pytest

from baulk.record import Contact, Context, Relation, SiteRecord, Unit
from baulk.work.order import site_order
from baulk.work.study import Study
from baulk.work.unit_order import latest_first_among


def tangled(seed: int) -> SiteRecord:
    """Return a site of four units with relations at random: chains across units, loops, contexts that are one, void ones."""
    dice = random.Random(seed)
    units = [Unit(id=f"u{n}", number=str(n)) for n in range(4)]
    contexts = [
        Context(id=f"c{n}", number=dice.choice((str(n), None)),
                units=tuple(dice.sample(["u0", "u1", "u2", "u3"], dice.randint(0, 2))),
                void=dice.choice((None,) * 9 + ("a root",)))
        for n in range(60)
    ]  # fmt: skip
    relations = [
        Relation(id=f"r{n}", later=f"c{dice.randrange(62)}", earlier=f"c{dice.randrange(60)}",
                 how=dice.choice(("overlies", "cuts", "fills", "same as", None)), void=dice.choice((None,) * 9 + ("wrong",)))
        for n in range(dice.choice((10, 40, 90)))
    ]  # fmt: skip
    contacts = [Contact(id=f"k{n}", wall="w", later=f"c{dice.randrange(60)}", earlier=f"c{dice.randrange(60)}") for n in range(5)]
    return SiteRecord.of([*units, *contexts, *relations, *contacts])


@pytest.mark.parametrize("seed", range(25))
def test_a_unit_stands_as_the_whole_site_has_it(seed: int) -> None:
    """The contexts of a unit come in the very order that they have among all contexts of the site."""
    record = tangled(seed)
    whole = site_order(record).latest_first
    for unit in record.all(Unit):
        wanted = {context.id for context in record.pointing_at(Context, "units", unit.id)}
        assert latest_first_among(record, wanted) == tuple(each for each in whole if each in wanted)
        study = Study(record)
        alone = study.latest_first_in(unit.id, "c3")
        assert "order" not in vars(study)
        assert study.order.latest_first == whole
        assert study.latest_first_in(unit.id, "c3") == alone


def test_the_order_of_numbers_alone_would_be_caught() -> None:
    """The negative control: the sites are tangled enough that their order is not that of the numbers."""
    records = [tangled(seed) for seed in range(25)]
    assert sum(site_order(one).latest_first != tuple(each.id for each in one.all(Context)) for one in records) > 20
