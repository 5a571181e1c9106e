"""Dating a chronology: evidence to tables, chains run until they agree, answers told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from baulk.dating.chains import Run, run_chains
from baulk.dating.doubts import find_doubts, moved_deposits, sample_doubts
from baulk.dating.model import Chronology, Suppositions
from baulk.dating.moves_arrays import setting_of
from baulk.dating.nodes import Nodes, nodes_of
from baulk.dating.posterior import Dates, EventDate, PhaseDate
from baulk.dating.sampling import Sampling
from baulk.dating.tables import tables_of
from baulk.errors import InputError

__all__ = ["Varied", "date_events", "sensitivity", "usual_variations"]

Floats = NDArray[np.float64]
SHARES = (0.025, 0.16, 0.5, 0.84, 0.975)


@dataclass(frozen=True, slots=True, eq=False)
class Varied:
    """The dates under other suppositions, beside those of the first.

    Parameters
    ----------
    name : str
        What was changed, in words.
    suppositions : Suppositions
        What was supposed.
    dates : Dates
        What follows.
    """

    name: str
    suppositions: Suppositions
    dates: Dates


def date_events(
    chronology: Chronology, *, seed: int, suppositions: Suppositions | None = None, sampling: Sampling | None = None
) -> Dates:
    """Return when each event of a chronology can have been, by its order and all evidence together.

    Parameters
    ----------
    chronology : Chronology
        Events, order, phases, evidence and window.
    seed : int
        Seed of all chance: the same seed and settings give the same figures.
    suppositions : Suppositions, optional
        Intrusion, discard, absence and span; the house settings when left out.
    sampling : Sampling, optional
        Chains and what is asked of them.

    Returns
    -------
    Dates
        Ranges, chances, phases, doubtful finds, the prior beside the posterior, and how well the chains mixed.

    Raises
    ------
    InputError
        When evidence and window, or hard bounds through the order, exclude each other, or the site does not fit into memory.
    OrderError
        When the relations hold a loop, or contradict the phases.
    NotSettled
        When the chains do not agree within the sweeps allowed: nothing is told.

    Notes
    -----
    p(t, s) ∝ [order] · Π L_i(t_i) · Π length_p^(-n_p) / (R - span): given the boundaries of its phase every set of dates that keeps
    the order is equally likely, and the span of the whole is uniform up to the length R of the window (docs/methods/chronology.md).

    References
    ----------
    G. K. Nicholls, M. Jones 2001, "Radiocarbon dating with temporal order constraints", Applied Statistics 50(4): 503-521: the
    uniform span (the abstract read, the formula from memory).

    Examples
    --------
    >>> from baulk.dating.evidence import Documented
    >>> from baulk.dating.model import chronology_of
    >>> from baulk.dating.window import Window
    >>> built = [Documented(0, "lease", 1800, 1809)]
    >>> dates = date_events(chronology_of(["wall"], [], [], built, Window(1700, 1899)), seed=1)
    >>> [(piece.begin, piece.end) for piece in dates.of("wall").pieces(0.999)]
    [(1800, 1809)]
    """
    return _dated(chronology, seed, suppositions or Suppositions(), sampling or Sampling())


def _dated(chronology: Chronology, seed: int, supposed: Suppositions, how: Sampling, known: Dates | None = None) -> Dates:
    """Return the dates; with `known` under the same span its prior is taken, since a prior hangs on nothing else."""
    if not chronology.events:
        raise InputError("A chronology without an event is given. Give the contexts that are to be dated.")
    tables = tables_of(chronology, supposed)
    nodes = nodes_of(chronology, tables, supposed)
    posterior_rng, prior_rng = np.random.default_rng(seed).spawn(2)
    step, cells = chronology.window.step, chronology.window.cells
    run = run_chains(setting_of(nodes, tables, step), nodes, how, posterior_rng, cells=cells)
    if known is not None and known.suppositions.span is supposed.span:
        prior = _prior_of(known, nodes)
    else:
        prior = run_chains(setting_of(nodes, tables, step, dated=False), nodes, how, prior_rng, cells=cells).chances
    dated = [
        EventDate(name, chronology.window.years, step, run.chances[place], prior[place]) for place, name in enumerate(nodes.names)
    ]
    phases = _phases(chronology, nodes, run, dated)
    events = tuple(dated[: nodes.events])
    return Dates(
        chronology, supposed, seed, events, phases[0], phases[1:], find_doubts(chronology, supposed, events),
        moved_deposits(chronology, supposed, events), run.diagnosis, _joint(run, nodes.events),
        float(min(run.diagnosis.bulk.min(), run.diagnosis.tail.min())), tables.notes,
        sample_doubts(chronology, supposed, events),
    )  # fmt: skip


def _prior_of(known: Dates, nodes: Nodes) -> Floats:
    """Return the prior of every event and boundary of a chronology that was dated already."""
    prior = np.zeros((len(nodes.names), len(known.site.start.prior)))
    prior[: nodes.events] = [one.prior for one in known.events]
    for place, phase in enumerate((known.site, *known.phases)):
        prior[int(nodes.start[place])], prior[int(nodes.end[place])] = phase.start.prior, phase.end.prior
    return prior


def sensitivity(
    dates: Dates, others: Mapping[str, Suppositions], *, sampling: Sampling | None = None
) -> tuple[Varied, ...]:  # fmt: skip
    """Return the same chronology dated anew under other suppositions, with the same seed, so that only they differ.

    Parameters
    ----------
    dates : Dates
        The dates under the first suppositions.
    others : mapping of str to Suppositions
        What is to be changed, by the words to tell it with; see `usual_variations`.
    sampling : Sampling, optional
        As in `date_events`.

    Returns
    -------
    tuple of Varied
        In the order given.
    """
    return tuple(
        Varied(name, one, _dated(dates.chronology, dates.seed, one, sampling or Sampling(), dates)) for name, one in others.items()
    )


def _phases(chronology: Chronology, nodes: Nodes, run: Run, dated: list[EventDate]) -> tuple[PhaseDate, ...]:
    """Return the site and then its phases."""
    found = []
    for place, name in enumerate(["the site", *(one.name for one in chronology.phases)]):
        start, end = int(nodes.start[place]), int(nodes.end[place])
        lengths = (run.draws[:, :, end].astype(np.float64) - run.draws[:, :, start]).ravel()
        low, left, middle, right, high = np.quantile(lengths, SHARES).tolist()
        found.append(PhaseDate(name, dated[start], dated[end], (low, left, middle, right, high)))
    return tuple(found)


def _joint(run: Run, events: int) -> NDArray[np.float32]:
    """Return the draws of all chains one after another, events only."""
    return run.draws[:, :, :events].reshape(-1, events)


def usual_variations(suppositions: Suppositions) -> dict[str, Suppositions]:
    """Return the variations to show: chance of intrusion, lag, residual share, moved soil halved and doubled, absence on or off."""
    found: dict[str, Suppositions] = {}
    for word, factor in (("half", 0.5), ("twice", 2.0)):
        intrusion = replace(suppositions.intrusion, undisturbed=min(suppositions.intrusion.undisturbed * factor, 0.5))
        discard = suppositions.discard
        found[f"intrusion {word} as likely"] = replace(suppositions, intrusion=intrusion)
        found[f"discard lag {word} as long"] = replace(suppositions, discard=replace(discard, lag=discard.lag * factor))
        found[f"residual share {word}"] = replace(
            suppositions, discard=replace(discard, residual_share=min(discard.residual_share * factor, 0.9))
        )
        found[f"moved soil {word} as likely"] = replace(
            suppositions, discard=replace(discard, redeposited=min(discard.redeposited * factor, 0.9))
        )
    found["without the absence of later finds" if suppositions.absence else "with the absence of later finds"] = replace(
        suppositions, absence=not suppositions.absence
    )
    return found
