"""Light at invented places: published classes of indoor light, plausible houses, properties, odd corners of Earth."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_normals, make_places, make_site

from seasonplan.dates import planning_days
from seasonplan.model import Place
from seasonplan.sky import sun
from seasonplan.sky.daylight import OPEN_GROUND, daylight, mean_scale, place_light
from seasonplan.sky.mask import mask_of
from seasonplan.sky.meansky import mean_sky
from seasonplan.sky.sun import clear_sky
from seasonplan.units import FULL_SUN_HOUR_MOL, LUX_PER_UMOL

LUX_PER_FOOT_CANDLE = 10.764

SITE = make_site(latitude_deg=40.0)
DATES = planning_days(2027, 40.0)
MONTH = np.array([day.month for day in DATES])
GHI = np.array([7.0, 10, 14, 18, 21, 23, 23, 20, 16, 11.5, 8, 6.5])
WINDOW = Place("window", "indoor", faces_deg=180.0, window_width_m=1.4, window_height_m=1.3, sill_m=0.0, distance_m=0.5)
QUICK = settings(deadline=None, max_examples=15, derandomize=True)


def light(*places, site=SITE, dates=DATES, **given_normals):
    return daylight(site, places, make_normals(**(given_normals or {"ghi_mj": GHI})), dates)


def foot_candles(result, row=0):
    """Average of the daylight hours of each day, from the mean-sky DLI."""
    hours = (result.sunset_min - result.sunrise_min) / 60
    return result.mean_dli[row] / (hours * 3600e-6) * LUX_PER_UMOL / LUX_PER_FOOT_CANDLE


def window(bearing, distance, **given):
    return replace(WINDOW, name=f"{bearing:g} at {distance:g}", faces_deg=bearing, distance_m=distance, **given)


class TestIndoorClasses:
    """Foot-candles of an extension-style table of indoor growing conditions (institution not shown): high, within
    1.2 m of a south, east or west window: 300 and more; medium, 1.2 to 3 m back or at a clear north window: 100 to
    300; low, beyond 3 m: 25 to 100, a third of the window's or less. The classes mean light without direct sun where
    they are not high. Sunny window: 5 h and more of direct sun in winter (Doxon, Caring for Plants in the Home)."""

    @pytest.mark.parametrize(("bearing", "distance"), [(180, 0.3), (180, 1.0), (90, 0.5), (90, 1.0), (270, 1.0)])
    def test_high_beside_sunny_windows(self, bearing, distance):
        assert foot_candles(light(window(bearing, distance))).mean() >= 300

    @pytest.mark.parametrize(("bearing", "distance"), [(0, 0.5), (0, 1.0), (180, 1.5), (180, 2.0), (180, 2.5)])
    def test_medium_further_back_and_at_a_north_window(self, bearing, distance):
        found = light(window(bearing, distance))
        assert 100 <= foot_candles(found)[found.direct_sun_h[0] == 0].mean() <= 300

    @pytest.mark.parametrize(("bearing", "distance"), [(180, 3.0), (180, 4.0), (90, 3.5), (270, 3.5), (0, 3.0)])
    def test_low_beyond_three_metres(self, bearing, distance):
        found = light(window(bearing, distance))
        assert 25 <= foot_candles(found)[found.direct_sun_h[0] == 0].mean() <= 100

    def test_a_third_of_the_windows_light_three_metres_back(self):
        found = light(window(180, 0.5), window(180, 3.5), window(0, 0.5), window(0, 3.5))
        assert (found.mean_dli[1] < found.mean_dli[0] / 3).all() and (found.mean_dli[3] < found.mean_dli[2] / 3).all()

    def test_a_south_window_is_sunny_in_winter_and_an_east_one_half_so(self):
        found = light(window(180, 0.5), window(90, 0.3))
        winter = np.isin(MONTH, (12, 1, 2))
        assert found.direct_sun_h[0][winter].mean() >= 5
        assert 2 <= found.direct_sun_h[1][winter].mean() <= 5

    def test_the_brightest_window_is_a_fraction_of_open_sky(self):
        found = light(window(180, 0.3))
        assert (found.mean_dli[0][MONTH == 5] < 0.25 * found.open_mean_dli[MONTH == 5]).all()


class TestOrdinaryHouse:
    """The shade table of the extension sources: north side with half the sky, clear day, 0.08 to 0.15 of open ground;
    morning sun only, 0.3 to 0.5; the rest is plain arithmetic on an invented house at 44.5 north in May."""

    SITE = make_site()
    MAY = [day for day in planning_days(2027, 44.5) if day.month == 5]

    def test_porch_tree_and_lawn_in_may(self):
        found = light(*make_places(), site=self.SITE, dates=self.MAY)
        _, porch, tree, lawn = found.clear_dli.mean(axis=1)
        assert 10 < porch < 18 and 15 < tree < 18 and 52 < lawn < 60
        assert 1 < found.full_sun_h[1].mean() < 2 and 6.5 < found.full_sun_h[3].mean() < 8
        assert found.clear_dli[3] == pytest.approx(found.open_clear_dli)
        until = max(end for spans in found.sun_spans[1] for _, end in spans)
        assert until < 12 * 60 and all(len(spans) == 1 for spans in found.sun_spans[1])

    def test_open_shade_and_morning_sun(self):
        places = (Place("north side", "outdoor", faces_deg=0.0, wall_behind=True),
                  Place("east side", "outdoor", faces_deg=90.0, wall_behind=True))
        found = light(*places, dates=DATES)
        share = found.clear_dli / found.open_clear_dli
        assert 0.08 <= share[0][np.isin(MONTH, (11, 12, 1, 2))].mean() <= 0.15
        assert share[1].min() >= 0.3 and share[1].max() <= 0.66

    def test_summer_sun_over_a_south_windows_head(self):
        """At 40 north the noon sun of June passes above the head of a window a metre away; December's shines in."""
        found = light(window(180, 1.0))
        assert found.direct_sun_h[0][MONTH == 6].max() == 0 and found.direct_sun_h[0][MONTH == 12].min() > 3


def test_leaf_shade_is_linear():
    shades = (0.0, 0.25, 0.5, 1.0)
    found = light(*(Place(str(share), "outdoor", leaf_shade=share, horizon_deg=15.0) for share in shades))
    for curve in (found.clear_dli, found.mean_dli, found.full_sun_h, found.peak_ppfd):
        assert curve[0].max() == 0
        assert curve[1] == pytest.approx(curve[3] / 4) and curve[2] == pytest.approx(curve[3] / 2)


@QUICK
@given(st.floats(-66, 66), st.floats(0, 60), st.floats(0, 359), st.booleans())
def test_more_horizon_less_of_everything(latitude, horizon, faces, wall):
    place = Place("a", "outdoor", faces_deg=faces, wall_behind=wall, horizon_deg=horizon)
    found = light(place, replace(place, name="b", horizon_deg=horizon + 5), site=make_site(latitude_deg=latitude),
                  dates=DATES[::60])
    assert (found.direct_sun_h[1] <= found.direct_sun_h[0]).all()
    assert (found.full_sun_h[1] <= found.full_sun_h[0] + 1e-9).all()
    assert (found.clear_dli[1] <= found.clear_dli[0] + 1e-9).all()


@QUICK
@given(st.floats(-66, 66), st.floats(0.1, 5), st.floats(0, 359))
def test_light_falls_with_a_curtain_and_a_duller_pane(latitude, distance, faces):
    here = window(faces, distance)
    kinds = (here, replace(here, name="sheer", curtain="sheer"), replace(here, name="blind", curtain="blind"),
             replace(here, name="triple", glazing="triple"))
    found = light(*kinds, site=make_site(latitude_deg=latitude), dates=DATES[::45])
    for curve in (found.clear_dli, found.mean_dli):
        plain, sheer, blind, triple = curve[:, curve[0] > 0]
        assert (sheer < plain).all() and (blind < sheer).all() and (triple < plain).all()


@QUICK
@given(st.floats(-66, 66), st.floats(0, 359))
def test_average_light_falls_with_distance(latitude, faces):
    """Over the year; on a single date the sun may reach further in than the brightest spot nearer by."""
    found = light(*(window(faces, d) for d in (0.2, 0.6, 1.2, 2.4, 4.8)), site=make_site(latitude_deg=latitude),
                  dates=DATES[::15])
    assert (np.diff(found.mean_dli.sum(axis=1)) < 0).all()


@pytest.mark.parametrize("latitude", (30.0, 45.0, 60.0, -30.0, -45.0, -60.0))
def test_a_window_facing_the_pole_gets_no_direct_sun_in_winter(latitude):
    pole = 0.0 if latitude > 0 else 180.0
    winter = (11, 12, 1, 2) if latitude > 0 else (5, 6, 7, 8)
    found = light(window(pole, 0.3), site=make_site(latitude_deg=latitude))
    dark = np.isin(MONTH, winter)
    assert found.direct_sun_h[0][dark].max() == 0 and found.full_sun_h[0][dark].max() == 0
    assert found.clear_dli[0][dark].min() > 0


@pytest.mark.parametrize("latitude", (20.0, 45.0, 60.0))
@pytest.mark.parametrize("bearing", (0.0, 60.0, 180.0))
def test_the_southern_hemisphere_mirrors_the_northern(latitude, bearing, monkeypatch):
    """The same house mirrored north to south on dates whose declinations are opposite, in air equally clear.

    What remains is the Earth's distance, up to 3.4 % either way, and declinations equal to a quarter of a degree, which
    moves an edge by some minutes (0.1 full-sun hour).
    """
    monkeypatch.setattr(sun, "_monthly_turbidity", lambda site: np.full(12, 3.0))
    north_days = [date(2027, 2, 4), date(2027, 5, 6), date(2027, 6, 21), date(2027, 8, 8), date(2027, 12, 21)]
    south_days = [date(2027, 8, 8), date(2027, 11, 8), date(2027, 12, 21), date(2027, 2, 4), date(2027, 6, 21)]
    step = Place("step", "outdoor", faces_deg=bearing, wall_behind=True, horizon_deg=10.0, roof_deg=70.0)
    inside = window(bearing, 0.5)
    mirror = [replace(p, faces_deg=(180 - bearing) % 360) for p in (step, inside)]
    north = light(step, inside, site=make_site(latitude_deg=latitude), dates=north_days)
    south = light(*mirror, site=make_site(latitude_deg=-latitude), dates=south_days)
    assert north.direct_sun_h == pytest.approx(south.direct_sun_h, abs=0.35)
    assert north.full_sun_h == pytest.approx(south.full_sun_h, rel=0.12, abs=0.1)
    assert north.clear_dli == pytest.approx(south.clear_dli, rel=0.12)


SITES = st.builds(
    lambda latitude, longitude, zone: make_site(latitude_deg=latitude, longitude_deg=longitude, timezone=zone),
    st.one_of(st.sampled_from([-90.0, -66.6, 0.0, 66.6, 90.0]), st.floats(-90, 90)),
    st.one_of(st.sampled_from([-180.0, 0.0, 180.0]), st.floats(-180, 180)),
    st.sampled_from(["UTC", "America/Santiago", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Kolkata"]))
CHANGES = [date(2027, 4, 3), date(2027, 4, 4), date(2027, 9, 5), date(2027, 10, 3)]


@settings(deadline=None, max_examples=30, derandomize=True)
@given(SITES, st.sampled_from(["ghi_mj", "sunshine_h", "tmax_c", "nothing"]))
def test_nothing_is_ever_nan_or_negative(site, known):
    normals = {"ghi_mj": {"ghi_mj": GHI}, "sunshine_h": {"sunshine_h": GHI / 3}, "tmax_c": {"tmin_sd_c": None},
               "nothing": {"tmax_c": None}}[known]
    places = (*make_places(), window(0, 0.0, sill_m=-1.0, curtain="sheer"), Place("den", "indoor", measured_dli=3.0),
              Place("desk", "indoor", faces_deg=10.0, measured_lux=4000.0))
    found = light(*places, site=site, dates=[*DATES[::73], *CHANGES], **normals)
    for curve in (found.clear_dli, found.mean_dli, found.direct_sun_h, found.full_sun_h, found.peak_ppfd):
        assert np.isfinite(curve).all() and curve.min() >= 0
    assert found.clear_dli.max() < 85 and found.peak_ppfd.max() < 2800 and found.direct_sun_h.max() <= 25
    assert (found.full_sun_h <= found.clear_dli / FULL_SUN_HOUR_MOL + 1e-9).all()
    assert np.isfinite(found.open_mean_dli).all()
    for row in found.sun_spans:
        for spans in row:
            assert all(0 <= start <= 1440 and 0 < end <= 1440 for start, end in spans)


def test_spans_add_up_to_the_hours():
    found = light(*make_places(), site=make_site(timezone="Etc/GMT+6"))
    for row, spans in enumerate(found.sun_spans):
        hours = [sum(end - start for start, end in day) / 60 for day in spans]
        assert hours == pytest.approx(found.direct_sun_h[row])


def test_a_window_meets_the_clock_of_the_place_and_not_utc():
    """An east window's sun is a morning's by the local clock, in summer time too."""
    for zone, longitude in (("Asia/Tokyo", 139.7), ("America/Chicago", -93.0), ("Europe/Berlin", 13.4)):
        found = light(window(90, 0.5), site=make_site(longitude_deg=longitude, timezone=zone), dates=[date(2027, 7, 1)])
        (start, end), = found.sun_spans[0][0]
        assert 4 * 60 < start < 8 * 60 and 9 * 60 < end < 13.5 * 60


def test_a_meter_reading_overrides_the_window():
    """5400 lux are 100 umol; a half-sine day of 12 h then holds 0.637 x 100 x 12 x 0.0036 = 2.75 mol."""
    lux, dli = replace(WINDOW, name="lux", measured_lux=5400.0), replace(WINDOW, name="dli", measured_dli=2.0)
    found = light(lux, dli, replace(WINDOW, name="plain"))
    assert found.peak_ppfd[0] == pytest.approx(np.full(365, 100.0))
    equinox = DATES.index(date(2027, 3, 18))
    assert found.clear_dli[0, equinox] == pytest.approx(2.75, abs=0.05)
    assert found.mean_dli[0, equinox] == pytest.approx(
        2.75 * found.open_mean_dli[equinox] / found.open_clear_dli[equinox], rel=0.02)
    assert (found.mean_dli[1] == 2.0).all() and (found.clear_dli[1] > 2.0).all()
    assert (found.direct_sun_h[:2] == found.direct_sun_h[2]).all()
    assert (found.full_sun_h[:2] <= found.clear_dli[:2] / FULL_SUN_HOUR_MOL + 1e-12).all()
    assert any("5400 lux" in note for note in found.notes) and any("2 mol" in note for note in found.notes)


def test_a_measured_sum_stands_in_the_polar_night_too_as_a_lamp_would():
    dark = [date(2027, 12, 20), date(2027, 12, 21)]
    found = light(Place("lamp", "indoor", measured_dli=4.0), site=make_site(latitude_deg=80.0), dates=dark)
    assert (found.mean_dli == 4.0).all() and (found.clear_dli >= 4.0).all() and np.isfinite(found.peak_ppfd).all()
    assert found.open_clear_dli.max() == found.open_mean_dli.max() == 0
    year = light(Place("lamp", "indoor", measured_dli=4.0), site=make_site(latitude_deg=80.0))
    assert found.clear_dli[0, 0] == year.clear_dli[0, 0]


def test_a_measured_place_of_unknown_bearing_has_no_direct_sun():
    found = light(Place("desk", "indoor", measured_lux=3000.0))
    assert found.direct_sun_h.max() == 0 and found.sun_spans[0] == ((),) * 365
    assert not any("assumed" in note for note in found.notes)


def test_average_light_outdoors_stays_below_clear_light():
    found = light(*make_places(), site=make_site())
    assert (found.mean_dli[3] < found.clear_dli[3]).all() and (found.open_mean_dli < found.open_clear_dli).all()


def test_more_radiation_than_a_clear_sky_gives_is_kept():
    """A given mean above our clear sky is not cut: it was measured. Only the beam is bounded, the rest is diffuse."""
    normals = make_normals(ghi_mj=np.full(12, 28.0))
    found = daylight(SITE, [Place("lawn", "outdoor")], normals, DATES)
    assert found.mean_dli[0][MONTH == 12].mean() == pytest.approx(28 * 2.018, rel=0.01)
    open_light = place_light(clear_sky(SITE, DATES), mask_of(OPEN_GROUND, 40.0), len(DATES))
    beam, diffuse = mean_scale(open_light, mean_sky(SITE, normals, DATES))
    assert beam.max() == 1.0 and diffuse[MONTH == 12].min() > 3


def test_a_north_wall_in_june_has_sun_at_both_ends_of_the_day():
    found = light(Place("wall", "outdoor", faces_deg=0.0, wall_behind=True), dates=[date(2027, 6, 21)])
    (early, late), = found.sun_spans[0]
    assert early[1] < 10 * 60 and late[0] > 15 * 60


def test_a_sheer_curtain_leaves_a_quarter_of_its_sunlight_direct():
    found = light(window(180, 0.5), window(180, 0.5, curtain="sheer"), window(180, 0.5, curtain="blind"))
    assert found.full_sun_h[1] == pytest.approx(found.full_sun_h[0] * 0.6 * 0.25)
    assert found.clear_dli[1] == pytest.approx(found.clear_dli[0] * 0.6, rel=1e-6)
    assert found.direct_sun_h[0].max() > 5 and found.direct_sun_h[1].max() == found.direct_sun_h[2].max() == 0


def test_the_same_twice_and_no_places_at_all():
    first, second = light(*make_places()), light(*make_places())
    assert first.clear_dli.tobytes() == second.clear_dli.tobytes() and first.sun_spans == second.sun_spans
    nothing = light()
    assert nothing.clear_dli.shape == (0, 365) and nothing.open_clear_dli.shape == (365,)


def test_notes_say_where_average_light_comes_from():
    assert any("assumed" in note for note in light(tmax_c=None).notes)
    assert any("temperatures" in note for note in light(tmin_sd_c=None).notes)
    assert light(Place("lawn", "outdoor")).notes == ()
