"""Where do I find this number on my vehicle? One plain answer for each rating."""

WHERE = {
    "gross": "Certification label, usually on the driver's door jamb or door edge: “GVWR”. In Australia "
    "“GVM”, on the compliance plate or in the handbook; in Europe the first kg figure on the maker's plate.",
    "front_axle": "The same label: “GAWR FRONT”, elsewhere the front axle load. "
    "It may name the tire and pressure it holds for.",
    "rear_axle": "The same label: “GAWR REAR”, elsewhere the rear axle load.",
    "placard": "Tire placard on the driver's door jamb: “The combined weight of occupants and cargo "
    "should never exceed …”. Where there is no placard: payload, GVM less tare or kerb mass.",
    "roof_road": "Owner's handbook, under roof load or roof rack. The rack's own mass counts against it.",
    "roof_off_road": "Owner's handbook or a letter from the maker. If only one moving limit is given, "
    "don't assume that it holds off road.",
    "roof_parked": "A letter from the maker, seldom the handbook. Never worked out from the moving limit.",
    "carrier_road": "The rack maker's sheet or a label on the rack.",
    "carrier_off_road": "The rack maker's sheet, often a fraction of the road number. "
    "Mounts and bars may have limits of their own.",
    "carrier_parked": "The rack maker's sheet, under static or parked load.",
    "combination": "Owner's handbook, under towing: “GCWR”, in Australia “GCM”. Vehicle and trailer together.",
    "tow": "Owner's handbook, under towing. Also “braked towing capacity”. "
    "It may fall with what is aboard: GCWR says by how much.",
    "hitch_trailer": "Plate on the receiver: “max gross trailer weight”. "
    "Of receiver, mount, and ball the lowest counts.",
    "hitch_tongue": "Plate on the receiver: “max tongue weight”, “tow ball download”, “ball weight”, or "
    "“nose weight”. Of receiver, mount, and ball the lowest counts.",
    "hitch_road": "The hitch carrier's sheet and the receiver's; the lower counts. The carrier's own mass counts too.",
    "hitch_off_road": "The same sheets; many halve the road number or forbid it. Never guessed.",
    "trailer_gross": "The trailer's own plate: “GVWR”, in Australia “ATM” (the whole trailer, not hitched).",
    "trailer_axle": "The trailer's own plate: “GAWR”, in Australia “GTM”: what its wheels may carry while it is "
    "hitched. With two axles: all of it; left empty, the two below are added up.",
    "trailer_front_axle": "Two axles: the plate in America has a “GAWR” for each, even when they are alike.",
    "trailer_rear_axle": "The same plate.",
    "trailer_tire": "Sidewall of the trailer's tire: “max load single”, or its load index, at the pressure it is run "
    "at. Less air carries less.",
}

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
