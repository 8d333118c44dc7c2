"""Likely doubles are offered, and merging loses nothing."""

import datetime

import pytest

from quotes.desk import people
from quotes.desk.people import MergeError, customer_for, merge_customers, save_customer
from quotes.lists.people import find_customers, likely_doubles
from quotes.models import Address, Contact, Customer, Quote, Request

pytestmark = pytest.mark.django_db


@pytest.fixture
def kept():
    return save_customer(
        Customer(name="Ida Wren", note="Likes mornings."),
        [Contact(name="Ida", phone="802 555 0133")],
        [Address(town="Larkford")],
    )


@pytest.fixture
def gone():
    return save_customer(
        Customer(
            name="Wren, Ida M.",
            kind="manager",
            terms="trade",
            exemption_number="QX-9",
            exemption_expires=datetime.date(2027, 5, 1),
            note="Gate code on file.",
        ),
        [Contact(name="Ida M.", phone="(802) 555-0133", email="ida@wren.example")],
        [Address(town="Millbrook")],
    )


def test_same_phone_is_a_likely_double(kept, gone):
    """Two spellings of one number point at each other."""
    assert [(d.customer, d.why) for d in likely_doubles(kept)] == [(gone, "same phone")]


def test_nearly_the_same_name_is_a_likely_double(kept):
    """A name that differs by a letter is offered, another one is not."""
    near = save_customer(Customer(name="Ida Wrenn"))
    save_customer(Customer(name="Ivo Marsh"))
    assert [d.customer for d in likely_doubles(kept)] == [near]


def test_nothing_is_lost(kept, gone):
    """Contacts, addresses, quotes and every word of the other are with the one that stays."""
    quote = Quote.objects.create(customer=gone, currency="USD")
    merged = merge_customers(kept.pk, gone.pk, "ann")
    assert merged.contacts.count() == 2
    assert sorted(merged.addresses.values_list("town", flat=True)) == ["Larkford", "Millbrook"]
    quote.refresh_from_db()
    assert quote.customer == kept
    assert (merged.terms, merged.exemption_number) == ("trade", "QX-9")
    for words in ("Likes mornings.", "Gate code on file.", "kind: manager", "name: Wren, Ida M."):
        assert words in merged.note
    picture = merged.merges.get()
    assert (picture.by, picture.gone["name"]) == ("ann", "Wren, Ida M.")
    assert picture.gone["contacts"][0]["email"] == "ida@wren.example"


def test_the_other_name_still_finds_the_one_that_stays(kept, gone):
    """After a merge the old name and phone lead to the one customer there is."""
    merge_customers(kept.pk, gone.pk, "ann")
    assert [*find_customers("wren, ida")] == [kept]
    assert [*find_customers("millbrook")] == [kept]


def test_a_chain_of_merges_leads_to_the_last(kept, gone):
    """What was merged earlier follows into the next merge."""
    third = save_customer(Customer(name="I. Wren"))
    merge_customers(gone.pk, third.pk, "ann")
    merge_customers(kept.pk, gone.pk, "ann")
    third.refresh_from_db()
    assert third.merged_into == kept
    assert kept.merges.count() == 2


def test_not_twice_and_not_with_itself(kept, gone):
    """A customer merged already, or the same one twice, is refused with one sentence."""
    with pytest.raises(MergeError, match="itself"):
        merge_customers(kept.pk, kept.pk, "ann")
    merge_customers(kept.pk, gone.pk, "ann")
    with pytest.raises(MergeError, match="already merged"):
        merge_customers(kept.pk, gone.pk, "ann")


@pytest.mark.parametrize(
    ("caller", "phone", "email", "same"),
    [
        ("Ida", "802-555-0133", "", True),
        ("ida wren", "+18025550133", "", True),
        ("", "8025550133", "", True),
        ("Somebody Else", "802 555 0133", "", False),
        ("Ida", "802 555 0199", "", False),
    ],
)
def test_a_caller_is_known_by_phone_and_name(kept, caller, phone, email, same):
    """A caller with a known number and name is that customer; the number alone with another name is not."""
    request = Request.objects.create(caller=caller, phone=phone, email=email)
    assert (customer_for(request) == kept) is same


def test_merged_while_the_caller_is_looked_up(kept, gone, monkeypatch):
    """Whoever is found is held before anything is made for them: merged since, it is for the one that is kept."""
    find = people._same_contact

    def found_and_merged_since(request):
        found = find(request)
        merge_customers(kept.pk, gone.pk, "ann")
        return found

    monkeypatch.setattr(people, "_same_contact", found_and_merged_since)
    request = Request.objects.create(caller="Ida M.", email="ida@wren.example")
    assert customer_for(request) == kept


def test_a_contact_both_have_stands_once(kept, gone):
    """The same contact to the letter is not listed twice after a merge; one that differs is kept."""
    save_customer(gone, [Contact(name="Ida", phone="802 555 0133")])
    merge_customers(kept.pk, gone.pk, "ann")
    assert sorted(kept.contacts.values_list("name", "phone")) == [
        ("Ida", "802 555 0133"),
        ("Ida M.", "(802) 555-0133"),
    ]
