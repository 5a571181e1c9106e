"""Changes fold to one record whatever order they come in, and nothing is dropped."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.errors import InputError
from baulk.record import Change, HybridTime, Stamp, absent, creation, fold_record, merge, rewrite, undoing

FIELDS = ("title", "notes", "phase")


class Crew:
    """Several people who write on their own copies and now and then swap changes; their clocks are skewed."""

    def __init__(self, seed: int, people: int = 3) -> None:
        self.rng = random.Random(seed)
        self.copies: list[dict[str, Change]] = [{} for _ in range(people)]
        self.times = [HybridTime(0)] * people
        self.skew = [self.rng.randrange(-5000, 5000) for _ in range(people)]
        self.clock, self.made = 10_000, 0
        first = creation(self.stamp(0), "context", "r", {"title": "first", "phase": 1})
        for copy in self.copies:
            copy[first.id] = first

    def stamp(self, who: int) -> Stamp:
        """Return a new stamp of one person's device."""
        self.made += 1
        self.clock += self.rng.randrange(1, 50)
        self.times[who] = self.times[who].next(self.clock + self.skew[who])
        return Stamp(f"c{self.made:06d}", str(self.times[who]), f"device {who}", f"person {who}")

    def write(self, who: int) -> None:
        """One person rewrites one field of their copy, with their own copy in view."""
        folded = fold_record(self.copies[who].values())
        field = self.rng.choice(FIELDS)
        value = absent("not visible") if self.rng.random() < 0.1 else f"v{self.made}"
        change = rewrite(
            self.stamp(who), "context", "r", field, value, replaced=folded.values.get(field), after=folded.heads.get(field, ())
        )
        self.copies[who][change.id] = change

    def swap(self, a: int, b: int) -> None:
        """Two people exchange all they have."""
        union = {**self.copies[a], **self.copies[b]}
        self.copies[a], self.copies[b] = dict(union), dict(union)
        self.times[a] = self.times[b] = self.times[a].seen(self.times[b])

    def run(self, steps: int) -> tuple[Change, ...]:
        """Write and swap at random, then bring all together."""
        for _ in range(steps):
            if self.rng.random() < 0.7:
                self.write(self.rng.randrange(len(self.copies)))
            else:
                self.swap(*self.rng.sample(range(len(self.copies)), 2))
        return merge(*(copy.values() for copy in self.copies))


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**9), st.integers(0, 40))
def test_folding_does_not_depend_on_the_order_of_arrival(seed: int, steps: int) -> None:
    """Any shuffling, and any change given twice, folds to the same record, heads and differences."""
    changes = list(Crew(seed).run(steps))
    folded = fold_record(changes)
    shuffled = [*changes, *changes[: len(changes) // 2]]
    random.Random(seed).shuffle(shuffled)
    assert fold_record(shuffled) == folded


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**9), st.integers(0, 40))
def test_no_value_is_lost_from_view_without_someone_having_seen_it(seed: int, steps: int) -> None:
    """A value that is out of view was replaced by someone who had it in view, or stands in a difference."""
    changes = Crew(seed).run(steps)
    folded = fold_record(changes)
    seen = {after for change in changes for after in change.after}
    for change in changes:
        if change.creates or change.id in seen:
            continue
        in_view = folded.absences.get(change.field) if isinstance(change.value, dict) else folded.values.get(change.field)
        wanted = change.value["absent"] if isinstance(change.value, dict) else change.value
        in_difference = any(change.id in {write.change for write in difference.writes} for difference in folded.differences)
        assert in_view == wanted or in_difference


def changes_at(*times: int) -> list[Change]:
    """Return a creation and rewrites of one title, none in sight of the others."""
    first = creation(Stamp("c0", str(HybridTime(0)), "d", "p"), "context", "r", {"title": "a"})
    return [
        first,
        *(
            rewrite(Stamp(f"c{t}", str(HybridTime(t)), f"d{t}", "p"), "context", "r", "title", f"t{t}", after=("c0",))
            for t in times
        ),
    ]


def test_two_blind_edits_open_a_difference_and_a_third_settles_it() -> None:
    """The later value is in view, both are kept, and a write that names both closes the difference."""
    changes = changes_at(5, 9)
    folded = fold_record(changes)
    assert folded.values["title"] == "t9"
    assert [write.value for write in folded.differences[0].writes] == ["t9", "t5"]
    settled = rewrite(Stamp("c20", str(HybridTime(20)), "d", "p"), "context", "r", "title", "t5", after=folded.heads["title"])
    after = fold_record([*changes, settled])
    assert after.values["title"] == "t5" and after.differences == ()


def test_two_blind_edits_of_the_same_words_are_no_difference() -> None:
    """Two people who wrote the same thing do not differ."""
    first, one = changes_at(5)
    other = rewrite(Stamp("x", str(HybridTime(7)), "e", "q"), "context", "r", "title", "t5", after=("c0",))
    assert fold_record([first, one, other]).differences == ()


def test_undo_is_a_further_change_and_can_be_undone() -> None:
    """Undoing brings the replaced value back, undoing that brings the new one back, and a creation becomes void."""
    first = creation(Stamp("c0", str(HybridTime(0)), "d", "p"), "context", "r", {"title": "a"})
    write = rewrite(Stamp("c1", str(HybridTime(1)), "d", "p"), "context", "r", "title", "b", replaced="a", after=("c0",))
    back = undoing(Stamp("c2", str(HybridTime(2)), "d", "p"), write, ("c1",))
    assert fold_record([first, write, back]).values["title"] == "a"
    again = undoing(Stamp("c3", str(HybridTime(3)), "d", "p"), back, ("c2",))
    assert fold_record([first, write, back, again]).values["title"] == "b"
    gone = undoing(Stamp("c4", str(HybridTime(4)), "d", "p"), first, ())
    assert fold_record([first, write, gone]).values["void"] == "undone"
    with pytest.raises(InputError, match=r"has been changed again since\. Undo the later change first"):
        undoing(Stamp("c5", str(HybridTime(5)), "d", "p"), write, ("c2",))


def test_the_difference_check_can_fail() -> None:
    """When the second writer had the first in view there is no difference: the check tells the two cases apart."""
    first, one = changes_at(5)
    informed = rewrite(Stamp("x", str(HybridTime(7)), "e", "q"), "context", "r", "title", "other", after=(one.id,))
    assert fold_record([first, one, informed]).differences == ()
    blind = rewrite(Stamp("x", str(HybridTime(7)), "e", "q"), "context", "r", "title", "other", after=("c0",))
    assert fold_record([first, one, blind]).differences != ()
