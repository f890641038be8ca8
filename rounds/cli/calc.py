"""calc: published sums on their own; no logbook is opened."""

import click

from rounds import words
from rounds.cli.calculating import calculating, lines_of, sum_option
from rounds.cli.named_group import NamedGroup
from rounds.cli.options import argument, helped, option
from rounds.cli.values import COUNT, NUMBER, OneOf
from rounds.errors import BadInput
from rounds.service.calculate.alarm import alarm
from rounds.service.calculate.calculated import Calculated
from rounds.service.calculate.degree_days import CUTOFFS, METHODS, degree_days
from rounds.service.calculate.dilution import LIQUIDS, ML_PER_LITRE_IN, dilution, label_dilution
from rounds.service.calculate.efficacy import efficacy
from rounds.service.calculate.effort import effort
from rounds.service.calculate.freedom import SAMPLE_METHODS, clean_visits, freedom, sample_size
from rounds.service.calculate.removal import METHODS as REMOVAL_METHODS
from rounds.service.calculate.removal import removal


class Calculations(NamedGroup):
    """The calculations there are."""

    unknown = "unknown-calculation"


@click.group(
    "calc", cls=Calculations, help=words.say("cli.about.calc"), invoke_without_command=True
)
@option("--json", "as_json", is_flag=True)
@helped
@click.pass_context
def calc(context: click.Context, /, *, as_json: bool) -> None:
    """The calculation named next. BadInput if none is."""
    context.obj.as_json = context.obj.as_json or as_json
    if context.invoked_subcommand is None:
        names = ", ".join(calc.list_commands(context))
        raise BadInput("needs-a-calculation", names=names, argument="calc")


@calc.command("dilution", help=words.say("cli.about.dilution"))
@helped
@option("--stock", "stock_percent", metavar="PCT", type=NUMBER)
@option("--target", "target_percent", metavar="PCT", type=NUMBER)
@option("--rate", metavar="R", type=NUMBER)
@option("--per", metavar="|".join(ML_PER_LITRE_IN), default="ml-per-litre")
@option("--liquid", metavar="|".join(LIQUIDS), default="other")
@option("--volume-ml", metavar="V", type=NUMBER, required=True)
@calculating(lines_of.dilution)
def dilution_command(
    stock_percent: float | None,
    target_percent: float | None,
    rate: float | None,
    per: str,
    liquid: str,
    volume_ml: float,
) -> Calculated:
    """How much stock and how much water."""
    if rate is not None:
        if stock_percent is not None or target_percent is not None:
            raise BadInput("rate-or-strengths", field="rate")
        return label_dilution(rate, per, volume_ml, liquid)
    for field, given in (("stock_percent", stock_percent), ("target_percent", target_percent)):
        if given is None:
            raise BadInput("needs-strengths", field=field)
    return dilution(stock_percent or 0.0, target_percent or 0.0, volume_ml, liquid)


@calc.command("removal", help=words.say("sums.about.removal"))
@helped
@argument("CATCH", "catches", type=COUNT, nargs=-1, required=True)
@sum_option(
    "--method",
    metavar="|".join(REMOVAL_METHODS),
    type=OneOf(REMOVAL_METHODS),
    default="carle-strub",
)
@calculating(lines_of.removal)
def removal_command(catches: tuple[int, ...], method: str) -> Calculated:
    """How many there were, and how many are left."""
    return removal(catches, method)


@calc.command("freedom", help=words.say("sums.about.freedom"))
@helped
@sum_option("--sensitivity", metavar="S", type=NUMBER, required=True)
@sum_option("--introduction", metavar="I", type=NUMBER, required=True)
@sum_option("--prior", metavar="P", type=NUMBER, required=True)
@sum_option("--periods", metavar="N", type=COUNT, required=True)
@calculating(lines_of.freedom)
def freedom_command(
    sensitivity: float, introduction: float, prior: float, periods: int
) -> Calculated:
    """How sure it is after each period that nothing is there."""
    return freedom(sensitivity, introduction, prior, periods)


@calc.command("sample-size", help=words.say("sums.about.sample-size"))
@helped
@sum_option("--units", metavar="N", type=COUNT)
@sum_option("--prevalence", metavar="F", type=NUMBER, required=True)
@sum_option("--confidence", metavar="C", type=NUMBER, required=True)
@sum_option("--sensitivity", metavar="S", type=NUMBER, default=1.0)
@sum_option(
    "--method",
    metavar="|".join(SAMPLE_METHODS),
    type=OneOf(SAMPLE_METHODS),
    default="hypergeometric",
)
@calculating(lines_of.sample_size)
def sample_size_command(
    units: int | None, prevalence: float, confidence: float, sensitivity: float, method: str
) -> Calculated:
    """How many units to look at."""
    return sample_size(units, prevalence, confidence, sensitivity, method)


@calc.command("clean-visits", help=words.say("sums.about.clean-visits"))
@helped
@sum_option("--detection", metavar="P", type=NUMBER, required=True)
@sum_option("--prior", "prior", about="presence", metavar="Q", type=NUMBER, required=True)
@sum_option("--target", about="residual", metavar="R", type=NUMBER, required=True)
@calculating(lines_of.clean_visits)
def clean_visits_command(detection: float, prior: float, target: float) -> Calculated:
    """How many visits without a find in a row."""
    return clean_visits(detection, prior, target)


@calc.command("degree-days", help=words.say("sums.about.degree-days"))
@helped
@sum_option("--min", "low", metavar="A", type=NUMBER, required=True)
@sum_option("--max", "high", metavar="B", type=NUMBER, required=True)
@sum_option("--next-min", "next_low", metavar="C", type=NUMBER)
@sum_option("--lower", metavar="L", type=NUMBER, required=True)
@sum_option("--upper", metavar="U", type=NUMBER)
@sum_option("--method", metavar="|".join(METHODS), type=OneOf(METHODS), default="single-sine")
@sum_option("--cutoff", metavar="|".join(CUTOFFS), type=OneOf(CUTOFFS), default="horizontal")
@sum_option("--fahrenheit", is_flag=True)
@calculating(lines_of.degree_days)
def degree_days_command(
    low: float,
    high: float,
    next_low: float | None,
    lower: float,
    upper: float | None,
    method: str,
    cutoff: str,
    *,
    fahrenheit: bool,
) -> Calculated:
    """The degree-days of a day."""
    return degree_days(low, high, next_low, lower, upper, method, cutoff, fahrenheit=fahrenheit)


@calc.command("effort", help=words.say("sums.about.effort"))
@helped
@sum_option("--value", "values", metavar="V", type=NUMBER, multiple=True, required=True)
@sum_option("--rate", "rates", metavar="W", type=NUMBER, multiple=True, required=True)
@sum_option("--total", metavar="T", type=NUMBER, required=True)
@calculating(lines_of.effort)
def effort_command(values: tuple[float, ...], rates: tuple[float, ...], total: float) -> Calculated:
    """How a time is split over places."""
    return effort(values, rates, total)


@calc.command("alarm", help=words.say("sums.about.alarm"))
@helped
@sum_option("--mean", metavar="M", type=NUMBER, required=True)
@sum_option("--reference", metavar="K", type=NUMBER, required=True)
@sum_option("--limit", metavar="H", type=NUMBER, required=True)
@sum_option("--head-start", metavar="S", type=NUMBER, default=0.0)
@calculating(lines_of.alarm)
def alarm_command(mean: float, reference: float, limit: float, head_start: float) -> Calculated:
    """How long it runs until it signals."""
    return alarm(mean, reference, limit, head_start)


@calc.command("efficacy", help=words.say("sums.about.efficacy"))
@helped
@sum_option("--before-treated", metavar="A", type=NUMBER, required=True)
@sum_option("--after-treated", metavar="B", type=NUMBER, required=True)
@sum_option("--before-control", metavar="C", type=NUMBER, required=True)
@sum_option("--after-control", metavar="D", type=NUMBER, required=True)
@calculating(lines_of.efficacy)
def efficacy_command(
    before_treated: float, after_treated: float, before_control: float, after_control: float
) -> Calculated:
    """What a treatment achieved."""
    return efficacy(before_treated, after_treated, before_control, after_control)


COMMANDS: tuple[click.Command, ...] = (calc,)
