"""Writes window schedules: taken in, worked out slice by slice, corrected line by line, made a request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError, QuerySet
from django.utils import timezone
from django_tasks import task

from quotes import worklist
from quotes.answer_sheet import AnswerSheet
from quotes.answering import Answered, answer_openings, as_kept
from quotes.desk.holding import hold, refuse_erased
from quotes.desk.requests import labels_of, note_caller, note_scraps
from quotes.models import Opening, Request, Schedule, ScheduleLine
from quotes.said import SaidOpening
from quotes.schedule import read_count, read_schedule
from quotes.schedule.columns import COUNT, FINISH, LABEL
from quotes.schedule.read import cell_problems
from sizing import lookup
from sizing.models import Part, Revision

# Up to this many lines are worked out before the upload answers; more of them wait for the worker.
AT_ONCE = 1000
SLICE = 250
PLAIN = (LABEL, COUNT, FINISH)
Attention = ScheduleLine.Attention


class ScheduleError(ValueError):
    """What can't be done with a schedule, in one sentence."""


@dataclass(frozen=True)
class Sender:
    caller: str = ""
    phone: str = ""
    email: str = ""


@transaction.atomic
def take_in(
    content: bytes, name: str, revision: Revision, *, by: str, sender: Sender | None = None
) -> Schedule:
    """Store a workbook with its lines; a short one is worked out at once. Raises WorkbookError."""
    read = read_schedule(content, lookup.table_of(revision))
    sender = sender or Sender()
    schedule = Schedule.objects.create(
        family=revision.family,
        revision=revision,
        name=name[:200],
        content=content,
        title=read.title,
        head_row=read.head_row,
        own=read.own,
        understood=read.understood,
        unread=read.unread,
        notices=read.notices,
        total=len(read.lines),
        taken_by=by,
        **vars(sender),
    )
    lines = [
        ScheduleLine(
            schedule=schedule,
            position=place,
            row=line.row,
            cells=line.cells,
            cannot=line.cannot,
            problems=line.problems,
        )
        for place, line in enumerate(read.lines)
    ]
    if len(lines) <= AT_ONCE:
        _answer(lines, revision)
    ScheduleLine.objects.bulk_create(lines, batch_size=500)
    if len(lines) > AT_ONCE:
        work_out_schedule.enqueue(schedule.pk)
    return schedule


@transaction.atomic
def work_out(pk: int, most: int = SLICE) -> int:
    """Work out the next lines of a schedule; returns how many are then still waiting.

    The schedule's own row is the lock, so a worker and a page may both call this and share the work.
    """
    schedule = Schedule.objects.select_for_update(of=("self",)).select_related(
        "revision__family"
    ).defer("content").filter(pk=pk).first()  # fmt: skip
    if schedule is None:  # Discarded meanwhile.
        return 0
    waiting = schedule.lines.filter(attention=Attention.WAITING)
    lines = list(waiting[:most])
    if lines:
        _answer(lines, schedule.revision)
        ScheduleLine.objects.bulk_create(
            lines,
            batch_size=500,
            update_conflicts=True,
            unique_fields=["id"],
            update_fields=["problems", "answer", "part", "attention"],
        )
        Schedule.objects.filter(pk=pk).update(worked_at=timezone.now())
    return waiting.count() if len(lines) == most else 0


@task()
def work_out_schedule(pk: int) -> None:
    """For the worker: all that waits, one slice a transaction, so that the page sees it grow."""
    while work_out(pk):
        pass


@transaction.atomic
def discard(pk: int) -> str:
    """Take a schedule away for good, with its lines; its name. Raises ScheduleError once it is a request."""
    schedule = Schedule.objects.select_for_update(of=("self",)).defer("content").get(pk=pk)
    if schedule.request_id:
        raise ScheduleError(
            f"Request {schedule.request_id} was made of this schedule, so it stays: its lines can still "
            "be left out one by one."
        )
    schedule.delete()
    return schedule.name


@transaction.atomic
def note_sender(pk: int, sender: Sender, *, by: str) -> None:
    """Who sent a schedule, said after it was brought in; the request made of it has its caller from then on.
    Raises ScheduleError."""
    _hold(Schedule.objects.filter(pk=pk))
    schedule = Schedule.objects.defer("content").select_related("request").get(pk=pk)
    schedule.caller, schedule.phone, schedule.email = sender.caller, sender.phone, sender.email
    schedule.save(update_fields=["caller", "phone", "email"])
    request = schedule.request
    if request is None:
        return
    refuse_erased(request.customer_id, ScheduleError)
    note_caller(request, sender.caller, sender.phone, sender.email, labels_of(request))
    request.version += 1
    request.changed_by = by
    request.save()
    worklist.note(request.pk)


@transaction.atomic
def correct_line(
    pk: int, cells: Mapping[str, str], cannot: Sequence[str], *, left_out: bool, by: str
) -> ScheduleLine:
    """Take a line's cells as corrected and answer it anew; its opening in the request follows.

    Raises ScheduleError where the opening stands in a quote and would have to go, or the schedule is gone.
    """
    _hold(Schedule.objects.filter(lines=pk))
    line = ScheduleLine.objects.select_for_update(of=("self",)).select_related(
        "schedule__revision__family", "schedule__request", "opening"
    ).get(pk=pk)  # fmt: skip
    revision = line.schedule.revision
    for code, text in cells.items():
        first, new = line.was.get(code, line.cells.get(code, "")), " ".join(text.split())
        line.was.pop(code, None)
        if new != first:
            line.was[code] = first
        line.cells[code] = new
    line.cannot = sorted(cannot)
    line.changed_by = by
    line.problems = cell_problems(line.cells, line.cannot, lookup.table_of(revision))
    _answer([line], revision)
    if left_out:
        line.attention = Attention.LEFT_OUT
    line.save()
    if line.schedule.request:
        _follow(line, line.schedule.request, by)
    return line


def _hold(meant: QuerySet[Schedule]) -> None:
    """The one schedule meant, its lines with it, and before it the request that was made of it, which the counter
    writes as well. Raises ScheduleError."""
    hold(Request.objects.filter(schedule__in=meant))
    held = hold(meant.only("pk", "request"))
    if not held:
        raise ScheduleError("The schedule was taken away meanwhile, so nothing of it was changed.")
    # Made of it since: nobody else has it yet.
    hold(Request.objects.filter(schedule=held[0]))


@transaction.atomic
def make_request(pk: int, *, by: str) -> Request:
    """A request of all lines that can be read; those mended later join it. Asked twice, there is one."""
    schedule = Schedule.objects.select_for_update(of=("self",)).select_related(
        "request", "revision__family"
    ).get(pk=pk)  # fmt: skip
    if schedule.request:
        return schedule.request
    lines = list(schedule.lines.all())
    if any(line.attention == Attention.WAITING for line in lines):
        raise ScheduleError("Some lines are still being worked out: wait for them, then make it.")
    ready = [line for line in lines if _is_ready(line)]
    if not ready:
        raise ScheduleError("No line can be read yet: correct one first.")
    request = Request(
        caller=schedule.caller,
        phone=schedule.phone,
        email=schedule.email,
        note=f"From the window schedule {schedule.name}.",
        taken_by=by,
        changed_by=by,
    )
    note_scraps(request, [line.cells.get(LABEL, "") for line in ready])
    request.save()
    openings = [_opening(line, request, schedule.revision) for line in ready]
    Opening.objects.bulk_create(openings, batch_size=500)
    for line, opening in zip(ready, openings, strict=True):
        line.opening = opening
    ScheduleLine.objects.bulk_create(
        ready,
        batch_size=500,
        update_conflicts=True,
        unique_fields=["id"],
        update_fields=["opening"],
    )
    schedule.request = request
    schedule.save(update_fields=["request"])
    worklist.note(request.pk)
    return request


def _answer(lines: Sequence[ScheduleLine], revision: Revision) -> None:
    """Fill in each line's answer, with one call of the resolver for all of them."""
    numbers = dict(
        Part.objects.filter(revision=revision)
        .exclude(part_number="")
        .values_list("part_number", "pk")
    )
    said = [_said(line, revision.family.code) for line in lines]
    for line, answered in zip(lines, answer_openings(said, revision), strict=True):
        line.problems = {**answered.problems, **line.problems}
        line.answer = {} if line.problems else _kept(answered)
        part = line.answer.get("part_number")
        line.part_id = numbers.get(part) if part else None
        line.attention = _attention(answered, bool(line.problems))


def _kept(answered: Answered) -> dict[str, Any]:
    """The answer, with what a number says against it: a schedule's line is all that is seen of one."""
    return {**as_kept(answered), "against": AnswerSheet(answered).spoken_against}


def _said(line: ScheduleLine, family: str) -> SaidOpening:
    try:
        count = read_count(line.cells.get(COUNT, ""))
    except ValueError:
        count = 1
    return SaidOpening(
        family=family,
        label=line.cells.get(LABEL, ""),
        measures={code: text for code, text in line.cells.items() if code not in PLAIN},
        cannot=frozenset(line.cannot),
        finish=line.cells.get(FINISH, ""),
        quantity=count,
    )


def _attention(answered: Answered, unreadable: bool) -> Attention:
    if unreadable or answered.answer is None:
        return Attention.UNREADABLE
    if answered.answer.outcome != "part":
        return Attention.ASK if answered.answer.outcome == "ask" else Attention.SPECIAL
    doubt = any(reading.verdict != "agrees" for reading in answered.answer.readings)
    return Attention.DOUBT if doubt else Attention.PART


def _is_ready(line: ScheduleLine) -> bool:
    return line.attention not in (Attention.WAITING, Attention.UNREADABLE, Attention.LEFT_OUT)


def _opening(line: ScheduleLine, request: Request, revision: Revision) -> Opening:
    opening = line.opening or Opening(request=request, position=line.position)
    said = _said(line, revision.family.code)
    opening.label, opening.finish, opening.quantity = said.label, said.finish, said.quantity
    opening.family, opening.revision = revision.family, revision
    opening.said, opening.cannot = dict(said.measures), sorted(said.cannot)
    opening.answer, opening.part_id = line.answer, line.part_id
    return opening


def _follow(line: ScheduleLine, request: Request, by: str) -> None:
    """Keep the request's opening in step with its corrected line."""
    if _is_ready(line):
        line.opening = _opening(line, request, line.schedule.revision)
        line.opening.save()
        line.save(update_fields=["opening"])
    elif line.opening:
        try:
            line.opening.delete()
        except ProtectedError:
            raise ScheduleError(
                f"{line} stands in a quote and must stay readable: change the quote first."
            ) from None
    note_scraps(request, labels_of(request))
    request.version += 1
    request.changed_by = by
    request.save(update_fields=["scraps", "version", "changed_by", "changed_at"])
    worklist.note(request.pk)
