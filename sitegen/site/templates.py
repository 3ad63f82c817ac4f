"""The templates of a theme: how they are found, what they may do, and what is wrong with one.

A template has the name of what it sets, in the folder of its like: `pages/handout.html`, `blocks/moves.html`.
That is all that the code knows of their names; what templates share they ask for themselves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from traceback import FrameSummary, extract_tb, walk_tb
from typing import Any

from jinja2 import (
    BaseLoader,
    BytecodeCache,
    ChoiceLoader,
    Environment,
    PrefixLoader,
    StrictUndefined,
    Template,
    TemplateError,
    TemplateNotFound,
    TemplateRuntimeError,
    TemplateSyntaxError,
    UndefinedError,
    nodes,
)
from jinja2.bccache import Bucket
from jinja2.loaders import split_template_path
from jinja2.runtime import Context
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import missing

from sitegen.folders import as_text, is_file, met_below, text_of
from sitegen.pages.files import file_of_guide
from sitegen.problems import Problem, Source, is_it
from sitegen.site.template_bounds import (
    CALL,
    Bounds,
    bounded,
    is_of_text,
    put_down,
    refuse_call,
    refuse_sum,
    watched,
    watching_filters,
)

TEMPLATES = "templates"
"""The folder of a theme's templates."""
PAGES, BLOCKS = "pages", "blocks"


def template_of(folder: str, name: str, ending: str = ".html") -> str:
    """The template by which a page or block is set: `pages/effect-table.html` for the effect table."""
    return f"{folder}/{name.replace(' ', '-')}{ending}"


CARRIED = ("_block_vars", "_loop_vars")
"""What the template library hands along with a call: all that has a name where it stands."""
ASTRAY = (TypeError, AttributeError, ValueError, LookupError, ArithmeticError)
"""What is raised where something is asked for with what it cannot be given."""


class _Compiled(BytecodeCache):
    """Templates that this process has compiled, by file and text: a guide may be made more than once."""

    def __init__(self) -> None:
        self._known: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fills in what is known, which the bucket holds against the text as it is now."""
        if bucket.key in self._known:
            bucket.bytecode_from_string(self._known[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._known[bucket.key] = bucket.bytecode_to_string()


COMPILED, COMPILED_AS_OURS = _Compiled(), _Compiled()


class _OurContext(Context):
    """What a template that comes with the program knows by name."""

    def call(self, called: Any, /, *given: Any, **options: Any) -> Any:
        """Calls something: nothing of ours wants to know more than it is given."""
        options.pop("_loop_vars", None)
        options.pop("_block_vars", None)
        return called(*given, **options)


class _Ours(Environment):
    """The templates that come with the program, which may do as its code may."""

    context_class = _OurContext

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self._found: dict[str, Template] = {}

    def get_template(self, name: Any, parent: str | None = None, globals: Any = None) -> Template:
        """A template, which is looked for once: each import and each page asks again."""
        if name not in self._found:
            self._found[name] = super().get_template(name, parent, globals)
        return self._found[name]

    def make_globals(self, d: Any) -> dict[str, Any]:
        """What all templates know by name, put together once: each import looks through all of it."""
        return {**self.globals, **(d or {})}


class _Strangers(ImmutableSandboxedEnvironment):
    """Templates that may read and not do, and have bounds, since they may be somebody else's.

    What they may read of a value follows from its type; it is asked once for each, since templates read
    little else.
    """

    intercepted_binops = frozenset(["*", "**", "%", "+", "-"])

    def __init__(self, **options: Any) -> None:
        self.bounds = Bounds()
        super().__init__(finalize=self.bounds.shown, **options)
        self._safe: set[tuple[type, str]] = set()
        known = {name: bounded(name, does, self.bounds) for name, does in self.filters.items()}
        self.filters = known | watching_filters(self.bounds)
        del self.globals["lipsum"]
        del self.filters["wordwrap"]  # in one step it may take as long as it likes

    def getattr(self, obj: Any, attribute: str) -> Any:
        """What a template may read of a value, or what stands for what it may not."""
        if (type(obj), attribute) in self._safe:
            try:
                return getattr(obj, attribute)
            except AttributeError:
                pass
        return super().getattr(obj, attribute)

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Whether a template may read what a value has by that name."""
        safe = super().is_safe_attribute(obj, attr, value)
        # A text can format by what it says, which is another matter: the sandbox has to see each of these.
        if safe and not isinstance(obj, str):
            self._safe.add((type(obj), attr))
        return safe

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """What two values make together, unless that would be without end."""
        refuse_sum(operator, left, right)
        return self.bounds.made(super().call_binop(context, operator, left, right))

    def call(self, context: Context, called: Any, /, *given: Any, **options: Any) -> Any:
        """What is made of a call, as above."""
        if is_of_text(called):
            given = tuple(put_down(given))
            refuse_call(called, (*given, *(value for name, value in options.items() if name not in CARRIED)))
        self.bounds.spend(0, CALL)
        return self.bounds.made(super().call(context, called, *given, **options))

    def get_template(self, name: Any, parent: str | None = None, globals: Any = None) -> Template:
        """A template, of which all counts that is written there."""
        found = super().get_template(name, parent, globals)
        self.bounds.spend(self.bounds.lengths.get(found.filename or "", 0))
        return found

    def _generate(
        self, source: nodes.Template, name: str | None, filename: str | None, defer_init: bool = False
    ) -> str:
        return super()._generate(watched(source), name, filename, defer_init)


class _Bounded(Template):
    """A template that is filled within bounds."""

    def render(self, *given: Any, **values: Any) -> str:
        """What it makes of values; what stands within a page counts as the page does."""
        bounds: Bounds = self.environment.bounds  # type: ignore[attr-defined]
        bounds.begin()
        try:
            return super().render(*given, **values)
        finally:
            bounds.end()


_Strangers.template_class = _Bounded


class _NotThere(UndefinedError):
    """What a template asks for in vain: a name, or something that a value should have."""

    def __init__(self, message: str, name: str, value: object) -> None:
        super().__init__(message)
        self.name = name
        self.value = value


class _Undefined(StrictUndefined):
    """Stands for what is not there; whatever is done with it says so."""

    def __init__(
        self,
        hint: str | None = None,
        obj: Any = missing,
        name: str | None = None,
        exc: type[TemplateRuntimeError] = UndefinedError,
    ) -> None:
        super().__init__(hint, obj, name, exc)
        if exc is UndefinedError and name is not None:
            self._undefined_exception = partial(_NotThere, name=str(name), value=obj)  # type: ignore[assignment]


class _Templates(BaseLoader):
    """The templates in the folder of a theme."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get_source(self, environment: Environment, template: str) -> tuple[str, str, None]:
        """The text of a template, and its file. Raises TemplateNotFound, OSError, UnicodeDecodeError."""
        file = self._folder.joinpath(TEMPLATES, *split_template_path(template))
        try:
            text = text_of(*_place(file, [self._folder]))
        except (FileNotFoundError, NotADirectoryError):
            raise TemplateNotFound(template) from None
        if isinstance(environment, _Strangers):
            environment.bounds.lengths[str(file)] = len(text)
        return text, str(file), None

    def list_templates(self) -> list[str]:
        """The names of all of them."""
        place = _place(self._folder / TEMPLATES, [self._folder])
        return [name for name, wrong in met_below(*place) if not wrong]


def _place(file: Path, folders: Sequence[Path]) -> tuple[Path, str]:
    """A file of a theme in one of these folders, by its path below the folder in which all themes are."""
    root = next(folder for folder in folders if file.is_relative_to(folder)).parents[1]
    return root, file.relative_to(root).as_posix()


def content_in_theme(file: Path, folders: Sequence[Path]) -> bytes:
    """What is in a file of a theme in one of these folders. Raises Problems."""
    return file_of_guide(*_place(file, folders))


def text_in_theme(file: Path, folders: Sequence[Path], errors: str = "strict") -> str:
    """The same as text. Raises Problems, UnicodeDecodeError."""
    return as_text(content_in_theme(file, folders), errors)


def is_in_theme(file: Path, folders: Sequence[Path]) -> bool:
    """Whether there is such a file."""
    return is_file(*_place(file, folders))


def environment_of(folders: Sequence[Path], ours: bool = False) -> Environment:
    """The templates of a theme in these folders, its own first.

    Each stands for the one of its name in what the theme is based on, which is still there by the name of
    that theme: `folio/pages/page.html`. What is `ours` all comes with the program, and has no bounds.
    """
    own, *others = (_Templates(folder) for folder in folders)
    by_name = PrefixLoader({folder.name: loader for folder, loader in zip(folders[1:], others, strict=True)})
    return (_Ours if ours else _Strangers)(
        loader=ChoiceLoader([own, *others, by_name]),
        autoescape=True,
        undefined=_Undefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        # A site is made of the templates that there were when they were first asked for.
        auto_reload=False,
        bytecode_cache=COMPILED_AS_OURS if ours else COMPILED,
    )


def place_in_theme(file: Path, folders: Sequence[Path]) -> str:
    """The name of a theme's file for its author: `themes/mine/theme.yaml`; empty for one of no theme."""
    folder = next((folder for folder in folders if file.is_relative_to(folder)), None)
    return f"themes/{file.relative_to(folder.parent).as_posix()}" if folder else ""


def template_problem(error: Exception, folders: Sequence[Path]) -> Problem | None:
    """A mistake in a template, in the line where it stands; None for an error that is none."""
    # What the template library does below a template's line is that line's doing; what we do there is not.
    frames = [f for f in extract_tb(error.__traceback__) if Path(f.filename).parent.name != "jinja2"]
    inside = [frame for frame in frames if place_in_theme(Path(frame.filename), folders)]
    # A line of an author's theme that asks for something with what that cannot be given.
    own = (
        bool(inside)
        and isinstance(error, ASTRAY)
        and len(folders) > 1
        and Path(inside[-1].filename).is_relative_to(folders[0])
    )
    if isinstance(error, TemplateSyntaxError):
        file, line = error.filename or "", error.lineno
    elif inside and (
        own or isinstance(error, TemplateError) or frames[-1] is inside[-1] or _in_a_circle(error, inside)
    ):
        where = _place_in_circle(inside, folders) if isinstance(error, RecursionError) else inside[-1]
        file, line = where.filename, where.lineno or 1
    else:
        return None
    place = place_in_theme(Path(file), folders)
    message, hint = _told(error, Path(file), folders)
    if not place:
        return Problem(message, Source(f"themes/{folders[0].name}", "").passage(), hint)
    source = Source(place, text_in_theme(Path(file), folders, "replace"))
    start = source.line_start(line)
    return Problem(message, source.passage(start, source.line_start(line + 1)).stripped(), hint)


def _told(error: Exception, file: Path, folders: Sequence[Path]) -> tuple[str, str]:
    """What is wrong, and what to do."""
    if isinstance(error, RecursionError):
        hint = _other_of_its_name(file, folders) or "take away what leads back to it"
        return "this template comes back to itself here", hint
    if isinstance(error, _NotThere) and (hint := is_it(error.name, _names_near(error, file))):
        return f"there is no {error.name} here", hint
    message = f"there is no template {error}" if isinstance(error, TemplateNotFound) else str(error)
    return message, "the templates of the theme that it is based on show how they are written"


def _names_near(error: _NotThere, file: Path) -> set[str]:
    """What might have been meant: what the value has, or else what is known by a name in the template."""
    known: Iterable[object] = error.value if isinstance(error.value, Mapping) else dir(error.value)
    if error.value is missing:
        # The template library puts into the frames of an error what the template has by names.
        frames = [frame for frame, _ in walk_tb(error.__traceback__) if frame.f_code.co_filename == str(file)]
        known = frames[-1].f_locals if frames else ()
    return {str(name) for name in known if not str(name).startswith("_")}


def _in_a_circle(error: Exception, inside: Sequence[FrameSummary]) -> bool:
    """Whether templates led back to themselves for so long that there was an end to it."""
    lines = {(frame.filename, frame.lineno) for frame in inside}
    return isinstance(error, RecursionError) and len(lines) < len(inside)


def _place_in_circle(inside: Sequence[FrameSummary], folders: Sequence[Path]) -> FrameSummary:
    """Where the theme itself leads back; the last time round may end in any template on the way."""
    lines = [(frame.filename, frame.lineno) for frame in inside]
    often = Counter(lines)
    again = [line for line in lines if often[line] > 1]
    rounds = inside[: len(lines) - 1 - lines[::-1].index(again[0])] if again else inside
    own = [frame for frame in rounds if Path(frame.filename).is_relative_to(folders[0])]
    return ([frame for frame in own if often[frame.filename, frame.lineno] > 1] or inside)[-1]


def _other_of_its_name(file: Path, folders: Sequence[Path]) -> str:
    """How to write the template for which another stands; empty where it stands for none."""
    at = next(number for number, folder in enumerate(folders) if file.is_relative_to(folder))
    name = file.relative_to(folders[at] / TEMPLATES).as_posix()
    others = (folder for folder in folders[at + 1 :] if is_in_theme(folder / TEMPLATES / name, folders))
    return next((f"for the one of {other.name} write “{other.name}/{name}”" for other in others), "")
