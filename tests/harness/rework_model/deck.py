"""What has to come off the deck, and what may."""

from dataclasses import dataclass

from harness.rework_model.case import Shop
from harness.rework_model.readings import Document, at
from harness.rework_model.zones import zone_of

# No deck is cut by less, in mm: the cutter has to take hold (common practice, no source).
FINEST = 0.05

CURED = {
    "deck-flatness": "flatness_left",
    "deck-flatness-least-squares": "flatness_left",
    "deck-flatness-local": "flatness_left",
    "deck-feeler-lengthwise": "flatness_left",
    "deck-feeler-crosswise": "flatness_left",
    "deck-feeler-diagonal": "flatness_left",
    "deck-roughness": "roughness_left",
}


@dataclass(frozen=True)
class Cut:
    """From so much to so much, in mm; a deck that is in order may be left alone."""

    least: float
    most: float
    needed: bool


def is_acceptable(row: dict, profile: dict) -> bool:
    """May a row of the head stay as it is?"""
    if row["verdict"] in ("conforms", "no-limit"):
        return True
    required = "limit" in row and profile["limits"][row["limit"]]["required"]
    inside = row["verdict"] == "not-proven" and row["deviation"] <= 0
    return not required and (inside or row["verdict"] == "not-measured")


def cut_of(document: Document, rows: dict[str, dict], profile: dict, shop: Shop) -> Cut | None:
    """The cuts that leave the deck in order; nothing where none can be made."""
    judged = [rows[name] for name in CURED if name in rows and rows[name]["verdict"] != "not-measured"]
    bad = [row for row in judged if not is_acceptable(row, profile)]
    work = shop.posted.get("deck")
    if not work or _may_be_bent(document, rows):
        return None
    least, most = 0.0, shop.mm(work["most"])
    points = at(document.document, ("deck", "heights", "points"))
    if bad and not points:
        return None
    if points:
        # Cut at all, a deck is cut clean.
        heights = [document.reading(point["z"]).value for point in points]
        least = max(heights) - min(heights)
    for name in CURED:
        if name in rows and "limit" in rows[name]:
            size = shop.document.size("length" if CURED[name] == "flatness_left" else "roughness")
            zone = zone_of(rows[name], profile["decision_rule"])
            if zone is not None and not zone.holds(work[CURED[name]] * size):
                return None
    thickness = rows.get("head-thickness")
    if thickness and "limit" in thickness and thickness.get("measured") is not None:
        zone = zone_of(thickness, profile["decision_rule"])
        if zone is None:
            return None
        if zone.lower is not None:
            most = min(most, thickness["measured"] - zone.lower)
    least = max(least, FINEST)
    return Cut(least, most, bool(bad)) if least <= most else None


def _may_be_bent(document: Document, rows: dict[str, dict]) -> bool:
    """The deck of an overhead-cam head is not cut before its cam bores were measured, and are straight."""
    if document.document["layout"]["camshaft"] != "overhead":
        return False
    row = rows.get("cam-bore-straightness", {})
    return row.get("measured") is None or row["verdict"] not in ("conforms", "no-limit")
