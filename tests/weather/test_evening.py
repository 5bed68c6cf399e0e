"""One message an evening, cold spells as one event, the hour of the alarm: evening by evening."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from weather.garden import LAWN, ROOM, WINDOW, garden_plant, make_forecast, make_garden, standing_at

from seasonplan import watch_report
from seasonplan.weather.spells import still_in, with_alarms, with_spells

TODAY, DAY = date(2027, 6, 1), timedelta(days=1)
MILD = [17.0] * 7


def garden(out=date(2027, 5, 1)):
    return make_garden([standing_at(garden_plant("Fern", 10.0, count=2), "lawn", out),
                        standing_at(garden_plant("Ivy", 4.0), "lawn", out)], (WINDOW, ROOM, LAWN))


def evenings(*forecasts, plan=None):
    """One report after the other, each knowing the alerts of the one before."""
    reports, before = [], ()
    for n, lows in enumerate(forecasts):
        report = watch_report(plan or garden(), make_forecast(TODAY + n * DAY, lows), TODAY + n * DAY, before=before)
        reports.append(report)
        before = report.alerts
    return reports


def test_nothing_to_tell_is_no_message():
    [report] = evenings(MILD)
    assert report.evening is None and report.alerts == () and report.sky == ()


def test_the_message_says_what_from_where_where_to_by_when_and_until_when():
    [report] = evenings([7.0, 7.0, 17.0, 17.0, 17.0, 7.0, 7.0])
    assert report.evening.title == "Tonight by 19:00: carry 2 pots to safety"
    assert report.evening.by == "2027-06-01T19:00"
    assert report.evening.lines[0] == ("Carry Fern (2 pots) from lawn in to south window. Out again on Thu 3 Jun, "
                                       "as it looks now.")
    assert "By the forecast about 7 °C at the plants in the night of Tue 1 Jun" in report.evening.lines[1]
    assert not any("ready for Wed 2 Jun" in line for line in report.evening.lines), "it is in by then"
    assert report.evening.lines[-1].startswith("Be ready for Mon 7 Jun, by the forecast about 7 °C at the plants: Fern")


def test_a_spell_is_one_event_from_the_first_carry_to_the_way_out():
    first, second, third, after = evenings([7.0, 7.0, 7.0, 17.0, 17.0], [7.0, 7.0, 17.0, 17.0], [7.0, 17.0, 17.0],
                                           MILD)
    assert {alert.spell for report in (first, second, third) for alert in report.alerts} == {first.alerts[0].spell}
    assert {alert.began for report in (first, second, third) for alert in report.alerts} == {TODAY}
    assert [report.alerts[0].stays for report in (first, second, third)] == [False, True, True]
    assert second.evening.title == "Tonight 2 pots stay in" and second.alerts[0].to == "south window"
    assert second.alerts[0].action == "Leave Fern (2 pots) at south window until Fri 4 Jun, as it looks now."
    assert after.evening.title == "2 pots may go out again today"
    assert after.evening.lines == ("May go out again today, to lawn: Fern (2 pots).",)


def test_what_has_been_told_is_told_by_the_same_pieces():
    spell = [7.0, 7.0, 17.0, 17.0]
    first, again, second = evenings(spell)[0], evenings(spell)[0], evenings(spell, [7.0, 17.0, 17.0])[1]
    assert first.evening == again.evening
    assert set(second.evening.pieces) <= set(first.evening.pieces), "day two brings nothing new"
    longer = evenings([7.0, 7.0, 17.0, 17.0], [7.0, 7.0, 17.0])[1]
    assert set(longer.evening.pieces) - set(first.evening.pieces)


def test_a_second_plant_in_the_same_spell_is_carried_while_the_first_stays():
    _, colder = evenings([7.0, 7.0, 7.0, 17.0], [1.0, 7.0, 17.0, 17.0])
    by_plant = {alert.plants: alert for alert in colder.alerts if alert.act}
    assert by_plant["Fern",].stays and not by_plant["Ivy",].stays
    assert len({alert.spell for alert in colder.alerts}) == 1
    assert colder.evening.title == "Tonight by 19:00: carry 1 pot to safety"
    assert any(line == "Leave Fern (2 pots) at south window until Fri 4 Jun, as it looks now."
               for line in colder.evening.lines)


def test_an_announced_night_that_is_called_off_is_said_once():
    announced, off, quiet = evenings([17.0, 17.0, 2.0, 17.0], MILD, MILD)
    assert announced.evening.title == "Be ready: a cold night is likely on Thu 3 Jun"
    assert off.evening.title == "No longer expected: the cold night of Thu 3 Jun"
    assert quiet.evening is None


def test_two_spells_have_two_names_and_one_mild_night_between_does_not_part_them():
    [bridged] = evenings([5.0, 17.0, 5.0, 17.0, 17.0, 17.0])
    [apart] = evenings([5.0, 17.0, 17.0, 17.0, 1.0, 17.0])
    assert len({alert.spell for alert in bridged.alerts}) == 1
    assert len({alert.spell for alert in apart.alerts}) == 2
    assert bridged.alerts[0].out_again == TODAY + 3 * DAY


def test_a_plant_that_was_to_go_out_today_is_left_in():
    [report] = evenings([8.0, 17.0, 17.0], plan=garden(out=TODAY))
    assert report.evening.title == "Tonight by 19:00: leave 2 pots in"


def test_what_was_to_go_out_again_days_ago_is_carried_in_anew():
    [first] = evenings([7.0, 17.0, 17.0])
    assert still_in(first.alerts, TODAY + DAY) and not still_in(first.alerts, TODAY + 2 * DAY)
    assert not still_in(first.alerts, TODAY), "tonight's own alerts are of no earlier night"
    endless = [replace(alert, out_again=None) for alert in first.alerts]
    assert still_in(endless, TODAY + 9 * DAY) and not still_in(endless, TODAY + 12 * DAY)


@pytest.mark.parametrize("written, rings", [
    ("2027-06-01T07:17", "2027-06-01T17:00"), ("2027-06-01T16:02", "2027-06-01T17:05"),
    ("2027-06-01T16:00", "2027-06-01T17:00"), ("2027-06-01T17:40", "2027-06-01T18:40"),
    ("2027-06-01T17:50", None), ("2027-06-01T20:00", None), ("2027-06-01T16:02:31", "2027-06-01T17:05")])
def test_the_alarm_rings_an_hour_after_the_file_was_written_and_before_the_hour(written, rings):
    """The work should be done by 19:00."""
    alerts = with_alarms(evenings([7.0, 7.0, 17.0, 17.0])[0].alerts, datetime.fromisoformat(written))
    assert [alert.alarm for alert in alerts] == [rings, None], "tonight's, and none for the night announced"


def test_nothing_rings_for_plants_that_only_stay_in():
    _, second = evenings([7.0, 7.0, 17.0, 17.0], [7.0, 17.0, 17.0])
    assert [alert.alarm for alert in with_alarms(second.alerts, datetime(2027, 6, 2, 7, 17))] == [None]


def test_spells_of_another_garden_have_other_names():
    alerts = evenings([7.0, 17.0])[0].alerts
    assert with_spells(alerts, (), "a")[0].spell != with_spells(alerts, (), "b")[0].spell
    assert replace(alerts[0], spell="nonsense").began == alerts[0].night


def test_a_plant_whose_season_ends_in_a_few_days_need_not_go_out_again():
    near, far = (make_garden([standing_at(garden_plant("Fern", 10.0, count=2), "lawn", date(2027, 5, 1), back)],
                             (WINDOW, ROOM, LAWN)) for back in (TODAY + 4 * DAY, TODAY + 9 * DAY))
    cold, mild = [7.0, 17.0, 17.0, 17.0, 17.0], [17.0] * 5
    first, after = evenings(cold, mild, plan=near)
    assert first.evening.lines[0] == ("Carry Fern (2 pots) from lawn in to south window. There it may stay, apart from "
                                      "the others until its pest check: the move in is planned for Sat 5 Jun.")
    assert after.evening is None and first.alerts[0].out_again is None
    first, after = evenings(cold, mild, plan=far)
    assert "Out again on Wed 2 Jun" in first.evening.lines[0] and "go out again today" in after.evening.title


def test_several_ways_in_share_one_way_out():
    plan = make_garden([standing_at(garden_plant("Fern", 10.0, count=3), "lawn", date(2027, 5, 1)),
                        standing_at(garden_plant("Palm", 10.0), "lawn", date(2027, 5, 1))], (WINDOW, ROOM, LAWN))
    [report] = evenings([7.0, 17.0, 17.0, 17.0], plan=plan)
    assert [line for line in report.evening.lines if "ut again" in line] == [
        "All out again on Wed 2 Jun, as it looks now."]


def test_nights_called_off_are_those_that_were_announced():
    """Those over which a plant was to stay in anyway are no news; several are one sentence."""
    stays = evenings([7.0, 7.0, 17.0, 17.0], [17.0, 17.0, 17.0])[1]
    assert not any("No longer expected" in line for line in stays.evening.lines)
    off = evenings([17.0, 5.0, 5.0, 17.0], [17.0, 17.0, 17.0])[1]
    assert off.evening.lines == ("No longer expected: the cold nights of Wed 2 Jun and Thu 3 Jun.",)


def test_over_a_mild_night_between_cold_ones_plants_stay_in_and_the_spell_goes_on():
    first, mild, cold, after = evenings([7.0, 17.0, 17.0, 17.0], [17.0, 7.0, 17.0, 17.0], [7.0, 17.0, 17.0], MILD)
    assert mild.evening.title == "Tonight 2 pots stay in"
    assert mild.evening.lines == ("Leave Fern (2 pots) at south window until Fri 4 Jun, as it looks now.",
                                  "By the forecast about 17 °C at the plants in the night of Wed 2 Jun: milder, but "
                                  "not the night after it.")
    assert {alert.spell for report in (first, mild, cold) for alert in report.alerts} == {first.alerts[0].spell}
    assert cold.evening.title == "Tonight 2 pots stay in" and after.evening.title == "2 pots may go out again today"
