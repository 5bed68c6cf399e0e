"""Two routes day by day, checked once by hand and kept: a sun plant and a shade plant in an ordinary invented house.

The columns: day, place, A and the clear-sky light of the day of what is allowed [mol], S and the full-sun hours of the
day of what is allowed. The rows of 8 and 9 May were worked by hand from make_daylight: open ground gives
15 + 45 * 0.7220 = 47.49 mol on 8 May, so the porch 0.2 * 47.49 = 9.50 clear and 0.6 of that, 5.70, on average; the
window 0.06 * 0.6 * 47.49 = 1.71, which is where A begins; A then is 1.71 + (1 - exp(-1 / 7)) * (5.70 - 1.71) = 2.24, S
is (1 - exp(-1 / 4)) * 0.88 = 0.19. The other rows follow by the same two lines (plain_route.daily).
"""

from datetime import date

import pytest
from invented import make_daylight, make_plant, make_taxon
from plain_route import daily

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Place, Rules

HOUSE = (Place("south window", "indoor"), Place("porch", "outdoor", room_for=20),
         Place("under the tree", "outdoor", room_for=30), Place("steps", "outdoor", room_for=10),
         Place("lawn", "outdoor"))
SPANS = {"porch": (date(2027, 5, 1), date(2027, 10, 3)), "under the tree": (date(2027, 5, 8), date(2027, 9, 26)),
         "steps": (date(2027, 5, 8), date(2027, 9, 26)), "lawn": (date(2027, 5, 15), date(2027, 9, 19))}
PRINTED = 0.0051
"""The tables are printed to two decimals."""

SUN_PLANT = """
05-08 porch            1.71   9.50   12.00  0.00  0.88   1.50
05-09 porch            2.24   9.57   12.00  0.19  0.88   1.50
05-10 porch            2.71   9.64   12.00  0.35  0.89   1.50
05-11 porch            3.12   9.71   12.00  0.47  0.90   1.50
05-12 porch            3.48   9.77   12.17  0.56  0.90   1.50
05-13 porch            3.79   9.84   13.28  0.64  0.91   1.50
05-14 porch            4.08   9.90   14.26  0.70  0.91   1.50
05-15 under-the-tree   4.32  14.95   15.13  0.74  1.38   2.74
05-16 under-the-tree   4.94  15.05   17.30  0.89  1.39   2.89
05-17 under-the-tree   5.49  15.15   19.20  1.00  1.40   3.00
05-18 under-the-tree   5.97  15.24   20.88  1.09  1.41   3.09
05-19 under-the-tree   6.39  15.33   22.36  1.16  1.42   3.16
05-20 under-the-tree   6.76  15.43   23.67  1.21  1.42   3.21
05-21 under-the-tree   7.10  15.52   24.83  1.26  1.43   3.26
05-22 under-the-tree   7.39  15.61   25.87  1.30  1.44   3.30
05-23 steps            7.65  26.16   26.79  1.33  2.41   3.33
05-24 steps            8.72  26.30   30.53  1.57  2.43   3.57
05-25 steps            9.66  26.44   33.82  1.76  2.44   3.87
05-29 steps           12.42  26.99   43.48  2.20  2.49   4.85
06-05 steps           14.98  27.85   52.42  2.48  2.57   5.46
06-12 steps           16.22  28.58   56.76  2.59  2.64   5.69
06-19 lawn            16.92  58.33   59.23  2.66  5.38   5.84
06-26 lawn            28.53  59.20   99.85  4.95  5.46  10.89
07-03 lawn            33.07  59.76  115.73  5.40  5.52  11.88
07-10 lawn            34.89  59.99  122.10  5.51  5.54  12.12
07-17 lawn            35.58  59.90  124.53  5.53  5.53  12.17
07-24 lawn            35.74  59.48  125.08  5.51  5.49  12.13
07-31 lawn            35.57  58.74  124.51  5.46  5.42  12.02
08-07 lawn            35.18  57.70  123.11  5.39  5.33  11.85
08-14 lawn            34.58  56.36  121.01  5.28  5.20  11.62
08-21 lawn            33.79  54.75  118.28  5.15  5.05  11.33
08-28 lawn            32.85  52.89  114.96  4.99  4.88  10.98
09-04 lawn            31.75  50.80  111.11  4.81  4.69  10.59
09-11 lawn            30.51  48.53  106.80  4.61  4.48  10.15
09-18 steps           29.16  23.04  102.07  4.40  2.13   9.68
09-25 porch           19.22   8.71   67.28  2.47  0.80   5.43
"""

SHADE_PLANT = """
05-08 porch            1.71   9.50   12.00  0.00  0.88   1.50
05-09 porch            2.24   9.57   12.00  0.19  0.88   1.50
05-10 porch            2.71   9.64   12.00  0.35  0.89   1.50
05-11 porch            3.12   9.71   12.00  0.47  0.90   1.50
05-12 porch            3.48   9.77   12.17  0.56  0.90   1.50
05-13 porch            3.79   9.84   13.28  0.64  0.91   1.50
05-14 porch            4.08   9.90   14.26  0.70  0.91   1.50
05-15 porch            4.32   9.97   15.13  0.74  0.92   1.50
05-16 porch            4.54  10.03   15.91  0.78  0.93   1.50
05-17 porch            4.74  10.10   16.59  0.82  0.93   1.50
05-18 porch            4.92  10.16   17.21  0.84  0.94   1.50
05-19 porch            5.07  10.22   17.76  0.86  0.94   1.50
05-20 porch            5.21  10.28   18.25  0.88  0.95   1.50
05-21 porch            5.34  10.34   18.70  0.90  0.95   1.50
05-22 porch            5.46  10.40   19.10  0.91  0.96   1.50
05-23 porch            5.56  10.46   19.47  0.92  0.97   1.50
05-24 porch            5.66  10.52   19.80  0.93  0.97   1.50
05-25 porch            5.74  10.58   20.10  0.94  0.98   1.50
05-29 porch            6.03  10.80   21.11  0.97  1.00   1.50
06-05 porch            6.38  11.14   22.33  1.01  1.03   1.50
06-12 porch            6.63  11.43   23.21  1.04  1.06   1.50
06-19 porch            6.82  11.67   23.88  1.06  1.08   1.50
06-26 porch            6.97  11.84   24.40  1.08  1.09   1.50
07-03 porch            7.08  11.95   24.78  1.10  1.10   1.50
07-10 porch            7.15  12.00   25.02  1.10  1.11   1.50
07-17 porch            7.18  11.98   25.13  1.11  1.11   1.50
07-24 porch            7.17  11.90   25.10  1.10  1.10   1.50
07-31 porch            7.12  11.75   24.93  1.09  1.08   1.50
08-07 porch            7.04  11.54   24.63  1.08  1.07   1.50
08-14 porch            6.92  11.27   24.21  1.06  1.04   1.50
08-21 porch            6.76  10.95   23.66  1.03  1.01   1.50
08-28 porch            6.57  10.58   22.99  1.00  0.98   1.50
09-04 porch            6.35  10.16   22.22  0.96  0.94   1.50
09-11 porch            6.10   9.71   21.36  0.92  0.90   1.50
09-18 porch            5.83   9.22   20.41  0.88  0.85   1.50
09-25 porch            5.54   8.71   19.40  0.83  0.80   1.50
"""


@pytest.mark.parametrize(("sun", "low", "high", "printed"),
                         [("sun", 18.0, 50.0, SUN_PLANT), ("shade", 2.0, 8.0, SHADE_PLANT)], ids=["sun", "shade"])
def test_day_by_day(sun, low, high, printed):
    plant = make_plant("Plant", taxon=make_taxon(sun=sun, light_low_mol=low, light_high_mol=high))
    request = RouteRequest(plant, SPANS, date(2027, 5, 8), date(2027, 10, 2))
    light = make_daylight(HOUSE)
    stops = routes([request], HOUSE, light, Rules())[0].stops
    found = {row[0]: row for row in daily(request, stops, light)}
    lines = [line.split() for line in printed.strip().splitlines()]
    assert len(lines) > 30
    for label, place, *numbers in lines:
        day = date(2027, *(int(part) for part in label.split("-")))
        _, stop, a, s, clear, _, sun_h, allowed, allowed_sun = found[day]
        assert stop.place.replace(" ", "-") == place, label
        expected = pytest.approx([float(number) for number in numbers], abs=PRINTED)
        assert [a, clear, allowed, s, sun_h, allowed_sun] == expected, label
