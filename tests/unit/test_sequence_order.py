"""The order as one result, and the sentences it gives."""

import pytest

from baulk.errors import LoopError, OrderError
from baulk.sequence.loops import Cycle, loop_error
from baulk.sequence.order import order_of
from baulk.sequence.relations import relations_of

# Invented data: a few layers of the yard at Otter Weir.
NAMES = ("1039", "1040", "1042", "1051", "1052")


def test_a_loop_is_told_in_words_and_all_else_is_still_given():
    """The cycle runs through the numbers; ranks, one-sided relations and floating layers do not wait for its repair."""
    order = order_of(relations_of(5, [0, 1, 2, 2], [1, 2, 0, 3], sides=[3, 1, 3, 3], names=NAMES))
    assert order.in_words == ("1039 > 1040 > 1042 > 1039",)
    assert order.redundant.tolist() == []
    assert order.one_sided.tolist() == [1]
    assert order.floating.alone.tolist() == [4]
    assert order.ranks.from_top.tolist() == [0, 0, 0, 1, 0]
    assert order.ranks.in_loop.tolist() == [True, True, True, False, False]
    with pytest.raises(OrderError) as caught:
        order.implied_by(0)
    assert "The relations hold 1 loops, the first being 1039 > 1040 > 1042 > 1039" in str(caught.value)


def test_the_loop_error_says_which_relations_to_look_at():
    """The error shows the cycle, latest first in its data and as a chain of "later than" in its text."""
    error = loop_error(relations_of(3, [0, 1, 2], [1, 2, 0], names=("1042", "1039", "1040")), Cycle((0, 1, 2), (0, 1, 2)))
    assert isinstance(error, LoopError)
    assert error.cycle == ("1042", "1039", "1040", "1042")
    assert "earlier and later than 1040 (1042 > 1039 > 1040 > 1042; “>” means later than)" in str(error)
    assert "which of these 3 relations was entered the wrong way round" in str(error)


def test_equations_can_close_a_loop_and_it_names_the_joined_layers():
    """1039 > 1040 > 1042 > 1051, and 1051 the same as 1039: the loop shows the equation."""
    order = order_of(relations_of(5, [0, 1, 2], [1, 2, 3], same=[(3, 0)], names=NAMES))
    assert order.in_words == ("1039 = 1051 > 1040 > 1042 > 1039 = 1051",)


def test_a_relation_inside_an_equation_is_a_contradiction_with_its_chain():
    """The sentence shows the relation and the chain of equations that denies it; the row is set aside, not lost."""
    order = order_of(relations_of(5, [0, 0], [2, 3], same=[(0, 1), (1, 2)], names=NAMES))
    assert order.in_words == (
        "Layer 1039 is recorded as later than 1042 and also as the same (1039 = 1040 = 1042). One layer cannot be "
        "later than itself: see whether the relation or one of the equations is wrong.",
    )
    assert order.merging.contradictions[0].same_rows == (0, 1)
    assert order.merging.relation_of_row.tolist() == [-1, 0]


def test_large_groups_are_named_shortly():
    """A group of more than four layers names four and counts the rest."""
    order = order_of(relations_of(7, [6], [0], same=[(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)]))
    assert order.relations.names == ("0 = 1 = 2 = 3 = 2 more", "6")


def test_why_speaks_of_the_layers_given():
    """Layers that are one share an answer, and a missing chain is said in a sentence."""
    order = order_of(relations_of(5, [0, 1], [1, 2], same=[(2, 3)], names=NAMES))
    assert order.why_in_words(0, 3) == "1039 > 1040 > 1042 = 1051"
    assert order.why_in_words(3, 0) == (
        "Nothing recorded makes 1051 later than 1039: no chain of relations leads down from the first to the second."
    )


def test_rows_lead_back_to_what_was_entered():
    """Two rows that say the same are one relation of the order, and both are found again."""
    order = order_of(relations_of(3, [0, 1, 0, 0], [1, 2, 2, 1]))
    assert order.rows(0).tolist() == [0, 3]
    assert order.redundant.tolist() == [2]
    assert order.implied_by(2) == (0, 1)
    with pytest.raises(OrderError, match="is needed: no chain of others implies it"):
        order.implied_by(0)


def test_a_site_without_layers_has_an_order():
    """Nothing recorded is no error."""
    order = order_of(relations_of(0, [], []))
    assert order.in_words == ()
    assert order.redundant.tolist() == []
