"""The bar in the editor, half written: a count line and a grid that say the same."""

from dataclasses import dataclass
from typing import Self

from django.core.exceptions import ValidationError
from django.http import QueryDict

from rhythms.bars.bar_grid import (
    Grid,
    GridError,
    PickupChoice,
    bar_of,
    blank,
    grid_of,
    pickups,
    read_grid,
    with_places,
)
from rhythms.engine import Bar, Beat, EngineError, Meter
from rhythms.engine.bars.count_tokens import meter_of
from rhythms.engine.bars.pickup_change import with_pickup
from rhythms.engine.errors import MeterError
from rhythms.error_adapters import as_validation_error
from rhythms.models.source_bar import read_bar
from studio.forms import number_in


@dataclass(frozen=True)
class BarDraft:
    """``counts`` as typed or spelled. ``bar`` is None where it cannot be read: see the errors.

    ``grid`` is None where there is none to show, or the one on the page still stands; with it come
    the ``pickups`` that can be chosen there.
    """

    counts: str
    bar: Bar | None = None
    grid: Grid | None = None
    error: ValidationError | None = None
    pickups: tuple[PickupChoice, ...] = ()
    #: Said beside the meter, and not under the line.
    meter_error: ValidationError | None = None

    @classmethod
    def typed_on_page(cls, on_page: QueryDict) -> Self:
        """From the count line of a form that has a grid already."""
        return cls.typed(on_page.get("counts", ""), on_page.get("meter", ""), on_page)

    @classmethod
    def typed(cls, counts: str, meter: str, on_page: QueryDict | None = None) -> Self:
        """From a count line; the grid follows where the line can be read."""
        try:
            read_meter = _meter(meter, counts)
        except EngineError as error:
            return cls._unread(counts, error)
        to_choose = pickups(read_meter)
        if not counts.strip():
            return cls(counts, grid=blank(read_meter), pickups=to_choose)
        bar, wrong = _read(counts, meter)
        if bar is None:
            stands = on_page is not None and _fits(on_page, read_meter)
            return cls(counts, None, None if stands else blank(read_meter), wrong, to_choose)
        return cls(counts, bar, grid_of(bar), wrong, to_choose)

    @classmethod
    def toggled(cls, on_page: QueryDict) -> Self:
        """From the grid; the count line follows."""
        meter = on_page.get("meter", "")
        try:
            over = _meter(meter, on_page.get("counts", ""))
            grid = _sent_grid(on_page, over)
            bar = bar_of(grid, over)
            placed = with_places(bar, grid, on_page.getlist("place"))
            behind = with_pickup(placed, _sent_pickup(on_page, over))
            counts, redrawn = behind.counts(), grid_of(behind)
        except EngineError as error:
            return cls._unread(on_page.get("counts", ""), error)
        wrong = _read(counts, meter)[1]
        if behind != bar:
            return cls(counts, behind, redrawn, wrong, pickups(behind.meter))
        stands = [beat.division for beat in grid] == on_page.getlist("drawn")
        return cls(counts, bar, None if stands else grid, wrong, pickups(over))

    @classmethod
    def _unread(cls, counts: str, error: EngineError) -> Self:
        said = as_validation_error(error)
        if isinstance(error, MeterError):
            return cls(counts, meter_error=said)
        return cls(counts, error=said)

    @property
    def caret(self) -> str:
        """A line to stand under the count line, with ^ under the column of the error, or ""."""
        column = ((self.error and self.error.params) or {}).get("column")
        return "" if column is None else " " * column + "^"


def _meter(meter: str, counts: str) -> Meter:
    """The meter chosen, over as many bars as the count line has. Raises EngineError."""
    return meter_of(counts, Meter.parse(meter))


def _read(counts: str, meter: str) -> tuple[Bar | None, ValidationError | None]:
    """The bar, also where nothing sounds in it: that can be drawn, and is an error to save."""
    try:
        return read_bar(counts, meter), None
    except EngineError as error:
        return None, as_validation_error(error)
    except ValidationError as error:
        return Bar.from_counts(counts, meter), error


def _sent_grid(on_page: QueryDict, meter: Meter) -> Grid:
    cells = {beat.name: _sent_cells(on_page, beat) for beat in meter.written_beats}
    return read_grid(meter, on_page.getlist("division"), cells, on_page.getlist("drawn"))


def _sent_pickup(on_page: QueryDict, meter: Meter) -> int:
    """How many counts the pick-up is to have; what it has where nothing was sent."""
    counts = number_in(on_page.get("pickup", str(meter.pickup)), meter.count)
    if counts is None:
        raise GridError("That is no pick-up: choose one of the list.")
    return counts


def _sent_cells(on_page: QueryDict, beat: Beat) -> list[str]:
    return on_page.getlist(f"cell-{beat.name}")


def _fits(on_page: QueryDict, meter: Meter) -> bool:
    """Whether the grid on the page is one of this meter."""
    try:
        return bool(_sent_grid(on_page, meter))
    except GridError:
        return False
