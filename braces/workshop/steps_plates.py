"""The steps from raw stock to two braced and carved plates."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from braces.carved.values import CarvedBrace, CarvedPlate, Notch
from braces.placed.values import PlacedPlate
from braces.workshop.cautions import Caution, caution, trade_cautions
from braces.workshop.order import Draft, Job, brace_key

MOST_JOINTS_TOLD = 10  #: more are left to the sheets of the braces


def plate_steps(job: Job) -> Iterator[Draft]:
    """Return the drafts in order."""
    yield _paper()
    yield _stock(job)
    for placed in job.carved.placed.plates:
        yield _thickness(job, placed)
    if job.carved.placed.soundhole_y_mm is not None:
        yield _soundhole(job)
    for plate, placed in zip(job.carved.plates, job.carved.placed.plates, strict=True):
        yield from _flat_pieces(job, plate, placed)
        yield from _laminating(job, plate)
        if plate.braces:
            yield _blanks(job, plate, placed)
            if any(b.notches for b in plate.braces):
                yield _joints(job, plate)
            yield _glue_up(job, plate, placed)
            yield _carve(plate)
            yield from _caps(job, plate, placed)


def _paper() -> Draft:
    return Draft(
        "Print and check",
        "Print the sheets at actual size. Measure the two check bars of every sheet before you cut or glue anything; "
        "if they are off, write what they measure into [printer] of the design and print again.",
        ("both bars of every sheet measure 100 mm", "tiles taped with the register marks on top of each other"),
    )


def _stock(job: Job) -> Draft:
    return Draft(
        "Stock",
        "Lay out every piece of the stock list. Brace stock is split or quartersawn: growth rings upright, grain along "
        "the brace. Keep all of it in the air it will be glued in.",
        ("every piece of the stock list is there", "rings stand upright at both ends of every brace blank"),
        (caution("machine"), caution("dust"), *trade_cautions(job.carved)),
    )


def _thickness(job: Job, placed: PlacedPlate) -> Draft:
    spec = placed.spec
    return Draft(
        f"Join and thickness the {placed.name}",
        f"Join the {spec.wood} halves with the grain along the centre line and thickness the plate to "
        f"{job.say(spec.thickness_mm, 2)}. Draw the centre line on the inside and mark neck end and tail. Cut it "
        "outside the outline and leave a border until the box is closed."
        + "".join(f" Note: {n}." for n in job.bench.notes if n.startswith(placed.name)),
        (f"{job.say(spec.thickness_mm, 2)} thick all over", "centre line, neck and tail marked on the inside"),
        (caution("edge"), caution("dust")),
        (f"plan-{placed.name}",),
    )


def _soundhole(job: Job) -> Draft:
    placed, cut = job.carved.placed, job.bench.rosette
    neck = float(placed.outline.point(placed.outline.count / 2)[1])
    assert placed.soundhole_y_mm is not None
    text = f"The soundhole's middle lies {job.say(neck - placed.soundhole_y_mm)} from the neck end on the centre line. "
    checks = [f"the hole measures {job.say(2 * placed.soundhole_radius_mm)} across"]
    if cut is not None:
        circles = ", ".join(job.say(c) for c in cut.circles_mm)
        depths = ", ".join(job.say(d) for d in cut.depths_mm)
        text += (
            f"Rout the rosette's channel on the outside first: from radius {job.say(cut.inner_radius_mm)} to "
            f"{job.say(cut.outer_radius_mm)}, the cutter's middle on radii {circles}, {len(cut.depths_mm)} passes down "
            f"to {depths}. Glue the rosette in and level it. "
        )
        checks.insert(0, "the rosette sits flush and tight")
    text += f"Then cut the hole, radius {job.say(placed.soundhole_radius_mm)}."
    text += "".join(f" Note: {n}." for n in job.bench.notes if n.startswith("rosette"))
    title = "Rosette and soundhole" if cut else "Soundhole"
    return Draft(title, text, tuple(checks), (caution("machine"),), (*(("rosette",) if cut else ()), "plan-top"))


def _flat_pieces(job: Job, plate: CarvedPlate, placed: PlacedPlate) -> Iterator[Draft]:
    parts, spec, sheets = [], placed.spec, [f"plan-{plate.name}"]
    if spec.centre_strip is not None and plate.strip_pieces:
        cuts = [c for c in job.bench.strips if c.plate == plate.name]
        lengths = "; ".join(
            f"{c.number}: {job.say(c.glue_mm)} along the glue face ({c.tail_end.meets} {c.tail_end.words}, "
            f"{c.neck_end.meets} {c.neck_end.words})"
            for c in cuts
        )
        parts.append(
            f"Centre strip, {spec.centre_strip.wood}, {job.say(spec.centre_strip.width_mm)} wide and "
            f"{job.say(spec.centre_strip.thickness_mm)} thick, grain across the joint; pieces from the tail, with what "
            f"each end is sawn to: {lengths}."
        )
        sheets.append(f"strip-{plate.name}")
    if spec.bridge_plate is not None and plate.bridge_plate is not None:
        parts.append(
            f"Bridge plate, {spec.bridge_plate.wood}, {job.say(spec.bridge_plate.thickness_mm)} thick, cut to the "
            "plan; fit it between the braces once these are glued if it touches them."
        )
    for patch in placed.patches:
        own = patch.spec
        parts.append(f"{own.name}, {own.wood}, {job.say(own.thickness_mm)} thick, cut to the plan.")
    if parts:
        yield Draft(
            f"Strip and patches of the {plate.name}",
            " ".join(parts) + f" Glue them in the dish or on a caul hollowed to it, with {job.bench.spec.glue.name}.",
            ("every piece lies down along all its edges", "squeeze-out cleaned off before it sets"),
            _glue_cautions(job),
            tuple(sheets),
        )


def _laminating(job: Job, plate: CarvedPlate) -> Iterator[Draft]:
    bent = [b for b in plate.braces if b.is_curved]
    if not bent:
        return
    each = " ".join(
        f"{b.name}: {b.blank.laminations_count} strips {job.say(b.blank.strip_mm, 2)} × {job.say(b.blank.height_mm)} × "
        f"{job.say(b.blank.length_mm)}, centre line to a radius of {job.say(abs(b.radius_mm))}."
        for b in bent
    )
    yield Draft(
        f"Laminate the curved braces of the {plate.name}",
        "Saw two cauls to the inner and the outer face of each form sheet, smooth them, and line them with film or "
        f"waxed paper. {each} Bend the strips dry first, all together; warm them if they complain. Then glue, close "
        "the form from its middle outwards, and leave it closed for the glue maker's full time: a stack that is let "
        "out early springs open. Plane both edges square afterwards and lay the stick on the form's drawing.",
        ("the dry stack lies on the form all along, without a gap", "no strip has cracked on its outside",
         "the stick lies on both lines of its form sheet within 0.5 mm once it is out"),
        (caution("clamps"), caution("machine"), *_glue_cautions(job)),
        tuple(f"form-{brace_key(b.name).removeprefix('brace-')}" for b in bent),
    )  # fmt: skip


def _blanks(job: Job, plate: CarvedPlate, placed: PlacedPlate) -> Draft:
    dome = placed.dome
    if isinf(dome.radius_mm):
        arch = "Plane the glue faces straight and square."
    else:
        arch = (
            "Arch the glue face of every brace: its own template has the arc, close to "
            f"{job.say(dome.inner_radius_mm, 0)} of radius, or sand it in the dish with the brace held upright. "
            "A brace off the dome's middle has a bevel, which its sheet gives."
        )
    bent = [b.name for b in plate.braces if b.is_curved]
    if bent:
        arch += f" Fit {', '.join(bent)} in the dish, on the line of the plan: no straight caul follows a curve."
    return Draft(
        f"Brace blanks of the {plate.name}",
        f"Cut {len(plate.braces) - len(bent)} blanks, over-long and over-high as the stock list says. {arch} Stick the "
        "templates on, arrows to neck and tail as drawn.",
        ("each glue face shows no light on the plate in its dish", "names and arrows on every blank"),
        (caution("edge"),),
        tuple(brace_key(b.name) for b in plate.braces),
    )


def _joints(job: Job, plate: CarvedPlate) -> Draft:
    cuts = [(b, n) for b in plate.braces for n in b.notches]
    lines = [_joint_words(job, b, n) for b, n in cuts]
    if len(cuts) > MOST_JOINTS_TOLD:
        over = [b.name for b in plate.braces if any(n.kind == "half-lap" and n.opens == "plate" for n in b.notches)]
        lines = [f"{len(cuts)} cuts, with their places and depths on the sheets of their braces."]
        lines += [f"Cut from the glue face, so over the others: {', '.join(over)}."] if over else []
    return Draft(
        f"Laps and notches of the {plate.name}",
        " ".join(lines) + " Saw inside both walls, pare to the lines, try the pair together off the plate.",
        ("each joint closes by hand push, without rocking", "carved edges level with each other where they cross"),
        (caution("edge"),),
        tuple(brace_key(b.name) for b in plate.braces if b.notches),
    )


def _joint_words(job: Job, brace: CarvedBrace, notch: Notch) -> str:
    what = f"{notch.kind} for {notch.with_}"
    if notch.kind == "half-lap":  # cut from its glue face, a brace bridges the other and goes on last
        what = f"half-lap {'over' if notch.opens == 'plate' else 'under'} {notch.with_}"
    return (
        f"{brace.name} at {job.say(notch.at_mm)} from its start: {what}, {job.say(notch.width_mm, 2)} wide, "
        f"{job.say(notch.depth_mm, 2)} deep, opens to the {notch.opens}."
    )


def _glue_up(job: Job, plate: CarvedPlate, placed: PlacedPlate) -> Draft:
    bars = next((b for b in job.bench.bars if b.plate == plate.name), None)
    air = next((a for a in job.bench.humidity if a.plate == plate.name), None)
    glue, glued = job.bench.spec.glue, job.bench.spec.air.glued_fraction
    text = f"Glue the braces in this order: {', '.join(plate.order)}. "
    text += f"The air should stand at {100 * glued:.0f} % relative humidity"
    if air is not None and air.window_fraction is not None:
        a, b = air.window_fraction
        text += (
            f" and the plate be kept near it: by itself its dome changes by more than "
            f"{100 * job.bench.spec.air.allowed_fraction:.0f} % below {100 * a:.0f} % and above {100 * b:.0f} %"
        )
    text += ". "
    text += f"Glue: {glue.name}{_times(glue.open_minutes_count, glue.clamp_minutes_count)}. "
    cautions: list[Caution] = [*_glue_cautions(job)]
    drawings = [f"plan-{plate.name}"]
    if bars is not None:
        text += (
            f"In the deck, bars of {bars.material}, {job.say(bars.bar_length_mm)} long, at the numbered places: "
            f"{len(bars.places)} if all braces go on at once, together {bars.push_n:.0f} N on floor and ceiling. "
        )
        cautions.insert(0, caution("eyes"))
        drawings.append(f"deck-{plate.name}")
    elif job.bench.spec.method == "clamps":
        text += "Press each brace with cauls and clamps over a board hollowed to the dome, clamps two heights apart. "
        cautions.insert(0, caution("clamps"))
    return Draft(
        f"Glue the braces to the {plate.name}",
        text + "Do a dry run first.",
        ("dry run done within the glue's open time", "places transferred from the plan and checked end to end",
         "a bead of glue all along both sides of every brace"),
        tuple(cautions),
        tuple(drawings),
    )  # fmt: skip


def _times(open_count: int | None, clamp_count: int | None) -> str:
    """Times are the glue maker's; where none was entered there is a line to write one's own."""
    opened = "____" if open_count is None else str(open_count)
    clamped = "____" if clamp_count is None else str(clamp_count)
    return f" (its maker's figures: open {opened} min, clamped {clamped} min)"


def _glue_cautions(job: Job) -> tuple[Caution, ...]:
    return (caution("hot_glue"),) if job.bench.spec.glue.hot else ()


def _carve(plate: CarvedPlate) -> Draft:
    kerfs = sum(len(b.relief_cuts) for b in plate.braces)
    first = f"Saw the {kerfs} relief cuts to their depths first, then carve down to them. " if kerfs else ""
    return Draft(
        f"Carve the braces of the {plate.name}",
        first + "Work from the high places to the low ends with sharp chisels, grain permitting; leave laps and butt "
        "joints square as the sections show. Check heights at the stations of each sheet.",
        ("heights at the stations within 0.3 mm", "low ends of tucked braces as high as their pockets"),
        (caution("edge"), caution("dust")),
        tuple(brace_key(b.name) for b in plate.braces),
    )


def _caps(job: Job, plate: CarvedPlate, placed: PlacedPlate) -> Iterator[Draft]:
    """Strips along carved edges and patches over laps: they go on last, on edges that are carved."""
    parts = [
        f"{b.name}: {b.spec.cap_strip.wood}, {job.say(b.spec.cap_strip.thickness_mm)} thick, as wide as the edge."
        for b in placed.braces
        if b.spec.cap_strip is not None
    ]
    if len(parts) > MOST_JOINTS_TOLD:
        parts = [f"{len(parts)} strips along the carved edges, as the stock list has them."]
    parts += [
        f"{c.name}: {c.wood}, {job.say(c.length_mm)} long, {job.say(c.width_mm)} wide and {job.say(c.thickness_mm)} "
        f"thick, its grain along {c.along}, its middle {job.say(c.at_mm)} from that brace's start."
        for c in plate.caps
    ]
    if parts:
        yield Draft(
            f"Caps of the {plate.name}",
            " ".join(parts) + f" Glue them on the carved edges with {job.bench.spec.glue.name}; they tie the fibres "
            "that the laps cut.",
            ("edges level where a cap lies", "no gap under a cap"),
            _glue_cautions(job),
            (f"plan-{plate.name}",),
        )
