"""The sentences of an itinerary, apart from where they stand on the page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.domain.counting import CountRule, SegmentKind
from planner.domain.habitat import HabitatRule
from planner.domain.itinerary import DayPlan, Itinerary, Walk
from planner.domain.outing import Squeeze, StepKind
from planner.domain.travel import ESTIMATED_ON_PAPER, RECORDED_ESTIMATES_WORDS
from planner.printing.times import LocalClock, short_date
from planner.printing.timetable import Leg, Pause

CARE = (
    "Local law, the land manager's rules and the survey's own safety rules come first, before this paper.",
    "Pull fully off the road before you stop. Hazard lights on, reflective clothing on before you step out.",
    "Take a second person as lookout where you can. Whoever drives does nothing but drive.",
    "Tell someone at home when you are due back and whom to ring if you are not. Let them know when you are back.",
    "Stay on the public road unless you have the landowner's permission.",
    "Give wildlife and livestock room. Leave gates as you find them.",
    "A point that is not safe is left out: write down why. No count is worth an accident.",
)
PRIVATE = (
    "This paper holds telephone numbers and the places of wildlife. Show it to nobody who does not need it, and"
    " destroy it when the season is over."
)
SKY = "Leave home by the earlier of the two times. The sky at the first count decides which of the two holds."
TAKE = (
    "this paper, on a board", "pencil, and a second one", "head torch, spare cells", "watch, set to the second",
    "reflective clothing", "telephone, charged", "warm clothing, water", "the route on your navigator",
)  # fmt: skip
INVENTED = "Invented demo. No survey, place, person or telephone number on this paper is real: do not go out with it."


def what(day: DayPlan) -> str:
    """Return what an outing is for: 'Set-up', 'Visit 1', 'Set-up and visit 1'."""
    if day.visit is None:
        return "Set-up"
    return f"Set-up and visit {day.visit}" if day.setup else f"Visit {day.visit}"


def joined(parts: Sequence[str]) -> str:
    """Return 'a', 'a and b', 'a, b and c'."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def points_named(numbers: Sequence[int]) -> str:
    """Return 'point 9' or 'points 9 and 10'."""
    return f"{'point' if len(numbers) == 1 else 'points'} {joined([str(number) for number in numbers])}"


def company(day: DayPlan) -> str:
    """Return who goes: 'You lead, with Ann 07700 900123'."""
    role = "You lead" if day.leads else "You are the second"
    if day.partner is None:
        return "You go alone" if day.visit is None else f"{role}, alone"
    return f"{role}, with {day.partner.first_name} {day.partner.telephone}".strip()


def squeeze_sentence(squeeze: Squeeze) -> str:
    """Return why the habitat round is apart from the counts, or that it need not be."""
    left = squeeze.minutes_left_per_point
    time = f"{left:.1f} minutes" if left > 0 else "no time at all"
    begin = f"Habitat between the counts would leave {time} at each point"
    if squeeze.points_lost:
        lost = points_named(squeeze.points_lost)
        return f"{begin}, and {lost} would fall out: do the habitat round first."
    return f"{begin}; every count would still fit, but keep to the timetable."


def missed_sentence(missed: Sequence[int]) -> str:
    """Return the warning that points do not fit."""
    verb = "does" if len(missed) == 1 else "do"
    them = "it" if len(missed) == 1 else "them"
    return (
        f"{points_named(missed).capitalize()} {verb} not fit inside the light window: no count there on this date."
        f" Ring the coordinator about {them}."
    )


def pause_sentence(pause: Pause, clock: LocalClock, opens_utc: dt.datetime | None) -> str:
    """Return where and how long one waits, and for the window where that is the reason."""
    begin, end = (clock.show(moment) for moment in pause.times)
    until = "until the window opens at" if pause.times[1] == opens_utc else "to"
    return f"Wait at point {pause.point} from {begin} {until} {end}."


SETUP_SENTENCE = (
    "Set-up: find each point, stand where a car can be pulled fully off the road, and mark the place in your notes"
    " so that you find it in the dark."
)
SETUP_PENDING = (
    "The set-up was to be on the first evening. If it was not done, ring the coordinator before this date:"
    " the points must be found by daylight first."
)


def overcast_bar(limit_percent: float) -> str:
    """Return what to do where no count fits under an overcast sky."""
    return f"If more than {limit_percent:g} % of the sky is cloud, do not count: ring the coordinator."


def zone_sentence(clock: LocalClock, leave: dt.datetime, due: dt.datetime) -> str:
    """Return which zone the paper's times are in; two of them where the clocks change on the way."""
    before, after = clock.zone_words(leave), clock.zone_words(due)
    if clock.local(leave).utcoffset() == clock.local(due).utcoffset():
        return f"All times are {before}."
    return f"The clocks change during this outing: times are {before} first, and {after} after the change."


def drive_sentence(day: DayPlan) -> str:
    """Return where the drive minutes come from."""
    if day.estimated_drive:
        return f"{RECORDED_ESTIMATES_WORDS if day.recorded_drives else ESTIMATED_ON_PAPER} Leave early."
    return "Drive minutes follow the roads, on the cautious side, and include stopping."


def walk_sentence(walks: Sequence[Walk]) -> str:
    """Return which points are walked to from the car, one or more."""
    said = [f"point {walk.point}, {walk.metres:.0f} m ({max(walk.minutes, 1):.0f} min each way)" for walk in walks]
    return f"On foot from the road, as on level ground: {'; '.join(said)}. The drive minutes include it."


def count_sentence(count: CountRule) -> str:
    """Return the parts of a count, its whole length first."""
    parts = [f"{count.settle_minutes:g} min to settle"] if count.settle_minutes else []
    parts += [_segment(segment.name, segment.minutes, segment.kind) for segment in count.segments]
    extra = count.noise_extension_minutes
    longer = f" Noise stops the clock: up to {extra:g} min longer." if extra else ""
    return f"Each count, {count.minutes:g} min in all: {', '.join(parts)}.{longer}"


def _segment(name: str, minutes: float, kind: SegmentKind) -> str:
    told = "" if kind is SegmentKind.PASSIVE or kind.value in name.lower() else f" ({kind.value})"
    return f"{minutes:g} min {name}{told}"


def leg_title(leg: Leg, passes: int) -> str:
    """Return the head of a table."""
    ground = {
        (): "",
        (StepKind.SETUP,): "Set-up",
        (StepKind.HABITAT,): "Habitat",
        (StepKind.SETUP, StepKind.HABITAT): "Set-up and habitat",
    }[leg.ground_kinds]
    if not leg.counts:
        return f"{ground} round" if len(leg.ground_kinds) == 1 else ground
    which = f", run {leg.pass_number}" if passes > 1 else ""
    return f"{ground} and counts{which}" if ground else f"Counts{which}"


def radius_words(rule: HabitatRule) -> str:
    """Return the habitat radius in metres and pole spans: 'within 200 m: 2 spans of 100 m between poles'."""
    metres = f"{rule.radius.metres:,.0f} m".replace(",", " ")
    own = f" ({rule.radius})" if rule.radius.unit != "m" else ""
    spans = f"{rule.spans:.2g}"
    return f"Within {metres}{own}, about {spans} pole span{'' if spans == '1' else 's'} of 100 m"


def weather_advice(itinerary: Itinerary) -> tuple[str, ...]:
    """Return what to do when weather threatens."""
    ring = itinerary.coordinator.name or "the coordinator"
    reserved = any(day.reserve is not None for day in itinerary.days)
    reserve = f" Keep the reserve date free: {ring} tells you whether you go then." if reserved else ""
    return (
        f"Before you leave home, look at the sky and the forecast. In doubt ring {ring}: the two of you decide.",
        "If a limit is broken on the way, stop counting, write down the time, and go home.",
        f"Tell {ring} the same day.{reserve}",
    )


def reserve_words(day: DayPlan) -> str:
    """Return 'Reserve Tue 22 June', or that there is none."""
    if day.visit is None:
        return ""
    return f"Reserve: {short_date(day.reserve)}" if day.reserve is not None else "No reserve date"
