"""People at the desk: invited, joined, given a role, switched off; and one's own password."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.contrib.auth.views import PasswordChangeView
from django.contrib.messages.views import SuccessMessageMixin
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quotes.desk import staff as desk
from quotes.desk.integrations import IntegrationError, make_integration, switch_off
from quotes.desk.posting import letter_state
from quotes.find_forms import PeopleFind, ProgramsFind
from quotes.forms.own import OwnPasswordForm
from quotes.forms.staff import ROLE_WORDS, AccountForm, InviteForm, ProgramForm
from quotes.links import find_invitation, invitation_address
from quotes.lists.pages import PEOPLE, PROGRAMS
from quotes.lists.shop import open_invitations, people_at_the_desk, the_shop
from quotes.models import Integration, Invitation
from quotes.views.own import is_proven, prove, proven_first
from quotes.views.sign_in import MODEL_BACKEND
from sizing.lists import show


@require_safe
def staff(request: HttpRequest) -> HttpResponseBase:
    """Who can sign in, in which role, and who is invited."""
    return _page(request, InviteForm())


def _page(request: HttpRequest, form: InviteForm, status: int = 200) -> HttpResponseBase:
    invited = [
        {
            "invitation": asked.invitation,
            "address": invitation_address(asked.invitation),
            "letter": letter_state(asked.letter) if asked.letter else "no letter",
        }
        for asked in open_invitations()
    ]
    find = PeopleFind(request.GET)
    people = people_at_the_desk(request.user, find.said)
    context = {"invited": invited, "form": form, "roles": ROLE_WORDS}
    return show(request, "quotes/staff.html", find, (PEOPLE, people), status=status, **context)


@require_POST
def staff_invite(request: HttpRequest) -> HttpResponseBase:
    form = InviteForm(request.POST)
    asked = request.POST.get("role") == "owner" and not is_proven(request)
    if asked and not prove(request, request.POST.get("own_password", "")):
        form.ask_own_password()
    if form.is_valid():
        said = form.cleaned_data
        by = request.user.get_full_name() or request.user.get_username()
        try:
            desk.invite(said["name"], said["email"], said["role"], by)
        except desk.StaffError as error:
            form.add_error("email", str(error))
        else:
            messages.success(request, f"{said['name']} is invited: a mail goes to {said['email']}.")
            return redirect("staff")
    return _page(request, form, 422)


def _done(request: HttpRequest, do: Callable[[], object], words: str) -> HttpResponse:
    """Do it, say so or say why not, and go back to the list."""
    try:
        do()
    except desk.StaffError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, words)
    return redirect("staff")


@require_POST
def staff_role(request: HttpRequest, pk: int) -> HttpResponse:
    user, role = get_object_or_404(User, pk=pk), request.POST.get("role", "")
    if role == "owner" and not is_proven(request):
        return proven_first("staff")(staff_role)(request, pk)
    name = user.get_full_name() or user.get_username()
    return _done(
        request,
        lambda: desk.give_role(pk, role, request.user),
        f"{name} is now in the role {role}.",
    )


@require_POST
def staff_switch(request: HttpRequest, pk: int) -> HttpResponse:
    user, on = get_object_or_404(User, pk=pk), request.POST.get("on") == "yes"
    name = user.get_full_name() or user.get_username()
    words = f"{name} can sign in again." if on else _left(user, name)
    return _done(request, lambda: desk.switch(pk, on, request.user), words)


def _left(user: User, name: str) -> str:
    """What becomes of their work and of the answers to their mail."""
    words = (
        f"{name} can't sign in any more. What is open of theirs waits on the first pages as before."
    )
    if not user.email:
        return words
    to = the_shop().email or "the address that the desk sends from"
    return (
        f"{words} Who answers mail that is written from now on writes to {to}; who answers what went before, "
        f"to {user.email}: have it read."
    )


@require_POST
def staff_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    invitation = get_object_or_404(Invitation, pk=pk)
    words = f"The invitation of {invitation.name} is withdrawn; its link is dead."
    return _done(request, lambda: desk.withdraw(pk), words)


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Where an invited person chooses a sign-in name and a password."""
    invitation = find_invitation(token)
    if invitation is None:
        return render(request, "quotes/join_gone.html", status=404)
    known = {"person": invitation.name, "own_email": invitation.email}
    form = AccountForm(request.POST or None, initial=known)
    if request.method == "POST" and form.is_valid():
        try:
            user = desk.join(invitation.pk, form.account)
        except desk.StaffError as error:
            form.add_error(None, str(error))
        else:
            login(request, user, backend=MODEL_BACKEND)
            messages.success(request, f"Welcome, {user.get_full_name()}.")
            return redirect("home")
    context = {"form": form, "invitation": invitation, "role": ROLE_WORDS[invitation.role]}
    return render(request, "quotes/join.html", context, status=422 if form.errors else 200)


class OwnPassword(SuccessMessageMixin, PasswordChangeView):
    """One's own password, changed by whoever knows the present one."""

    template_name = "quotes/password.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("password")
    success_message = "Your password is changed. You stay signed in here, and nowhere else."

    def render_to_response(self, context: dict, **kwargs: object) -> HttpResponse:
        status = 422 if context["form"].errors else 200
        return super().render_to_response(context, status=status, **kwargs)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def programs(request: HttpRequest) -> HttpResponseBase:
    """The programs that may use the API. A new key is shown on the page that made it, and never again."""
    form, key, made = ProgramForm(request.POST or None), "", None
    if request.method == "POST" and form.is_valid():
        try:
            made, key = make_integration(form.cleaned_data["name"], request.user.get_username())
        except IntegrationError as error:
            form.add_error("name", str(error))
        else:
            form = ProgramForm()
    find = ProgramsFind(request.GET)
    found = Integration.objects.all()
    if find.said["key"]:
        found = found.filter(switched_off_at__isnull=find.said["key"] == "on")
    context = {"form": form, "key": key, "made": made}
    status = 422 if form.errors else 200
    return show(request, "quotes/programs.html", find, (PROGRAMS, found), status=status, **context)


@require_POST
def program_off(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Integration, pk=pk)
    switch_off(pk)
    messages.success(request, f"The key of {found.name} is switched off.")
    return redirect("programs")
