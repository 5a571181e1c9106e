"""The one place where a linear programme is solved."""

from __future__ import annotations

from typing import Any

import numpy as np
import scipy.optimize
from numpy.typing import NDArray

__all__ = ["least"]

Floats = NDArray[np.float64]
_linprog: Any = scipy.optimize.linprog  # its stubs leave sparse matrices out


def least(
    cost: Floats, matrix: Any, limit: Floats, bounds: tuple[Floats | float, Floats | float], *, method: str, prices: bool = False
) -> Floats | None:  # fmt: skip
    """Return the x that makes cost·x least under matrix·x ≤ limit and its bounds, or None when there is none.

    Parameters
    ----------
    cost : float array, shape (n,)
    matrix : sparse array, shape (k, n)
    limit : float array, shape (k,)
    bounds : pair of float or float array
        Least and greatest value of every x.
    method : str
        scipy's name of the HiGHS method.
    prices : bool
        True to return the prices of the limits (k values, not negative) instead of x.
    """
    low, high = (np.broadcast_to(bound, cost.shape) for bound in bounds)
    answer = _linprog(cost, A_ub=matrix, b_ub=limit, bounds=np.column_stack([low, high]), method=method)
    if answer.status != 0:
        return None
    return np.asarray(-answer.ineqlin.marginals if prices else answer.x, dtype=np.float64)
