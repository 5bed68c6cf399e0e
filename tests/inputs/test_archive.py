"""Station files of the global daily archive (GHCN-Daily), in files of our own making that follow its documentation.

Checked against NOAA NCEI, readme-by_station.txt (fields ID, YYYYMMDD, ELEMENT, VALUE, M, Q, S flag, time) and
readme.txt section III (tenths of °C, quality flag blank = no check failed, -9999 = missing). All values are invented.
"""

from functools import partial

import numpy as np
import pytest
from invented_files import faults_in, taken

from seasonplan.inputs import archive
from seasonplan.inputs.record import read_record

WIDE = ('"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES",'
        '"TMIN","TMIN_ATTRIBUTES"\n'
        '"XXW00000001","2020-01-01","44.0","-93.0","250.0","INVENTED, XX","    0",",,S","   12",",,S","  -35",",,S"\n'
        '"XXW00000001","2020-01-02","44.0","-93.0","250.0","INVENTED, XX","    0",",,S","   20",",,S"," -989",",I,S"\n'
        '"XXW00000001","2020-01-03","44.0","-93.0","250.0","INVENTED, XX",,,"   31","H,X,S,0700","  -12","H,,S,0700"\n'
        '"XXW00000001","2020-01-04","44.0","-93.0","250.0","INVENTED, XX","    0",",,S",,,,\n')
LONG_ROWS = ("XXW00000001,20200101,TMAX,12,,,S,0700\nXXW00000001,20200101,TMIN,-35,,,S,0700\n"
             "XXW00000001,20200101,PRCP,0,T,,S,\nXXW00000001,20200102,TMAX,20,,,S,\nXXW00000001,20200102,TMIN,-989,,I,S,\n"
             "XXW00000001,20200103,TMIN,-12,H,,S,\nXXW00000001,20200103,TMAX,31,H,X,S,\n")
LONG = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + LONG_ROWS
OLD_LONG = "ID,DATE,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,OBSTIME\n" + LONG_ROWS


def record(text):
    return taken(partial(read_record, "nights.csv", text.encode()))


def faults_of(text):
    return faults_in(partial(read_record, "nights.csv", text.encode()))


@pytest.mark.parametrize("text", [WIDE, LONG, OLD_LONG, LONG_ROWS], ids=["wide", "long", "long-old-names", "bare"])
def test_one_record_in_every_layout(text):
    found = record(text)
    assert found.dates.astype(str).tolist() == ["2020-01-01", "2020-01-02", "2020-01-03"]
    np.testing.assert_array_equal(found.tmin_c, [-3.5, np.nan, -1.2])
    np.testing.assert_array_equal(found.tmax_c, [1.2, 2.0, np.nan])


def test_missing_marks_are_missing():
    assert np.isnan(record("STATION,DATE,TMIN\nXXW00000001,2020-01-01,-9999\n").tmin_c).all()


def test_a_file_without_flags():
    found = record("STATION,DATE,TMIN,TMAX\nXXW00000001,2020-01-01,-5,20\n")
    assert (found.tmin_c.tolist(), found.tmax_c.tolist()) == ([-0.5], [2.0])


@pytest.mark.parametrize(("header", "kind"), [
    (["STATION", "DATE", "TMIN"], archive.WIDE), (["station", "date", "prcp", "tmax"], archive.WIDE),
    (["ID", "DATE", "ELEMENT", "VALUE"], archive.LONG), (["XXW00000001", "20200101", "TMIN", "5"], archive.BARE),
    (["date", "tmin_c"], ""), (["STATION", "DATE", "PRCP"], ""), ([], ""), (["XXW00000001", "2020", "TMIN", "5"], "")])
def test_kinds_are_told_by_the_first_line(header, kind):
    assert archive.kind_of(header) == kind


@pytest.mark.parametrize(("text", "words"), [
    ("STATION,DATE,TMIN\nXXW00000001,2020-01-01,-3.5\n", "nights.csv:2: TMIN: found -3.5; allowed: whole tenths of °C"),
    ("STATION,DATE,TMIN\nXXW00000001,2020-01-01,600\n", "found 600 (60 °C); allowed: -700 to 450, tenths of °C"),
    ("STATION,DATE,TMIN\nXXW00000001,2020-02-30,6\n", "a date that exists"),
    ("STATION,DATE,TMIN\nXXW00000001,2020-01-01,6\nXXW00000001,2020-01-01,7\n", "csv:3: DATE: 2020-01-01 stands"),
    ("STATION,DATE,TMAX\nXXW00000001,2020-01-01,6\n", "there is no night low in it"),
    ("STATION,DATE,TMIN\nXXW00000001,2020-01-01,6\nXXW00000002,2020-01-02,7\n", "2 stations are in the file"),
    ("STATION,DATE,TMIN\n", "there is no night low in it"),
    (LONG_ROWS.replace("20200103,TMIN", "20209903,TMIN"), "a date that exists"),
])
def test_faults(text, words):
    assert any(words in fault for fault in faults_of(text)), faults_of(text)
