"""Programs solved by scipy.optimize.milp (HiGHS)."""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from harness.rework_model.algebra import Program

# What HiGHS may leave of a row; the zones keep a hair of 2e-6 inside their limits.
EXACT = {"mip_rel_gap": 0.0, "presolve": True}


def solved(program: Program) -> tuple[float, dict] | None:
    """The least price and where it is reached, or nothing where nothing meets every row."""
    names = list(program.variables)
    column = {name: number for number, name in enumerate(names)}
    price = np.zeros(len(names))
    for name, part in program.price.parts.items():
        price[column[name]] += part
    rows, entries = [], []
    for number, (value, least, most, _) in enumerate(program.rows):
        if not value.parts:
            if not least - 1e-9 <= value.constant <= most + 1e-9:
                return None
        for name, part in value.parts.items():
            entries.append((number, column[name], part))
        rows.append((least - value.constant, most - value.constant))
    found = list(program.variables.values())
    if not names:
        return program.price.constant, {}
    constraints = []
    if entries:
        where = np.array([entry[:2] for entry in entries])
        matrix = coo_array(
            ([entry[2] for entry in entries], (where[:, 0], where[:, 1])), shape=(len(rows), len(names))
        )
        low, high = np.array(rows).T
        constraints.append(LinearConstraint(matrix.tocsr(), low, high))
    result = milp(
        price,
        integrality=[int(one.whole) for one in found],
        bounds=Bounds([one.least for one in found], [one.most for one in found]),
        constraints=constraints,
        options=EXACT,
    )
    if result.status == 2:
        return None
    assert result.status == 0, result.message
    return result.fun + program.price.constant, dict(zip(names, result.x.tolist(), strict=True))
