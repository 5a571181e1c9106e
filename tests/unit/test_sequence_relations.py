"""The relations as arrays: their rules, their messages, and the joining of repeats."""

import numpy as np
import pytest

from baulk.errors import InputError, OrderError
from baulk.sequence.relations import Side, distinct_relations, relations_of


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({"later": [0, 1], "earlier": [1]}, "2 later contexts but 1 values of “earlier”"),
        ({"later": [0], "earlier": [7]}, "Row 0 of the relations names context 7 under “earlier”, but the contexts"),
        ({"later": [0], "earlier": [7]}, "the contexts are counted from 0 to 2"),
        ({"later": [-1], "earlier": [1]}, "names context -1 under “later”"),
        ({"later": [0], "earlier": [1], "same": [(0, 3)]}, "names context 3 under “same”"),
        ({"later": [0], "earlier": [1], "certainty": [0.0]}, "Row 0 of the relations has the certainty 0.0"),
        ({"later": [0], "earlier": [1], "certainty": [float("nan")]}, "certainty nan"),
        ({"later": [0], "earlier": [1], "sides": [8]}, "side flags 8"),
        ({"later": [0.5], "earlier": [1]}, "Column “later” of the relations holds float64 values"),
        ({"later": [2**40], "earlier": [1]}, "A context's index fits 32 bits"),
        ({"later": [0], "earlier": [1], "names": ("1001",)}, "3 contexts are given with 1 names"),
    ],
)  # fmt: skip
def test_wrong_columns_are_refused_in_words(columns, words):
    """Each broken rule is named with the row and the value that broke it."""
    with pytest.raises(InputError) as caught:
        relations_of(3, **columns)
    assert words in str(caught.value)


def test_a_context_cannot_be_later_than_itself():
    """A self relation is refused with the row and the context's own number."""
    with pytest.raises(OrderError) as caught:
        relations_of(2, [0, 1], [1, 1], names=("1001", "1002"))
    assert str(caught.value) == (
        "Row 1 of the relations records layer 1002 as later than itself. A layer cannot be earlier than itself: "
        "see which other number was meant on one of the two sheets."
    )


def test_repeats_are_joined_with_a_way_back():
    """Flags are put together, the highest certainty is kept, and each row knows its relation."""
    relations = relations_of(3, [1, 0, 1, 1], [2, 1, 2, 2], certainty=[0.5, 1, 0.75, 0.25], sides=[1, 3, 2, 4])
    distinct = distinct_relations(relations)
    assert distinct.relation_of_row.tolist() == [0, 1, 0, 0]
    assert distinct.rows(0).tolist() == [0, 2, 3]
    assert distinct.relations.later.tolist() == [1, 0]
    assert distinct.relations.certainty.tolist() == [0.75, 1.0]
    assert distinct.relations.sides.tolist() == [Side.LATER_SHEET | Side.EARLIER_SHEET | Side.DRAWING, 3]


def test_opposite_relations_are_not_repeats():
    """1 later than 2 and 2 later than 1 stay two relations: they are a loop, not a repeat."""
    assert len(distinct_relations(relations_of(2, [0, 1], [1, 0])).relations) == 2


def test_the_columns_are_copied_and_closed_to_writing():
    """A caller's array does not change the relations afterwards, and the relations cannot be written to."""
    later = np.array([0, 1], np.int32)
    relations = relations_of(3, later, [1, 2])
    later[0] = 2
    assert relations.later.tolist() == [0, 1]
    with pytest.raises(ValueError, match="read-only"):
        relations.later[0] = 2


def test_no_relations_at_all_are_allowed():
    """A site without contexts, or without relations, is not an error."""
    assert len(distinct_relations(relations_of(0, [], [])).relations) == 0
    assert relations_of(2, [], []).name(1) == "1"


def test_a_very_long_chain_names_its_ends():
    """Forty contexts are named in full; of more, the first and last twenty, and the rest are counted."""
    relations = relations_of(1000, [], [])
    assert relations.chain(range(40), "<").count("<") == 39
    told = relations.chain(range(1000), ">")
    assert told.startswith("0 > 1 > 2 >")
    assert told.endswith("> 998 > 999")
    assert "19 > … 960 more … > 980" in told
