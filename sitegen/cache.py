"""What took long to compute, kept in the user's own cache folder for the next time.

Not in the guide's folder: a guide is passed on, and nothing that comes with it may make a statement true.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache, partial
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

import platformdirs

import sitegen

T = TypeVar("T")
PLACE = "TURNFOLIO_CACHE"
"""The variable that names another folder."""
MOST = 256 * 2**20
"""How many bytes are kept; beyond that what was not used for longest goes."""


OURS = re.compile(r"[0-9a-f]{64}\.(?:json|\w+\.new)")
"""The names of results, and of those that are being written."""


def cache_folder() -> Path:
    """Where results are kept: as the system has it for caches, or where the user says."""
    own = os.environ.get(PLACE)
    return Path(own) if own else platformdirs.user_cache_path("turnfolio", appauthor=False)


class NotKnown(Exception):
    """A result that would have to be made; `key` is what it would be kept by."""

    def __init__(self, key: str) -> None:
        super().__init__(key)
        self.key = key


@dataclass
class Cache:
    """Results by a digest of all that they follow from. The folder may be deleted: what is lost is time."""

    folder: Path = field(default_factory=cache_folder)
    _known: dict[str, Any] = field(default_factory=dict)
    """Those that were asked for already."""
    _makes: bool = True

    def recall(self, follows_from: Mapping[str, Any], kind: type[T], make: Callable[[], T]) -> T:
        """What is known to follow, or else what is made, just as it will be read the next time.

        `kind` is a dataclass, or a dictionary of what JSON can say.
        """
        known = self.known(follows_from, kind)
        if known is None and not self._makes:
            raise NotKnown(_key(follows_from, kind))
        return self.keep(follows_from, kind, make()) if known is None else known

    @contextmanager
    def as_it_is(self) -> Iterator[None]:
        """Nothing is made meanwhile: `recall` raises NotKnown instead."""
        self._makes = False
        try:
            yield
        finally:
            self._makes = True

    @contextmanager
    def learning(self) -> Iterator[dict[str, Any]]:
        """What is made meanwhile, for another process to learn when it is done."""
        before = set(self._known)
        made: dict[str, Any] = {}
        yield made
        made |= {key: value for key, value in self._known.items() if key not in before}

    def learn(self, made: Mapping[str, Any]) -> None:
        """Takes over what was made elsewhere."""
        self._known |= made

    def known(self, follows_from: Mapping[str, Any], kind: type[T]) -> T | None:
        """What is known to follow; None where nothing is."""
        key = _key(follows_from, kind)
        if key not in self._known:
            try:
                self._known[key] = _read(self.folder / f"{key}.json", kind)
            except (OSError, ValueError, TypeError, LookupError, RecursionError):
                return None
        return self._known[key]  # type: ignore[no-any-return]

    def keep(self, follows_from: Mapping[str, Any], kind: type[T], made: Any) -> T:
        """Keeps what follows, and gives it as it will be read the next time."""
        key = _key(follows_from, kind)
        text = json.dumps(made, default=_values)
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            _write(self.folder / f"{key}.json", text)
            _prune(self.folder)
        result: T = rebuilt(kind, json.loads(text))
        self._known[key] = result
        return result


def _key(follows_from: Mapping[str, Any], kind: type[Any]) -> str:
    return digest({"code": _code(), "kind": kind.__name__, **follows_from})


def _read(file: Path, kind: type[T]) -> T:
    """A result as it was written. Raises one of several errors where it is not."""
    sealed, _, text = file.read_text(encoding="utf-8").partition("\n")
    if sealed != _seal(text):
        raise ValueError("not as it was written")
    result: T = rebuilt(kind, json.loads(text))
    with suppress(OSError):
        os.utime(file)
    return result


def _seal(text: str) -> str:
    """The first line of a file, before the one in which a result stands: the SHA-256 of that, as JSON."""
    return json.dumps(sha256(text.encode()).hexdigest())


def _write(file: Path, text: str) -> None:
    """Whole or not at all, whoever else writes."""
    with NamedTemporaryFile(
        "w", dir=file.parent, prefix=f"{file.stem}.", suffix=".new", encoding="utf-8", delete=False
    ) as beside:
        try:
            beside.write(f"{_seal(text)}\n{text}")
            beside.close()
            os.replace(beside.name, file)
        except BaseException:
            os.unlink(beside.name)
            raise


def _values(made: Any) -> dict[str, Any]:
    """A dataclass by the names of its fields."""
    return {each.name: getattr(made, each.name) for each in fields(made)}


def _prune(folder: Path) -> None:
    """Takes away what was not used for longest, until what is left is not too much.

    The user may have named a folder with files of other kinds in it: these are left alone, and not counted.
    """
    files = sorted((file.stat().st_mtime, file.stat().st_size, file) for file in _ours(folder))
    surplus = sum(size for _, size, _ in files) - MOST
    for _, size, file in files:
        if surplus <= 0:
            return
        file.unlink()
        surplus -= size


def _ours(folder: Path) -> list[Path]:
    """The files that were kept in a folder, which may hold others too."""
    return [file for file in folder.iterdir() if OURS.fullmatch(file.name)] if folder.is_dir() else []


def kept(folder: Path) -> list[int]:
    """How many bytes each result has that is kept. Raises OSError."""
    return [file.stat().st_size for file in _ours(folder)]


def emptied(folder: Path) -> list[int]:
    """Takes all results away; how many bytes each had. Raises OSError."""
    sizes = kept(folder)
    for file in _ours(folder):
        file.unlink(missing_ok=True)
    return sizes


def digest(facts: Any) -> str:
    """SHA-256 of what JSON can say, in hexadecimal digits."""
    return sha256(json.dumps(facts, sort_keys=True).encode()).hexdigest()


def _digests_of_program(root: Path) -> dict[str, str]:
    """SHA-256 of each file below a folder, in hexadecimal digits, by its path there.

    Some systems make links of what comes with the program. Whatever Python keeps of modules follows from
    these, and does not count.
    """
    places = ((Path(path), names) for path, _, names in os.walk(root) if not path.endswith("__pycache__"))
    files = sorted(folder / name for folder, names in places for name in names)
    return {file.relative_to(root).as_posix(): sha256(file.read_bytes()).hexdigest() for file in files}


@cache
def _code() -> str:
    """A digest of the program itself and what comes with it, all of which results follow from."""
    return digest(_digests_of_program(Path(sitegen.__file__).parent))


def rebuilt(kind: Any, plain: Any) -> Any:
    """A value of a type again, from what JSON has made of it. Raises ValueError.

    JSON knows no tuples, and no numbers as keys; types here are dataclasses of those, or of what may be None.
    """
    return _reader(kind)(plain)


@cache
def _reader(kind: Any) -> Callable[[Any], Any]:
    """What makes values of a type."""
    of, origin = get_args(kind), get_origin(kind)
    if kind is Any:
        return lambda plain: plain
    if origin is UnionType:
        some, may_be_none = _reader(of[0]), NoneType in of
        return lambda plain: None if plain is None and may_be_none else some(plain)
    if is_dataclass(kind):
        types = get_type_hints(kind)
        return partial(_of_fields, kind, {each.name: _reader(types[each.name]) for each in fields(kind)})
    if origin is tuple:
        each = _reader(of[0])
        return lambda plain: tuple(map(each, _of_type(list, plain)))
    if origin in (dict, Mapping):
        key, value = of[0], _reader(of[1])
        return lambda plain: {key(k): value(v) for k, v in _of_type(dict, plain).items()}
    return partial(_of_type, kind)


def _of_fields(kind: Any, readers: Mapping[str, Callable[[Any], Any]], plain: Any) -> Any:
    values = _of_type(dict, plain)
    if values.keys() != readers.keys():
        raise ValueError(f"no {kind}")
    return kind(**{name: read(values[name]) for name, read in readers.items()})


def _of_type(kind: type[T], plain: Any) -> T:
    if type(plain) is not kind:
        raise ValueError(f"no {kind}")
    return plain
