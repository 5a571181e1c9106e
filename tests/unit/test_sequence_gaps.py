"""What the relations leave open."""

import pytest

from baulk.errors import InputError
from baulk.sequence.gaps import ContextKind as Kind
from baulk.sequence.gaps import RelationKind as How
from baulk.sequence.gaps import cut_gaps, floating, off_sheet, one_sided
from baulk.sequence.relations import relations_of


def test_one_sided_relations_stand_on_one_sheet():
    """A drawing does not make up for the missing sheet, and a relation on neither sheet is listed apart."""
    relations = relations_of(3, [0] * 6, [1] * 6, sides=[1, 2, 3, 5, 4, 0])
    assert one_sided(relations).tolist() == [0, 1, 3]
    assert off_sheet(relations).tolist() == [4, 5]


def test_floating_contexts():
    """The top has nothing above, the bottom nothing below, and a layer without relations has neither."""
    found = floating(relations_of(4, [0, 1], [1, 2]))
    assert found.nothing_above.tolist() == [0, 3]
    assert found.nothing_below.tolist() == [2, 3]
    assert found.alone.tolist() == [3]


def test_a_whole_pit_leaves_no_gap():
    """Fill 0 fills cut 1, which cuts layer 2."""
    found = cut_gaps(relations_of(3, [0, 1], [1, 2]), [Kind.FILL, Kind.CUT, Kind.DEPOSIT], [How.FILLS, How.CUTS])
    for gap in (found.fills_without_cut, found.cuts_cutting_nothing, found.cuts_without_fill, found.filled_not_cut):
        assert gap.tolist() == []


def test_each_gap_of_a_pit_is_found():
    """A fill that only overlies its cut has no cut, its cut has no fill, and a cut that only overlies cuts nothing."""
    relations = relations_of(3, [0, 1], [1, 2])
    found = cut_gaps(relations, [Kind.FILL, Kind.CUT, Kind.DEPOSIT], [How.OVERLIES, How.OVERLIES])
    assert found.fills_without_cut.tolist() == [0]
    assert found.cuts_without_fill.tolist() == [1]
    assert found.cuts_cutting_nothing.tolist() == [1]


def test_relations_of_the_wrong_kind_are_found():
    """Filling a layer and cutting with a layer are named; a context of unknown kind is given the benefit of the doubt."""
    relations = relations_of(3, [0, 1, 0], [1, 2, 2])
    found = cut_gaps(relations, [Kind.FILL, Kind.DEPOSIT, Kind.UNKNOWN], [How.FILLS, How.CUTS, How.FILLS])
    assert found.filled_not_cut.tolist() == [0]
    assert found.cutting_not_cut.tolist() == [1]
    assert found.fills_without_cut.tolist() == []


def test_contexts_that_are_one_share_their_cut():
    """A fill that is the same as another fill has the other's cut."""
    import numpy as np

    relations = relations_of(3, [0], [1])
    kinds = [Kind.FILL, Kind.CUT, Kind.FILL]
    assert cut_gaps(relations, kinds, [How.FILLS]).fills_without_cut.tolist() == [2]
    joined = np.array([0, 1, 0], np.int32)
    assert cut_gaps(relations, kinds, [How.FILLS], group=joined).fills_without_cut.tolist() == []


def test_missing_kinds_are_refused_in_words():
    """One kind for each context and one way for each relation."""
    with pytest.raises(InputError, match="2 kinds and 1 ways of relating are given for 3 contexts and 2 relations"):
        cut_gaps(relations_of(3, [0, 1], [1, 2]), [Kind.FILL, Kind.CUT], [How.FILLS])
