"""A procedure file's text to a procedure, or to every problem it has, in one reading."""

from __future__ import annotations

import re
from dataclasses import replace

from runner.engineering.materials import Materials
from runner.procedure import rules
from runner.procedure.doubts import doubts
from runner.procedure.findings import Findings
from runner.procedure.formulas import with_spans
from runner.procedure.head import HEAD_MAY, HEAD_MUST, STATUSES, Lists, read_lists
from runner.procedure.items import MOST_PROBLEMS, Item
from runner.procedure.model import APPROVED, DECISIONS, JOB, Procedure, Rework, Stage, Total
from runner.procedure.places import Places
from runner.procedure.reworks import read_reworks, titles_of
from runner.procedure.routes import for_their_parts
from runner.procedure.said import Context
from runner.procedure.scope import Scope, called_in
from runner.procedure.stages import read_stages
from runner.procedure.taken_in import Fetch, joined, name_beside, nothing_beside, read_shared
from runner.procedure.totals import read_totals
from runner.text.nearest import suggestion
from runner.text.problem import Problem, in_order
from runner.text.yaml_nodes import LARGEST_FILE, Mapping, Sequence, decode, read_yaml


def read_procedure(
    text: str, file: str, materials: Materials | None = None, fetch: Fetch = nothing_beside
) -> tuple[Procedure | None, list[Problem]]:
    """
    The procedure in a text, and its problems by place. It is None where any problem is more than a warning.
    Givens take what they name from `materials`, else from the table that comes with the program; `fetch` gives the
    files that steps are taken in from.
    """
    root, problems = read_yaml(text, file)
    if root is None:
        return None, in_order(problems)
    if not isinstance(root, Mapping):
        problems.append(
            Problem(
                "not-a-procedure",
                root.place,
                "this file is a list or a text, not a procedure",
                "begin it with procedure: and its title",
            )
        )
        return None, in_order(problems)
    whole, problems = _one_procedure(root, problems)
    if whole is None:
        return None, in_order(problems)
    head = Item(whole, "procedure", HEAD_MUST, HEAD_MAY, problems)
    places = Places(head.node)
    shared = read_shared(places.said("from"), fetch, file, problems)
    lists = joined(read_lists(head, materials), shared.values(), problems)
    roles = tuple(word.text for word in head.words("roles"))
    context = Context(lists, roles, titles_of(head), problems, shared)
    stages = read_stages(head, context)
    innermost = lists.parts[-1].name if lists.parts else JOB
    totals = read_totals(head, context)
    reworks = for_their_parts(stages, read_reworks(head, context), totals, innermost)
    stages, reworks = with_spans(stages, reworks)
    procedure = _procedure(head, lists, roles, stages, reworks, totals, text)
    taken_in = tuple(one.file for one in shared.values())
    procedure = replace(procedure, taken_in=taken_in, called=called_in(procedure.every_stage))
    if len(problems) >= MOST_PROBLEMS:
        return None, in_order(problems)[:MOST_PROBLEMS]
    scope = Scope(lists, stages, [rework.stage for rework in reworks], places.tried(), procedure.totals)
    of_shared = {name_beside(file, path): one.places for path, one in shared.items()}
    procedure, found = rules.apply(procedure, scope, Findings(places, of_shared))
    outside = {problem.place for problem in problems if problem.kind == "outside-group"}
    problems += [problem for problem in found if problem.place not in outside]
    if problems:
        return None, in_order(problems)
    return procedure, in_order(doubts(procedure, scope, Findings(places, of_shared)))


def _one_procedure(root: Mapping, problems: list[Problem]) -> tuple[Mapping | None, list[Problem]]:
    """The keys of the first procedure in a file, and its problems: one for a second one, and one for no procedure at all."""
    first = root.entries[0].key if root.entries else None
    if first and first.text == "entries":
        what = "this is an entries file: what people typed on a job, not a procedure"
        fix = "name the procedure; an entries file stands behind it in benchhand dry-run"
        return None, [Problem("not-a-procedure", first.place, what, fix)]
    if first and first.text in ("groups", "instruments", "hazards") and root.get("groups"):
        what = "this is a file of steps that procedures take in, not a procedure"
        fix = "check a procedure that takes them in: what is wrong here is told with it"
        return None, [Problem("not-a-procedure", first.place, what, fix)]
    begins = [at for at, entry in enumerate(root.entries) if entry.key.text == "procedure"]
    if len(begins) < 2:
        return root, problems
    again = root.entries[begins[1]].key.place
    what = f"a second procedure begins here; the first is on line {root.entries[begins[0]].key.place.line}"
    fix = "one procedure a file: take one of the two out"
    said = [problem for problem in problems if problem.place.line < again.line]
    return Mapping(root.entries[: begins[1]], root.place), [
        *said,
        Problem("duplicate-key", again, what, fix),
    ]


def read_bytes(
    data: bytes, file: str, materials: Materials | None = None, fetch: Fetch = nothing_beside
) -> tuple[Procedure | None, list[Problem], str]:
    """As `read_procedure`, from a file's bytes; the text comes along for showing the problems in it."""
    text, problems = decode(data, file)
    if text is None:
        return None, problems, data[: 4 * LARGEST_FILE].decode("utf-8-sig", errors="replace")
    procedure, problems = read_procedure(text, file, materials, fetch)
    return procedure, problems, text


def _procedure(
    head: Item,
    lists: Lists,
    roles: tuple[str, ...],
    stages: tuple[Stage, ...],
    reworks: tuple[Rework, ...],
    totals: tuple[Total, ...],
    text: str,
) -> Procedure:
    _head_rules(head, roles)
    return Procedure(
        title=head.text("procedure"),
        id=head.text("id"),
        revision=head.text("revision"),
        changed=head.text("changed"),
        status=head.one_of("status", STATUSES),
        written_by=head.text("written by"),
        approved_by=head.text("approved by"),
        approved_on=head.text("approved on"),
        scope=head.text("scope"),
        not_for=head.text("not for"),
        decision=head.one_of("decision", DECISIONS),
        roles=roles,
        released_by=head.text("released by"),
        concessions_by=head.text("concessions by"),
        prerequisites=head.sentences("prerequisites"),
        parts=lists.parts,
        instruments=lists.instruments,
        hazards=lists.hazards,
        givens=lists.givens,
        tables=lists.tables,
        ladders=lists.ladders,
        totals=totals,
        reworks=reworks,
        stages=stages,
        text=text,
    )


def _head_rules(head: Item, roles: tuple[str, ...]) -> None:
    revision = head.text("revision")
    if revision and not re.fullmatch(r"[1-9]\d{0,5}", revision):
        head.wrong(
            "bad-number",
            head.place_of("revision"),
            f"'{revision}' is no revision",
            "write a whole number from 1 on",
        )
    id_ = head.text("id")
    if id_ and not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9-]{0,39}", id_):
        head.wrong(
            "bad-name",
            head.place_of("id"),
            f"'{id_}' can't be an id",
            "write letters, digits and dashes, such as head-seats",
        )
    for key in ("released by", "concessions by"):
        role = head.text(key)
        if role and roles and role not in roles:
            head.wrong(
                "unknown-role", head.place_of(key), f"no role is called '{role}'", suggestion(role, roles)
            )
    if head.node.get("status") and head.one_of("status", STATUSES) == APPROVED:
        for key in ("approved by", "approved on"):
            if not head.has(key):
                head.wrong(
                    "not-approved",
                    head.place_of("status"),
                    f"an approved procedure says '{key}'",
                    f"add {key}:, or make it a draft",
                )
    stages = head.node.get("stages")
    if isinstance(stages, Sequence) and not stages.items:
        head.wrong("empty", head.place_of_key("stages"), "a procedure without stages", "write at least one")
