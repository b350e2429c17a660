"""Where do I find this number on my vehicle? One plain answer for each rating."""

WHERE = {
    "gross": "Certification label, usually on the driver's door jamb or door edge: “GVWR”.",
    "front_axle": "The same label: “GAWR FRONT”. It may name the tire and pressure it holds for.",
    "rear_axle": "The same label: “GAWR REAR”.",
    "placard": "Tire placard on the driver's door jamb: “The combined weight of occupants and cargo "
    "should never exceed …”.",
    "roof_road": "Owner's handbook, under roof load or roof rack. It takes in the carrier's own mass.",
    "roof_off_road": "Owner's handbook or a letter from the maker. If only one moving limit is given, "
    "don't assume that it holds off road.",
    "roof_parked": "A letter from the maker, seldom the handbook. Never worked out from the moving limit.",
    "carrier_road": "The carrier maker's sheet or a label on the carrier.",
    "carrier_off_road": "The carrier maker's sheet, often a fraction of the road number. "
    "Mounts and bars may have limits of their own.",
    "carrier_parked": "The carrier maker's sheet, under static or parked load.",
    "combination": "Owner's handbook, under towing: “GCWR”. Vehicle and trailer together.",
    "tow": "Owner's handbook, under towing. It may fall with each person and pound aboard: GCWR says by how much.",
    "hitch_trailer": "Plate on the receiver: “max gross trailer weight”. Of receiver, mount, ball the lowest counts.",
    "hitch_tongue": "Plate on the receiver: “max tongue weight”. Of receiver, mount, ball the lowest counts.",
    "hitch_road": "The sheet of the hitch carrier and of the receiver. Its own mass counts too.",
    "hitch_off_road": "The same sheets; many halve the road number or forbid it. Never guessed.",
    "trailer_gross": "The trailer's own plate: “GVWR”.",
    "trailer_axle": "The trailer's own plate: “GAWR”, for one axle or the sum of them.",
}

VEHICLE_WHERE = {
    "curb_kg": "Best from a weighbridge: empty, full tank, nobody in it. "
    "The handbook's number leaves out what was added since.",
    "curb_up_m": "Hardly ever printed. An axle-lift weighing gives it; until then it is an estimate, so say so.",
    "front_roll_share": "Not printed. A half is a fair start; it moves single wheels only, "
    "never the axle sums.",
    "load_index": "Tire sidewall: the number before the speed letter, as in 265/70R17 115T. "
    "“LT” or “C” in the size means light truck.",
    "reference_kpa": "Sidewall, beside the maximum load. Without it trail pressures are not judged.",
    "placard_kpa": "Tire placard on the driver's door jamb, cold. On a road never less than this.",
}
