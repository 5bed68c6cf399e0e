"""Alerts in the calendar: raised, changed, called off when the danger passes, and never at the steps' expense."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from ics_reading import events, raw_events
from invented import make_plan, make_scenario, make_site

from seasonplan.errors import InputFaults
from seasonplan.model import Alert, WatchReport
from seasonplan.outputs.calendar import combine, render_calendar, update_alerts, update_combined_alerts

TODAY = date(2027, 6, 1)
PLAN = make_plan(alerts=(), today=TODAY)
STEPS = render_calendar(PLAN, None)


def alert_of(day: int = 3, place: str = "lawn", **given) -> Alert:
    base = Alert(f"watch-2027-06-{day:02d}-{place}-0@seasonplan.invalid", date(2027, 6, day), place, 4.0, 1.0, 0.6, 2.0,
                 ("Lemon", "Olive"), "Carry both to the porch.", f"2027-06-{day:02d}T20:00", frost=True,
                 alarm=f"2027-06-{day:02d}T18:00")
    return replace(base, **given)


def report_of(*alerts: Alert, site: str = "Invented town") -> WatchReport:
    return WatchReport(site, "2027-06-01T06:00:00Z", "a file", alerts)


def watched(previous, *alerts, today=TODAY):
    return update_alerts(previous, replace(PLAN, today=today), report_of(*alerts))


def alerts_in(calendar: bytes):
    return {uid: event for uid, event in events(calendar).items() if uid.startswith("watch-")}


def test_a_raised_alert_is_added_and_every_step_keeps_its_bytes():
    calendar = watched(STEPS, alert_of())
    [(uid, event)] = alerts_in(calendar).items()
    assert uid == alert_of().uid and event["SEQUENCE"] == 0
    assert event["DTSTART"].dt == datetime(2027, 6, 4, 0, 0, tzinfo=UTC), "an hour before 20:00 summer time in Chicago"
    assert event["DTEND"].dt == datetime(2027, 6, 4, 14, 0, tzinfo=UTC), "nine in the morning after"
    assert event.walk("VALARM")[0].decoded("TRIGGER") == timedelta(hours=-1)
    assert {u: raw for u, raw in raw_events(calendar).items() if u != uid} == raw_events(STEPS)
    assert calendar.index(b"2027-06-03") < calendar.index(b"20270612"), "it stands among the steps by its date"


def test_watching_twice_with_the_same_news_changes_nothing():
    once = watched(STEPS, alert_of(), alert_of(4))
    assert watched(once, alert_of(), alert_of(4)) == once


def test_news_about_the_same_night_is_a_new_version_of_the_same_event():
    calendar = watched(watched(STEPS, alert_of()), alert_of(chance=0.7))
    [event] = alerts_in(calendar).values()
    assert event["SEQUENCE"] == 1 and "70 %" in event["DESCRIPTION"]


def test_a_danger_that_passes_is_called_off_then_left_out_and_may_come_back():
    raised = watched(STEPS, alert_of())
    off = watched(raised)
    [event] = alerts_in(off).values()
    assert event["STATUS"] == "CANCELLED" and event["SUMMARY"].startswith("Cancelled: Frost: 3 pots to safety")
    assert event["SEQUENCE"] == 1 and not event.walk("VALARM")
    assert event["DTSTART"].dt == alerts_in(raised)[alert_of().uid]["DTSTART"].dt
    gone = watched(off)
    assert not alerts_in(gone)
    assert raw_events(gone) == raw_events(STEPS)
    assert alerts_in(watched(off, alert_of()))[alert_of().uid]["SEQUENCE"] == 2
    assert alerts_in(watched(gone, alert_of()))[alert_of().uid]["SEQUENCE"] == 2


@pytest.mark.parametrize(("today", "left"), [
    (date(2027, 6, 3), "CANCELLED"), (date(2027, 6, 4), "CONFIRMED"), (date(2027, 7, 3), "CONFIRMED"),
    (date(2027, 7, 4), None)])
def test_a_night_that_has_been_is_not_called_off(today, left):
    """In Chicago the evening of 3 June is 4 June in UTC; the local date counts. After 30 days it is left out."""
    found = alerts_in(watched(watched(STEPS, alert_of()), today=today))
    assert [event["STATUS"] for event in found.values()] == ([left] if left else [])


def test_planning_again_carries_the_alerts_on():
    calendar = watched(watched(STEPS, alert_of(), alert_of(5)), alert_of())
    assert {event["STATUS"] for event in alerts_in(calendar).values()} == {"CONFIRMED", "CANCELLED"}
    again = render_calendar(PLAN, calendar)
    assert raw_events(again) == raw_events(calendar)


def test_planning_the_next_season_drops_the_alerts_of_the_last():
    calendar = render_calendar(replace(PLAN, year=2028, steps=()), watched(STEPS, alert_of()))
    assert not alerts_in(calendar) and len(raw_events(calendar)) == len(PLAN.steps)


def test_without_a_calendar_the_alert_makes_one():
    calendar = watched(None, alert_of())
    assert b"NAME:Plants at Invented town\r\n" in calendar and list(events(calendar)) == [alert_of().uid]


def test_a_mark_that_a_reader_threw_away_does_not_turn_an_alert_into_a_step():
    lines = watched(STEPS, alert_of()).split(b"\r\n")
    bare = b"\r\n".join(line for line in lines if not line.startswith(b"X-SEASONPLAN-MARK"))
    assert raw_events(render_calendar(PLAN, bare)) == raw_events(bare)
    assert [event["STATUS"] for event in alerts_in(watched(bare)).values()] == ["CANCELLED"]
    assert raw_events(watched(bare, alert_of())) == raw_events(bare)


def test_a_start_that_is_no_date_is_borne():
    odd = watched(STEPS, alert_of()).replace(b"DTSTART:20270604T000000Z", b"DTSTART:20271399T990000Z")
    assert alert_of().uid not in alerts_in(watched(odd)), "it cannot be read, so it cannot be called off"
    assert alerts_in(watched(odd, alert_of()))[alert_of().uid]["SEQUENCE"] == 0, "the news has not changed"


OTHER = make_plan(alerts=(), today=TODAY, steps=(), scenario=make_scenario(site=make_site(name="Other town")))


def test_a_combined_calendar_keeps_alerts_of_sites_that_were_not_watched():
    both = combine([PLAN, OTHER], None)
    far = alert_of(place="far lawn", uid="watch-2027-06-03-far-1@seasonplan.invalid")
    raised = update_combined_alerts(both, [(PLAN, report_of(alert_of())), (OTHER, report_of(far, site="Other town"))])
    assert str(alerts_in(raised)[far.uid]["SUMMARY"]).startswith("Other town: Frost: 3 pots to safety")
    after = update_combined_alerts(raised, [(PLAN, report_of())])
    assert alerts_in(after)[alert_of().uid]["STATUS"] == "CANCELLED"
    assert raw_events(after)[far.uid] == raw_events(raised)[far.uid]


def test_combined_alerts_of_two_sites_of_one_name_are_refused():
    with pytest.raises(InputFaults, match="name of its own"):
        update_combined_alerts(STEPS, [(PLAN, report_of()), (PLAN, report_of())])


SPELL = "watch-2027-06-03-invented-town-1@seasonplan.invalid"


def night(day: int, **given) -> Alert:
    """One night of a spell that begins on the third; the plants go out again on the sixth."""
    return alert_of(day, uid=f"watch-{day}@x", spell=SPELL, out_again=date(2027, 6, 6), **given)


def test_a_spell_is_one_event_until_the_plants_go_out_again():
    later = [night(day, level="keep-watch", alarm=None) for day in (4, 5)]
    [event] = alerts_in(watched(STEPS, night(3), *later)).values()
    assert event["UID"] == SPELL and str(event["SUMMARY"]) == "Frost: 3 pots to safety by 20:00 on Thu 3 Jun"
    assert (event["DTSTART"].dt, event["DTEND"].dt) == (datetime(2027, 6, 4, 0, 0, tzinfo=UTC),
                                                        datetime(2027, 6, 6, 14, 0, tzinfo=UTC))
    assert len(event.walk("VALARM")) == 1 and str(event["DESCRIPTION"]).count("night of") == 3


def test_it_keeps_its_start_while_it_goes_on_and_no_longer_rings():
    first = watched(STEPS, night(3))
    [event] = alerts_in(watched(first, night(4, stays=True, alarm=None), today=date(2027, 6, 4))).values()
    assert str(event["SUMMARY"]) == "Frost: 3 pots stay in until Sun 6 Jun" and not event.walk("VALARM")
    assert event["DTSTART"].dt == datetime(2027, 6, 4, 0, 0, tzinfo=UTC) and event["SEQUENCE"] == 1


def test_more_plants_on_its_second_night_ring_once_more():
    first = watched(STEPS, night(3))
    [event] = alerts_in(watched(first, night(4), today=date(2027, 6, 4))).values()
    assert event.walk("VALARM")[0].decoded("TRIGGER") == timedelta(hours=23), "from the start, the evening before"
    assert b"TRIGGER:PT23H" in watched(first, night(4), today=date(2027, 6, 4))


def test_a_spell_that_is_over_sooner_ends_this_morning():
    first = watched(STEPS, night(3))
    [event] = alerts_in(watched(first, today=date(2027, 6, 5))).values()
    assert str(event["SUMMARY"]).startswith("Over: Frost") and not event.walk("VALARM")
    assert event["DTEND"].dt == datetime(2027, 6, 5, 14, 0, tzinfo=UTC) and event["STATUS"] == "CONFIRMED"


def test_too_late_for_an_alarm_the_event_says_now():
    [event] = alerts_in(watched(STEPS, night(3, alarm=None))).values()
    assert str(event["SUMMARY"]).startswith("Now: Frost: 3 pots") and not event.walk("VALARM")


def test_a_night_announced_rings_for_nobody():
    [event] = alerts_in(watched(STEPS, night(3, level="keep-watch", alarm=None, frost=False))).values()
    assert str(event["SUMMARY"]) == "Cold likely on Thu 3 Jun: be ready" and not event.walk("VALARM")


def test_the_next_plan_leaves_an_alerts_event_as_watch_wrote_it_and_makes_it_anew_where_the_file_is_gone():
    with_alerts = replace(PLAN, alerts=(night(3),))
    raised = watched(STEPS, night(3))
    assert raw_events(render_calendar(with_alerts, raised)) == raw_events(raised)
    assert SPELL in events(render_calendar(with_alerts, None))
