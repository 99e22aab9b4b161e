"""STEP solids and meshes: the only folder that loads the CAD kernel, so import it where it is needed.

``brace.brace_solid`` makes one brace, ``plate.plate_assembly`` a plate with its braces in place,
``step.step_bytes`` a file of one solid, ``mesh.mesh`` its triangles; ``kernel.SolidError`` says that a solid did
not come out right.
"""
