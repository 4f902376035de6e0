"""Sentences that bench, marks and reports write in English, gathered from their sources.

A module of ``SPOKEN`` speaks: every text in it that reads like words is one, an f-string with its
fields named after what stands in them. Knows Python; must know no sentence by heart.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import trainer

ROOT = Path(trainer.__file__).resolve().parent
#: Modules whose texts are shown, folder by folder.
SPOKEN = {
    "session": "capturing decide diagram doing hazards hearing isolating measuring noting"
    " planning wiring",
    "assess": "checks commissioning consequence correctness critical diagnosis dressing ends"
    " isolation items live marks noting recorded score story telling wiring workmanship",
    "nets": "compare dangers words moves images",
    "report": "page harm next_exercise starts startplot timeline wiring"
    " class_evidence class_plots class_record class_report comparing",
    "classroom": "checking noticing receiving",
    "standards": "flags",
    "starts": "marks wording",
    "unit": "body",
    "demo": "prepared so_far",
    "instruments": "clamp insulation multimeter pointing shown table meeting",
    "sheet": "reading ladder_text connection inside rungs",
}
#: Calls whose texts are for files, keys and logs.
SILENT = re.compile(r".*Error|_no|did|emit|startswith|partition|split|replace|compile|load|"
                    r"acts|moments|tr|later|term|join|pop|getattr|step|Link|Channel")  # fmt: skip
#: Keys, markings, quantities, classes of a style sheet: what only looks like words.
KEYS = re.compile(
    r"[A-Z]+\d*|\w+:{\w+}|[\d.]+ \w+|{\w+}\.[\w:]+|lane-.*|own thick|ghost thick|"
    r" thick| thin|tag on|M?ohm|"
    r"V [ad]c.*|A ac|Point|{\w+} (and|to|on|with) {\w+}|{\w+} (V|A|ms|mA|ohm|s)( [ad]c)?|"
    r"\S*/\S*|group-.*|%pace.*|the kept hand-in|the attempt|"
    r"{:.*|{\w+} V {\w+}, {\w+} mA|{\w+} V and {\w+} V| and | to |new {made}"
)
LETTERS = re.compile(r"[A-Za-z]{2}")


def modules() -> Iterator[Path]:
    for folder, names in SPOKEN.items():
        for name in names.split():
            yield ROOT / folder / f"{name}.py"


def sentences(source: str) -> Iterator[str]:
    """Every text of a source that reads like words."""
    found = dict.fromkeys(_of(ast.parse(source)))
    yield from (
        text for text in found if (text.isupper() and " " in text) or not KEYS.fullmatch(text)
    )


def _of(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.JoinedStr):
        yield from _mould(node)
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, str) and reads(node.value):
            yield node.value
    elif isinstance(node, ast.Call):
        yield from _of_call(node)
    elif isinstance(node, ast.Subscript):
        yield from _of(node.value)
    elif not isinstance(node, ast.Compare | ast.AnnAssign | ast.arguments):
        for child in _shown(node):
            yield from _of(child)
    elif isinstance(node, ast.AnnAssign) and node.value is not None:
        yield from _of(node.value)


def _of_call(node: ast.Call) -> Iterator[str]:
    func = node.func
    name = func.attr if isinstance(func, ast.Attribute) else getattr(func, "id", "")
    if isinstance(func, ast.Attribute):
        yield from _of(func.value)
    silent = SILENT.fullmatch(name)
    for given in [*node.args[name == "get" :], *(k.value for k in node.keywords)]:
        yield from () if silent and isinstance(given, ast.Constant | ast.JoinedStr) else _of(given)


def _shown(node: ast.AST) -> Iterator[ast.AST]:
    """Children that may be shown: no docstring, no key of a table."""
    if isinstance(node, ast.Dict):
        yield from node.values
        return
    for child in ast.iter_child_nodes(node):
        if not (isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)):
            yield child


def reads(text: str) -> bool:
    """Words rather than a key: two of them, or a sentence."""
    return bool(LETTERS.search(text)) and (" " in text or text[:1].isupper()) and "_" not in text


def _mould(node: ast.JoinedStr) -> Iterator[str]:
    """The sentence with its fields named, then texts that stand in a field."""
    made, inside, names = "", [], {}
    for piece in node.values:
        if isinstance(piece, ast.Constant):
            made += str(piece.value)
        elif isinstance(piece, ast.FormattedValue):
            made += "{" + _named(piece.value, names) + "}"
            inside += [*_of(piece.value), *_chosen(piece.value)]
    if LETTERS.search(re.sub(r"{\w+}", "", made)):
        yield made.strip(" ,;")
    yield from inside


def _chosen(node: ast.expr) -> Iterator[str]:
    """Single words that a field takes, one or the other."""
    branches = {ast.IfExp: ("body", "orelse"), ast.BoolOp: ("values",)}.get(type(node), ())
    for branch in branches:
        found = getattr(node, branch)
        for child in found if isinstance(found, list) else [found]:
            if isinstance(child, ast.Constant) and isinstance(child.value, str):
                yield from [child.value.strip()] if LETTERS.search(child.value) else []
            else:
                yield from _chosen(child)


def _named(value: ast.expr, names: dict[str, str]) -> str:
    """A name for a field, the same for the same expression."""
    key = ast.dump(value)
    if key not in names:
        name = next((n for n in _names(value) if n.isidentifier()), "what").strip("_").lower()
        names[key] = name if name not in names.values() else f"{name}{len(names) + 1}"
    return names[key]


def _names(node: ast.AST) -> Iterator[str]:
    """Names in an expression, the nearest first; a function's own name comes last."""
    if isinstance(node, ast.Call):
        inner = [node.func.value] if isinstance(node.func, ast.Attribute) else []
        for child in (*node.args, *inner):
            yield from _names(child)
        yield getattr(node.func, "id", "")
    elif isinstance(node, ast.Attribute):
        yield node.attr
    elif isinstance(node, ast.Subscript):
        yield str(getattr(node.slice, "value", ""))
        yield from _names(node.value)
    elif isinstance(node, ast.Name):
        yield node.id
    elif isinstance(node, ast.Constant):
        return
    else:
        for child in ast.iter_child_nodes(node):
            yield from _names(child)
