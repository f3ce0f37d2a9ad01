package caution

// conditional is a caution for charges of a certain kind.
type conditional struct {
	Caution
	when func(Hazards) bool
}

// byCharge are the cautions for what is charged, the most violent first.
var byCharge = []conditional{
	{Caution{"charge-hollow",
		"Hollow or sealed pieces were noted: open, cut or crush every one so that nothing is shut in, or leave it out.",
		"Water or air shut in a piece turns to steam and pressure in seconds, and throws the metal out of the pot.",
		closedPieces}, func(h Hazards) bool { return h.Hollow }},
	{Caution{"charge-wet",
		"This kind of scrap keeps water: dry it hot and let it go in warm, never straight from the bin.",
		"Water that metal closes over becomes steam at once; wet scrap is the main cause in the industry's own count of explosions.",
		incidentCounts}, func(h Hazards) bool { return h.Wet }},
	{Caution{"charge-hot-pool",
		"There is liquid in the pot: add only dry, open pieces that were warmed through, or wait for the next cold start.",
		"A damp or hollow piece under liquid metal explodes. Some teaching foundries forbid additions to liquid metal altogether.",
		foundryRules}, func(h Hazards) bool { return h.HotMetal }},
	{Caution{"charge-batteries",
		"Batteries were suspected: do not charge this lot until every piece has been looked into.",
		"A cell in the heat bursts and burns, and gives off poisonous gas.",
		batteryFires}, func(h Hazards) bool { return h.Batteries }},
	{Caution{"charge-magnesium",
		"Magnesium is suspected: test each piece and keep what is not surely aluminium out of the pot.",
		"Magnesium burns white hot in the pot, and water, or wet sand, makes the fire worse.",
		hobby + "; " + fireAdvice}, func(h Hazards) bool { return h.Magnesium }},
	{Caution{"charge-zinc-lead",
		"Zinc or lead was noted: cut it off or leave the piece out, and keep your face out of any white smoke.",
		"Zinc smoke brings a fever hours later; lead poisons slowly, with nothing to feel at first.",
		zincFume + "; on lead: " + practice}, func(h Hazards) bool { return h.ZincLead }},
	{Caution{"charge-swarf",
		"Swarf was noted: charge it only when it is free of cutting fluid and dry to the bottom of the bin.",
		"Cutting fluid is mostly water, and hides between chips that feel dry on top.",
		moistureAlert}, func(h Hazards) bool { return h.Swarf }},
	{Caution{"charge-cans",
		"Shake cans out, dry them hot, and do not press them into a shut packet.",
		"A drop of drink inside a folded can is water shut in, and the lacquer smokes and flares.",
		practice}, func(h Hazards) bool { return h.Cans }},
	{Caution{"charge-coated",
		"Paint or plastic was noted: strip it before the pot, in the open air and upwind of the smoke, or leave the piece out.",
		"Coatings burn with harmful smoke and a sudden flame when the lid is lifted.",
		practice}, func(h Hazards) bool { return h.Coated }},
}
