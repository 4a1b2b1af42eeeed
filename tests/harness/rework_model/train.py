"""What a sunk valve, a new one, shims, springs and a ground tip do to the valve train."""

from harness.rework_model.algebra import Linear, linear, total, variable
from harness.rework_model.case import Case
from harness.rework_model.course import FREE, Course, Impossible
from harness.rework_model.springs import Spring, heights_for, load

def work_the_train(course: Course) -> None:
    case, after, program = course.case, course.after, course.program
    sink = after.get("seat sink", Linear())
    shorter, longer = Linear(), Linear()
    if course.valve is not None:
        shorter, longer = _another_valve(course)
    deck = variable("deck")
    tip = _tip(course)
    # What the valve's outer face does, and what its tip does.
    deeper, higher = sink - shorter, sink - shorter + longer
    course.sink = deeper
    course.chamber = deeper
    of_the_deck = case.port.get("assembly", {}).get("recession_datum", "deck") == "deck"
    after["recession"] = _moved(case, "recession", deeper - (deck if of_the_deck else 0.0))
    after["valve-to-piston"] = _moved(case, "valve-to-piston", deeper - deck)
    after["stem-protrusion"] = _moved(case, "stem-protrusion", higher - tip)
    after["tip-to-retainer"] = _moved(case, "tip-to-retainer", -tip)
    after["retainer-margin"] = _moved(case, "retainer-margin", higher)
    shims = _shims(course)
    if course.springs is None and _is_weak(case):
        # Pressing them harder than they are, by whatever means, is no cure.
        program.at_least(higher.aimed() - shims, 0.0, "weak springs")
    elif not case.limit("installed-height"):
        _only_restore(course, higher, shims)
    after["installed-height"] = _moved(case, "installed-height", higher - shims)
    after["shims-needed"] = _moved(case, "shims-needed", higher - shims)
    _springs(course, higher - shims)
    _lash(course, higher - tip)
    program.decide("deck", 0.0, 0.0)


def _moved(case: Case, row: str, by: Linear) -> Linear | None:
    measured = case.rows.get(row, {}).get("measured")
    return None if measured is None else measured + by


def _another_valve(course: Course) -> tuple[Linear, Linear]:
    """By how much its margin is thicker, and it is longer."""
    case, shop, valve = course.case, course.case.shop, course.valve
    margin, length = case.value("valve", "margin"), case.value("valve", "overall_length")
    if margin is None:
        raise Impossible
    thicker = shop.mm(valve["margin"]) - margin
    longer = thicker
    if length is not None and valve.get("overall_length") is not None:
        longer = shop.mm(valve["overall_length"]) - length
    course.after["margin"] = linear(shop.mm(valve["margin"]))
    course.after |= dict.fromkeys(("valve-tip", "valve-neck", "keeper-groove"), "cured")
    stem = valve.get("stem_diameter")
    course.after["stem-diameter"] = None if stem is None else linear(shop.mm(stem))
    course.after["stem-to-guide-clearance"] = None
    return linear(thicker), linear(longer)


def _tip(course: Course) -> Linear:
    case, valve = course.case, course.case.port.get("valve", {})
    most = case.shop.length("tip_grinding")
    if course.grind:
        margin = case.rows.get("margin", {}).get("measured")
        course.after["margin"] = None if margin is None else linear(margin - course.after["face"].stock)
    worn = valve.get("tip") == "worn" and course.valve is None
    if most is None or valve.get("sodium_filled") or course.valve is not None:
        return Linear()
    tip = course.program.decide("tip", 0.0, most)
    if worn and not case.is_acceptable(case.rows.get("valve-tip", {"verdict": "no-limit"})):
        course.program.at_least(tip, 0.05, "worn tip")
        course.after["valve-tip"] = "cured"
    if case.shop.objective == "least-cost":
        course.program.decide("tip is ground", 0.0, 1.0, whole=True)
        course.program.at_most(tip - most * variable("tip is ground"), 0.0)
    return tip


def _shims(course: Course) -> Linear:
    case, shop = course.case, course.case.shop
    most = shop.posted.get("shims_per_spring", 3)
    if not case.port.get("spring_pack"):
        return Linear()
    counts = []
    for thickness, there in shop.stock("shims"):
        count = course.program.decide(("shim", thickness), 0.0, min(there, most), whole=True)
        course.uses["shim", thickness] = count
        counts.append((thickness, count))
    if not counts:
        return Linear()
    course.program.at_most(total(count for _, count in counts), most, "shims per spring")
    return total(count * thickness for thickness, count in counts)


def _only_restore(course: Course, higher: Linear, shims: Linear) -> None:
    """Shims give back what work took from the springs, and no more, where springs are weak or no height is stated."""
    program = course.program
    if not shims.parts:
        return
    used = program.decide("shims are used", 0.0, 1.0, whole=True)
    program.at_most(shims - used * FREE, 0.0)
    program.at_least(higher.aimed() - shims + (1 - used) * FREE, 0.0, "restored height")


def _is_weak(case: Case) -> bool:
    """Do the springs lack load, and would at their nominal height? Such are replaced: pressing them is no cure."""
    row, zone = case.rows.get("seat-load"), case.zone("seat-load")
    nominal = case.limit("installed-height").get("nominal")
    if nominal is None or zone is None or zone.lower is None or case.is_acceptable(row):
        return False
    return load(case.springs, nominal * case.profile_length) < zone.lower


def _springs(course: Course, higher: Linear) -> None:
    """Loads and coil bind; `higher` is what the installed height gains."""
    case, after = course.case, course.after
    after["coil-bind-margin"] = _moved(case, "coil-bind-margin", higher)
    springs = case.springs
    if course.springs is not None:
        size, force = case.shop.document.size("length"), case.shop.document.size("force")
        points = course.springs["loads"]
        springs = [
            Spring(
                tuple(point["height"] * size for point in points), tuple(point["load"] * force for point in points)
            )
        ]
        solid = case.shop.mm(course.springs.get("solid_height"))
        installed, lift = case.value("spring_pack", "installed_height"), case.value("spring_pack", "lift")
        if None in (solid, installed, lift):
            after["coil-bind-margin"] = None
        else:
            after["coil-bind-margin"] = installed + higher - lift - solid
        free = case.shop.mm(course.springs.get("free_length"))
        after["spring-free-length"] = None if free is None else linear(free)
        after["spring-squareness"] = None
    installed = case.value("spring_pack", "installed_height")
    lift = case.value("spring_pack", "lift")
    for row, off in (("seat-load", 0.0), ("open-load", lift)):
        zone = case.zone(row)
        if zone is None or installed is None or off is None:
            continue
        after[row] = "inside"
        if not higher.parts and not higher.constant and course.springs is None:
            if not case.is_acceptable(case.rows[row]):
                raise Impossible
            continue
        course.keep(installed + higher - off, heights_for(springs, zone), row)


def _lash(course: Course, higher: Linear) -> None:
    """Only a bucket's lash is bound to shims; a screw sets any lash, and a hydraulic lifter has none."""
    case, after, shop = course.case, course.after, course.case.shop
    if case.document.document["layout"]["lifter"] != "bucket-with-shim":
        after["lash"] = None
        return
    lash, old = case.value("assembly", "lash"), case.value("assembly", "lash_shim")
    zone = case.zone("lash")
    if lash is None or old is None:
        after["lash"] = None if lash is None else lash - higher
        return
    stocked = shop.stock("lash_shims")
    if not stocked:
        thicker = course.program.decide("lash shim", -old, 10.0)
    else:
        kept = course.program.decide("old lash shim", 0.0, 1.0, whole=True)
        choices = [kept]
        thicker = Linear()
        for thickness, there in stocked:
            if there:
                chosen = course.program.decide(("lash", thickness), 0.0, 1.0, whole=True)
                course.uses["lash", thickness] = chosen
                choices.append(chosen)
                thicker = thicker + chosen * (thickness - old)
        course.program.between(total(choices), 1.0, 1.0)
    # The shim is chosen when the seat is done and the lash measured: misses do not count.
    after["lash"] = lash - higher.aimed() - thicker
    if zone is None and stocked:
        # Nobody says how much it shall be: as much as it was, if a shim gives that.
        off = course.program.decide("lash off")
        course.program.at_least(off - (higher.aimed() + thicker), 0.0)
        course.program.at_least(off + (higher.aimed() + thicker), 0.0)
        after["lash off"] = off
