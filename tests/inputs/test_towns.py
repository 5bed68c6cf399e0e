"""From a typed name to a town; towns in scenario.toml. Latitudes, states and largest towns in the checks: memory."""

import pytest
from invented_files import PLACES, SITE, faults_of, read

from seasonplan.data import table
from seasonplan.inputs.towns import find_towns, nearest_town, one_slip, told_apart


def first(text):
    found = find_towns(text)
    return found.towns[0].full_name, len(found.towns), found.how


@pytest.mark.parametrize(("typed", "name"), [
    ("Leeds", "Leeds, GB"), ("leeds uk", "Leeds, GB"), ("LEEDS, England", "Leeds, GB"), ("Munich", "Munich, DE"),
    ("München", "Munich, DE"), ("Muenchen", "Munich, DE"), ("Koeln", "Köln, DE"), ("Cologne", "Köln, DE"),
    ("Sao Paulo", "São Paulo, BR"), ("Den Haag", "The Hague, NL"), ("Lodz", "Łódź, PL"), ("Wien", "Vienna, AT"),
    ("Portland, OR", "Portland, Oregon, US"), ("portland oregon", "Portland, Oregon, US"),
    ("London, Ontario", "London, Ontario, CA"), ("London, CA", "London, Ontario, CA"),
    ("Ontario, CA", "Ontario, California, US"), ("Perth, Scotland", "Perth, GB"),
    ("Washington DC", "Washington, District of Columbia, US"), ("st. louis, mo", "St. Louis, Missouri, US")])
def test_one_town_is_meant(typed, name):
    assert first(typed) == (name, 1, "exact")


@pytest.mark.parametrize(("typed", "name"), [("Leedz", "Leeds, GB"), ("Manchster, GB", "Manchester, GB"),
                                             ("Copenhagn", "Copenhagen, DK")])
def test_a_slip_of_the_pen_is_understood(typed, name):
    assert first(typed)[0] == name and first(typed)[2] in ("slip", "exact")


def test_towns_of_one_name_come_in_order_of_people():
    found = find_towns("Portland").towns
    assert [town.full_name for town in found[:2]] == ["Portland, Oregon, US", "Portland, Maine, US"]
    assert [town.people for town in found] == sorted((town.people for town in found), reverse=True)
    assert len(set(told_apart(find_towns("Newport").towns))) == len(find_towns("Newport").towns)


def test_part_of_a_longer_name_counts_where_no_town_has_it_alone():
    found = find_towns("Newcastle, GB")
    assert found.how == "part" and found.towns[0].full_name == "Newcastle upon Tyne, GB" and len(found.towns) > 1


def test_an_unknown_name_offers_those_like_it():
    found = find_towns("Kopenhavn")
    assert found.near[0] == "Copenhagen, DK" and found.how == "none" and not find_towns("Zzyzxqq").near


@pytest.mark.parametrize(("one", "other", "same"), [
    ("leeds", "leedz", True), ("leeds", "leds", True), ("leeds", "leesd", True), ("leeds", "leeds", True),
    ("leeds", "ledz", False), ("bath", "both", True), ("abcd", "badc", False), ("ab", "ba", True)])
def test_one_slip(one, other, same):
    assert one_slip(one, other) is same and one_slip(other, one) is same


@pytest.mark.parametrize(("region", "town"), [
    ("US-OR", "Portland"), ("US-AK", "Anchorage"), ("US-HI", "Honolulu"), ("CA-01", "Calgary"), ("CA-02", "Vancouver"),
    ("CA-03", "Winnipeg"), ("CA-08", "Toronto"), ("CA-10", "Montréal"), ("CA-12", "Whitehorse"),
    ("CA-13", "Yellowknife"), ("AU-01", "Canberra"), ("AU-02", "Sydney"), ("AU-04", "Brisbane"), ("AU-05", "Adelaide"),
    ("AU-06", "Hobart"), ("AU-07", "Melbourne"), ("AU-08", "Perth"), ("DE-01", "Stuttgart"), ("DE-02", "Munich"),
    ("DE-05", "Frankfurt am Main"), ("DE-06", "Hannover"), ("DE-07", "Köln"), ("DE-10", "Kiel"), ("DE-15", "Erfurt"),
    ("DE-16", "Berlin"), ("GB-SCT", "Glasgow"), ("GB-WLS", "Cardiff"), ("GB-NIR", "Belfast")])
def test_codes_of_regions_are_named_right(region, town):
    country, code = region.split("-")
    [row] = [row for row in table("regions") if (row["country"], row["code"]) == (country, code)]
    assert first(f"{town}, {row['name']}, {country}")[1] == 1


def test_a_town_gives_all_of_the_site():
    found = read('[site]\ntown = "Leeds, GB"\n' + PLACES)
    assert (found.site.name, found.site.town, found.site.timezone) == ("Leeds", "Leeds, GB", "Europe/London")
    assert found.site.latitude_deg == pytest.approx(53.8, abs=0.02) and 0 < found.site.elevation_m < 150
    assert found.rules.units == "metric" and not found.assumptions


def test_what_is_typed_beside_a_town_wins():
    found = read('[site]\nname = "Invented yard"\ntown = "Leeds, GB"\nelevation_m = 210\nlatitude = 53.9\n'
                 'timezone = "Europe/Dublin"\n' + PLACES).site
    assert (found.name, found.elevation_m, found.latitude_deg, found.timezone) == (
        "Invented yard", 210.0, 53.9, "Europe/Dublin")
    assert found.longitude_deg == pytest.approx(-1.55, abs=0.02)


def test_the_country_sets_the_units_until_they_are_given():
    site = '[site]\ntown = "Omaha"\n'
    assert read(site + PLACES).rules.units == "imperial"
    assert read(site + '[rules]\nunits = "metric"\n' + PLACES).rules.units == "metric"
    assert read(site + "[rules]\npets = true\n" + PLACES).rules.units == "imperial"


def test_a_bare_position_takes_height_and_clock_from_the_nearest_town_and_says_so():
    found = read('[site]\nname = "Invented yard"\nlatitude = 53.8\nlongitude = -1.5\n' + PLACES)
    town, km = nearest_town(53.8, -1.5)
    assert km < 6 and found.site.timezone == "Europe/London" and found.site.elevation_m == town.elevation_m
    [note] = [note for note in found.assumptions if town.full_name in note]
    assert "assumed" in note and "elevation_m and timezone in [site] settle it" in note


def test_only_what_is_missing_is_taken_from_the_nearest_town():
    [note] = [note for note in read(SITE + PLACES).assumptions if "nearest town" in note]
    assert "America/Chicago" in note and "height" not in note


def test_without_normals_they_are_estimated_at_the_sites_height():
    found = read('[site]\ntown = "Leeds, GB"\n' + PLACES, normals=None)
    higher = read('[site]\ntown = "Leeds, GB"\nelevation_m = 300\n' + PLACES, normals=None)
    assert found.normals.estimate is not None and "estimated" in found.normals.source
    assert (found.normals.tmin_c - higher.normals.tmin_c).mean() > 0.5
    assert read('[site]\ntown = "Leeds, GB"\n' + PLACES).normals.estimate is None


def test_a_wrong_place_is_the_only_fault_although_there_are_no_normals():
    assert len(faults_of('[site]\ntown = "Xylobad"\n' + PLACES, normals=None)) == 1
