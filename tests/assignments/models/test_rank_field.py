"""Numbers of fills outgrow 64 bits; they must come back as they went in."""

import pytest
from django.core.exceptions import FieldError, ValidationError
from django.core.serializers import deserialize, serialize
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assignments.models import AssignedVariation
from assignments.models.rank_field import RankField
from tests.assignments.making import give

pytestmark = pytest.mark.django_db
# Each example overwrites the one before, so that one row serves them all.
one_row_for_all = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture
def one(student):
    give(student, 1)


def stored(number: int) -> AssignedVariation:
    AssignedVariation.objects.update(rank=number)
    return AssignedVariation.objects.get(rank=number)


@one_row_for_all
@given(number=st.integers(min_value=0, max_value=10**90))
def test_any_number_comes_back_and_is_found(one, number):
    assert stored(number).rank == number


@pytest.mark.parametrize("number", [2**63 - 1, 2**63, 2**64, 2**64 + 1, 10**25, 14**60])
def test_a_number_at_and_beyond_64_bits_comes_back_exactly(one, number):
    assert stored(number).rank == number


def test_neighbours_beyond_64_bits_are_told_apart(one):
    stored(2**64)
    assert not AssignedVariation.objects.filter(rank=2**64 + 1).exists()


def test_one_of_several_is_found(one):
    stored(10**25)
    assert AssignedVariation.objects.filter(rank__in=[3, 10**25]).exists()


def test_a_dump_is_read_back(one):
    stored(10**25)
    (read,) = deserialize("json", serialize("json", AssignedVariation.objects.all()))
    assert read.object.rank == 10**25


def test_a_negative_number_is_not_stored(one):
    with pytest.raises(ValidationError):
        AssignedVariation.objects.update(rank=-1)


def test_comparing_is_refused_instead_of_comparing_digits_as_text():
    with pytest.raises(FieldError, match="not lt"):
        AssignedVariation.objects.filter(rank__lt=5).exists()


@pytest.mark.parametrize("wrong", [-1, 1.5, True, "", "1.5", "-3", "１", "many", [1]])
def test_what_is_no_number_from_0_up_is_refused(wrong):
    with pytest.raises(ValidationError) as refusal:
        RankField().to_python(wrong)
    assert refusal.value.code == "not-a-rank"


def test_digits_are_read_as_their_number():
    assert RankField().to_python("1204377") == 1_204_377


def test_nothing_stays_nothing():
    assert RankField(null=True).get_prep_value(None) is None
