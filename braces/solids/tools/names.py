"""The names of the shop tools, for messages, settings and the reference. Loads neither kernel nor mesh library."""

from __future__ import annotations

TOOL_NAMES: dict[str, str] = {
    "sanding-caul": "blocks with a plate's true sphere for the glue faces of its braces, the abrasive reckoned in",
    "dome-gauge": "hollow and round arcs of both faces, to check a dish, a brace or a plate",
    "crossing-gauge": "the angle between crossing braces, laid on the centre line",
    "notch-gauge": "go and no-go tongues for every lap, inlet and cut over the strip",
    "pocket-gauge": "go and no-go tongues for every lining pocket",
    "strip-gauge": "go and no-go tongues for the gaps of the centre strip",
    "carving-gauge": "the finished profile of each brace as a thin contour",
    "section-gauge": "the section of each brace at its telling stations",
    "height-gauge": "steps of known height",
    "clamping-caul": "blocks that sit on the carved edge, or on the blank, and spread the push of go-bars or clamps",
    "outer-caul": "blocks on the outer face of a dome",
    "go-bar": "bars and tip cups, as long as the deck and the stack ask, with the deck's plan",
    "pocket-jig": "a saddle on the lining that guides the cut of one pocket",
}
