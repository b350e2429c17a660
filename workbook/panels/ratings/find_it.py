"""Where do I find this measure of my vehicle? (A rating's limit: loadcalc/model/limits.py.)"""

VEHICLE_WHERE = {
    "curb_kg": "Best from a weighbridge: empty, full tank, nobody in it. "
    "The handbook's number (curb or kerb mass) leaves out what was added since. "
    "“Tare” is with little fuel: say how much below.",
    "curb_up_m": "Hardly ever printed. An axle-lift weighing gives it; until then it is an estimate, so say so.",
    "front_roll_share": "Not printed. Start with 50%; it moves single wheels only, never the axle sums.",
    "load_index": "Tire sidewall: the number before the speed letter, as in 265/70R17 115T. "
    "“LT” or “C” in the size means light truck.",
    "reference_kpa": "Sidewall, beside the maximum load. Without it trail pressures are not judged.",
    "placard_kpa": "Tire placard on the driver's door jamb, cold. On a road never less than this; "
    "on a trail a little less, never under the manual's minimum.",
}
