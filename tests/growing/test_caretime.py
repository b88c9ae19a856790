from conversions.growing.caretime import MINUTES_PER_M2, bed_area, care_time


def test_the_rate_is_the_published_season_spread_over_its_weeks():
    # Stephens and Carter 1980: 68 hours on 53.9 m2; 26 weeks of season
    assert round(68 * 60 / 53.9 / 26, 1) == MINUTES_PER_M2


def test_ten_square_metres_take_half_an_hour_and_an_hour_and_a_half_at_the_busiest():
    # by hand: 10.1 x 2.9 = 29.3, up to 30; x 2 x 1.5 = 87.9, up to 90
    assert care_time(10.1).usual == 30
    assert care_time(10.1).busiest == 90


def test_no_bed_at_all_still_asks_for_a_look_round():
    assert care_time(0).usual == 5


def test_an_exact_multiple_of_five_is_not_pushed_up():
    # by hand: 100 / 2.9 m2 x 2.9 = 100 minutes
    assert care_time(100 / 2.9).usual == 100


def test_half_an_hour_a_week_is_enough_for_seven_square_metres_in_the_first_year():
    # by hand: 30 / (2.9 x 1.5) = 6.897
    assert round(bed_area(30), 2) == 6.90
    assert bed_area(0) == 0
