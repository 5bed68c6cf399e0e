"""Which day a session falls on once the log has been read, with jobs made up for the purpose."""

from care.levelling import SATURDAY, due, each, job, level, placed, relevel

from seasonplan.care.job import After


def test_what_is_done_counts_for_what_comes_after_and_is_not_asked_again():
    jobs = [job("a", due(0, 6)), job("b", due(0, 60, after=(After("a", 1, 6),)))]
    again = relevel(jobs, level(jobs, plants=2), {("a", 1): {0: 9}}, plants=2)
    assert placed(again, "a") == [(0, (1,))] and placed(again, "b") == [(7, (1,)), (15, (0,))]


def test_an_occurrence_done_overtakes_the_ones_before_and_not_the_ones_after_or_other_kinds():
    jobs = [job("a", due(0, 6), due(7, 13, n=2), due(14, 20, n=3)), job("b", due(0, 6))]
    again = relevel(jobs, level(jobs), {("a", 2): {0: 3}})
    assert [(s.job.kind, s.n) for s in again.sessions] == [("a", 3), ("b", 1)]


def test_what_the_log_does_not_touch_keeps_its_day_though_a_nearer_one_is_free_now():
    jobs = [each("a", due(0, 13), due(0, 13), pot=50), each("b", None, due(0, 13), pot=50, family="potting")]
    first = level(jobs, plants=2, apart=True)
    assert (placed(first, "a"), placed(first, "b")) == ([(0, (0,)), (1, (1,))], [(7, (1,))])
    again = relevel(jobs, first, {("a", 1): {0: -3}}, plants=2, apart=True)
    assert (placed(again, "a"), placed(again, "b")) == ([(1, (1,))], [(7, (1,))])


def test_what_must_move_finds_the_days_of_others_taken():
    jobs = [job("c", due(0, 0), setup=0, pot=1), job("a", due(0, 20, after=(After("c", 1, 0),)), pot=50),
            job("b", due(0, 20, ideal=1), pot=50, family="potting")]
    first = level(jobs)
    assert (placed(first, "a"), placed(first, "b")) == ([(0, (0,))], [(1, (0,))])
    again = relevel(jobs, first, {("c", 1): {0: 1}})
    assert (placed(again, "a"), placed(again, "b")) == ([(7, (0,))], [(1, (0,))])


def test_a_group_that_loses_plants_keeps_its_day_with_less_work_and_its_day_may_no_longer_run_over():
    guard = job("a", due(0, 0), safety=True)
    first = level([guard], plants=6, limit=35)
    assert [(s.forced, s.over_min, s.minutes) for s in first.sessions] == [(True, 30, 65)]
    again = relevel([guard], first, {("a", 1): dict.fromkeys(range(4), -1)}, plants=6, limit=35)
    assert [(s.forced, s.over_min, s.minutes, s.members) for s in again.sessions] == [(True, 0, 25, (4, 5))]


def test_an_exact_step_moves_with_its_first_day_and_others_stay_while_their_time_allows_it():
    exact = job("b", due(0, 60, after=(After("a", 1, 6),), exact=True))
    loose = job("c", due(0, 60, after=(After("a", 1, 6),)))
    jobs = [job("a", due(0, 6), setup=0, pot=0), exact, loose]
    first = level(jobs)
    assert (placed(first, "b"), placed(first, "c")) == ([(7, (0,))], [(7, (0,))])
    earlier = relevel(jobs, first, {("a", 1): {0: -9}})
    assert (placed(earlier, "b"), placed(earlier, "c")) == ([(0, (0,))], [(7, (0,))])
    later = relevel(jobs, first, {("a", 1): {0: 5}})
    assert (placed(later, "b"), placed(later, "c")) == ([(14, (0,))], [(14, (0,))])
    jobs = [job("a", due(0, 6)), job("b", due(0, 60, after=(After("a", 1, 8),), exact=True))]
    assert placed(level(jobs), "b") == [(8, (0,))]
    assert placed(relevel(jobs, level(jobs), {("a", 1): {0: -1}}), "b") == [(7, (0,))]


def test_nothing_new_in_the_log_changes_nothing():
    jobs = [job("a", due(0, 13)), job("b", due(7, 13), family="potting"),
            job("all", due(0, 6), whole=True, setup=0, pot=1)]
    first = level(jobs, plants=9)
    again = relevel(jobs, first, plants=9)
    assert placed(again) == placed(first) and len(placed(first)) == 5
    for day in range(14):
        assert again.board.free(SATURDAY + day) == first.board.free(SATURDAY + day)
        assert again.board.setup(jobs[0], SATURDAY + day) == first.board.setup(jobs[0], SATURDAY + day)


def test_names_of_steps_that_the_log_splits():
    """The group keeps its name while its first plant is in it; a part without it is named by its own first plant, and
    the first plant alone, split off from the others, says that its name is taken."""
    jobs = [job("a", due(0, 6)), job("b", due(0, 60, after=(After("a", 1, 6),)))]
    first = level(jobs, plants=3)
    assert [(s.anchor, s.redated) for s in first.sessions] == [(0, False), (0, False)]

    def named(done):
        again = relevel(jobs, first, {("a", 1): done}, plants=3)
        return [(s.day - SATURDAY, s.members, s.anchor, s.redated) for s in again.sessions if s.job.kind == "b"]

    assert named({0: 9}) == [(7, (1, 2), 0, False), (15, (0,), 0, True)]
    assert named({2: 9}) == [(7, (0, 1), 0, False), (15, (2,), 2, False)]
    assert named({0: 9, 1: 9, 2: 9}) == [(15, (0, 1, 2), 0, False)]
    assert named({0: 9, 2: 9}) == [(7, (1,), 0, False), (15, (0, 2), 0, True)]
    assert named({1: 9, 2: 9}) == [(7, (0,), 0, False), (15, (1, 2), 1, False)]


def test_the_name_of_a_group_is_taken_where_its_first_plant_leaves_it_for_another():
    jobs = [each("a", due(0, 6), due(0, 6), due(14, 20)),
            job("b", due(0, 60, after=(After("a", 1, 6),), exact=True))]
    first = level(jobs, plants=3, apart=True)
    assert placed(first, "b") == [(7, (0, 1)), (21, (2,))]
    again = relevel(jobs, first, {("a", 1): {0: 9, 2: 9}}, plants=3, apart=True)
    assert [(s.members, s.anchor, s.redated) for s in again.sessions if s.job.kind == "b"] == [
        ((1,), 0, False), ((0, 2), 0, True)]
