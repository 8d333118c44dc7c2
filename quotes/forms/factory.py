"""The boxes of a factory's page as a whole: who answers or asks, what is the same for all, an answer to each opening."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from django import forms
from django.http import QueryDict

from quotes.desk.factory_answers import FactoryAnswer, stamp
from quotes.forms.factory_answer import AnswerForm, SameForm
from quotes.lists.letters import TAKES_ANSWERS, Standing, standing, thing_of, why_closed
from quotes.models import Enquiry
from sizing.own_words import Form


class NameForm(Form):
    name = forms.CharField(
        label="Your name",
        max_length=120,
        error_messages={"required": "Type your name."},
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )


class QuestionForm(NameForm):
    """What a contact asks before they answer."""

    question = forms.CharField(
        label="Your question",
        max_length=2000,
        error_messages={"required": "Type your question."},
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, data: QueryDict | None = None) -> None:
        super().__init__(data, use_required_attribute=False)

    @property
    def summary(self) -> list[tuple[str, str]]:
        """(the box's id, one sentence) of what can't be sent so."""
        return list(_errors(self))


class LetterForm:
    """All boxes of the page of one letter.

    An opening has boxes while it can be answered; once it is, they come back when `correct` names it.
    What was posted about anything of the letter is read, whatever has become of it meanwhile.
    """

    def __init__(
        self, letter: Sequence[Enquiry], data: QueryDict | None = None, correct: str = ""
    ) -> None:
        self.several = len(letter) > 1
        last = max(letter, key=stamp)
        self.who = NameForm(data, initial={"name": last.answered_by})
        currency = {"currency": letter[0].document["currency"]}
        self.same = SameForm(data, prefix="same", initial=currency) if self.several else None
        self.answers: dict[int, AnswerForm] = {}
        self.refused: dict[int, str] = {}
        self.kept = 0
        self.trouble = ""
        for enquiry in letter:
            form = self._form(enquiry, data)
            if data is not None and form.is_touched:
                self.answers[enquiry.pk] = form
            elif self._has_boxes(enquiry, correct):
                self.answers[enquiry.pk] = self._form(enquiry)

    def _form(self, enquiry: Enquiry, data: QueryDict | None = None) -> AnswerForm:
        return AnswerForm(
            enquiry, self.several, data, prefix=str(enquiry.pk) if self.several else None
        )

    def _has_boxes(self, enquiry: Enquiry, correct: str) -> bool:
        how = standing(enquiry)
        if how is Standing.ANSWERED:
            return not self.several or correct == str(enquiry.pk)
        return how is Standing.OPEN

    def give_back(self, typed: QueryDict) -> None:
        """Show what was typed into the boxes beside a question that was sent: it is no answer yet."""
        for form in (self.who, self.same, *self.answers.values()):
            for name in form.fields if form else ():
                if said := typed.get(form.add_prefix(name)):
                    form.initial[name] = said

    @property
    def posted(self) -> dict[int, AnswerForm]:
        return {pk: form for pk, form in self.answers.items() if form.is_bound}

    def said(self) -> dict[int, FactoryAnswer]:
        """What of what was posted can be kept, {enquiry's key: answer}; the rest has its errors."""
        named = self.who.is_valid()
        agreed = self.same is None or self.same.is_valid()
        posted = self.posted
        if not posted:
            self.trouble = "Nothing is answered yet: choose for one of them whether it can be made."
        for form in posted.values():
            form.same = self.same.cleaned_data if self.same else {}
        right = {pk: form for pk, form in posted.items() if form.is_valid()}
        if not (named and agreed):
            return {}
        return {pk: f.answer(self.who.cleaned_data["name"]) for pk, f in right.items()}

    def settle(
        self, letter: Sequence[Enquiry], said: Collection[int], refused: Mapping[int, str]
    ) -> None:
        """After what was `said` was stored but for what was `refused`; `letter` as it stands now."""
        self.refused = dict(refused)
        self.kept = len(said) - len(refused)
        shop = letter[0].asked().shop[0]
        for enquiry in letter:
            form, how = self.answers.get(enquiry.pk), standing(enquiry)
            if form is None or not form.is_bound:
                continue
            if enquiry.pk in said and enquiry.pk not in refused:
                del self.answers[enquiry.pk]
            elif how not in TAKES_ANSWERS:
                self.refused.setdefault(enquiry.pk, why_closed(how, shop, thing_of(letter)))
            elif enquiry.pk in refused:
                form.show_as_seen(enquiry)

    @property
    def is_done(self) -> bool:
        """Whether everything posted was kept and nothing is left to say."""
        heads = [self.who, *([self.same] if self.same else [])]
        return not (self.trouble or self.posted or any(form.errors for form in heads))

    @property
    def summary(self) -> list[tuple[str, str]]:
        """(the box's id, one sentence) of all that was not kept."""
        return list(self._troubles()) if self.who.is_bound else []

    def _troubles(self) -> Iterator[tuple[str, str]]:
        if self.trouble:
            yield "", self.trouble
        yield from _errors(self.who)
        if self.same:
            yield from _errors(self.same)
        if self.same and self.same.errors:
            return
        for pk, form in self.posted.items():
            place = f"{form.asked.place}: " if self.several else ""
            if pk in self.refused:
                yield f"o{pk}", f"{place}{self.refused[pk]}"
            else:
                yield from ((at, f"{place}{words}") for at, words in _errors(form))


def _errors(form: forms.Form) -> Iterator[tuple[str, str]]:
    for name, sentences in form.errors.items():
        for sentence in sentences:
            yield form[name].auto_id, sentence
