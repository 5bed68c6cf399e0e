"""What a form says, as a deed. Raises InputFaults that name the field as the page calls it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.deeds import Deed
from seasonplan.errors import Fault, InputFaults
from seasonplan.model import LogEntry, Plan, PlantPlan, SeenStep, Step
from seasonplan.model.life import told_of

LONGEST_NOTE = 500
OTHER_KINDS = {"found": "found a pest", "rescue": "carried in", "back": "carried out", "given-away": "gave away",
               "died": "died", "pest-clear": "looked and found none"}
"""What can be said of plants that no step asks for: value of the form -> words of the page."""


@dataclass(frozen=True)
class Form:
    """The fields of a form, each with all its values."""

    fields: Mapping[str, Sequence[str]]

    def one(self, name: str) -> str:
        """The first value of a field, without blanks at its ends; "" where it is not there."""
        values = self.fields.get(name, ())
        return values[0].strip() if values else ""

    def all(self, name: str) -> tuple[str, ...]:
        """Every value of a field."""
        return tuple(value for value in self.fields.get(name, ()) if value)


def wrong(field: str, found: str, allowed: str, cause: str = "") -> InputFaults:
    """A fault of one field."""
    return InputFaults([Fault(field, 0, "", found, allowed, cause)])


def number_in(form: Form, name: str, count: int) -> int:
    """A position in a list of so many."""
    text = form.one(name)
    if not text.isdecimal() or int(text) >= count:
        raise wrong(name, f"'{text}'", f"0 to {count - 1}")
    return int(text)


def day_in(form: Form, name: str, usual: date) -> date:
    """A day; the usual one where none is given."""
    text = form.one(name)
    try:
        return date.fromisoformat(text) if text else usual
    except ValueError:
        raise wrong("The day", f"'{text}'", "a date such as 2027-05-29") from None


def pots_in(form: Form) -> int | None:
    """How many pots; None where it is left empty."""
    text = form.one("pots")
    if not text:
        return None
    if not text.isdecimal() or not int(text):
        raise wrong("How many pots", f"'{text}'", "a whole number, or nothing for all of them")
    return int(text)


def deed_of_step(form: Form, plan: Plan, today: date, shown: Mapping[str, SeenStep],
                 log: Iterable[LogEntry]) -> tuple[Deed | None, Step | SeenStep]:
    """A step ticked: (deed, the step). Plants are named where the form leaves some of the step's out.

    shown: steps of earlier plans of today. What is ticked on a page from before the last plan counts by its kind and
    plants, and a move goes where that page said; where the log tells it of that day already (the other phone was
    first), there is no deed.
    """
    uid, on, pots = form.one("step"), day_in(form, "on", today), pots_in(form)
    planned = next((each for each in plan.steps if each.uid == uid), None)
    old = shown.get(uid) if planned is None else None
    step = planned or old
    if step is None:
        raise wrong("The job", "the plan has changed, and it is no longer part of it", "a job of the plan",
                    "Look at the page again.")
    chosen = tuple(name for name in form.all("plant") if name in step.plants)
    some = chosen if chosen and set(chosen) != set(step.plants) else ()
    if pots is not None and len(chosen or step.plants) == 1:
        some = (chosen or step.plants)[:1]
    if planned is None:
        some, known = chosen or step.plants, {each.plant.name for each in plan.plants}
        told = told_of(log, (uid, step.kind), on, on)
        if "" in told or set(some) <= told:
            return None, step
        some = tuple(name for name in some if name in known and name not in told)
    return Deed(step.kind if planned is None else uid, on, some, form.one("place"), pots, None,
                form.one("note")[:LONGEST_NOTE], old.stands if old else {}), step


def deed_of_plants(form: Form, plan: Plan, today: date) -> Deed:
    """Something said of plants: a pest found, carried in or out, given away, died."""
    kind, plants = form.one("what"), form.all("plant")
    if kind not in OTHER_KINDS:
        raise wrong("What happened", f"'{kind}'", ", ".join(OTHER_KINDS.values()))
    if not plants:
        raise wrong("Which plants", "none is ticked", "at least one plant")
    on = day_in(form, "on", today)
    step = f"found-{form.one('pest') or 'unknown'}" if kind == "found" else "move-out" if kind == "back" else kind
    place = form.one("place") or (_home_outdoors(plan, plants, on) if kind == "back" else "")
    return Deed(step, on, plants, place, pots_in(form), None, form.one("note")[:LONGEST_NOTE])


def _home_outdoors(plan: Plan, plants: Sequence[str], on: date) -> str:
    """Where the plan has these plants stand outdoors that day; "" where they part ways."""
    places = {_stand(each, on) for each in plan.plants if each.plant.name in plants}
    return places.pop() if len(places) == 1 else ""


def _stand(plan: PlantPlan, on: date) -> str:
    return next((stop.place for stop in plan.route if stop.date <= on < stop.until),
                plan.route[0].place if plan.route else "")
