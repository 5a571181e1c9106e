"""A site record's relations as arrays."""

from __future__ import annotations

from baulk.record import Contact, Context, Relation, SiteRecord, Wall
from baulk.sequence.from_record import CERTAINTY, WhyAside, relations_from


def _context(number: str, **fields: object) -> Context:
    return Context(id=f"c{number}", number=number, **fields)


def _made(*relations: Relation, extra: tuple = ()):
    contexts = [_context("10"), _context("2"), _context("1"), _context("3", void="one with 2")]
    return relations_from(SiteRecord.of([*contexts, *relations, *extra]))


def test_contexts_stand_in_natural_order_and_void_ones_are_left_out() -> None:
    """2 comes before 10, and a void context has no index."""
    made = _made()
    assert made.contexts == ("c1", "c2", "c10")
    assert made.relations.names == ("1", "2", "10")
    assert made.index == {"c1": 0, "c2": 1, "c10": 2}
    assert len(made.relations) == 0


def test_ordering_relations_point_from_later_to_earlier_and_same_ones_are_pairs() -> None:
    """Overlies, cuts, fills and abuts give an order; same as and bonded with give pairs."""
    made = _made(
        *(Relation(id=f"r{how}", later="c10", earlier="c2", how=how) for how in ("overlies", "cuts", "fills", "abuts")),
        Relation(id="s1", later="c2", earlier="c1", how="same as"),
        Relation(id="s2", later="c1", earlier="c10", how="bonded with"),
    )
    assert made.relations.later.tolist() == [2, 2, 2, 2]
    assert made.relations.earlier.tolist() == [1, 1, 1, 1]
    assert set(made.rows) == {"roverlies", "rcuts", "rfills", "rabuts"}
    assert sorted(map(tuple, made.relations.same.tolist())) == [(0, 2), (1, 0)]
    assert set(made.same_rows) == {"s1", "s2"}


def test_sheets_become_flags_and_a_contact_on_a_wall_adds_the_drawing() -> None:
    """1 later's sheet, 2 earlier's, 3 both, 4 a drawing; a blank is no flag."""
    words = {"later's sheet": 1, "earlier's sheet": 2, "both sheets": 3, "a drawing": 4, "neither sheet": 0, None: 0}
    for word, flag in words.items():
        relation = Relation(id="r", later="c1", earlier="c2", sheet=word)
        wall = (Wall(id="w", unit="u"), Contact(id="k", wall="w", later="c1", earlier="c2"))
        other_way = (Wall(id="w", unit="u"), Contact(id="k", wall="w", later="c2", earlier="c1"))
        assert _made(relation).relations.sides.tolist() == [flag]
        assert _made(relation, extra=wall).relations.sides.tolist() == [flag | 4]
        assert _made(relation, extra=other_way).relations.sides.tolist() == [flag]


def test_certainty_words_become_house_numbers() -> None:
    """Firm 0.95, probable 0.75, doubtful 0.5; a blank counts as probable. Common practice, no source."""
    for word, share in (*CERTAINTY.items(), (None, 0.75)):
        assert _made(Relation(id="r", later="c1", earlier="c2", certainty=word)).relations.certainty.tolist() == [share]
    assert dict(CERTAINTY) == {"firm": 0.95, "probable": 0.75, "doubtful": 0.5}


def test_relations_that_cannot_be_used_are_set_aside_by_id() -> None:
    """One to itself, to a void context, to none on record, or without a how is not dropped in silence."""
    made = _made(
        Relation(id="self", later="c1", earlier="c1"),
        Relation(id="void", later="c1", earlier="c3"),
        Relation(id="gone", later="c1", earlier="c99"),
        Relation(id="how", later="c1", earlier="c2", how=None),
        Relation(id="good", later="c1", earlier="c2"),
        Relation(id="dead", later="c2", earlier="c1", void="entered twice"),
    )
    assert dict(zip(made.set_aside, made.why_aside, strict=True)) == {
        "self": WhyAside.ITSELF,
        "void": WhyAside.EARLIER,
        "gone": WhyAside.EARLIER,
        "how": WhyAside.HOW,
    }
    assert made.rows == ("good",)
