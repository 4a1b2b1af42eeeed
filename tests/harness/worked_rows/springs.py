"""Springs."""

import numpy as np

from harness.documents import limit
from harness.models import Case, Given
from harness.worked_rows.parts import seen

CASES: dict[str, Case] = {}

LOADED = {
    "spring load": Given((350.0, 560.0, 790.0, 1010.0), 3.0, "force"),
    "height of the spring load": Given((46.0, 42.0, 38.0, 34.0), 0.04),
}
INSTALLED = {"installed height": Given(41.3, 0.05), "seat step": Given(1.0, 0.02)}
LIFT = {"lift": Given(4.9, 0.03)}
WINDING = {
    "wire diameter": Given(4.0, 0.01),
    "outer diameter of the coils": Given(30.0, 0.05),
    "active coils": Given(4.5, 0.05, "ratio"),
}
STEEL_MODULUS, STEEL_DENSITY = 81.5e9, 7850.0


def pack(read: dict) -> dict:
    spring = {}
    if "spring load" in read:
        pairs = zip(read["height of the spring load"], read["spring load"], strict=True)
        spring["loads"] = [{"height": height, "load": load} for height, load in pairs]
    if "wire diameter" in read:
        spring["winding"] = seen(
            read,
            "wire_diameter=wire diameter",
            "outer_diameter=outer diameter of the coils",
            "active_coils=active coils",
        )
    named = {"seat step": "seat_step", "solid height": "solid_height"}
    spring |= {name: read[key] for key, name in named.items() if key in read}
    around = {"installed height": "installed_height", "lift": "lift", "retainer to seal": "retainer_travel"}
    blocks = {name: read[key] for key, name in around.items() if key in read}
    return {"intake": {"spring_pack": blocks | {"springs": [spring] if spring else []}}}


def on_the_line(r: dict, height: np.ndarray, first: int) -> np.ndarray:
    """The load between the readings `first` and the next."""
    (high, low), (soft, hard) = (
        r[key][first : first + 2] for key in ("height of the spring load", "spring load")
    )
    return soft + (hard - soft) * (high - height) / (high - low)


def slope(r: dict) -> np.ndarray:
    """Of least squares: covariance of heights and loads over the variance of the heights, in N/mm."""
    heights, loads = (r[key] - r[key].mean(axis=0) for key in ("height of the spring load", "spring load"))
    return -(heights * loads).sum(axis=0) / (heights**2).sum(axis=0)


def coil(r: dict) -> tuple[np.ndarray, np.ndarray]:
    """Wire and mean coil diameter in metres."""
    return r["wire diameter"] / 1000, (r["outer diameter of the coils"] - r["wire diameter"]) / 1000


def theory(r: dict) -> np.ndarray:
    """G d^4 / (8 D^3 n) in N/mm."""
    wire, mean = coil(r)
    return STEEL_MODULUS * wire**4 / (8 * mean**3 * r["active coils"]) / 1000


def surge(r: dict) -> np.ndarray:
    wire, mean = coil(r)
    return wire / (2 * np.pi * r["active coils"] * mean**2) * np.sqrt(STEEL_MODULUS / (2 * STEEL_DENSITY))


CASES["shims needed"] = Case(
    "shims-needed",
    {"installed height": Given(41.3, 0.05)},
    pack,
    lambda r: r["installed height"] - 40.5,
    limits=(limit("installed-height", lower=40, nominal=40.5, upper=42),),
)
CASES["seat load"] = Case(
    "seat-load",
    LOADED | INSTALLED,
    pack,
    lambda r: on_the_line(r, r["installed height"] - r["seat step"], 1),
)
CASES["open load"] = Case(
    "open-load",
    LOADED | INSTALLED | LIFT,
    pack,
    lambda r: on_the_line(r, r["installed height"] - r["seat step"] - r["lift"], 2),
)
CASES["spring rate"] = Case("spring-rate", LOADED, pack, slope)
CASES["spring rate to theory"] = Case(
    "spring-rate-to-theory", LOADED | WINDING, pack, lambda r: slope(r) / theory(r)
)
CASES["spring natural frequency"] = Case("spring-natural-frequency", WINDING, pack, surge)
CASES["coil-bind margin"] = Case(
    "coil-bind-margin",
    INSTALLED | LIFT | {"solid height": Given(30.0, 0.05)},
    pack,
    lambda r: r["installed height"] - r["seat step"] - r["lift"] - r["solid height"],
)
CASES["retainer margin"] = Case(
    "retainer-margin",
    {"retainer to seal": Given(13.0, 0.05)} | LIFT,
    pack,
    lambda r: r["retainer to seal"] - r["lift"],
)


def springs_of(which: str, loads: tuple[float, float]) -> dict[str, Given]:
    return {
        f"{which} load": Given(loads, 3.0, "force", label=f"{which}est: spring load"),
        f"{which} height": Given((46.0, 36.0), 0.04, label=f"{which}est: height of the spring load"),
        f"{which} installed": Given(41.0, 0.05, label=f"{which}est: installed height"),
    }


def matched(read: dict) -> dict:
    def port(which: str, **place) -> dict:
        pairs = zip(read[f"{which} height"], read[f"{which} load"], strict=True)
        loads = [{"height": height, "load": load} for height, load in pairs]
        return place | {
            "cylinder": 1,
            "spring_pack": {"installed_height": read[f"{which} installed"], "springs": [{"loads": loads}]},
        }

    plain = {"alone height": [46, 36], "alone load": [300, 900], "alone installed": 41}
    read = read | plain
    ports = [
        port("strong", service="intake", index=1),
        port("weak", service="intake", index=2),
        port("alone", service="exhaust", index=1),
    ]
    return {"layout": {"intake_per_cylinder": 2}, "ports": ports}


def seat_load(r: dict, which: str) -> np.ndarray:
    renamed = {"height of the spring load": r[f"{which} height"], "spring load": r[f"{which} load"]}
    return on_the_line(renamed, r[f"{which} installed"], 0)


CASES["spring match"] = Case(
    "spring-match",
    springs_of("weak", (310.0, 860.0)) | springs_of("strong", (370.0, 990.0)),
    matched,
    lambda r: seat_load(r, "weak") / seat_load(r, "strong"),
    side="lower",
    service=None,
)
