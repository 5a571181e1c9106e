"""The one place where a linear programme is solved."""

from __future__ import annotations

from typing import Any

import numpy as np
import scipy.optimize
from numpy.typing import NDArray

__all__ = ["least"]

Floats = NDArray[np.float64]
_linprog: Any = scipy.optimize.linprog  # its stubs leave sparse matrices out


def least(cost: Floats, matrix: Any, limit: Floats, upper: float | None = None, *, method: str = "highs") -> Floats | None:
    """Return the x that makes cost·x least under matrix·x ≤ limit and 0 ≤ x ≤ upper, or None when there is none.

    Parameters
    ----------
    cost : float array, shape (n,)
    matrix : sparse array, shape (k, n)
    limit : float array, shape (k,)
    upper : float, optional
        Bound of every x; none when None.
    method : str
        scipy's name of the HiGHS method.
    """
    answer = _linprog(cost, A_ub=matrix, b_ub=limit, bounds=(0.0, upper), method=method)
    return np.asarray(answer.x, dtype=np.float64) if answer.status == 0 else None
