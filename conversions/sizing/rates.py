"""Hours of work per unit of every task, low, likely and high, each with its source."""

from dataclasses import dataclass

from .catalogue import PRACTICE


@dataclass(frozen=True)
class Rate:
    """Person-hours per unit, one average adult working steadily, rest excluded."""

    task: str
    unit: str
    low_h: float
    likely_h: float
    high_h: float
    source: str


# whole sentences, so that each can be said in another language
GUILD = "Guild of Project Controls planning handbook; anchor read there, planning range our own"
SCALED = "common practice, no source; scaled from Guild of Project Controls planning handbook"
SCALED_LIGHT = "common practice, no source; scaled from Guild of Project Controls planning handbook and Encyclopaedia of Architecture 1852, Digging"
GUILD_1852 = "Guild of Project Controls planning handbook; Encyclopaedia of Architecture 1852, Digging; anchor read there, planning range our own"

_RATES = (
    Rate("mark_out", "yard", 0.3, 0.5, 1.0, PRACTICE),
    Rate("edge_trench_light", "m", 0.05, 0.08, 0.15, SCALED_LIGHT),
    Rate("edge_trench_medium", "m", 0.08, 0.13, 0.22, SCALED),
    Rate("edge_trench_heavy", "m", 0.12, 0.20, 0.35, SCALED),
    Rate("hand_dig_light", "m3", 1.2, 1.5, 2.4, GUILD_1852),
    Rate("hand_dig_medium", "m3", 1.75, 2.2, 3.5, GUILD),
    Rate("hand_dig_heavy", "m3", 2.2, 3.3, 5.0, GUILD),
    Rate(
        "shovel_load_soil_compost",
        "m3",
        0.5,
        0.8,
        1.3,
        "Textbook on roads 1908; anchor read there, planning range our own",
    ),
    Rate("shovel_load_chips_fork", "m3", 0.3, 0.5, 0.8, PRACTICE),
    Rate("barrow_haul_10m", "m3", 0.16, 0.25, 0.45, GUILD),
    Rate("barrow_haul_20m", "m3", 0.31, 0.45, 0.7, GUILD),
    Rate("barrow_haul_50m", "m3", 0.47, 0.75, 1.2, GUILD),
    Rate("chips_move_and_spread", "m3", 1.0, 1.5, 2.5, PRACTICE),
    Rate("chips_spread_only", "m3", 0.15, 0.3, 0.6, PRACTICE),
    Rate("cardboard_lay", "m2", 0.025, 0.04, 0.08, PRACTICE),
    Rate("cardboard_strip_tape_staples", "m2", 0.01, 0.02, 0.04, PRACTICE),
    Rate("cardboard_wet", "m2", 0.005, 0.01, 0.02, PRACTICE),
    Rate("spade_edge_line", "m", 0.03, 0.05, 0.1, PRACTICE),
    Rate("frame_bed_precut", "bed", 0.75, 1.25, 2.0, PRACTICE),
    Rate("frame_bed_raw_boards", "bed", 1.0, 2.0, 3.5, PRACTICE),
    Rate("fill_bed_compost", "m3", 1.0, 1.5, 2.5, PRACTICE),
    Rate("mound_bed_compost", "m3", 0.9, 1.4, 2.3, PRACTICE),
    Rate("planting_pocket", "pocket", 0.03, 0.05, 0.1, PRACTICE),
    Rate(
        "plant_plug",
        "plant",
        0.01,
        0.02,
        0.04,
        "common practice, no source; easier than a volunteer planting report's 22 an hour",
    ),
    Rate(
        "plant_pot_1gal",
        "plant",
        0.017,
        0.045,
        0.14,
        "two volunteer planting reports; anchor read there, planning range our own",
    ),
    Rate("seed_rows", "m2", 0.02, 0.04, 0.1, PRACTICE),
    Rate("water_in", "m2", 0.01, 0.015, 0.03, PRACTICE),
    Rate("mow_short", "100 m2", 0.15, 0.3, 0.6, PRACTICE),
    Rate("brief_and_setup", "person", 0.3, 0.5, 0.75, PRACTICE),
    Rate("tidy_and_pack", "person", 0.25, 0.4, 0.6, PRACTICE),
    Rate("unload_bag", "bag", 0.01, 0.015, 0.03, PRACTICE),
    Rate("fork_off_trailer", "m3", 0.4, 0.7, 1.2, PRACTICE),
    Rate("backfill_trench", "m3", 0.7, 1.0, 1.5, GUILD),
    Rate("trim_level_ground", "m2", 0.03, 0.05, 0.1, PRACTICE),
    Rate("site_visit", "yard", 1.0, 1.5, 2.5, PRACTICE),
)
RATES = {rate.task: rate for rate in _RATES}
