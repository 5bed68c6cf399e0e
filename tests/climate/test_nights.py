from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMAX_C, COLD_TOWN_TMIN_C, make_normals, make_site
from scipy.stats import norm

from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.nights import NORTH_MIDSUMMER, SOUTH_MIDSUMMER, night_climate, season_ends
from seasonplan.climate.process import night_chance
from seasonplan.climate.sureness import DATE_ERROR_DAYS, date_error_days
from seasonplan.data import table
from seasonplan.dates import DAYS, month_means
from seasonplan.model import Estimate, Normals, Record


def record_from(lows, start="1990-01-01"):
    dates = np.datetime64(start) + np.arange(len(lows))
    return Record(dates, np.asarray(lows, dtype=float), np.full(len(lows), np.nan))


def invented_lows(years, mean, sd, seed=3):
    rng = np.random.default_rng(seed)
    dates = np.datetime64("1990-01-01") + np.arange(int(365.25 * years))
    index = np.minimum((dates - dates.astype("datetime64[Y]")).astype(int), DAYS - 1)
    return mean[index] + sd[index] * rng.normal(0, 1, len(dates))


def without_sd():
    return replace(make_normals(), tmin_sd_c=None)


def test_the_mean_keeps_the_normals():
    climate = night_climate(make_normals(), None, make_site())
    assert np.max(np.abs(month_means(climate.mean_c) - COLD_TOWN_TMIN_C)) < 1e-9
    assert (climate.mean_source, climate.sd_source, climate.notes) == ("normals", "normals", ())


def test_the_site_is_shifted_from_its_station():
    site = make_site(elevation_m=450.0, station_elevation_m=250.0, night_offset_c=-0.5)
    at_site, at_station = (night_climate(make_normals(), None, s) for s in (site, make_site()))
    assert np.allclose(at_site.mean_c - at_station.mean_c, -0.5 - 200 * 0.005)
    assert np.array_equal(at_site.sd_c, at_station.sd_c) and at_site.turn_index == at_station.turn_index


def test_a_monthly_spread_loses_part_of_the_months_drift():
    climate = night_climate(make_normals(), None, make_site())
    monthly = month_means(climate.sd_c)
    assert np.all(monthly <= COLD_TOWN_SD_C + 1e-9)
    assert monthly[6] == pytest.approx(COLD_TOWN_SD_C[6], rel=0.01)  # July stands still
    drift = 5.6**2 / 12  # October falls by some 5.6 °C
    half, most = fitted("drift_counted") * drift, fitted("drift_most")
    narrow, wide = (month_means(night_climate(make_normals(tmin_sd_c=np.full(12, sd)), None, make_site()).sd_c)[9]
                    for sd in (3.0, 9.0))
    assert wide == pytest.approx(np.sqrt(81.0 - half), rel=0.002)
    assert narrow == pytest.approx(3.0 * np.sqrt(1 - most), rel=1e-6) and narrow > np.sqrt(9.0 - half) + 0.1


def test_a_daily_spread_is_taken_as_it_is():
    daily = month_curve(COLD_TOWN_SD_C)
    climate = night_climate(make_normals(tmin_sd_c=daily), None, make_site())
    assert np.max(np.abs(climate.sd_c - daily)) < 0.05 and climate.sd_source == "normals"


def test_an_uneven_spread_never_comes_near_nought():
    spiky = np.full(12, 1.0)
    spiky[6] = 12.0
    climate = night_climate(make_normals(tmin_sd_c=spiky), None, make_site())
    assert climate.sd_c.min() >= 0.45


def test_spread_from_the_record_where_the_normals_have_none():
    mean, sd = month_curve(COLD_TOWN_TMIN_C), month_curve(COLD_TOWN_SD_C)
    climate = night_climate(without_sd(), record_from(invented_lows(20, mean, sd)), make_site())
    assert climate.sd_source == "record" and "measured on the record" in climate.notes[0]
    assert np.max(np.abs(climate.sd_c / sd - 1)) < 0.12
    warmer = night_climate(without_sd(), record_from(invented_lows(20, mean + 2.0, sd)), make_site())
    assert np.allclose(warmer.sd_c, climate.sd_c, atol=0.02)


def test_a_short_record_is_no_ground_for_a_spread():
    short = record_from(invented_lows(2, month_curve(COLD_TOWN_TMIN_C), month_curve(COLD_TOWN_SD_C)))
    climate = night_climate(without_sd(), short, make_site())
    assert climate.sd_source == "assumed" and "assumed" in climate.notes[0] and "latitude" in climate.notes[0]
    assert np.allclose(climate.sd_c, night_climate(without_sd(), None, make_site()).sd_c)


def test_mean_from_the_record_alone():
    mean, sd = month_curve(COLD_TOWN_TMIN_C), month_curve(COLD_TOWN_SD_C)
    climate = night_climate(None, record_from(invented_lows(20, mean, sd)), make_site())
    assert climate.mean_source == "record" and np.max(np.abs(climate.mean_c - mean)) < 1.0
    for record in (None, record_from(np.zeros(200)), record_from([])):
        with pytest.raises(ValueError, match="every month"):
            night_climate(None, record, make_site())


def test_the_tmax_column_changes_nothing():
    with_tmax, without = (night_climate(replace(without_sd(), tmax_c=t), None, make_site())
                          for t in (COLD_TOWN_TMAX_C, None))
    assert np.array_equal(with_tmax.sd_c, without.sd_c)


def test_season_ends():
    climate = night_climate(make_normals(), None, make_site())
    assert (climate.turn_index, climate.cold_index) == (int(np.argmax(climate.mean_c)), int(np.argmin(climate.mean_c)))
    assert season_ends(np.full(DAYS, 24.0), 1.0) == (NORTH_MIDSUMMER, (NORTH_MIDSUMMER + 182) % DAYS)
    assert season_ends(np.full(DAYS, 24.0), -1.0)[0] == SOUTH_MIDSUMMER
    day = 2 * np.pi * np.arange(DAYS) / DAYS
    sudden = 20 + np.cos(day) + 3 * np.exp(-(((np.arange(DAYS) - 100) / 15) ** 2)) - 5 * np.exp(
        -(((np.arange(DAYS) - 140) / 15) ** 2))  # the rains end the hot season within weeks
    turn, cold = season_ends(sudden, 15.0)
    assert np.argmin(sudden) - turn < 50 and (cold - turn) % DAYS == 60


def test_chances_follow_the_mean_and_spread_given():
    """Moments of each day's low, integrated from the chances: the expansion must not move them."""
    climate = night_climate(make_normals(), None, make_site())
    levels = np.linspace(-80, 60, 2801)
    weights = np.diff(night_chance(climate, levels), axis=0)
    middle = ((levels[1:] + levels[:-1]) / 2)[:, None]
    mean = (weights * middle).sum(axis=0)
    sd = np.sqrt((weights * (middle - mean) ** 2).sum(axis=0))
    assert np.max(np.abs(mean - climate.mean_c) / climate.sd_c) < 0.01 and np.max(np.abs(sd / climate.sd_c - 1)) < 0.02
    skew = (weights * ((middle - mean) / sd) ** 3).sum(axis=0)
    assert np.max(np.abs(skew - climate.details["skew"])) < 0.05
    assert np.all(weights >= 0)


def test_the_cold_tail_is_longer_in_spring_and_where_nights_vary_little():
    skew = night_climate(make_normals(), None, make_site()).details["skew"]
    assert skew[110] < -0.05 < 0.05 < skew[310]
    still_summer = np.r_[np.full(5, 5.0), 1.5, 1.5, 1.5, np.full(4, 5.0)]
    narrow = night_climate(make_normals(tmin_sd_c=still_summer), None, make_site())
    assert narrow.details["skew"][200] < skew[200] - 0.1


def test_in_spring_the_cold_tail_is_longer_towards_the_equator():
    skew = {lat: night_climate(make_normals(), None, make_site(latitude_deg=lat)).details["skew"]
            for lat in (20.0, 34.0, 44.0, 49.0, 54.0, 70.0, -34.0)}
    turn = night_climate(make_normals(), None, make_site()).turn_index
    spring, autumn = (turn - 91) % DAYS, (turn + 91) % DAYS
    for latitude, change in ((34.0, -0.2), (49.0, 0.1), (54.0, 0.2)):
        assert skew[latitude][spring] - skew[44.0][spring] == pytest.approx(change, abs=1e-3)
        assert skew[latitude][autumn] == pytest.approx(skew[44.0][autumn], abs=1e-3)
    assert np.array_equal(skew[20.0], skew[34.0]) and np.array_equal(skew[70.0], skew[54.0])
    assert np.array_equal(skew[-34.0], skew[34.0])


def test_a_plain_normal_climate_has_plain_normal_chances():
    climate = replace(night_climate(make_normals(), None, make_site()), details={})
    assert np.allclose(night_chance(climate, 4.0), norm.cdf((4.0 - climate.mean_c) / climate.sd_c), atol=1e-7)
    assert night_chance(climate, np.array([4.0, 5.0])).shape == (2, DAYS)


def test_the_note_says_how_sure_the_dates_are():
    mean = night_climate(without_sd(), None, make_site()).mean_c
    quick, slow = (date_error_days(scale * mean, np.full(DAYS, 4.0), np.arange(90, 150), None, 0.18)
                   for scale in (1.0, 0.25))
    assert DATE_ERROR_DAYS < quick < slow
    assert date_error_days(np.full(DAYS, 5.0), np.full(DAYS, 3.0), np.arange(10), None, 0.18) == 45.0


def test_every_fitted_number_names_its_source():
    rows = table("night_model")
    assert len(rows) >= 12 and all(row["source"] and row["meaning"] for row in rows)
    with pytest.raises(KeyError):
        fitted("no such number")


def test_a_leap_day_is_no_day_of_its_own():
    lows = np.zeros(366 + 365)
    lows[(date(1992, 2, 29) - date(1992, 1, 1)).days] = -9.0
    from seasonplan.climate.years import year_matrix

    matrix = year_matrix(record_from(lows, "1992-01-01"))
    assert matrix.shape == (2, DAYS) and matrix[0, 58] == -9.0 and matrix[1, 58] == 0.0 and (matrix == 0).sum() == 729


def test_what_the_mean_may_be_wrong_by_is_shared_by_all_nights_of_a_half_year():
    lows = without_sd().tmin_c
    sure, unsure = (night_climate(Normals(lows, estimate=Estimate(error_c, ())), None, make_site())
                    for error_c in (0.0, 3.29))
    assert unsure.sd_c**2 - sure.sd_c**2 == pytest.approx(np.full(DAYS, 4.0))
    shared = [climate.details["year_share"] * climate.sd_c**2 for climate in (sure, unsure)]
    assert shared[1] - shared[0] == pytest.approx(np.full(DAYS, 4.0))
    own = night_climate(Normals(lows), None, make_site())
    assert np.array_equal(own.sd_c, sure.sd_c) and own.mean_source == "normals"
