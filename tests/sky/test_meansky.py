"""Average skies from whatever the normals hold."""

from dataclasses import replace

import numpy as np
import pytest
from invented import COLD_TOWN_TMAX_C, COLD_TOWN_TMIN_C, make_normals, make_site

from seasonplan.dates import month_means, planning_days
from seasonplan.model import Normals
from seasonplan.sky import radiation
from seasonplan.sky.meansky import YEAR_DAYS, mean_sky, monthly_global_mj, smooth_clearness
from seasonplan.sky.monthly import between_months

SITE = make_site()
DATES = planning_days(2027, 44.5)
GHI = np.array([6.0, 9, 13, 17, 20, 22, 22, 19, 15, 10, 6.5, 5])
SUN = np.array([4.6, 5.6, 6.4, 7.4, 8.5, 9.6, 10.3, 9.2, 7.4, 5.8, 4.0, 3.7])


def test_the_best_given_is_used():
    tmin = COLD_TOWN_TMIN_C
    cases = [(Normals(tmin, None, COLD_TOWN_TMAX_C, SUN, GHI), "ghi_mj"),
             (Normals(tmin, None, COLD_TOWN_TMAX_C, SUN), "sunshine_h"),
             (Normals(tmin, None, COLD_TOWN_TMAX_C), "temperatures"), (Normals(tmin), "assumed")]
    found = [monthly_global_mj(SITE, normals) for normals, _ in cases]
    assert [source for _, source, _ in found] == [source for _, source in cases]
    assert found[0][0].tolist() == GHI.tolist() and found[0][2] == ""
    assert all(note for _, _, note in found[1:])
    assert "50%" in found[3][2].replace(" ", "") and "assumed" in found[3][2]


def test_daily_normals_serve_as_monthly_ones():
    daily = Normals(between_months(COLD_TOWN_TMIN_C), None, COLD_TOWN_TMAX_C)
    monthly = Normals(month_means(daily.tmin_c), None, COLD_TOWN_TMAX_C)
    assert monthly_global_mj(SITE, daily)[0] == pytest.approx(monthly_global_mj(SITE, monthly)[0])


@pytest.mark.parametrize("latitude", (-80.0, -45.0, 0.0, 44.5, 68.0, 90.0))
def test_the_months_keep_their_means_and_nothing_is_nan(latitude):
    above = radiation.extraterrestrial_mj(latitude, YEAR_DAYS)
    wanted = month_means(above) * np.linspace(0.35, 0.65, 12)
    clearness = smooth_clearness(wanted, above)
    assert month_means(clearness * above) == pytest.approx(wanted, rel=1e-3, abs=1e-3)
    sky = mean_sky(make_site(latitude_deg=latitude), make_normals(ghi_mj=wanted), DATES)
    assert np.isfinite(sky.global_mj).all() and (sky.diffuse_mj <= sky.global_mj).all() and sky.diffuse_mj.min() >= 0


def test_radiation_reported_in_the_polar_night_does_no_harm():
    sky = mean_sky(make_site(latitude_deg=80.0), make_normals(ghi_mj=np.full(12, 3.0)), DATES)
    assert np.isfinite(sky.global_mj).all() and sky.global_mj[0] == 0


def test_no_radiation_at_all_is_no_division_by_nothing():
    sky = mean_sky(SITE, make_normals(ghi_mj=np.zeros(12)), DATES)
    assert sky.global_mj.max() == 0 and sky.clear_over_mean == 1.0
    assert mean_sky(SITE, make_normals(tmax_c=None), DATES).clear_over_mean == pytest.approx(1.51, abs=0.01)


def test_clearness_runs_without_steps():
    sky = mean_sky(SITE, make_normals(ghi_mj=GHI), DATES)
    assert np.abs(np.diff(sky.global_mj)).max() < 0.5


def test_where_the_sea_keeps_day_and_night_alike_the_span_tells_no_more():
    """A span of 3 °C counts as the least one; wider ones count as they are, by their square root."""
    def light(span_c):
        return monthly_global_mj(SITE, make_normals(tmax_c=make_normals().tmin_c + span_c))[0]

    assert light(3.0) == pytest.approx(light(6.5)) and light(13.0) == pytest.approx(light(6.5) * np.sqrt(2))


def test_the_leap_day_is_its_neighbour():
    dates = planning_days(2028, 44.5)
    sky = mean_sky(SITE, make_normals(ghi_mj=GHI), dates)
    assert len(sky.global_mj) == 366 and sky.global_mj[58] == sky.global_mj[59]


def test_whose_sunshine_and_whose_temperatures_they_are_is_told():
    sunny = make_normals(sunshine_h=np.full(12, 5.0))
    notes = {of: monthly_global_mj(make_site(), replace(sunny, from_stations=of))[2] for of in ((), ("sunshine_h",))}
    assert "given" in notes[()] and "stations round about" in notes[("sunshine_h",)]
    warm = make_normals(sunshine_h=None, ghi_mj=None, tmax_c=COLD_TOWN_TMAX_C)
    own, other = (monthly_global_mj(make_site(), replace(warm, from_stations=of))[2] for of in ((), ("tmax_c",)))
    assert "stations round about" in other and "stations" not in own
