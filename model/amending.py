"""Amendments put into effect: the file gets a new revision, the one before is kept, the record says what was done."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path

from model.errors import ArgumentError, FusewalkError, RecordError
from model.harness.amendments import Amendment, OldEnd, amended_text
from model.harness.file_read import FileRead, read_file, refuse_changed
from model.harness.harness import Harness
from model.harness.kept_file import kept_path, replace_keeping
from model.harness.toml_file import harness_bytes
from model.record import Record, read_record
from model.record_entries import Amended, AnyEntry, Superseded
from model.words import clean

UNDONE = "undone"
LIST_MERGED = "list merged"


@dataclass(frozen=True, slots=True)
class Why:
    """What an amendment is told with: why it was made, what was read afterwards, who did it."""

    reason: str = ""
    readings: tuple[str, ...] = ()
    who: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """An amendment in effect.

    Attributes
    ----------
    before, after
        The harness as it was and as it is.
    entry
        What the record says of it.
    unwritten
        Why the record could not be written; None where it was. The file is changed all the same.
    """

    before: Harness
    after: Harness
    entry: Amended
    unwritten: RecordError | None


def amend_file(path: Path, amendment: Amendment, when: datetime, why: Why, read: FileRead | None = None) -> Done:
    """Put an amendment into effect: nothing is changed where the new file would not read.

    Parameters
    ----------
    when
        The time now, with its offset.
    read
        The file as it was read when the amendment was thought out; None reads it now.

    Raises
    ------
    ChangedOutsideError
        Where the file was changed by something else since it was read.
    HarnessFileError
        Where the file as it is, or as it would be, breaks a rule of the format.
    FusewalkError
        Where a file cannot be written.
    """
    if read is None:
        read = read_file(path)
    refuse_changed(read)
    before = read.harness
    new = amended_text(read.text, amendment.changes, before.build.revision + 1, f"{when:%Y-%m-%d}")
    content = read.with_text(new)
    after = read.harness_with(content)
    kept = kept_path(path, before.build.revision)
    replace_keeping(read, content, kept)
    entry = Amended(
        when=when,
        who=why.who,
        revision=after.build.revision,
        change=str(amendment.kind),
        before=before.build.revision,
        kept=kept.name,
        kept_sum=_sum(read.content),
        file_sum=_sum(content),
        sentence=amendment.sentence,
        reason=why.reason,
        parts=amendment.parts,
        supersedes=tuple(Superseded(old=one, new=other) for one, other in amendment.supersedes.items()),
        ends=tuple(end_words(end) for end in amendment.old_ends),
        readings=why.readings,
    )
    return Done(before, after, entry, _recorded(path, entry, when))


def record_merge(path: Path, after: Harness, parts: Sequence[str], when: datetime) -> RecordError | None:
    """Tell in the record that a list was merged into a file, so that it can be taken back as an amendment can.

    Parameters
    ----------
    after
        The file as it is now; the revision before it is kept beside it.
    parts
        Ids of what was added.

    Returns
    -------
    RecordError
        Why the record could not be written; None where it was.

    Raises
    ------
    FusewalkError
        Where one of the two files cannot be read.
    """
    before = after.build.revision - 1
    kept = path.resolve().with_name(kept_path(path, before).name)
    entry = Amended(
        when=when,
        revision=after.build.revision,
        change=LIST_MERGED,
        before=before,
        kept=kept.name,
        kept_sum=_sum(read_file(kept).content),
        file_sum=_sum(read_file(path).content),
        sentence="A changed list was merged into the file.",
        parts=tuple(parts),
    )
    return _recorded(path, entry, when)


def undo_file(path: Path, when: datetime, why: Why) -> Done:
    """Take the last amendment back: the file is again what it was before, byte for byte; what it was is kept.

    Raises
    ------
    ArgumentError
        Where the file has no amendment that could be taken back, or it was changed by hand since.
    FusewalkError
        Where the kept file is gone, or a file cannot be written.
    """
    read = read_file(path)
    now = read.harness
    last = _last_of(read)
    content = _kept_content(path, last)
    before = read.harness_with(content)
    aside = _free(path, now.build.revision)
    replace_keeping(read, content, aside)
    if last.change == LIST_MERGED:
        from model.harness.wire_list_earlier import put_back_earlier

        put_back_earlier(path, path.with_name(last.kept))
    entry = Amended(
        when=when,
        who=why.who,
        revision=before.build.revision,
        change=UNDONE,
        before=now.build.revision,
        kept=aside.name,
        sentence=f"Taken back: {last.sentence}",
        reason=why.reason,
        parts=last.parts,
        undoes=now.build.revision,
    )
    return Done(now, before, entry, _recorded(path, entry, when))


def _last_of(read: FileRead) -> Amended:
    """Give the last amendment of a file that says what that amendment made of it."""
    last = _last(read_record(read.path).entries)
    if last is None:
        raise ArgumentError(
            "The record tells of no amendment to take back.",
            do="What was changed by hand is put back by hand; revisions kept before stand beside the file.",
        )
    revision = read.harness.build.revision
    if last.revision != revision:
        raise ArgumentError(
            f"The last amendment made revision {last.revision}; the file is revision {revision}.",
            do="It was changed by hand since: change it back by hand.",
        )
    if last.file_sum and last.file_sum != _sum(read.content):
        raise ArgumentError(
            f"The file says something else than the last amendment made of it: it is revision {revision} still, "
            f"and was changed since.",
            do=f"Nothing is put back over that. {clean(last.kept, 200)} is the file before: change it back by hand.",
        )
    return last


def _kept_content(path: Path, last: Amended) -> bytes:
    """Read the file as it was before an amendment."""
    name = clean(last.kept, 200) or "The file before"
    try:
        content = harness_bytes(path.resolve().with_name(last.kept))
    except (FusewalkError, OSError, ValueError) as error:
        reason = (
            error.what if isinstance(error, FusewalkError) else clean(getattr(error, "strerror", None) or str(error))
        )
        raise FusewalkError(
            f"{name} cannot be read: {reason.removesuffix('.')}.",
            do="It held the file before the amendment; without it nothing can be put back.",
        ) from error
    if last.kept_sum and last.kept_sum != _sum(content):
        raise FusewalkError(
            f"{name} was changed since it was kept.",
            do="It is no longer the file before the amendment: nothing is put back.",
        )
    return content


def end_words(end: OldEnd) -> str:
    """Say where an end of an old conductor is, and whether it is off its terminal."""
    place = f" at {end.place}" if end.place else ""
    if end.is_off:
        return f"{end.point}{place}, off its terminal: cap it"
    return f"{end.wire_id} still on {end.point}{place}: live where that is live"


def standing_amendments(entries: Sequence[AnyEntry]) -> tuple[Amended, ...]:
    """List the amendments that were not taken back, the first first."""
    standing: list[Amended] = []
    for entry in entries:
        if not isinstance(entry, Amended):
            continue
        if entry.undoes is None:
            standing.append(entry)
        else:
            standing = [one for one in standing if one.revision != entry.undoes]
    return tuple(standing)


def _last(entries: Sequence[AnyEntry]) -> Amended | None:
    standing = standing_amendments(entries)
    return standing[-1] if standing else None


def _sum(content: bytes) -> str:
    return sha256(content).hexdigest()


def _free(path: Path, revision: int) -> Path:
    """Give a name that is free for a revision that was taken back: ``buggy.rev4.undone.toml``, ``…undone2.toml``."""
    kept = kept_path(path, revision)
    names = (kept.with_name(f"{kept.stem}.undone{number or ''}{kept.suffix}") for number in (0, *range(2, 10_000)))
    return next(name for name in names if not path.resolve().with_name(name.name).exists())


def _recorded(path: Path, entry: Amended, when: datetime) -> RecordError | None:
    """Add an entry to the record; give why it could not be written."""
    record = Record.open(path, when)
    error: RecordError | None = None
    try:
        record.append(entry)
    except RecordError as found:
        error = found
    with suppress(RecordError):
        record.close()
    return error if record.waiting else None
