"""The values the sums run on, as frozen records; the data files with sources are read elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StageParameters:
    """One stage of the pest. `degree_days` is None for the last one."""

    code: str
    degree_days: float | None
    sub_stages: int
    daily_survival: float
    daily_exchange: float
    found_in_reach: float
    found_out_of_pot: float
    make_up: float


@dataclass(frozen=True, slots=True)
class Warmth:
    """Between which temperatures the pest develops, degC."""

    lower_threshold_c: float
    upper_cutoff_c: float
    known_up_to_c: float
    """above it nothing is known of the pest"""


@dataclass(frozen=True, slots=True)
class DayOfLife:
    """What a day does to an insect besides surviving, growing and moving."""

    reference_degree_days: float
    """of the day survival is given for"""
    eggs_a_day: float
    warm_day: float
    """degree-days from which laying goes no faster"""
    leaves: float
    """share of the crawlers that leave the plant they hatched on"""
    stays: float
    """share of the others that stay where they hatched"""


@dataclass(frozen=True, slots=True)
class Supposed:
    """A plant before its first look: infested with `chance`, then `mean` insects, gamma `shape`."""

    chance: float
    mean: float
    shape: float


@dataclass(frozen=True, slots=True)
class Infestation:
    """What is supposed before a look, what arrives, what handling does, how far back is read."""

    priors: Mapping[str, Supposed]
    """by how the plant came: arrival or established"""
    mates_plants: float
    """how many plants what is supposed of a new arrival is worth, beside those it came with"""
    arrivals_apart: float
    """crawlers a day"""
    arrivals_collection: float
    killed: float
    """chance that what was killed in place is dead"""
    sac_gone: float
    """chance that an egg in reach goes along with an adult and her sac"""
    reading_days: int
    reading_before_finds: int
    run_ends_days: int
    band_low: float
    """times the rates, for the low and the high end of a band"""
    band_high: float
    band_tucked: float
    """times the tucked shares"""
    band_start_likelier: float
    """chance to be infested at the start, in place of the one supposed"""
    band_start_rarer: float
    band_arrivals: float
    """times the arrivals"""
    fit_plant: float
    """times that what was put against the sums has grown once the finds are said not to fit, where
    one day lay far out"""
    fit_plant_alone: float
    """the same whatever the days"""
    fit_tail: float
    """chance of as many finds as on a day, or of as few, from which on it lies far out"""
    fit_all: float
    """the same of all plants together"""
    fit_days: int
    """last days with looks that are compared with what was to be expected"""


@dataclass(frozen=True, slots=True)
class Inspection:
    """How seconds of looking are credited."""

    reference_seconds: Mapping[str, float]
    """whole plant, by size"""
    roots_reference_seconds: float
    seconds_per_find: float
    handled_once: tuple[str, ...]
    """pests of which an entry is handled once, however many it says: nobody counts them singly"""
    seconds_with_find: float
    """of a look that showed something, at least, as the inference reads it"""
    credited_at_most: float
    """times the reference seconds of the zone"""
    searched_least: float
    """of a look's seconds that is searching at the least, where finds are set beside effort"""
    seen_from: float
    """share of the reference seconds from which a zone counts as seen"""
    complete_from: float
    """share of the weight outside the roots from which a look is complete"""
    idle_seconds: float
    recent_find_days: int
    infested_days: int
    signs_days: int
    """days for which a sign without insects brings a plant more attention"""
    bodies_days: int
    """days for which what was killed in place may still hang there"""
    doubts_live_at: int
    """the how-manieth open doubt in a zone counts as live ..."""
    doubts_within_days: int
    """... within so many days"""
    away_twice_days: float
    """days away after which the first round back is twice as long"""
    away_at_most: float
    """times the usual minutes, for the first round back"""


@dataclass(frozen=True, slots=True)
class SecondLooks:
    """How a grower's own detection is learned from second looks."""

    one_in: int
    """zones, of which one is looked at twice"""
    found_before: float
    """beta distribution of the share of laying adults in reach that one look finds"""
    missed_before: float
    least: float
    """times the rates of the table"""
    most: float


@dataclass(frozen=True, slots=True)
class Season:
    """From how much a grower's own finds are read as values of the table."""

    finds: int
    """from which on what they tell is proposed"""
    days: int
    """that are read back"""
    zones_known: float
    """plants that the assumed shares of the zones count for"""
    wandering_known: float
    """finds that the assumed rate of crawlers counts for"""


@dataclass(frozen=True, slots=True)
class QuarantineRules:
    """One setting of the criteria, for one pest; a value of None is not asked for."""

    name: str
    days_apart: int
    degree_days: float
    clean_looks: int
    recent_looks: int
    recent_look_days: int
    root_looks: int | None
    roots_after_days: int
    roots_apart_days: int
    chance_clean: float
    chance_low: float | None
    gap_days: int
    gap_holds_back: int
    degree_days_waived_from: float
    """chance clean from which a plant on which nothing was ever found need not wait for them"""


@dataclass(frozen=True, slots=True)
class Watch:
    """How long a plant is watched for a pest after it rejoined."""

    days: int
    degree_days: float


@dataclass(frozen=True, slots=True)
class PestZones:
    """Where on a plant one pest sits, by the zones that others draw on."""

    weight: Mapping[str, float]
    """share of the insects"""
    tucked_share: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Biology:
    """What is one pest's own: how it lives, how well it is seen, the warmth asked for it."""

    stages: tuple[StageParameters, ...]
    """from the egg to the laying adult"""
    egg_degree_days: tuple[float, float]
    """from which eggs hatch, and by which all have, degC"""
    warmth: Warmth
    day: DayOfLife
    rules: Mapping[str, QuarantineRules]
    """settings of the criteria by name, the weakest first"""
    watch: Watch
    recorded: Mapping[str, tuple[str, ...]]
    """stages that a find of a recorded stage may be of; what is missing it does not have"""
    counted_from: tuple[int, ...] = ()
    """numbers of which a count says that there were at least so many; empty where each is exact"""
    zones: PestZones | None = None
    """None where it sits as the growth forms say"""
    courses: tuple[str, ...] = ()
    """courses of treatment that are usual against it"""
    spray_least_days: int | None = None
    """a spray comes again as soon as eggs have hatched, no sooner; None where as the course says"""
    spared: tuple[str, ...] = ()
    """stages besides the egg that a contact spray leaves alone"""


@dataclass(frozen=True, slots=True)
class ZoneShare:
    """A zone of a growth form."""

    zone: str
    weight: float
    tucked_share: float


@dataclass(frozen=True, slots=True)
class Risk:
    """What a plant may cost if it is not looked at, and what is said of it."""

    days_ahead: int
    look_first_from: float
    """score"""
    today_from: float
    touching: float
    """share of the crawlers that leave a plant and reach one that touches it"""
    same_bench: float
    same_room: float
    most_reached: float
    """crawlers a day that a plant gets from all its neighbours, at most"""


@dataclass(frozen=True, slots=True)
class ClaimRules:
    """How long each plant may wait for a look, and what it gets at the least."""

    alive_days: int
    """for so long after a find insects are taken to live on a plant"""
    alive_below: float
    """chance clean below which they are taken to live on it for longer, once any were found"""
    alive_every_days: int
    near_days: int
    """after a find, those near it"""
    clearing_days: int
    watch_days: int
    unseen_days: int
    full_days: int
    """after a look that counts, or since it came, from which on the next one shall count"""
    starving_days: int
    """without a look, from which on a plant's turn has come before all but half of what is alive"""
    parts_days: int
    """a look in parts on so many days counts as one"""
    whole_share: float
    """of the reference seconds, of each zone"""
    short_share: float
    """the same where a look over the whole plant serves"""
    early_share: float
    """the same of one that is not due yet"""
    gone_over_share: float
    """of the reference seconds of a zone, from which on it was gone over"""
    most_share: float
    """of the minutes, for one plant while others are due"""
    alive_share: float
    """of the minutes, that plants with insects keep so that the others do not starve"""
    ahead_share: float
    """of what plants with insects leave, counted on for the days ahead"""
    exposed_days: int
    """for so long a find counts for those near it that nobody has looked at since"""
    again_days: int
    """of finds again and again, after which the roots are looked at"""
    again_gap_days: int
    """from one of these finds to the next at the most"""


@dataclass(frozen=True, slots=True)
class Planning:
    """What a plant of a round costs besides looking, and how far the grower's own pace counts."""

    claims: ClaimRules

    walk_seconds: float
    """from one plant to the next"""
    hygiene_seconds: float
    """after a plant with insects, or one in quarantine"""
    handling_at_most: float
    """times the reference seconds of a zone, for what is expected to be found there"""
    whole_plant_below: float
    """share of the reference time up to which a plant is looked at in one go"""
    step_together_seconds: float
    """zones of one plant planned below are looked at together"""
    step_least_seconds: float
    """no step is shorter"""
    pace_looks: int
    """the last looks at a zone the pace is taken from"""
    pace_from_looks: int
    """fewer say nothing yet"""
    pace_least: float
    pace_most: float


@dataclass(frozen=True, slots=True)
class Kills:
    """What one use of a treatment kills on its day, after that day's looks, as shares."""

    in_reach: float = 0.0
    """from first nymph to laying adult, in reach outside"""
    eggs: float = 0.0
    """in reach outside"""
    tucked: float = 0.0
    """of all stages, tucked away outside"""
    below: float = 0.0
    """of all stages, in the medium and on the roots"""
    spared: tuple[str, ...] = ()
    """codes of stages that are not killed in reach"""


@dataclass(frozen=True, slots=True)
class Advice:
    """From when on which way to go on comes first, and over which days a course is judged."""

    found_days: int
    """after a find, for which it is said what to do next"""
    often_days: int
    """days with finds from which on lifting alone does not keep up ..."""
    often_of: int
    """... of the last so many"""
    below: float
    """share of what is left, in medium and on roots, from which on these come first"""
    part_from: float
    """insects left from which on parting with a plant of value 1 comes first"""
    works_days: int
    """up to the first use of a course and after its last, whose finds are compared"""
    works_looked: int
    """days with looks since the first use compared with what the sums expected"""
    most_times: int
    """of a step, however cold it is"""


@dataclass(frozen=True, slots=True)
class AlarmRules:
    """When finds rise beyond chance."""

    mean: float
    """finds of a complete look that are stragglers, no more; the run length is worked out for it"""
    reference: float
    """finds that a complete look takes off the sum (K of the chart)"""
    limit: float
    """the sum at which it signals (H)"""
    days: int
    """that are read, up to the last look"""
    looks: int
    """with finds, at least"""


@dataclass(frozen=True, slots=True)
class EmptySpots:
    """How long a spot stays empty that a plant with insects left, once it was cleaned."""

    days: int
    degree_days: float
    """which all have to pass too, degC"""


@dataclass(frozen=True, slots=True)
class Deliveries:
    """How many plants of a delivery to open, and what speaks for leaving it."""

    share: float
    """infested, that opening is to find"""
    confidence: float
    """chance of finding it"""
    many: int
    """insects on one plant that speak against the delivery"""
    widespread: float
    """share of those opened with insects that does, where at least ..."""
    widespread_from: int
    """... so many were opened"""
    few: int
    """insects in all up to which no course is asked for"""
    against: float
    """how much may speak against a plant of value 1 before it is left"""


@dataclass(frozen=True, slots=True)
class Parameters:
    """All of them, read once."""

    pests: Mapping[str, Biology]
    """by code, the one first that is followed unless another is named"""
    usual_c: float
    """assumed of a place until a grower enters a temperature"""
    infestation: Infestation
    inspection: Inspection
    risk: Risk
    planning: Planning
    forms: Mapping[str, tuple[ZoneShare, ...]]
    """zones of each growth form from top to bottom, roots last"""
    weights: Mapping[str, float]
    """share of the insects by zone, of those that others draw on"""
    donors: Mapping[str, str]
    """of the zones that draw on another, which"""
    second_looks: SecondLooks
    season: Season
    treatments: Mapping[str, Kills]
    """by the kind of step of a course; what is missing kills nothing"""
    advice: Advice
    empty_spots: EmptySpots
    deliveries: Deliveries
    alarm: AlarmRules
    detection_times: float = 1.0
    """how many times the rates of the table this grower finds with, as far as is known"""

    @property
    def default_pest(self) -> str:
        """The pest that is followed unless another is named."""
        return next(iter(self.pests))
