"""Reads the entries of parts."""

from __future__ import annotations

from ..solver.check import Tokens
from ..solver.part import STATUSES, Cut
from .draft import Draft
from .entry import Choice, Entry, Option
from .fault import listing, suggestion
from .feature import Wanting, feature
from .node import Listing, Node, Scalar, Table
from .reading import Misread, Reader, Record, attempt, items, map_of, named, refuse, scalar, table, text
from .template import Template
from .value import (
    code_piece,
    is_code_piece,
    name,
    positive_length,
    price,
    span,
    status,
    tolerance,
    word,
    words,
)

MOST_ITEMS = 100_000
"""The most items that one entry may stand for."""

_NOTHING = Template(("",))


def read_parts(section: Node, draft: Draft) -> None:
    """Read a list of entries into the draft."""
    try:
        nodes = items(section)
    except Misread:
        draft.doubtful_kinds = True
        return
    for node in nodes:
        try:
            place = node.fields.get("code", node) if isinstance(node, Table) else node
            draft.entries.append((entry(draft, node), place))
        except Misread:
            kind = node.fields.get("kind") if isinstance(node, Table) else None
            if isinstance(kind, Scalar) and kind.text.strip() in draft.kinds:
                draft.doubtful.add(kind.text.strip())
            else:
                draft.doubtful_kinds = True


def entry(draft: Draft, node: Node) -> Entry:
    """Read one entry."""
    record = Record(
        node,
        ("code", "kind", "title"),
        ("status", "price", "replaced by", "caution", "traits", "options", "dimensions", "cut", "marks", "features"),
    )
    options = record.get("options", lambda at: _options(draft, at), ())
    known = [option.name for option in options] if record.sound or "options" not in record else None
    code = record.get("code", _template(known, in_code=True), _NOTHING)
    title = record.get("title", _template(known), _NOTHING)
    replaced_by = record.get("replaced by", _template(known, in_code=True), None)
    kind = record.get("kind", draft.kinds.known, "")
    traits = record.get("traits", named(draft.trait_name, lambda key, at: _values(draft, key, at)), {})
    dimensions = record.get("dimensions", map_of(name, span), {})
    cut = record.get("cut", _cut, None)
    features = record.get("features", named(name, lambda key, at: feature(draft, key, at)), {})
    found = Entry(
        code,
        kind,
        title,
        traits,
        tuple(options),
        dimensions,
        {key: wanting.feature for key, wanting in features.items()},
        {key: wanting.dimensions for key, wanting in features.items() if wanting.dimensions},
        cut,
        record.get("price", price, 0),
        record.get("status", status, STATUSES[0]),
        replaced_by,
        record.get("caution", text, None),
        record.get("marks", map_of(name, text), {}),
        node.source,
    )
    if record.sound:
        _note_price(draft, record, found)
        _check_options(record, found)
        _check_cut(record, found)
        for wanting in features.values():
            _check_wants(record, found, wanting)
    record.close()
    return found


def _template(known: list[str] | None, *, in_code: bool = False) -> Reader[Template]:
    """Make a reader of texts with options in braces; None: which options there are is not known."""

    def read(node: Node) -> Template:
        words = text(node)
        try:
            found = Template.parse(words)
        except ValueError as error:
            refuse(node, "a brace without its mate", "write options as {name}", shift=int(str(error)))
        for option in found.options:
            if known is not None and option not in known:
                refuse(
                    node,
                    f"`{{{option[:60]}}}` is no option of this entry",
                    suggestion(option, known) if known else "the entry has no options: leave the braces out",
                )
        if in_code:
            for piece in found.literals:
                if piece and not is_code_piece(piece):
                    refuse(node, f"`{piece[:60]}` cannot stand in a code", "write capitals, digits and -./ only")
        return found

    return read


def _values(draft: Draft, trait: str, node: Node) -> Tokens:
    found = words(node)
    draft.allow(trait, found, node)
    return found


def _options(draft: Draft, node: Node) -> tuple[Option, ...]:
    return tuple(named(name, lambda key, at: _option(draft, key, at))(node).values())


def _option(draft: Draft, called: str, node: Node) -> Option:
    if isinstance(node, Listing):
        words(node)  # each once
        return Option(called, tuple(attempt(lambda at: _choice(draft, called, at, None), items(node))))
    found = table(node)
    if not found.fields:
        refuse(node, "an option without values", "list at least one, or leave the option out")
    return Option(
        called,
        tuple(attempt(lambda at: _choice(draft, called, at, found.fields[scalar(at).text]), found.keys.values())),
    )


def _choice(draft: Draft, option: str, key: Node, change: Node | None) -> Choice:
    value = word(key)
    draft.allow(option, (value,), key)
    own = {option: (value,)}
    if change is None or (isinstance(change, Scalar) and not change.text):
        return Choice(value, value, value, own)
    record = Record(
        change,
        (),
        ("code", "title", "price", "surcharge", "status", "caution", "replaced by", "traits", "dimensions", "marks"),
    )
    traits = record.get("traits", named(draft.trait_name, lambda name, at: _values(draft, name, at)), {})
    if option in traits:
        record.fault(record.at("traits"), f"the trait `{option}` is the option itself", "leave it out")
    found = Choice(
        value,
        record.get("code", code_piece, value),
        record.get("title", text, value),
        {**own, **traits},
        record.get("price", price, None),
        record.get("surcharge", price, 0),
        record.get("status", status, None),
        record.get("caution", text, None),
        record.get("replaced by", _template(None, in_code=True), None),
        record.get("dimensions", map_of(name, span), {}),
        record.get("marks", map_of(name, text), {}),
    )
    record.close()
    return found


def _cut(node: Node) -> Cut:
    record = Record(node, ("dimension", "from", "to", "step"), ("tolerance",))
    dimension = record.get("dimension", name, "")
    low, high = record.get("from", positive_length, 0), record.get("to", positive_length, 0)
    step = record.get("step", positive_length, 1)
    within = record.get("tolerance", tolerance, 0)
    if record.sound and low > high:
        record.fault(record.at("from"), "`from` is more than `to`", "swap or correct them")
    record.close()
    return Cut(dimension, low, high, step, within)


def _check_options(record: Record, entry: Entry) -> None:
    """Each option stands in the code, no two change the same thing, and the codes can be codes."""
    given: dict[tuple[str, str], str] = {}
    for option in entry.options:
        place = _place(record, option.name)
        if option.name not in entry.code.options:
            record.fault(
                place,
                f"the option `{option.name}` is missing in the code",
                f"put {{{option.name}}} where it stands in the code",
            )
        for choice in option.choices:
            if option.name in entry.code.options and not is_code_piece(choice.code):
                record.fault(
                    place,
                    f"`{choice.code}` cannot stand in a code",
                    "give the value a `code` of its own",
                    cause=("piece", id(record.node), option.name),
                )
            for replaced in choice.replaced_by.options if choice.replaced_by else ():
                if replaced not in [each.name for each in entry.options]:
                    record.fault(place, f"`{{{replaced}}}` is no option of this entry", "leave the braces out")
        if option.name in entry.traits:
            record.fault(place, f"the option `{option.name}` is also given in `traits`", "leave it out there")
        for changed in dict.fromkeys(each for choice in option.choices for each in _changes(choice)):
            first = given.setdefault(changed, option.name)
            if first != option.name:
                what = " ".join([changed[0], *(f"`{called}`" for called in changed[1:] if called)])
                record.fault(
                    place,
                    f"the options `{first}` and `{option.name}` both change the {what}",
                    "let one of them change it",
                )
    if entry.count > MOST_ITEMS:
        record.fault(
            record.at("options"),
            f"the options make {entry.count} items of one entry",
            f"stay below {MOST_ITEMS}: split the entry",
        )


def _changes(choice: Choice) -> list[tuple[str, str]]:
    single = {"price": choice.price, "status": choice.status, "replacement": choice.replaced_by}
    return [
        *((sort, "") for sort, value in single.items() if value is not None),
        *(("trait", key) for key in choice.traits),
        *(("dimension", key) for key in choice.dimensions),
        *(("mark", key) for key in choice.marks),
    ]


def _note_price(draft: Draft, record: Record, entry: Entry) -> None:
    """What has no price would count as free beside what has one."""
    priced = [option for option in entry.options if any(choice.price is not None for choice in option.choices)]
    lacking = [choice.value for option in priced for choice in option.choices if choice.price is None]
    draft.priced |= "price" in record or bool(priced)
    if "price" not in record and (lacking or not priced):
        given = f"given by the option `{priced[0].name}`, but not for {listing(lacking, 4)}" if priced else ""
        draft.unpriced.append((record.node, given or "other parts have one"))


def _place(record: Record, option: str) -> Node:
    options = record.node.fields.get("options")
    return options.keys.get(option, options) if isinstance(options, Table) else record.node


def _check_cut(record: Record, entry: Entry) -> None:
    if entry.cut is None:
        return
    fixed: set[str] = set().union(
        entry.dimensions, *(choice.dimensions for option in entry.options for choice in option.choices)
    )
    if entry.cut.dimension in fixed:
        record.fault(
            record.at("cut"),
            f"the dimension `{entry.cut.dimension}` is both fixed and cut to measure",
            "leave it out of the dimensions",
        )


def _check_wants(record: Record, entry: Entry, wanting: Wanting) -> None:
    """What an interface reads and the feature does not give must be among the entry's dimensions and traits."""
    reads = f"which the interface `{wanting.feature.interface}` reads of its side `{wanting.feature.side}`"
    for dimension in wanting.dimensions:
        if entry.cut and dimension == entry.cut.dimension:
            record.fault(
                wanting.place,
                f"`{dimension}` is cut to measure, {reads}",
                "only stacks can read a length that is cut: give the feature one of its own",
            )
        elif not entry.gives(dimension):
            record.fault(
                wanting.place,
                f"without the dimension `{dimension}`, {reads}" + entry.lacking(dimension),
                "give it in the feature or among the part's dimensions",
            )
    for token in wanting.tokens:
        if not entry.says(token):
            record.fault(
                wanting.place,
                f"without the word `{token}`, {reads}",
                "give it in the feature or among the part's traits",
            )
