"""Shop tools as solids for a 3D printer or a CNC: cauls, gauges, jigs and go-bar parts, one file to each kind.

``registry.TOOLS`` lists them, ``registry.tool_files`` writes them, ``settings.ToolSettings`` says what the shop's
printer and bench ask, ``problems.tool_problems`` what is wrong with that, without loading the CAD kernel.
"""
