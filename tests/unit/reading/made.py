"""Small random tables of evidence for the tests of weighing."""

from __future__ import annotations

import numpy as np

from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import CANNOT_SAY, SCALE, Expectation, expectation_of

WORDS = [*(word.word for word in SCALE), CANNOT_SAY.word]


def random_question(seed: int, readings: int, pieces: int, causes: int = 0) -> Question:
    """Return a question with words, a few numbers, some blanks, some sightings that are not there, and some common causes."""
    rng = np.random.default_rng(seed)
    names = [f"r{place}" for place in range(readings)]
    evidence = []
    for place in range(pieces):
        cells: dict[str, Expectation] = {}
        for name in names:
            draw = rng.random()
            if draw < 0.75:
                cells[name] = expectation_of(str(rng.choice(WORDS)))
            elif draw < 0.92:
                low = float(rng.uniform(0.01, 0.7))
                cells[name] = expectation_of(f"{low:.3f} to {low + float(rng.uniform(0.01, 0.25)):.3f}")
        cause = f"c{rng.integers(causes)}" if causes and rng.random() < 0.7 else None
        evidence.append(Evidence(f"e{place:02d}", f"sighting {place}", cells, bool(rng.random() < 0.8), cause))
    priors = rng.dirichlet(np.full(readings, 3.0)) * 0.9
    held = [Reading(name, name, float(share)) for name, share in zip(names, priors, strict=True)]
    return question_of("made", held, evidence)
