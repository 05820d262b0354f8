"""What stands between the rows of an array, when a row comes or goes."""

from __future__ import annotations

from model.harness.toml_places import comma_in


def gaps_with_row(before: str, gap: str, line_break: str, *, is_first: bool) -> tuple[str, str]:
    """Give what stands before and behind a row that comes at the end of an array.

    Parameters
    ----------
    before
        What stands before the row that was the last.
    gap
        What stands behind it up to the closing bracket; in an empty array all that stands in it.
    is_first
        Whether the array is empty.
    """
    if is_first:
        remarks = gap[: gap.rfind("\n") + 1] if gap.strip() else ""
        opening = remarks or line_break
        return f"{opening}  ", f",{line_break}"
    at = comma_in(gap)
    comma, rest = (gap[: at + 1], gap[at + 1 :]) if at >= 0 else (",", gap)
    if "\n" not in before:
        return f"{comma} ", ("," if at >= 0 else "") + rest
    indent = before[before.rfind("\n") + 1 :]
    end = rest.find("\n")
    if end < 0:
        return f"{comma}{line_break}{indent}", f",{rest}"
    end -= rest[end - 1 : end] == "\r"
    return f"{comma}{rest[:end]}{line_break}{indent}", f",{rest[end:]}"


def gap_without_row(before: str, behind: str) -> str:
    """Give what stands where a row was taken out, from what stood before and behind it.

    A remark behind the row on its line goes with it; one on a line of its own stays.
    """
    at = comma_in(behind)
    rest = behind[at + 1 :] if at >= 0 else behind
    end = rest.find("\n")
    line = before.rfind("\n")
    if line >= 0 and end >= 0:
        line -= before[line - 1 : line] == "\r"
        end -= rest[end - 1 : end] == "\r"
        return before[:line] + rest[end:]
    if at < 0 and before.strip() == ",":
        return rest
    rest = rest.lstrip(" \t")
    return (before.rstrip(" \t") if rest.startswith(("\n", "\r")) else before) + rest
