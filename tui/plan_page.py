"""A plan as it leaves the screen: its sheet, with what has been answered."""

from __future__ import annotations

from collections.abc import Iterable

from model.harness.harness import Harness
from model.plans.plan import Plan
from model.record_fields import Entry
from model.sheets.plan_markdown import plan_markdown
from model.sheets.plan_sheet import plan_sheet
from tui.pages import Page


def plan_page(harness: Harness, plan: Plan, entries: Iterable[Entry]) -> Page:
    """Return a plan with its answers as Markdown."""
    state = f" {plan.state}" if plan.state is not None else ""
    return Page(f"{plan.kind}{state}", f"{plan_markdown(plan_sheet(harness, plan, entries))}\n", ".md")
