"""Times scipy.optimize.linprog and numpy.linalg.lstsq on the sums the benchmark hands over.

Reads one JSON object: {"decks": [[[x, y, z], ...], ...], "turns": [[reading, ...], ...]}; prints one with the
median microseconds of a call and the answers, so that the benchmark can see that both sums are the same.
"""

import json
import sys
import time

import numpy as np
from scipy.optimize import linprog


def timed(calls, function):
    """The median microseconds of calling a function with each of the inputs, and its answers."""
    times, answers = [], []
    for inputs in calls:
        begin = time.perf_counter()
        answer = function(*inputs)
        times.append((time.perf_counter() - begin) * 1e6)
        answers.append(float(answer))
    return {"microseconds": float(np.median(times)), "answers": answers}


def zone(plane, heights):
    """The least zone of heights above a linear model: 2t with |height - model| <= t."""
    half = -np.ones((len(heights), 1))
    solved = linprog(
        [0, 0, 0, 2],
        A_ub=np.vstack([np.hstack([-plane, half]), np.hstack([plane, half])]),
        b_ub=np.concatenate([-heights, heights]),
        bounds=[(None, None)] * 3 + [(0, None)],
        method="highs",
    )
    return solved.fun


def spread(plane, heights):
    """Greatest less least residual of the least-squares fit."""
    fit = np.linalg.lstsq(plane, heights, rcond=None)[0]
    return np.ptp(heights - plane @ fit)


def deck(points):
    points = np.array(points)
    places = points[:, :2] - points[:, :2].mean(axis=0)
    scale = np.abs(places).max()
    # Micrometres, so that the tolerances of the solver are far below a gauge's.
    return np.column_stack([places / scale, np.ones(len(points))]), points[:, 2] * 1000


def turn(readings):
    angles = np.arange(len(readings)) * 2 * np.pi / len(readings)
    return np.column_stack([np.cos(angles), np.sin(angles), np.ones(len(readings))]), np.array(readings) * 1000


given = json.load(sys.stdin)
decks, turns = [deck(points) for points in given["decks"]], [turn(readings) for readings in given["turns"]]
zone(*decks[0])
json.dump(
    {
        "deck_zone": timed(decks, zone),
        "deck_spread": timed(decks, spread),
        "turn_zone": timed(turns, zone),
        "turn_spread": timed(turns, spread),
    },
    sys.stdout,
)
