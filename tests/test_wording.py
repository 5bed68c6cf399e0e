"""How numbers, dates and names are put: one row for each way a value can be put, at its limits."""

from datetime import date

import pytest

from seasonplan import wording as w

M, I = "metric", "imperial"  # noqa: E741
DAY = date(2027, 5, 9)
PUT = {
    w.temperature: {(10.0, M): "10 °C", (10.04, M): "10 °C", (9.96, M): "10 °C", (9.5, M): "9.5 °C",
               (10.0, I): "50 °F",
                    (10.2, I): "50 °F", (-0.04, M): "0 °C", (-17.8, I): "0 °F"},
    w.temperature_span: {(5.0, M): "5 °C", (5.0, I): "9 °F", (2.25, M): "2.2 °C", (1.5, I): "2.7 °F"},
    w.height: {(47.0, M): "47 m", (47.0, I): "154 ft", (304.8, I): "1000 ft", (0.4, M): "0 m"},
    w.distance: {(21.0, M): "21 km", (21.0, I): "13 miles", (1.609344, I): "1 mile", (1.6, M): "2 km",
                 (3.218688, I): "2 miles", (0.2, I): "0 miles"},
    w.speed: {(18.0, M): "65 km/h", (10.0, M): "36 km/h", (44.704, I): "100 mph", (18.0, I): "40 mph"},
    w.rainfall: {(25.0, M): "25 mm", (25.4, I): "1.0 in", (63.5, I): "2.5 in"},
    w.length: {(33.0, M): "33 cm", (33.0, I): "13 in", (9.5, M): "9.5 cm", (10.4, M): "10 cm", (9.96, M): "10 cm",
               (9.44, M): "9.4 cm", (10.6, M): "11 cm", (10.0, M): "10 cm", (2.54, I): "1 in", (3.3, I): "1.3 in"},
    w.volume: {(16.2, M): "16 L", (10.0, M): "10 L", (9.99, M): "10 L", (4.25, M): "4.2 L", (0.5, M): "0.5 L",
               (0.499, M): "499 mL", (0.0123, M): "12 mL", (10.4, M): "10 L", (9.44, M): "9.4 L",
               (0.4994, M): "499 mL", (0.4996, M): "500 mL", (1.51416, I): "51 fl oz",
               (4.732, I): "1.3 gal", (0.05618, I): "1.9 fl oz", (0.08, I): "3 fl oz", (1.85, I): "63 fl oz",
               (0.08872, I): "3 fl oz", (3.785411784, I): "1 gal", (1.892705892, I): "0.5 gal", (1.8, I): "61 fl oz",
               (0.0592, I): "2 fl oz", (0.05, I): "1.7 fl oz"},
    w.weight: {(11.2, M): "11 kg", (10.0, M): "10 kg", (9.96, M): "10 kg", (4.5, M): "4.5 kg", (10.4, M): "10 kg",
               (9.44, M): "9.4 kg", (0.45359237, I): "1 lb",
               (11.0, I): "24 lb"},
    w.day: {(DAY,): "Sun 9 May", (DAY, True): "Sun 9 May 2027", (date(2027, 12, 31),): "Fri 31 Dec",
            (date(2027, 1, 4),): "Mon 4 Jan"},
    w.clock: {(0,): "00:00", (65.4,): "01:05", (65.6,): "01:06", (1439.6,): "00:00", (1439,): "23:59",
               (659,): "10:59", (1440 + 61,): "01:01",
              (-30,): "23:30"},
    w.moment: {("2027-05-11T19:00",): "19:00 on Tue 11 May", ("2027-05-11T07:30:59",): "07:30 on Tue 11 May"},
    w.few_nights: {(0.049,): "fewer than 0.1", (0.05,): "0.1", (0.0,): "fewer than 0.1", (1.94,): "1.9",
               (2.34,): "2.3", (2.349,): "2.3", (2.0,): "2"},
    w.minute_of: {("00:00",): 0, ("07:05",): 425, ("10:59",): 659, ("23:50",): 1430},
    w.spans: {((),): "no direct sun", (((410, 510),),): "06:50 to 08:30",
              (((410, 510), (1020, 1090)),): "06:50 to 08:30 and 17:00 to 18:10"},
    w.percent: {(0.0,): "0 %", (0.0049,): "under 1 %", (0.005,): "0 %", (0.0051,): "1 %", (0.5,): "50 %",
                (0.995,): "100 %", (0.9951,): "over 99 %", (1.0,): "100 %", (0.994,): "99 %"},
    w.listed: {((),): "", (("a",),): "a", (("a", "b"),): "a and b", (("a", "b", "c"),): "a, b and c",
               (("a", "b", "c"), 3): "a, b and c", (("a", "b", "c"), 2): "a, b and 1 more",
               (("a", "b", "c", "d"), 1): "a and 3 more"},
    w.counted: {(1, "pot"): "1 pot", (3, "pot"): "3 pots", (0, "pot"): "0 pots", (2, "box", "boxes"): "2 boxes",
                (1, "box", "boxes"): "1 box", (1.5, "pot"): "1.5 pots", (1.25, "pot"): "1.2 pots"},
    w.amount: {(2.0, "L", M): "2 L", (250.0, "mL", M): "250 mL", (2000.0, "mL", M): "2 L",
               (9951.0, "mL", M): "10 L", (9949.0, "mL", M): "9.9 L", (499.0, "mL", M): "499 mL",
               (3.0, "kg", M): "3 kg",
               (3.0, "kg", I): "7 lb", (1.0, "pots", M): "1 pot", (2.0, "pots", I): "2 pots",
               (2.0, "pot", I): "2 pots",
               (3.785411784, "L", I): "1 gal"},
    w.light: {(6.24,): "6.2 mol", (10.0,): "10 mol", (9.96,): "10 mol", (12.6,): "13 mol", (10.4,): "10 mol",
               (9.44,): "9.4 mol", (float("inf"),): "no limit"},
    w.hours: {(1.44,): "1.4 h", (2.0,): "2 h", (float("inf"),): "no limit"},
    w.duration: {(45,): "45 min", (59.4,): "59 min", (59.6,): "1 h", (120,): "2 h", (125,): "2 h 5 min",
               (0,): "0 min",
                 (61,): "1 h 1 min", (659,): "10 h 59 min"},
    w.short_day: {(DAY,): "9 May", (date(2027, 9, 27),): "27 Sep"},
    w.date_span: {(DAY, date(2027, 9, 27)): "9 May to 27 Sep"},
    w.trimmed: {(2.0,): "2", (1.5,): "1.5", (1.25, 2): "1.25", (100.0, 0): "100", (-0.01,): "0", (0.0,): "0",
                (10.0, 2): "10", (-0.5,): "-0.5"},
    w.slug: {("Big fig",): "big-fig", ("  Été & \"Hôtel\"!",): "ete-hotel", ("日本",): "plant",
               ("日本", "place"): "place",
             ("a" * 39 + " bcd",): "a" * 39, ("a" * 50,): "a" * 40, ("A1 -- b",): "a1-b"},
    w.one_line: {("a\n\tb",): "a b", (" a  b ",): "a b", ("a\u202eb\u2066c\ufeff",): "abc",
               ("a\u2028b\x85c",): "a b c",
                 ("abcde", 5): "abcde", ("abcdef", 5): "abcd…", ("abc def", 5): "abc…", ("אב\u200fג",): "אב\u200fג"},
}


@pytest.mark.parametrize(("put", "given", "words"), [
    pytest.param(put, given, words, id=f"{put.__name__}{given}"[:60])
    for put, rows in PUT.items() for given, words in rows.items()])
def test_every_value_is_put_as_a_reader_expects(put, given, words):
    assert put(*given) == words


@pytest.mark.parametrize(("text", "most", "cut"), [
    ("abe\u0301fg", 4, "ab…"),                        # never between a letter and its accent
    ("ab\U0001f469\u200d\U0001f33e cd", 4, "ab…"),    # nor inside a joined emoji
    ("abc\U0001f44d\U0001f3fd ef", 5, "abc…"),        # nor before the tone of a skin
    ("ab\U0001f469\u200d\U0001f33e cd", 5, "ab…"),
    ("abc\U0001f44d\U0001f3fb ef", 5, "abc…"), ("abc\U0001f44d\U0001f3ff ef", 5, "abc…"),
    ("x" * 10 + "y" + "\u0301" * 60, 50, "x" * 10 + "…"), ("a" + "b" + "\u0301" * 60, 5, "a…"),
    ("y" + "\u0301" * 60, 5, "y\u0301\u0301\u0301…"),                   # a letter that has no end is cut
    ("x" * 9 + "y" + "\u0301" * 60, 50, "x" * 9 + "y" + "\u0301" * 39 + "…"),
    ("x" + "\u0301" * 60, 50, "x" + "\u0301" * 48 + "…")])
def test_a_cut_falls_between_letters(text, most, cut):
    assert w.one_line(text, most) == cut


def test_square_metres_to_buy_keep_their_half():
    assert w.amount(2.5, "m²", M) == "2.5 m²" == w.amount(2.5, "m²", I) and w.amount(3.0, "m²", M) == "3 m²"
    assert w.amount(2.34, "m²", M) == "2.3 m²"
