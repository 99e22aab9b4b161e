"""The steps from bent sides to the closed and bound box."""

from __future__ import annotations

from collections.abc import Iterator

from braces.workshop.cautions import caution
from braces.workshop.order import Draft, Job
from braces.workshop.props import way_words
from braces.workshop.rim import Block, Rim


def box_steps(job: Job) -> Iterator[Draft]:
    """Return the drafts in order."""
    made = job.bench.rim
    if made is not None:
        yield _sides(job, made)
        yield _bend(job, made)
        yield _blocks(job, made)
        yield _dish(job, made)
    if any(t.pockets for t in job.bench.tapes):
        yield _pockets(job)
    yield _dry_fit(job)
    if job.bench.props:
        yield _props(job)
    yield from (_close(job, k, name) for k, name in enumerate(("top", "back")))
    if any(p.way is not None for p in job.bench.props):
        yield _props_out(job)
    if job.bench.edges:
        yield _edges(job)
    yield Draft(
        "Before the strings",
        "Look through the soundhole with a mirror: every tucked end in its pocket, every joint closed. When the neck "
        "and the bridge are on, bring the strings up slowly.",
        ("every end and joint seen", "top looked at from the side at each step of tension"),
        (caution("tension"),),
    )


def _side_keys(made: Rim) -> tuple[str, ...]:
    return ("rim-side",) if made.alike else tuple(f"rim-side-{s.name}" for s in made.sides)


def _sides(job: Job, made: Rim) -> Draft:
    body = job.carved.placed.design.body
    side = max(made.sides, key=lambda s: s.length_mm)
    high, low = float(side.height_mm.max()), float(side.height_mm.min())
    text = (
        f"Thickness the sides to {job.say(body.side_mm, 2)}. Saw them to the template: {job.say(side.length_mm)} long "
        f"from the tail joint to the neck end and {job.say(high)} to {job.say(low)} high, "
        f"{job.say(made.spec.sanding_mm)} more on each edge for sanding, over-long at both ends. "
    )
    text += (
        "One template does for both sides: turn it over for the second."
        if made.alike
        else f"Bass and treble differ by up to {job.say(made.differ_mm)}: each has its template."
    )
    return Draft(
        "Saw the sides",
        text + "".join(f" Note: {n}." for n in job.bench.notes if n.startswith("side")),
        ("show faces and book-matched edges marked before sawing", "waist, bouts and ends marked on both sides"),
        (caution("machine"), caution("dust")),
        _side_keys(made),
    )


def _bend(job: Job, made: Rim) -> Draft:
    return Draft(
        "Bend the sides",
        "Bend from the waist outwards over the iron or the form, then let them set in the mould. Check against the "
        f"bending template; the outside of a side runs {job.say(made.sides[0].outside_mm)} along the mould.",
        ("marks of waist and bouts meet those of the mould", "no gap to the mould wider than a sheet of paper"),
        (caution("heat"),),
        ("rim-bend-treble", "rim-mould-treble"),
    )


def _blocks(job: Job, made: Rim) -> Draft:
    parts = [_block(job, b) for b in made.blocks]
    parts.append(
        f"Linings {job.say(made.lining_thickness_mm)} thick and {job.say(made.lining_height_mm)} high, proud of the "
        "edges until the dish has levelled them."
    )
    return Draft(
        "Blocks and linings",
        " ".join(parts),
        ("blocks square to the centre line", "linings glued all along, no kerf starved"),
        (caution("clamps"),),
    )


def _block(job: Job, block: Block) -> str:
    return (
        f"{block.name.capitalize()}: {job.say(block.width_mm)} wide, {job.say(block.thickness_mm)} thick, "
        f"{job.say(block.outer_height_mm)} high at the side and {job.say(block.inner_height_mm)} at its inner face "
        f"(ends bevelled {abs(block.top_bevel_deg):.1f} deg at the top, {abs(block.back_bevel_deg):.1f} at the back)."
    )


def _dish(job: Job, made: Rim) -> Draft:
    placed = job.carved.placed
    text = "Sand the rim's edges in the dishes until chalk disappears all round: "
    text += f"top {_dish_words(job, placed.top.dome.radius_mm)}, back {_dish_words(job, placed.back.dome.radius_mm)}. "
    text += (
        "Hold the rim in its mould and stop at the heights of the template. The back's dish lies so that the rim ends "
        "up lower at the neck, as the template shows."
    )
    if made.spec.flat_bout is not None:
        begins = job.say(made.spec.flat_bout.from_mm)
        text += f" Beyond {begins} from the tail the top's edge is sanded to a plane."
    heights = [m for m in made.sides[0].marks if m.kind in ("tail", "waist", "neck end")]
    return Draft(
        "Sand the rim to its domes",
        text,
        tuple(f"{m.kind}: {job.say(m.height_mm)} high at the outside" for m in heights),
        (caution("dust"),),
        _side_keys(made),
    )


def _dish_words(job: Job, radius_mm: float) -> str:
    return "flat" if radius_mm == float("inf") else f"radius {job.say(radius_mm, 0)} ({radius_mm / 304.8:.0f} ft)"


def _pockets(job: Job) -> Draft:
    count = sum(len(t.pockets) for t in job.bench.tapes)
    return Draft(
        "Pockets in the linings",
        "Wrap the two rim strips round the inside of the linings, tail ends against the block. Knife and pare the "
        f"{count} pockets from the inside; offer up each plate and mark again where an end does not drop in.",
        ("each pocket checked against its own brace end before cutting", "every end drops in without being pushed"),
        (caution("edge"),),
        tuple(f"rim-strip-{t.side}" for t in job.bench.tapes if t.pockets),
    )


def _dry_fit(job: Job) -> Draft:
    return Draft(
        "Dry fit",
        "Lay both plates on the rim in turn. Nothing may hold a plate off the linings; trim a brace end or its pocket, "
        "never the dome.",
        ("no light between plate and rim all round", "centre lines meet the marks on both blocks"),
    )


def _props(job: Job) -> Draft:
    lines = []
    for i, p in enumerate(job.bench.props, 1):
        lines.append(
            f"Prop {i}, {_off(job, p.spec.x_mm)} and {job.say(p.spec.y_mm)} from the tail: "
            f"{job.say(p.length_mm)} long from {_on(p.on_back, 'back')} to {_on(p.on_top, 'top')}, its ends rising "
            f"{_bevel(p.top_bevel_deg)} (upper) and {_bevel(p.back_bevel_deg)} (lower). {p.advice}"
        )
    return Draft(
        "Props",
        " ".join(lines),
        ("each prop comes out through the soundhole in a trial before the box is closed",
         "a cord tied to each prop"),
        (caution("clamps"),),
        ("props",),
    )  # fmt: skip


def _on(piece: str, plate: str) -> str:
    """What an end of a prop presses on."""
    return f"the {piece} of the {plate}" if piece else f"the bare {plate}"


def _off(job: Job, x_mm: float) -> str:
    if abs(x_mm) < 0.05:
        return "on the centre line"
    side = "treble" if (x_mm > 0) == (job.carved.placed.design.handed == "right") else "bass"
    return f"{job.say(abs(x_mm))} to the {side} of the centre line"


def _bevel(slopes_deg: tuple[float, float]) -> str:
    return f"{slopes_deg[0]:+.1f} deg across and {slopes_deg[1]:+.1f} deg along"


def _close(job: Job, k: int, name: str) -> Draft:
    glue = job.bench.spec.glue
    text = f"Glue the {name} to the rim with {glue.name}. "
    cautions = [caution("clamps")]
    if k < len(job.bench.clamps):
        c = job.bench.clamps[k]
        text += (
            f"{c.count} clamps or as many turns of tape, {job.say(c.spacing_mm)} apart, one over each block; at most "
            f"{c.safe_n:.0f} N each. {' '.join(c.notes)} "
        )
        if c.flat_stretches:
            side = c.flat_stretches[0]
            text += (
                "The side is nearly straight, and weakest, about "
                f"{job.say((side.from_mm + side.to_mm) / 2)} from the tail along the outline. "
            )
    if glue.hot:
        cautions.append(caution("hot_glue"))
    return Draft(
        f"Close the box: {name}",
        text + "Tighten by turns from the blocks outwards.",
        ("centre lines on their marks before glue", "a bead of glue all round inside and outside"),
        (caution("eyes"), *cautions),
    )


def _props_out(job: Job) -> Draft:
    ways = []
    for i, p in enumerate(job.bench.props, 1):
        how = way_words(p, job.carved.placed.design.handed)
        if how:
            ways.append(f"Prop {i}: free it by {job.say(p.spec.freed_by_mm)}, {how}.")
    return Draft(
        "Take the props out",
        "When the glue's clamp time is over, free the props one by one and draw them out through the soundhole. "
        + " ".join(ways),
        ("as many props out as went in",),
        drawings=("props",),
    )


def _edges(job: Job) -> Draft:
    strips = ", ".join(_strip_words(job))
    return Draft(
        "Bindings and purflings",
        f"Trim the plates to the sides, rout the ledges and bend the strips. Lengths to cut, spare included: {strips}.",
        ("ledge depth tried on scrap", "strips fitted dry round the whole side"),
        (caution("machine"), caution("heat"), caution("eyes")),
    )


def _strip_words(job: Job) -> Iterator[str]:
    """Lengths of the strips; the two sides together where they are alike."""
    edges = job.bench.edges
    for a, b in zip(edges[::2], edges[1::2], strict=True):
        if abs(a.cut_mm - b.cut_mm) < 0.1:
            yield f"{a.kind} {a.plate}, two of {job.say(a.cut_mm, 0)}"
        else:
            yield f"{a.name} {job.say(a.cut_mm, 0)}, {b.name} {job.say(b.cut_mm, 0)}"
