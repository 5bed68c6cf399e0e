"""[site] and [rules]: what is taken, what is assumed, what is refused."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import PLACES, SITE, ZONE, faults_of, read

from seasonplan.inputs.position import hours_off_the_sun, zone_of_longitude
from seasonplan.inputs.site import week_days
from seasonplan.model import Rules


def rules(text):
    return read(SITE + ZONE + "[rules]\n" + text + PLACES).rules


def test_every_rule_has_a_default():
    assert read().rules == Rules()


def test_rules_are_read():
    found = rules('year = 2026\npolicy = "careful"\nharm_risk = 0.2\ncarry_in_nights = 0\nfreeze_risk = 0.05\n'
                  'carries_per_harm = 50\nmove_days = ["Sunday", "mon"]\nminutes_per_day = 60\nchildren = true\n'
                  'pets = true\nunits = "imperial"')
    assert found == Rules(2026, "careful", 0.2, 0.0, 0.05, 50.0, ("mon", "sun"), 60, True, True, "imperial")


def test_an_empty_list_of_move_days_means_any():
    assert rules("move_days = []").move_days == ()


@pytest.mark.parametrize("value", [["sat", 5], ["sa"], "sat", 3, ["sat", "SAT"]])
def test_move_days_that_are_refused(value):
    with pytest.raises(Exception, match="found|twice"):
        week_days(value)


def test_the_site_is_read_with_its_station():
    site = read(SITE + ZONE + "station_elevation_m = 150\nnight_offset_c = -1.5\n" + PLACES).site
    assert (site.latitude_deg, site.longitude_deg, site.elevation_m) == (44.5, -93.0, 250.0)
    assert site.night_shift_c == pytest.approx(-1.5 - 0.5)


@pytest.mark.parametrize(("latitude", "longitude"), [(90, 0), (-90, 180), (0, -180), (0.0, 0.0)])
def test_the_ends_of_the_earth_are_places(latitude, longitude):
    toml = SITE.replace("44.5", str(latitude)).replace("-93.0", str(longitude)) + PLACES
    assert read(toml).site.latitude_deg == latitude


@pytest.mark.parametrize(("longitude", "zone"), [
    (0, "Etc/GMT"), (7.4, "Etc/GMT"), (7.6, "Etc/GMT-1"), (-93, "Etc/GMT+6"), (150, "Etc/GMT-10"), (180, "Etc/GMT-12"),
    (-180, "Etc/GMT+12")])
def test_far_from_every_town_a_missing_zone_follows_the_longitude(longitude, zone):
    assert zone_of_longitude(longitude) == zone
    found = read(SITE.replace("-93.0", str(longitude)).replace("44.5", "-60") + PLACES)
    assert found.site.timezone == zone
    assert any("No timezone" in note and "assumed" in note for note in found.assumptions)


@settings(deadline=None, max_examples=50, derandomize=True)
@given(st.floats(-180, 180))
def test_assumed_zones_exist_and_stay_near_the_sun(longitude):
    offset = ZoneInfo(zone_of_longitude(longitude)).utcoffset(datetime(2027, 1, 1))
    assert abs(offset.total_seconds() / 3600 - longitude / 15) <= 0.5 + 1e-9


def test_a_given_zone_is_not_an_assumption():
    assert not any("timezone" in note.lower() for note in read().assumptions)


@pytest.mark.parametrize("zone", ["Mars/Olympus", "Europe", "../etc/passwd", "/etc/localtime", "EST5", "", "Berlin"])
def test_zones_that_are_refused(zone):
    found = faults_of(SITE + f'timezone = "{zone}"\n' + PLACES)
    assert len(found) == 1 and found[0].startswith("scenario.toml:6: [site] timezone")


def test_a_longitude_with_the_wrong_sign_is_doubted_not_refused():
    notes = read(SITE.replace("-93.0", "93.0") + ZONE + PLACES).assumptions
    assert any("sign" in note for note in notes)


def test_the_winter_clock_counts_in_either_hemisphere():
    assert hours_off_the_sun("Europe/Berlin", 15) == hours_off_the_sun("Australia/Sydney", 150) == 0
    assert hours_off_the_sun("Europe/Berlin", -15) == 2


@pytest.mark.parametrize(("zone", "longitude"), [
    ("Asia/Shanghai", 75.0), ("Pacific/Kiritimati", -157.4), ("Europe/Madrid", -8.5), ("Africa/Casablanca", -9.6),
    ("America/Argentina/Ushuaia", -68.3), ("Asia/Tokyo", 141.3), ("UTC", 170.0), ("Antarctica/McMurdo", 0.0)])
def test_clocks_that_people_live_by_are_not_doubted(zone, longitude):
    """Places near the far edge of their zone (tz database; longitudes from memory)."""
    assert hours_off_the_sun(zone, longitude) < 4.5


def test_the_way_to_a_garden_is_read():
    assert read(SITE + ZONE + "travel_minutes = 25\n" + PLACES).site.travel_minutes == 25 and \
        read().site.travel_minutes == 0
