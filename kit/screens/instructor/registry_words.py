"""Words of registries that no learner is shown and the desks show, marked for the translators.

A test holds them to the registries: readings, degrees of faults, protections, machines.
"""

from __future__ import annotations

from kit.screens.instructor.texts import plain

SHOWN = (
    plain("Return air"), plain("Supply air"), plain("Split"), plain("Room air less return air"),
    plain("Humidity of the supply air"), plain("Airflow at the outlet"),
    plain("Outdoor airflow"), plain("Warming of the outdoor air"),
    plain("Outdoor intake over shade air"), plain("Speed of the blower wheel"),
    plain("Speed of the outdoor fan"), plain("Gas line at the service valve"),
    plain("Small line at the service valve"), plain("Liquid line before the expansion valve"),
    plain("Cooling along the liquid line"), plain("Discharge line"),
    plain("Outdoor coil's bend over shade air"),
    plain("Suction pipe after less before the reversing valve"), plain("Suction pressure"),
    plain("Discharge pressure"), plain("Superheat"), plain("Subcooling"),
    plain("Saturation at discharge pressure over the coil's bend"),
    plain("Standing pressure over saturation at the ambient"), plain("Running current"),
    plain("Input power"), plain("Highest current at a start"),
    plain("Supply voltage under load"), plain("DC bus"),
    plain("DC bus ten minutes after isolation"), plain("Swing of the signal line"),
    plain("Highest level of the signal line"), plain("Compressor winding U-V"),
    plain("Compressor winding V-W"), plain("Compressor winding W-U"),
    plain("Windings to earth"), plain("Room sensor less air at the grille"),
    plain("Coil sensor's resistance over the table's"), plain("Water at the drain's outlet"),
    plain("Time for a litre to run out of the pan"), plain("Look of the filter"),
    plain("Film on the indoor fins"), plain("Dust mat on the indoor coil"),
    plain("Ice on the indoor coil"), plain("Ice on the outdoor coil"),
    plain("Look of the blower wheel"), plain("Look of the outdoor coil's rear face"),
    plain("Fall of the drain hose"), plain("Gnawed cable between the units"),
    plain("Burn marks on the outdoor board"), plain("mild"), plain("moderate"), plain("severe"),
    plain("failed"), plain("drifted"), plain("open"), plain("ajar"), plain("wide open"),
    plain("discharge temperature"), plain("condensing pressure"), plain("coil freeze"),
    plain("current"), plain("high pressure stop"), plain("discharge temperature stop"),
    plain("low pressure stop"), plain("over current stop"), plain("under voltage stop"),
    plain("communication stop"), plain("operating range stop"), plain("coil sensor stop"),
    plain("restart delay"), plain("defrost"), plain("float switch stop"), plain("cooling"),
    plain("heating"),
    plain("Wall unit, 12,000 Btu/h class, R-32, 230 V, 15 m line set"),
    plain("Wall unit, 12,000 Btu/h class, R-32, 230 V"),
    plain("Wall unit, 12,000 Btu/h class, R-410A, 230 V"),
    plain("Wall unit, 12,000 Btu/h class, R-454B, 230 V"),
    plain("Wall unit, 18,000 Btu/h class, R-32, 230 V"),
    plain("Wall unit, 18,000 Btu/h class, R-454B, 230 V"),
    plain("Wall unit, 24,000 Btu/h class, R-32, 230 V"),
    plain("Wall unit, 24,000 Btu/h class, R-410A, 230 V"),
    plain("Wall unit, 9,000 Btu/h class, R-32, 230 V"),
    plain("Wall unit, 9,000 Btu/h class, R-410A, 115 V"),
)  # fmt: skip
